import { writeFileSync } from "node:fs";
import { boundingBox, type Point } from "@peltry/geometry";
import type { Edge, EdgeRole, Panel } from "@peltry/pattern";
import { addAllowance, type AllowanceRules } from "../src/index";

// The picture of the README, drawn by the code it shows: npm run pictures

const GAP = 22;

const edge = (id: string, role: EdgeRole, points: readonly Point[], more: Partial<Edge> = {}): Edge => ({
  id,
  role,
  points,
  ...more,
});

function bow(from: Point, to: Point, sag: number, count = 24): Point[] {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy);
  return Array.from({ length: count + 1 }, (_, i): Point => {
    const t = i / count;
    const away = 4 * t * (1 - t) * sag;
    return [from[0] + dx * t + (dy / length) * away, from[1] + dy * t - (dx / length) * away];
  });
}

const quad: Edge[] = [
  edge("a", "seam", [
    [0, 0],
    [70, 0],
  ]),
  edge("b", "seam", [
    [70, 0],
    [95, 58],
  ]),
  edge("c", "seam", [
    [95, 58],
    [18, 66],
  ]),
  edge("d", "seam", [
    [18, 66],
    [0, 0],
  ]),
];
const cuff: Edge[] = [
  edge("hem", "hem", [
    [0, 0],
    [90, 0],
  ]),
  edge("right", "seam", bow([90, 0], [70, 75], -5)),
  edge("top", "seam", [
    [70, 75],
    [22, 75],
  ]),
  edge("left", "seam", [
    [22, 75],
    [0, 0],
  ]),
];
const haunch: Panel = {
  id: "haunch",
  name: "moor hare, haunch",
  fabric: "grey-fur",
  edges: [
    edge("hem", "hem", [
      [0, 0],
      [92, 0],
    ]),
    edge("side", "seam", bow([92, 0], [110, 120], 14), {
      notches: [
        { at: 40, kind: "single" },
        { at: 88, kind: "double" },
      ],
    }),
    edge("waist-1", "seam", [
      [110, 120],
      [72, 126],
    ]),
    edge("dart-in", "dart", [
      [72, 126],
      [60, 70],
    ]),
    edge("dart-out", "dart", [
      [60, 70],
      [48, 126],
    ]),
    edge("waist-2", "seam", [
      [48, 126],
      [0, 120],
    ]),
    edge("fold", "fold", [
      [0, 120],
      [0, 0],
    ]),
  ],
  darts: [{ id: "dart", legs: ["dart-in", "dart-out"], tip: [60, 70], intake: 24, length: 57.3, cut: false }],
  markings: [],
  count: 1,
  mirrored: false,
};
const shown: [string, Panel | Edge[], AllowanceRules][] = [
  ["mitred", quad, { width: 12 }],
  ["squared", quad, { width: 12, corner: "squared-to-before" }],
  ["rounded", quad, { width: 12, corner: "rounded" }],
  ["unlike widths", quad, { edges: { a: 25, b: 5, c: 10, d: 15 } }],
  ["hem turned back", cuff, { width: 8, roles: { hem: 22 }, edgeStrain: 0.2 }],
  ["fold, dart, notches, pile to trim", haunch, { pileMm: 25, roles: { hem: 22, seam: 10 } }],
];

let x = 0;
let body = "";
let height = 0;
for (const [title, panel, rules] of shown) {
  const made = addAllowance(panel, rules);
  const box = boundingBox(made.cutLine);
  const put = (p: Point): string =>
    `${(p[0] - box.minX + x + 6).toFixed(2)},${(box.maxY - p[1] + 18).toFixed(2)}`;
  const line = (points: readonly Point[], style: string, tag = "polygon"): string =>
    `<${tag} points="${points.map(put).join(" ")}" class="${style}"/>`;
  body += `<text x="${x + 6}" y="10">${title}</text>`;
  body += line(made.cutLine, "cloth");
  for (const strip of made.trimStrips) for (const outline of strip.outlines) body += line(outline, "trim");
  body += line(made.sewLine, "sew") + line(made.cutLine, "cut");
  for (const run of made.clips) for (const mark of run.marks) body += line(mark, "clip", "polyline");
  for (const notch of made.notches)
    for (const stroke of notch.strokes) body += line(stroke, "notch", "polyline");
  for (const dart of made.foldedDarts) body += line([dart.tip, dart.peak], "fold", "polyline");
  x += box.maxX - box.minX + GAP;
  height = Math.max(height, box.maxY - box.minY + 26);
}
const style =
  "text{font:7px sans-serif;fill:#222}.cloth{fill:#f6f3ec}.trim{fill:#e3dccb}.cut{fill:none;stroke:#111;stroke-width:1}" +
  ".sew{fill:none;stroke:#b3261e;stroke-width:.7;stroke-dasharray:3 1.6}.clip{fill:none;stroke:#0b6bcb;stroke-width:.6}" +
  ".notch{fill:none;stroke:#0a7a3a;stroke-width:1.2}.fold{fill:none;stroke:#7a3fb0;stroke-width:.7;stroke-dasharray:1.2 1.2}";
const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${x.toFixed(0)} ${height.toFixed(0)}"><style>${style}</style><rect width="100%" height="100%" fill="#fff"/>${body}</svg>\n`;
writeFileSync(new URL("../pictures/corners.svg", import.meta.url), svg);
