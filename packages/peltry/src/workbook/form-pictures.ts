import type { TriangleMesh } from "@peltry/geometry";
import type { MadePart, WornPanel } from "../run/made-part";
import type { Cloth } from "../run/resolve-cloth";
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
import { spotMesh } from "./spot-mesh";
import { strainColour } from "./strain-colours";

const SEAM_INK: Colour = [20, 24, 28];
/** How far a seam is lifted off its surface, mm, so that it is not hidden by it. */
const SEAM_LIFT = 6;
const UNMEASURED: Colour = [244, 241, 232];

/** Views round a part: a name and a turn in degrees, as the part is drawn. */
export function viewsOf({ part }: MadePart): readonly (readonly [name: string, turnDeg: number])[] {
  // What was scanned may face anywhere.
  if (part.kind === "scan") return [0, 90, 180, 270].map((turn) => [`turned by ${turn}°`, turn] as const);
  // The wearer's left lies at +x, and one of a pair is drawn for the left.
  const isOne = part.pair || part.kind === "leg" || part.kind === "boot-cover";
  const isRight = "side" in part && part.side === "right";
  const [atLeft, atRight] = !isOne
    ? ["left side", "right side"]
    : isRight
      ? ["inner side", "outer side"]
      : ["outer side", "inner side"];
  return [
    ["front", 0],
    [atLeft, 90],
    ["back", 180],
    [atRight, 270],
  ];
}

/** The worn form in its fabrics, spots and all, with the seams drawn in. */
export function clothPicture(
  part: MadePart,
  cloths: ReadonlyMap<string, Cloth>,
  turnDeg: number,
  width = 300,
  height = 460,
): string {
  return paint(part, turnDeg, width, height, (worn) => {
    const { mesh, clothOf } = spotMesh(worn, part.pattern, cloths);
    return { mesh, colourOf: (t) => parseColour(clothOf(t)?.fabric.colour) };
  });
}

/** The worn form coloured by strain against what each fabric allows; the worse of along and across counts. */
export function strainPicture(part: MadePart, turnDeg: number, width = 300, height = 460): string {
  return paint(part, turnDeg, width, height, (panel) => ({
    mesh: panel.mesh,
    colourOf: (t) => triangleColour(panel, t),
  }));
}

/** A flat panel coloured by strain, and the box that the picture covers: x, y, width, height in mm, y down. */
export function flatStrainPicture(panel: WornPanel): {
  uri: string;
  box: readonly [number, number, number, number];
} {
  const { flat, mesh } = panel;
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
    (t) => triangleColour(panel, t),
    false,
  );
  const [x0, y0] = project(0, 0, 0);
  return {
    uri: pngUri(halve(canvas)),
    box: [-x0 * mmPerPixel, -y0 * mmPerPixel, 2 * size * mmPerPixel, 2 * size * mmPerPixel],
  };
}

/** Colour of a triangle by the worse of its strains along and across, against what its cloth allows. */
export function triangleColour({ measured, cloth }: WornPanel, t: number): Colour {
  if (!measured || !cloth) return UNMEASURED;
  const { strain } = measured;
  const { along, across } = cloth.behaviour;
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
  shown: (panel: WornPanel) => { mesh: TriangleMesh; colourOf: (t: number) => Colour },
): string {
  const canvas: Canvas = createCanvas(2 * width, 2 * height);
  const positions = allPositions(part);
  const fit = (turn: number, least?: number) => fitView(positions, turn, 2 * width, 2 * height, 24, least);
  // One scale for all views: a foot is not larger from the front than from the side.
  const scale = Math.max(...viewsOf(part).map(([, turn]) => fit(turn).mmPerPixel));
  const { project, mmPerPixel } = fit(turnDeg, scale);
  for (const panel of part.worn) {
    const { mesh, colourOf } = shown(panel);
    paintMesh(canvas, mesh, project, colourOf);
  }
  for (const line of part.seamLines) paintLine(canvas, line, project, SEAM_INK, 4, SEAM_LIFT / mmPerPixel);
  return pngUri(halve(canvas));
}

function allPositions(part: MadePart): Float64Array {
  const whole = new Float64Array(part.worn.reduce((sum, { mesh }) => sum + mesh.positions.length, 0));
  let at = 0;
  for (const { mesh } of part.worn) {
    whole.set(mesh.positions, at);
    at += mesh.positions.length;
  }
  return whole;
}
