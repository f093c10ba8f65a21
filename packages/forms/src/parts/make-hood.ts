import { polylineLength, type Point, type Point3 } from "@peltry/geometry";
import type { Edge, Panel } from "@peltry/pattern";
import { edgesArea, rectangleEdges } from "./flat-shapes";
import { need, plainPanel, sewTogether, totalMass, type Join, type MadePart } from "./made-part";
import { PART_DENSITIES, statedDensity, type Stated } from "./material-densities";
import { partNumber } from "./number";
import { placeFlat, type WornPiece } from "./worn-piece";

/** Measures of the head and how the hood stands off from it. */
export interface HoodOptions {
  readonly name?: string | undefined;
  /** Head girth with hair flat, and wig thickness under the hood, mm. */
  readonly headGirth: number;
  readonly wigThickness?: number | undefined;
  /** Neck edge to crown, face edge to back, and across the top, mm; 0.56, 0.42 and 0.3 of the girth over the wig by default. */
  readonly height?: number | undefined;
  readonly depth?: number | undefined;
  readonly width?: number | undefined;
  /** Length of the face edge, mm: how far the hood comes down beside the face; 0.72 of the height by default. */
  readonly faceHeight?: number | undefined;
  readonly fabric?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
}

/** A hood with its figures. */
export interface MadeHood extends MadePart {
  /** From the face edge over the crown to the neck, mm: how long the middle strip is. */
  readonly crownLength: number;
  /** Round the face opening, mm; and round the neck edge, open in front. */
  readonly faceOpening: number;
  readonly neckEdge: number;
  /** Centre of mass from the middle of the head at the level of a headband, mm (y up, z forward). */
  readonly centreOnHead: Point3;
}

/** A headband lies about this far under the crown, mm. From memory. */
const BAND_UNDER_CROWN = 110;

/**
 * A hood of three panels: two flat sides and a strip that runs from the face over the crown to the neck. It unrolls
 * without strain. Frame: back of the neck edge at the origin, y up, z forward, x to the wearer's left.
 *
 * @throws forms/bad-part
 * @source girth over a wig: L + 2 π d (Steiner); the default proportions are judgements
 * @remarks It leaves face and ear canals clear only where face edge and ears are kept open: hearing a call is part of getting out.
 */
export function makeHood(options: HoodOptions): MadeHood {
  const wig = partNumber(options.wigThickness ?? 0, "wigThickness", 0, 60);
  const girth = partNumber(options.headGirth, "headGirth", 400, 700) + 2 * Math.PI * wig;
  const height = partNumber(options.height ?? 0.56 * girth, "height", 120, 700);
  const depth = partNumber(options.depth ?? 0.42 * girth, "depth", 100, 500);
  const width = partNumber(options.width ?? 0.3 * girth, "width", 40, 400);
  const face = partNumber(options.faceHeight ?? 0.72 * height, "faceHeight", 40, 0.95 * height);
  const neckBack: Point = [0.12 * depth, 0];
  const crown = crownCurve(depth, height, face, neckBack);
  const fabric = options.fabric ?? "fur";
  const right = sidePanel(fabric, crown, neckBack, depth);
  const left: Panel = {
    ...right,
    id: "side-left",
    name: "Hood, left side",
    edges: [...right.edges]
      .map((edge) => ({ ...edge, points: edge.points.map(([x, y]): Point => [-x, y]).reverse() }))
      .reverse(),
  };
  const crownLength = polylineLength(crown);
  const strip = plainPanel({
    id: "strip",
    name: "Hood, middle strip",
    fabric,
    edges: rectangleEdges(
      width,
      crownLength,
      ["hem", "raw", "hem", "raw"],
      ["face", "left", "neck", "right"],
    ),
    pile: 90,
    notes: ["The pile of the strip runs from the face to the neck."],
  });
  const joins: Join[] = [
    { a: ["side-right", "crown"], b: ["strip", "right"], note: "From the face to the neck." },
    { a: ["side-left", "crown"], b: ["strip", "left"], note: "From the face to the neck." },
  ];
  const name = options.name ?? "hood";
  const cloth = options.fabricGsm
    ? statedDensity(options.fabricGsm, "fabricGsm", [20, 3000], "gsm")
    : PART_DENSITIES.fur;
  const side = edgesArea(right.edges);
  const needs = [need("cloth", 2 * side + width * crownLength, "mm2", cloth)];
  const centre = shellCentre(right, crown, side, width);
  return {
    name,
    worn: wornHood(right, left, crown, width),
    pattern: sewTogether(name, [right, left, strip], joins),
    needs,
    copies: 1,
    ...totalMass(needs),
    centreOfMass: centre,
    centreOnHead: [0, centre[1] - (height - BAND_UNDER_CROWN), centre[2] - depth / 2],
    crownLength,
    faceOpening: width + 2 * face,
    neckEdge: width + 2 * (depth - neckBack[0]),
    issues: [],
  };
}

/** From the top of the face edge over the crown and down to the neck: two quarters of an ellipse and a straight line. */
function crownCurve(depth: number, height: number, face: number, neckBack: Point): Point[] {
  const top = 0.52 * depth;
  const back = 0.5 * height;
  const steps = 40;
  const quarter = (of: (t: number) => Point): Point[] =>
    Array.from({ length: steps }, (_, k) => of((Math.PI / 2) * (k / steps)));
  return [
    ...quarter((t) => [top + (depth - top) * Math.cos(t), face + (height - face) * Math.sin(t)]),
    ...quarter((t) => [top - top * Math.sin(t), back + (height - back) * Math.cos(t)]),
    ...Array.from({ length: 9 }, (_, k): Point => [(neckBack[0] * k) / 8, back * (1 - k / 8)]),
  ];
}

function sidePanel(fabric: string, crown: readonly Point[], neckBack: Point, depth: number): Panel {
  const edges: Edge[] = [
    { id: "neck", role: "hem", points: [neckBack, [depth, 0]], name: "neck edge" },
    { id: "face", role: "hem", points: [[depth, 0], crown[0]], name: "face edge" },
    { id: "crown", role: "raw", points: crown, name: "crown" },
  ];
  return plainPanel({ id: "side-right", name: "Hood, right side", fabric, edges, pile: -90 });
}

/** Centre of the two sides and the strip together; flat x of a side is z. */
function shellCentre(side: Panel, crown: readonly Point[], area: number, width: number): Point3 {
  let [x, y] = [0, 0];
  for (const { points } of side.edges)
    for (let k = 1; k < points.length; k++) {
      const [p, q] = [points[k - 1], points[k]];
      const cross = p[0] * q[1] - q[0] * p[1];
      x += (cross * (p[0] + q[0])) / 6;
      y += (cross * (p[1] + q[1])) / 6;
    }
  let [length, z, up] = [0, 0, 0];
  for (let k = 1; k < crown.length; k++) {
    const [p, q] = [crown[k - 1], crown[k]];
    const step = Math.hypot(q[0] - p[0], q[1] - p[1]);
    length += step;
    z += (step * (p[0] + q[0])) / 2;
    up += (step * (p[1] + q[1])) / 2;
  }
  const whole = 2 * area + width * length;
  return [0, (2 * y + width * up) / whole, (2 * x + width * z) / whole];
}

function wornHood(right: Panel, left: Panel, crown: readonly Point[], width: number): WornPiece[] {
  const outline = (panel: Panel): Point[] => panel.edges.flatMap((edge) => edge.points.slice(0, -1));
  const middle: Point = [
    (Math.max(...crown.map((p) => p[0])) + Math.min(...crown.map((p) => p[0]))) / 2,
    Math.max(...crown.map((p) => p[1])) / 2,
  ];
  const half = width / 2;
  const sides = [
    placeFlat("side-right", outline(right), middle, ([x, y]) => [-half, y, x]),
    placeFlat("side-left", outline(left), [-middle[0], middle[1]], ([x, y]) => [half, y, -x]),
  ];
  let along = 0;
  const rows = crown.map((p, k) => {
    if (k > 0) along += Math.hypot(p[0] - crown[k - 1][0], p[1] - crown[k - 1][1]);
    return { p, along };
  });
  const strip: WornPiece = {
    panel: "strip",
    mesh: {
      positions: Float64Array.from(rows.flatMap(({ p }) => [-half, p[1], p[0], half, p[1], p[0]])),
      triangles: stripTriangles(rows.length),
    },
    flat: Float64Array.from(rows.flatMap((row) => [0, row.along, width, row.along])),
  };
  return [...sides.filter((each) => each !== undefined), strip];
}

function stripTriangles(rows: number): Uint32Array {
  return Uint32Array.from(
    Array.from({ length: rows - 1 }, (_, k) => [
      2 * k,
      2 * k + 1,
      2 * k + 3,
      2 * k,
      2 * k + 3,
      2 * k + 2,
    ]).flat(),
  );
}
