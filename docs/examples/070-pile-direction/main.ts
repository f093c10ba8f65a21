import { flatten } from "@peltry/flatten";
import { layOut, type LayoutPanel } from "@peltry/layout";
import { cutIntoPatches } from "@peltry/seams";
import { simplifyPolyline, type Point } from "@peltry/geometry";
import { INK, onPage, pathData, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";
import { hareLeg } from "../../scripts/moor-hare";

/** What it costs that pile must lie one way: the same panels with and without a nap. */
export function run(): ExampleResult {
  const leg = hareLeg({ triangles: 2000 });
  const lines = leg.curves
    .filter(({ id }) => ["inner-seam", "outer-seam", "front-line", "back-line"].includes(id))
    .map(({ id, path }) => ({ id, path }));
  const { patches } = cutIntoPatches(leg.mesh, { lines });
  const panels = patches.map((patch, i) => {
    const flat = flatten(patch.mesh, { pile: [0, -1, 0] });
    const round = flat.loops[0].map((v): Point => [flat.positions[2 * v], flat.positions[2 * v + 1]]);
    return {
      id: `panel-${i + 1}`,
      stray: flat.grain,
      outline: simplifyPolyline([...round, round[0]], 0.8).slice(0, -1),
    };
  });
  const lay = (rotations: LayoutPanel["rotations"]) =>
    layOut(
      panels.map(({ id, outline }) => ({ id, outline, napAngle: -90, rotations, mirrored: true })),
      [{ id: "roll", napAngle: -90, roll: { width: 900 } }],
      { gap: 16, edgeGap: 5, objective: "shortest-roll", evaluations: 40_000, seed: 3 },
    );
  const [one, either] = [lay([0]), lay([0, 180])];
  const longest = Math.max(one.usedLength, either.usedLength);
  const scale = 280 / 900;
  const drawing = [one, either].map((layout, i) => {
    const points = layout.placements.flatMap(({ outline }) => outline);
    const top = Math.max(...points.map(([, y]) => y));
    const left = Math.min(...points.map(([x]) => x));
    const frame = { scale, x: 20 + 310 * i - scale * left, y: 34 + scale * top };
    const shapes = layout.placements.map(
      ({ outline, rotation }) =>
        `<path d="${pathData(outline.map((p) => onPage(frame, p)))}" fill="${rotation === 0 ? INK.fill : INK.straw}" stroke="${INK.line}"/>` +
        arrow(frame, outline, rotation === 0 ? -1 : 1),
    );
    return `${shapes.join("")}${words(160 + 310 * i, 20, `${["pile one way", "smooth cloth, turned over too"][i]}: ${Math.round(layout.usedLength)} mm`, 'text-anchor="middle"')}`;
  });
  return {
    figures: {
      panels: panels.length,
      oneWay: rounded(one.usedLength, 0),
      eitherWay: rounded(either.usedLength, 0),
      morePercent: rounded(100 * (one.usedLength / either.usedLength - 1), 0),
      strayP95: rounded(Math.max(...panels.map(({ stray }) => stray.p95)), 1),
      floorMm: rounded(one.panelArea / 900, 0),
      densityPercent: rounded(100 * one.density, 0),
    },
    files: {
      "nap.svg": picture(
        630,
        60 + Math.ceil((longest * 280) / 900),
        "The panels on a roll with one pile direction, and on smooth cloth where half may be turned",
        drawing.join("\n"),
      ),
    },
  };
}

function arrow(frame: Parameters<typeof onPage>[0], outline: readonly Point[], way: number): string {
  const middle = outline.reduce(([x, y], [a, b]): Point => [x + a / outline.length, y + b / outline.length], [
    0, 0,
  ] as Point);
  const [x, y] = onPage(frame, middle);
  const tip = y - 26 * way;
  return `<path d="${pathData(
    [
      [x, y + 26 * way],
      [x, tip],
    ],
    false,
  )}${pathData(
    [
      [x - 5, tip + 8 * way],
      [x, tip],
      [x + 5, tip + 8 * way],
    ],
    false,
  )}" fill="none" stroke="${INK.orange}" stroke-width="2"/>`;
}
