// Draws docs/public/moor-hare.png and a small one: the demo's whole costume, its leg coloured by strain, and its largest panel.
import { readFileSync, writeFileSync } from "node:fs";
import { encode } from "fast-png";
import { makeCostume, readProject } from "../../packages/peltry/src/index";
import {
  createCanvas,
  fitView,
  halve,
  paintLine,
  paintMesh,
  parseColour,
  type Projection,
} from "../../packages/peltry/src/workbook/raster";
import { wholeHare } from "./whole-hare";
import { triangleColour } from "../../packages/peltry/src/workbook/form-pictures";

const file = new URL("../examples/100-moor-hare/moor-hare.yaml", import.meta.url);
const { parts } = makeCostume(
  readProject(readFileSync(file, "utf8"), "moor-hare.yaml"),
  () => new Uint8Array(),
);
const leg = parts[0]!;
const [width, height] = [1040, 1160];
const canvas = createCanvas(3 * width, height);
const shifted =
  (project: Projection, by: number): Projection =>
  (x, y, z) => {
    const [px, py, depth] = project(x, y, z);
    return [px + by, py, depth];
  };
const { project, mmPerPixel } = fitView(
  Float64Array.from(leg.worn.flatMap(({ mesh }) => [...mesh.positions])),
  60,
  width,
  height,
  60,
);
const whole = wholeHare(parts);
const stand = fitView(
  Float64Array.from(whole.flatMap(({ mesh }) => [...mesh.positions])),
  50,
  width,
  height,
  40,
);
for (const { mesh, colour } of whole) {
  const cloth = parseColour(colour);
  paintMesh(canvas, mesh, stand.project, () => cloth);
}
for (const { lines } of whole)
  for (const line of lines) paintLine(canvas, line, stand.project, [20, 24, 28], 3, 6 / stand.mmPerPixel);
const place = shifted(project, width);
for (const panel of leg.worn) paintMesh(canvas, panel.mesh, place, (t) => triangleColour(panel, t));
for (const line of leg.seamLines) paintLine(canvas, line, place, [20, 24, 28], 5, 6 / mmPerPixel);
const largest = leg.worn.reduce((best, panel) =>
  panel.mesh.triangles.length > best.mesh.triangles.length ? panel : best,
);
const { flat } = largest;
const lifted = new Float64Array((flat.length / 2) * 3);
for (let v = 0; v < flat.length / 2; v++) lifted.set([flat[2 * v]!, flat[2 * v + 1]!, 0], 3 * v);
const view = shifted(fitView(lifted, 0, width, height, 60).project, 2 * width);
const { triangles } = largest.mesh;
paintMesh(canvas, { positions: lifted, triangles }, view, (t) => triangleColour(largest, t), false);
for (const edge of leg.pattern.panels.find((panel) => panel.id === largest.panel)!.edges) {
  paintLine(
    canvas,
    edge.points.map(([x, y]) => [x, y, 0] as const),
    view,
    [20, 24, 28],
    4,
    4,
  );
}
for (const [name, picture] of [
  ["moor-hare", halve(canvas)],
  // Half as wide: the home page of the site loads it at once.
  ["moor-hare-small", halve(halve(canvas))],
] as const) {
  writeFileSync(
    new URL(`../public/${name}.png`, import.meta.url),
    encode({ width: picture.width, height: picture.height, data: picture.rgb, channels: 3, depth: 8 }),
  );
}
