import type { Point3 } from "@peltry/geometry";
import type { MadePart } from "../run/make-panels";
import {
  createCanvas,
  fitView,
  halve,
  paintLine,
  paintMesh,
  parseColour,
  pngUri,
  type Canvas,
  type Colour,
} from "./raster";
import { strainColour } from "./strain-colours";

const SEAM_INK: Colour = [20, 24, 28];

/** Views round the form: a name and a turn in degrees. */
export const VIEWS = [
  ["front", 0],
  ["outer side", 90],
  ["back", 180],
  ["inner side", 270],
] as const;

/** The worn form in its fabrics with the seams drawn in. */
export function clothPicture(part: MadePart, turnDeg: number, width = 300, height = 460): string {
  const colours = part.cloths.map((cloth) => parseColour(cloth.fabric.colour));
  return paint(part, turnDeg, width, height, (patch) => () => colours[patch]);
}

/** The worn form coloured by strain against what each fabric allows; the worse of along and across counts. */
export function strainPicture(part: MadePart, turnDeg: number, width = 300, height = 460): string {
  return paint(part, turnDeg, width, height, (patch) => (t) => triangleColour(part, patch, t));
}

/** A flat panel coloured by strain, and the box that the picture covers: x, y, width, height in mm, y down. */
export function flatStrainPicture(
  part: MadePart,
  patch: number,
): { uri: string; box: readonly [number, number, number, number] } {
  const flat = part.flat.panels[patch].positions;
  const mesh = part.cutting.patches[patch].mesh;
  const lifted = new Float64Array((flat.length / 2) * 3);
  for (let v = 0; v < flat.length / 2; v++) {
    lifted[3 * v] = flat[2 * v];
    lifted[3 * v + 1] = flat[2 * v + 1];
  }
  const size = 440;
  const canvas = createCanvas(2 * size, 2 * size);
  const { project, mmPerPixel } = fitView(lifted, 0, 2 * size, 2 * size);
  paintMesh(
    canvas,
    { positions: lifted, triangles: mesh.triangles },
    project,
    (t) => triangleColour(part, patch, t),
    false,
  );
  const [x0, y0] = project(0, 0, 0);
  return {
    uri: pngUri(halve(canvas)),
    box: [-x0 * mmPerPixel, -y0 * mmPerPixel, 2 * size * mmPerPixel, 2 * size * mmPerPixel],
  };
}

/** Colour of a triangle by the worse of its strains along and across, against what its cloth allows. */
export function triangleColour(part: MadePart, patch: number, t: number): Colour {
  const { strain } = part.flat.panels[patch];
  const { along, across } = part.cloths[patch].behaviour;
  const share = (value: number, max: number, min: number): number =>
    value >= 0 ? value / Math.max(max, 1e-6) : value / Math.max(-min, 1e-6);
  const a = share(strain.along[t], along.max, along.min);
  const b = share(strain.across[t], across.max, across.min);
  return strainColour(Math.abs(a) >= Math.abs(b) ? a : b, 1, -1);
}

function paint(
  part: MadePart,
  turnDeg: number,
  width: number,
  height: number,
  colourOf: (patch: number) => (t: number) => Colour,
): string {
  const canvas: Canvas = createCanvas(2 * width, 2 * height);
  const { project, mmPerPixel } = fitView(part.form.mesh.positions, turnDeg, 2 * width, 2 * height, 24);
  part.cutting.patches.forEach((patch, i) => paintMesh(canvas, patch.mesh, project, colourOf(i)));
  for (const seam of part.cutting.seams) {
    const patch = part.cutting.patches.find((each) => each.id === seam.a.patch)!;
    const p = patch.mesh.positions;
    const points = seam.a.path.map((v): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]);
    paintLine(canvas, points, project, SEAM_INK, 4, 6 / mmPerPixel);
  }
  return pngUri(halve(canvas));
}
