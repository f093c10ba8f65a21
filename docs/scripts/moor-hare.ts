import { flattenTogether, type FlatPanels } from "@peltry/flatten";
import { buildLeg, type BuiltLeg, type Form, type Pad, type Patch } from "@peltry/forms";
import { completeMeasures } from "@peltry/measure";
import { cutIntoPatches, openTubes, type PatchCutting } from "@peltry/seams";
import type { FabricBehaviour } from "@peltry/pattern";

/** Measures of the invented wearer of the moor hare, mm and kg. */
export const WEARER = { stature: 1690, weightKg: 66, hip: 1010, upperThigh: 585, calf: 368, insideLeg: 785 };

/** A pile cloth as it comes off the bolt: usable stretch as fractions, shear in radians. */
export const PILE_CLOTH: FabricBehaviour = {
  along: { min: -0.03, max: 0.08 },
  across: { min: -0.04, max: 0.2 },
  shear: { min: -0.12, max: 0.12 },
};

/** The padded leg of the moor hare. */
export function hareLeg(options: { triangles?: number; pads?: Pad[]; patches?: Patch[] } = {}): BuiltLeg {
  const { measures } = completeMeasures(WEARER, { sex: "female" });
  return buildLeg({
    name: "Hind leg",
    measures,
    triangles: options.triangles ?? 2400,
    posture: { kneeBend: 12, heelLift: 35 },
    ...(options.pads ? { pads: options.pads } : {}),
    ...(options.patches ? { patches: options.patches } : {}),
  });
}

/** A form cut along lines and flattened, all panels together. */
export function panelsOf(
  form: Form,
  lineIds: readonly string[],
  fabric?: FabricBehaviour,
): { cutting: PatchCutting; flat: FlatPanels } {
  const lines = form.curves
    .filter(({ id }) => lineIds.includes(id))
    .map(({ id, path, closed }) => ({ id, path, closed }));
  const opened = openTubes(form.mesh, form.regionOf, lines);
  const cuts = [
    ...lines.map((line, i) => ({ ...line, path: opened.lines[i] })),
    ...opened.openings.map(({ path }, i) => ({ id: `opening-${i + 1}`, path })),
  ];
  const cutting = cutIntoPatches(opened.mesh, { regionOf: opened.regionOf, lines: cuts });
  const flat = flattenTogether(
    cutting.patches.map(({ id, mesh }) => ({
      id,
      mesh,
      ...(fabric ? { fabric } : {}),
      holes: "keep" as const,
    })),
    cutting.seams.map(({ id, a, b }) => ({ id, a, b })),
    { maxIterations: 60 },
  );
  return { cutting, flat };
}
