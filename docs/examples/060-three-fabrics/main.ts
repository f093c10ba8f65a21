import { HIND_LEG_PADS } from "@peltry/forms";
import { flatten, rampColour, strainColours } from "@peltry/flatten";
import { signedArea } from "@peltry/geometry";
import type { FabricBehaviour } from "@peltry/pattern";
import { cutIntoPatches } from "@peltry/seams";
import { drawFlat, fit, pairs, picture, rampLegend, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";
import { hareLeg, PILE_CLOTH } from "../../scripts/moor-hare";

const FABRICS: { id: string; name: string; fabric: FabricBehaviour }[] = [
  {
    id: "canvas",
    name: "firm canvas",
    fabric: {
      along: { min: -0.01, max: 0.01 },
      across: { min: -0.01, max: 0.02 },
      shear: { min: -0.05, max: 0.05 },
    },
  },
  { id: "pile", name: "pile cloth", fabric: PILE_CLOTH },
  {
    id: "knit",
    name: "stretch knit",
    fabric: {
      along: { min: -0.05, max: 0.4 },
      across: { min: -0.05, max: 0.6 },
      shear: { min: -0.3, max: 0.3 },
    },
  },
];

/** One half of a leg, three cloths. */
export function run(): ExampleResult {
  const leg = hareLeg({
    triangles: 2000,
    pads: HIND_LEG_PADS.map((pad) => ({ ...pad, height: pad.height / 2 })),
  });
  const lines = leg.curves
    .filter(({ id }) => id === "inner-seam" || id === "outer-seam")
    .map(({ id, path }) => ({ id, path }));
  const [patch] = cutIntoPatches(leg.mesh, { lines }).patches;
  const made = FABRICS.map(({ id, name, fabric }) => ({
    id,
    name,
    panel: flatten(patch.mesh, { fabric, maxIterations: 120 }),
  }));
  const limit = 0.2;
  const figures: Record<string, number> = {};
  for (const { id, panel } of made) {
    const { maxStrain, p95Strain, overLimitArea } = panel.certificate;
    figures[`${id}Max`] = rounded(100 * maxStrain, 1);
    figures[`${id}P95`] = rounded(100 * p95Strain, 1);
    figures[`${id}Over`] = rounded(100 * overLimitArea, 1);
    // Outside check: areas by the shoelace formula over the outline, independent of triangles.
    const outline = panel.loops[0].map((v): [number, number] => [
      panel.positions[2 * v],
      panel.positions[2 * v + 1],
    ]);
    figures[`${id}Area`] = rounded(signedArea(outline) / 10_000, 1);
    figures[`${id}Faults`] = panel.certificate.flips + panel.certificate.overlaps;
  }
  const svg = picture(
    660,
    320,
    "Half of the leg laid flat for canvas, pile cloth and a stretch knit, coloured by strain",
    [
      ...made.map(({ name, panel }, i) => {
        const box = [10 + 218 * i, 34, 205, 225] as const;
        return (
          drawFlat(patch.mesh, panel.positions, fit(pairs(panel.positions), box, 0.34), {
            colours: strainColours(panel.strain.across, limit),
            outline: panel.loops,
          }) + words(box[0] + 102, 20, name, 'text-anchor="middle"')
        );
      }),
      rampLegend(190, 278, 280, limit, rampColour),
    ].join("\n"),
  );
  return { figures, files: { "fabrics.svg": svg } };
}
