import { meshArea } from "@peltry/geometry";
import { buildLeg, foamVolume, girthAt, thicknessMap } from "@peltry/forms";
import { completeMeasures, paddedGirth } from "@peltry/measure";
import { drawSurface, INK, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";
import { hareLeg, WEARER } from "../../scripts/moor-hare";

/** A hind leg: the body inside, the padded form, and how thick the foam is. */
export function run(): ExampleResult {
  const leg = hareLeg();
  const thick = thicknessMap(leg);
  const most = thick.reduce((a, b) => Math.max(a, b), 0);
  const colourOf = (t: number): readonly [number, number, number] => {
    const k = [0, 1, 2].map((i) => leg.mesh.triangles[3 * t + i]);
    const share = (thick[k[0]] + thick[k[1]] + thick[k[2]]) / 3 / most;
    return [0.93 - 0.1 * share, 0.92 - 0.42 * share, 0.88 - 0.72 * share];
  };
  const scale = 0.4;
  const svg = picture(
    640,
    345,
    "The body's leg and the padded leg from the outer side and from behind, darker where the foam is thicker",
    [
      drawSurface(leg.mesh, [10, 10, 150, 300], { turn: -90, scale, positions: leg.inner! }),
      drawSurface(leg.mesh, [170, 10, 190, 300], { turn: -90, scale, colourOf }),
      drawSurface(leg.mesh, [420, 10, 190, 300], { turn: 180, scale, colourOf }),
      words(85, 332, "the body inside", 'text-anchor="middle"'),
      words(265, 332, "padded, from the outer side", 'text-anchor="middle"'),
      words(515, 332, "from behind", 'text-anchor="middle"'),
      `<path d="M390 20V310" stroke="${INK.soft}" stroke-dasharray="3 5"/>`,
    ].join("\n"),
  );
  // Outside check: an even layer of thickness t round any convex section makes it 2πt longer (Steiner's formula).
  const { measures } = completeMeasures(WEARER, { sex: "female" });
  const bare = buildLeg({ measures, pads: [], triangles: 6000 });
  const height = bare.levels.height.calf!;
  const asked = paddedGirth(girthAt(bare, height, "inner").tape, 20);
  const layered = buildLeg({
    measures,
    pads: [],
    triangles: 6000,
    targetGirths: [{ at: "calf", girth: asked }],
  });
  const there = girthAt(layered, height).tape;
  const layer = thicknessMap(layered);
  const near = layer.filter((_, v) => Math.abs(layered.mesh.positions[3 * v + 1] - height) < 8);
  const foam = foamVolume(leg, 25);
  return {
    figures: {
      thighBare: rounded(girthAt(leg, leg.levels.height.midThigh!, "inner").tape, 0),
      thighPadded: rounded(girthAt(leg, leg.levels.height.midThigh!).tape, 0),
      calfBare: rounded(girthAt(leg, leg.levels.height.calf!, "inner").tape, 0),
      calfPadded: rounded(girthAt(leg, leg.levels.height.calf!).tape, 0),
      thickest: rounded(most, 0),
      litres: rounded(foam.litres, 1),
      grams: rounded(foam.mass, 0),
      clothDm2: rounded(meshArea(leg.mesh) / 10_000, 0),
      steinerAsked: rounded(asked, 1),
      steinerThere: rounded(there, 1),
      layerMean: rounded(near.reduce((a, b) => a + b, 0) / near.length, 1),
    },
    files: { "leg.svg": svg },
  };
}
