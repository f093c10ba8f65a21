import { writeFileSync } from "node:fs";
import { boundingBox, stationAt, type Point } from "@peltry/geometry";
import {
  addDart,
  findEdge,
  letInMarkings,
  panelArrows,
  panelOutline,
  placeNotches,
  edgesOutline,
  type Edge,
  type EdgeRole,
  type Panel,
  type Pattern,
} from "../src/index";

// The picture of the README, drawn from the pattern it shows: npm run pictures

const edge = (id: string, role: EdgeRole, points: readonly Point[], more: Partial<Edge> = {}): Edge => ({
  id,
  role,
  points,
  ...more,
});

function bow(from: Point, to: Point, sag: number, count = 30): Point[] {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy);
  return Array.from({ length: count + 1 }, (_, i): Point => {
    const t = i / count;
    const away = 4 * t * (1 - t) * sag;
    return [from[0] + dx * t + (dy / length) * away, from[1] + dy * t - (dx / length) * away];
  });
}

const spot = Array.from({ length: 36 }, (_, i): Point => {
  const t = (i * Math.PI) / 18;
  return [70 + 24 * Math.cos(t), 70 + 17 * Math.sin(t)];
});
const common = { fabric: "grey-fur", darts: [], markings: [], count: 1, mirrored: true, pile: -90 } as const;
const outer: Panel = {
  ...common,
  id: "outer",
  name: "outer thigh",
  edges: [
    edge("hem", "hem", [
      [0, 0],
      [130, 0],
    ]),
    edge("front", "seam", bow([130, 0], [150, 230], 16), { seam: "s1" }),
    edge("waist", "opening", [
      [150, 230],
      [10, 230],
    ]),
    edge("back", "seam", bow([10, 230], [0, 0], 22), { seam: "s2" }),
  ],
  markings: [
    { id: "spot", kind: "area", points: spot, fabric: "white-fur", method: "let-in", label: "spot" },
  ],
};
const inner: Panel = {
  ...common,
  id: "inner",
  name: "inner thigh",
  edges: [
    edge("hem", "hem", [
      [0, 0],
      [90, 0],
    ]),
    edge("back", "seam", bow([90, 0], [100, 230], 22), { seam: "s2" }),
    edge("top", "opening", [
      [100, 230],
      [20, 230],
    ]),
    edge("front", "seam", bow([20, 230], [0, 0], 16), { seam: "s1" }),
  ],
};
const seam = (id: string, letter: string, side: string): Pattern["seams"][number] => ({
  id,
  letter,
  a: { panel: "outer", edge: side },
  b: { panel: "inner", edge: side },
  reversed: true,
  matchPoints: [],
});
const plain: Pattern = {
  format: "peltry-pattern",
  version: 1,
  name: "moor hare, thigh",
  panels: [addDart(outer, "waist", { id: "dart", at: 70, intake: 22, length: 60, tipRadius: 4 }), inner],
  seams: [seam("s1", "A", "front"), seam("s2", "B", "back")],
};
const pattern = placeNotches(letInMarkings(plain).pattern);

let x = 0;
let body = "";
let height = 0;
for (const panel of pattern.panels) {
  const outline = panelOutline(panel);
  const box = boundingBox(outline);
  const at = (p: Point): Point => [p[0] - box.minX + x + 10, box.maxY - p[1] + 20];
  const put = (p: Point): string =>
    at(p)
      .map((v) => v.toFixed(2))
      .join(",");
  const rings = [outline, ...(panel.holes ?? []).map(edgesOutline)];
  body += `<path class="cloth" d="${rings.map((ring) => `M${ring.map(put).join("L")}Z`).join("")}"/>`;
  body += `<text x="${x + 10}" y="11">${panel.name}: ${panel.fabric}, cut ${panel.count}${panel.mirrored ? " and 1 mirrored" : ""}</text>`;
  for (const arrow of panelArrows(panel)) {
    body += `<path class="pile" d="M${put(arrow.from)}L${put(arrow.to)}"/><circle r="2" class="head" cx="${at(arrow.to)[0]}" cy="${at(arrow.to)[1]}"/>`;
  }
  for (const one of [...panel.edges, ...(panel.holes ?? []).flat()]) {
    const found = findEdge(panel, one.id)!;
    for (const notch of one.notches ?? []) {
      const { point, tangent } = stationAt(found.points, notch.at);
      for (const shift of notch.kind === "double" ? [-2, 2] : [0]) {
        const from: Point = [point[0] + tangent[0] * shift, point[1] + tangent[1] * shift];
        body += `<path class="notch" d="M${put(from)}L${put([from[0] - tangent[1] * 6, from[1] + tangent[0] * 6])}"/>`;
      }
    }
    const letter = pattern.seams.find((s) => s.id === one.seam)?.letter;
    if (!letter) continue;
    const length = one.points
      .slice(1)
      .reduce((sum, p, i) => sum + Math.hypot(p[0] - one.points[i][0], p[1] - one.points[i][1]), 0);
    const { point, tangent } = stationAt(one.points, length * 0.4);
    const [lx, ly] = at([point[0] - tangent[1] * 8, point[1] + tangent[0] * 8]);
    body += `<text class="letter" x="${lx.toFixed(1)}" y="${(ly + 2.5).toFixed(1)}">${letter}</text>`;
  }
  x += Math.max(box.maxX - box.minX, 120) + 34;
  height = Math.max(height, box.maxY - box.minY + 30);
}
const style =
  "text{font:7px sans-serif;fill:#222}.letter{font-weight:bold;text-anchor:middle}.cloth{fill:#f6f3ec;stroke:#111;stroke-width:1;fill-rule:evenodd}" +
  ".pile{stroke:#0b6bcb;stroke-width:1}.head{fill:#0b6bcb}.notch{stroke:#b3261e;stroke-width:1.2}";
writeFileSync(
  new URL("../pictures/thigh.svg", import.meta.url),
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${x.toFixed(0)} ${height.toFixed(0)}"><style>${style}</style><rect width="100%" height="100%" fill="#fff"/>${body}</svg>\n`,
);
