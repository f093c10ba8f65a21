import { polylineLength, type Point, type Point3 } from "@peltry/geometry";
import type { Panel } from "@peltry/pattern";
import { plainPanel } from "./made-part";
import type { WornPiece } from "./worn-piece";

/** Sizes that shell, windows and nose hang on, mm. */
export interface MaskShape {
  readonly height: number;
  /** Half the width of the flat front, which is half the breadth of the nose; radius of the bend beside it. */
  readonly flat: number;
  readonly radius: number;
  /** From the middle to a side edge over the face. */
  readonly half: number;
  readonly eyeSide: number;
  readonly eyeHeight: number;
  readonly relief: number;
  /** Middle of a window from the middle of the shell, over the face; its width and height. */
  readonly windowAt: number;
  readonly windowWidth: number;
  readonly windowHeight: number;
  /** Top of the nose over the lower edge, and its stand-out at that edge. */
  readonly bridge: number;
  readonly noseOut: number;
}

/** Half the breadth of a head and from its middle to the brow as shares of its girth; shell off the face and eyes under a headband, mm. From memory. */
export const MASK_HEAD = Object.freeze({
  halfBreadthOfGirth: 0.136,
  frontOfGirth: 0.171,
  standOff: 6,
  eyesUnderBand: 5,
});

/** A place of the flat shell on the face: straight ahead over the nose, then round a cylinder. */
export function maskPoint({ flat, radius }: MaskShape, x: number, y: number): Point3 {
  const past = Math.abs(x) - flat;
  if (past <= 0) return [x, y, 0];
  const turn = past / radius;
  return [Math.sign(x) * (flat + radius * Math.sin(turn)), y, -radius * (1 - Math.cos(turn))];
}

/**
 * The nose: two triangles that share the ridge, laid flat. Tip at the origin, bridge above it.
 *
 * @source Pythagoras: the corner beside the nose lies out² / ridge along the ridge
 */
export function nosePanel({ flat, bridge, noseOut }: MaskShape, fabric: string): Panel {
  const ridge = Math.hypot(bridge, noseOut);
  const along = (noseOut * noseOut) / ridge;
  const aside = Math.sqrt(flat * flat + noseOut * noseOut - along * along);
  const [tip, top]: Point[] = [
    [0, 0],
    [0, ridge],
  ];
  const [left, right]: Point[] = [
    [aside, along],
    [-aside, along],
  ];
  return plainPanel({
    id: "nose",
    name: "Nose",
    fabric,
    edges: [
      { id: "foot-left", name: "lower edge", role: "raw", points: [tip, left] },
      { id: "bridge-left", role: "raw", points: [left, top] },
      { id: "bridge-right", role: "raw", points: [top, right] },
      { id: "foot-right", name: "lower edge", role: "raw", points: [right, tip] },
    ],
    markings: [{ id: "ridge", kind: "line", points: [tip, top], label: "ridge" }],
    pile: -90,
  });
}

export function wornNose({ flat, bridge, noseOut }: MaskShape, nose: Panel): WornPiece {
  return {
    panel: nose.id,
    mesh: {
      positions: Float64Array.from([0, 0, noseOut, flat, 0, 0, 0, bridge, 0, -flat, 0, 0]),
      triangles: Uint32Array.from([0, 1, 2, 0, 2, 3]),
    },
    flat: Float64Array.from(nose.edges.flatMap((edge) => edge.points[0])),
  };
}

/** Left half of the shell on the face: rings from its outline in to the window. */
export function wornShell(shape: MaskShape, outline: readonly Point[]): WornPiece {
  const { flat, windowAt, eyeHeight, windowWidth, windowHeight } = shape;
  const rings = 10;
  const fine = outline.flatMap((from, k): Point[] => {
    const to = outline[(k + 1) % outline.length];
    // An edge along the top or the foot gets a point where the bend begins.
    const bends = (from[0] - flat) * (to[0] - flat) < 0;
    const at = (flat - from[0]) / (to[0] - from[0]);
    const middle: Point = [flat, from[1] + (to[1] - from[1]) * at];
    return bends ? [...between(from, middle), ...between(middle, to)] : between(from, to);
  });
  const count = fine.length;
  const points: Point[] = [];
  for (let ring = 0; ring <= rings; ring++)
    for (const [x, y] of fine) {
      const way = Math.hypot((x - windowAt) / (windowWidth / 2), (y - eyeHeight) / (windowHeight / 2));
      const share = ring / rings + (1 - ring / rings) / way;
      points.push([windowAt + (x - windowAt) * share, eyeHeight + (y - eyeHeight) * share]);
    }
  const triangles: number[] = [];
  for (let ring = 0; ring < rings; ring++)
    for (let i = 0; i < count; i++) {
      const [a, b] = [ring * count + i, ring * count + ((i + 1) % count)];
      triangles.push(a, a + count, b + count, a, b + count, b);
    }
  return {
    panel: "shell-left",
    mesh: {
      positions: Float64Array.from(points.flatMap(([x, y]) => maskPoint(shape, x, y))),
      triangles: Uint32Array.from(triangles),
    },
    flat: Float64Array.from(points.flat()),
  };
}

/** The other half: mirrored in the middle plane, with its panel. */
export function mirrorWorn({ mesh, flat }: WornPiece, panel: string): WornPiece {
  return {
    panel,
    mesh: {
      positions: mesh.positions.map((value, k) => (k % 3 === 0 ? -value : value)),
      triangles: mesh.triangles.map((_, k, all) => all[k % 3 === 0 ? k : k % 3 === 1 ? k + 1 : k - 1]),
    },
    flat: flat.map((value, k) => (k % 2 === 0 ? -value : value)),
  };
}

/** From one corner up to the next, 4 mm apart at most. */
function between(from: Point, to: Point): Point[] {
  const steps = Math.max(2, Math.ceil(polylineLength([from, to]) / 4));
  return Array.from({ length: steps }, (_, i): Point => [
    from[0] + ((to[0] - from[0]) * i) / steps,
    from[1] + ((to[1] - from[1]) * i) / steps,
  ]);
}
