/** The families of the catalogue: each has a folder under `data` and its own entry point of the package. */
export const FAMILIES = [
  "pile-fabric",
  "stretch-knit",
  "mesh",
  "coated-fabric",
  "woven",
  "felt",
  "foam-open",
  "foam-closed",
  "foam-clay",
  "thermoplastic",
  "filling",
  "frame",
  "yarn",
  "fastener",
  "leather",
  "adhesive",
  "tape",
  "paint",
  "dye",
  "coating",
  "wrap-film",
] as const;

/** One of {@link FAMILIES}. */
export type Family = (typeof FAMILIES)[number];

/** Families that are sewn as cloth and so have stretch, mass per area and a grain. */
export const CLOTH_FAMILIES: readonly Family[] = [
  "pile-fabric",
  "stretch-knit",
  "mesh",
  "coated-fabric",
  "woven",
  "felt",
  "leather",
];

/** Families that reach the maker with a label and a safety data sheet. */
export const CHEMICAL_FAMILIES: readonly Family[] = ["adhesive", "paint", "dye", "coating"];
