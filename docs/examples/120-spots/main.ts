import {
  edgesFromOutline,
  letInMarkings,
  markingMethod,
  panelOutline,
  type Marking,
  type Panel,
  type Pattern,
} from "@peltry/pattern";
import { signedArea, type Point } from "@peltry/geometry";
import { fit, INK, onPage, pathData, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const oval = (x: number, y: number, a: number, b: number): Point[] =>
  Array.from({ length: 40 }, (_, i): Point => {
    const t = (2 * Math.PI * i) / 40;
    return [x + a * Math.cos(t), y + b * Math.sin(t)];
  });

/** A pale spot on a long coat: three piles, three ways. */
export function run(): ExampleResult {
  const cases = [
    { base: 38, spot: 38 },
    { base: 38, spot: 24 },
    { base: 38, spot: 8 },
    { base: 2, spot: 8 },
  ];
  const choices = cases.map(({ base, spot }) => markingMethod(base, spot));
  const marking: Marking = {
    id: "spot",
    kind: "area",
    points: oval(120, 95, 48, 36),
    method: "let-in",
    fabric: "pale",
    label: "spot",
  };
  const base: Panel = {
    id: "haunch",
    name: "haunch",
    fabric: "coat",
    count: 1,
    mirrored: true,
    darts: [],
    markings: [marking],
    pile: -90,
    edges: edgesFromOutline([
      [0, 0],
      [230, 10],
      [240, 170],
      [30, 190],
    ]),
  };
  const pattern: Pattern = { format: "peltry-pattern", version: 1, name: "spot", panels: [base], seams: [] };
  const { pattern: made, issues } = letInMarkings(pattern);
  const [whole, inset] = made.panels;
  const hole = whole.holes![0].flatMap(({ points }) => points.slice(0, -1));
  const frame = fit(
    [
      [0, 0],
      [240, 190],
    ],
    [10, 10, 260, 220],
  );
  const side = fit(
    [
      [72, 59],
      [168, 131],
    ],
    [400, 40, 140, 120],
    frame.scale,
  );
  const draw = (points: readonly Point[], at: typeof frame, fill: string): string =>
    `<path d="${pathData(points.map((p) => onPage(at, p)))}" fill="${fill}" stroke="${INK.line}" stroke-width="1.5"/>`;
  const bars = cases.map(({ base: b, spot }, i) => {
    const x = 20 + 158 * i;
    return `<rect x="${x}" y="${330 - b}" width="120" height="${b}" fill="${INK.soft}"/><rect x="${x + 35}" y="${330 - spot - (choices[i].method === "applied" ? b : 0)}" width="50" height="${spot}" fill="${INK.straw}" stroke="${INK.line}"/>${choices[i].method === "shaved" ? `<rect x="${x + 35}" y="${330 - b}" width="50" height="${b - spot}" fill="#fff"/>` : ""}${words(x + 60, 352, `${b} mm, ${spot} mm:`, 'text-anchor="middle"')}${words(x + 60, 370, choices[i].method, 'text-anchor="middle" font-weight="600"')}`;
  });
  return {
    figures: {
      equal: choices[0].method,
      shorter: choices[1].method,
      half: choices[2].method,
      smooth: choices[3].method,
      reason: choices[1].reason,
      holeMm2: rounded(-signedArea(hole), 1),
      insetMm2: rounded(signedArea(panelOutline(inset)), 1),
      ellipseMm2: rounded(Math.PI * 48 * 36, 1),
      seams: made.seams.length,
      issues: issues.length,
    },
    files: {
      "spots.svg": picture(
        640,
        385,
        "A panel with a hole and the spot that fills it; below, piles of base and spot from the side",
        [
          draw(panelOutline(whole), frame, INK.fill),
          draw(hole, frame, "#fff"),
          draw(panelOutline(inset), side, INK.straw),
          words(470, 190, "let in: hole and inset of one sew line", 'text-anchor="middle"'),
          words(20, 275, "pile of base and spot, from the side"),
          ...bars,
        ].join("\n"),
      ),
    },
  };
}
