import { fail, type Issue } from "@peltry/issues";
import { FIBRES } from "../generated/fibres";
import type { Caution } from "../entry/shared-types";
import type { MaterialEntry } from "../entry/types";
import { cautionsOf } from "../query/cautions";
import { hexToLab } from "../query/colour";
import { entryOf } from "../query/catalogue";

/** How a paint, dye or coating does on a ground. */
export interface ColouringAnswer {
  readonly rating: "recommended" | "workable-with-care" | "avoid" | "unknown";
  /** Whether the new colour hides the old one. */
  readonly covers: "yes" | "with several coats" | "no" | "unknown";
  readonly primer: "needed" | "helps" | "not needed" | "unknown";
  readonly reasons: readonly string[];
  readonly cautions: readonly Caution[];
  readonly issues: readonly Issue[];
  /** Where the reasons come from. */
  readonly source: string;
}

/** Colours of the ground and of the paint, `#rrggbb`, and what the part does. */
export interface ColouringOptions {
  readonly ground?: string;
  readonly colour?: string;
  /** It bends or stretches when worn; cloth and foam do by default. */
  readonly flexes?: boolean;
  readonly primed?: boolean;
}

/** Darker grounds than this, CIE lightness, show through light paint. Judgement. */
const DARK = 45;
/** How much lighter than its ground a colour may be before it needs opaque paint. Judgement. */
const LIGHTER = 12;

/**
 * Whether a paint or dye will take on a material of a colour, hide it, and need a primer.
 *
 * Dyes take only on the fibres that they fix to, and never lighten. Transparent paint never lightens. Stiff film cracks on
 * what bends. Waxy and plasticised surfaces need a primer or take nothing. Solvent attacks polystyrene.
 *
 * @throws `materials/unknown-material`, `materials/not-a-colour`, `materials/bad-colour`
 * @source common practice, no source, save the chemistry of dye classes (Britannica, Dye) and surface energies
 */
export function colouring(
  colourant: MaterialEntry | string,
  ground: MaterialEntry | string,
  options: ColouringOptions = {},
): ColouringAnswer {
  const paint = entryOf(colourant);
  const target = entryOf(ground);
  if (!paint.colour)
    return fail(
      "materials/not-a-colour",
      `${paint.name} is not a paint, dye or coating.`,
      { material: paint.id },
      {
        found: paint.family,
        fix: "Give the paint first, then the material.",
      },
    );
  const reasons: Reason[] = [
    ...(paint.family === "dye" ? dyeReasons(paint, target) : paintReasons(paint, target, options)),
    ...coverReasons(paint, options),
  ];
  const covers = coverOf(paint, options);
  return {
    rating: worst(reasons),
    covers,
    primer: primerOf(paint, target, options),
    reasons: reasons.map(({ text }) => text),
    cautions: cautionsOf([paint]),
    issues: reasons
      .filter(({ rating }) => rating === "avoid" || rating === "unknown")
      .map(({ rating, text }) => ({
        code: rating === "avoid" ? "materials/colour-avoid" : "materials/colour-unknown",
        severity: "warning" as const,
        message: `${paint.name} on ${target.name}: ${text}.`,
        at: { material: target.id },
        fix: "Try an offcut, let it dry for a day, bend and rub it.",
      })),
    source: "common practice, no source; dye classes: Encyclopaedia Britannica, Dye",
  };
}

interface Reason {
  readonly rating: ColouringAnswer["rating"];
  readonly text: string;
}

const RANK: readonly ColouringAnswer["rating"][] = ["recommended", "workable-with-care", "unknown", "avoid"];

function worst(reasons: readonly Reason[]): ColouringAnswer["rating"] {
  return reasons.reduce<ColouringAnswer["rating"]>(
    (rating, reason) => (RANK.indexOf(reason.rating) > RANK.indexOf(rating) ? reason.rating : rating),
    "recommended",
  );
}

const fibreName = (id: string) => FIBRES.find((fibre) => fibre.id === id)?.name ?? id;

function dyeReasons(dye: MaterialEntry, target: MaterialEntry): Reason[] {
  const fixes = dye.colour?.fibres ?? [];
  // The face is what is seen: the pile of a fur, else the whole.
  const seen = (target.fibres ?? []).filter(({ part }) => part !== "backing" || !target.pile);
  if (seen.length === 0) return [{ rating: "unknown", text: "its fibre is not recorded" }];
  const takes = seen.filter(({ fibre }) => fixes.includes(fibre));
  const misses = seen.filter(({ fibre }) => !fixes.includes(fibre));
  if (takes.length === 0)
    return [
      {
        rating: "avoid",
        text: `this dye does not fix to ${misses.map(({ fibre }) => fibreName(fibre)).join(", ")}`,
      },
    ];
  const reasons: Reason[] =
    misses.length === 0
      ? [
          {
            rating: "recommended",
            text: `this dye fixes to ${takes.map(({ fibre }) => fibreName(fibre)).join(", ")}`,
          },
        ]
      : [
          {
            rating: "workable-with-care",
            text: `it colours only ${takes.map(({ fibre }) => fibreName(fibre)).join(", ")}, not ${misses.map(({ fibre }) => fibreName(fibre)).join(", ")}`,
          },
        ];
  const heated = seen.some(({ fibre }) => ["acrylic", "modacrylic"].includes(fibre));
  if (heated && target.pile)
    reasons.push({
      rating: "workable-with-care",
      text: "a hot bath takes the loft out of the pile for good",
    });
  return reasons;
}

const SOFT = [
  "pile-fabric",
  "stretch-knit",
  "mesh",
  "woven",
  "felt",
  "coated-fabric",
  "foam-open",
  "foam-closed",
  "leather",
];

function paintReasons(paint: MaterialEntry, target: MaterialEntry, options: ColouringOptions): Reason[] {
  const colour = paint.colour!;
  const reasons: Reason[] = [];
  const flexes = options.flexes ?? SOFT.includes(target.family);
  if (flexes && colour.film === "stiff")
    reasons.push({ rating: "avoid", text: "its film is stiff and cracks where the part bends" });
  if (flexes && colour.film === "unknown")
    reasons.push({ rating: "unknown", text: "whether its film bends is not recorded" });
  const row = target.substrates?.face;
  if (colour.carrier === "solvent" && (row === "polystyrene-foam" || target.id === "polystyrene-sheet"))
    reasons.push({
      rating: "avoid",
      text: "its solvent dissolves polystyrene; seal it with a water-based coat first",
    });
  else if (colour.carrier === "solvent" && target.family.startsWith("foam"))
    reasons.push({
      rating: "workable-with-care",
      text: "its solvent may attack the foam: seal first, test on an offcut",
    });
  if (target.plasticised)
    reasons.push({
      rating: "workable-with-care",
      text: "plasticiser keeps many paints sticky: only paints made for vinyl",
    });
  if (target.id === "silicone-rubber")
    reasons.push({ rating: "avoid", text: "nothing but silicone sticks to silicone" });
  if (isWaxy(target) && options.primed !== true)
    reasons.push({ rating: "avoid", text: "it flakes off a waxy surface without a primer" });
  if (target.family === "pile-fabric")
    reasons.push({
      rating: "workable-with-care",
      text: "comb it while it dries, or the pile sets in clumps",
    });
  if (target.family === "foam-open")
    reasons.push({
      rating: "workable-with-care",
      text: "open foam drinks it and stiffens: seal first or dye the cover",
    });
  if (reasons.length === 0)
    reasons.push({ rating: "recommended", text: "carrier and film fit this surface" });
  return reasons;
}

function isWaxy(target: MaterialEntry): boolean {
  const row = target.substrates?.face;
  if (row === "xpe-foam") return true;
  const figures = target.values.surfaceEnergy ?? [];
  return (
    target.plasticised !== true &&
    figures.some((value) => (value.max ?? value.typical ?? value.min ?? 99) < 35)
  );
}

function coverOf(paint: MaterialEntry, { ground, colour }: ColouringOptions): ColouringAnswer["covers"] {
  const hiding = paint.colour!.hiding;
  if (hiding === "unknown" || ground === undefined || colour === undefined)
    return hiding === "opaque" ? "yes" : "unknown";
  const lift = hexToLab(colour)[0] - hexToLab(ground)[0];
  if (hiding === "opaque") return lift > 60 ? "with several coats" : "yes";
  // A colour about as dark as its dark ground is seen mixed with it.
  const mixes = hexToLab(ground)[0] < DARK && lift > -LIGHTER;
  if (lift <= 0 && !mixes) return "yes";
  if (hiding === "semi-opaque") return lift > 2 * LIGHTER ? "no" : "with several coats";
  return mixes || lift > LIGHTER ? "no" : "with several coats";
}

function coverReasons(paint: MaterialEntry, options: ColouringOptions): Reason[] {
  const covers = coverOf(paint, options);
  if (covers === "no")
    return [{ rating: "avoid", text: "it cannot hide this ground: it darkens, it does not lighten" }];
  if (covers === "with several coats")
    return [{ rating: "workable-with-care", text: "it needs several thin coats to hide this ground" }];
  return [];
}

function primerOf(
  paint: MaterialEntry,
  target: MaterialEntry,
  options: ColouringOptions,
): ColouringAnswer["primer"] {
  if (options.primed === true || paint.family === "dye") return "not needed";
  if (isWaxy(target)) return "needed";
  if (
    target.family.startsWith("foam") ||
    target.family === "thermoplastic" ||
    target.family === "coated-fabric"
  )
    return "helps";
  if (target.family === "frame") return "helps";
  return SOFT.includes(target.family) ? "not needed" : "unknown";
}
