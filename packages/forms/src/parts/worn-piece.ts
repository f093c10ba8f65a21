import type { Point, Point3, TriangleMesh } from "@peltry/geometry";
import { add, sweepPoint, type Sweep } from "./sweep";

/** A panel as it lies on the finished part: a mesh in space and the place of each of its vertices in the flat. */
export interface WornPiece {
  /** Id of its panel; absent where no panel covers the surface, such as one wound with yarn. */
  readonly panel?: string;
  /** mm, triangles facing out. */
  readonly mesh: TriangleMesh;
  /** x and y of each vertex on the panel, mm. */
  readonly flat: Float64Array;
}

/** Part of a sweep that one panel covers. */
export interface SweepCover {
  readonly panel?: string;
  /** Rows of the sweep from base to tip. */
  readonly rows: readonly number[];
  /** Angles round the section from the panel's left edge to its right, radians, increasing. */
  readonly span: readonly [number, number];
  readonly columns: number;
  /** Place on the panel: row by its position in `rows`, share of the way from left to right. */
  readonly flatAt: (row: number, share: number) => Point;
}

/** A panel laid round a sweep. A last row without girth closes in one vertex. */
export function coverSweep(sweep: Sweep, cover: SweepCover): WornPiece {
  const { rows, columns, span } = cover;
  const pointed = sweep.radii[rows[rows.length - 1]] < 1e-9;
  const rings = pointed ? rows.length - 1 : rows.length;
  const wide = columns + 1;
  const count = rings * wide + (pointed ? 1 : 0);
  const positions = new Float64Array(3 * count);
  const flat = new Float64Array(2 * count);
  for (let r = 0; r < rings; r++)
    for (let c = 0; c <= columns; c++) {
      const share = c / columns;
      const v = r * wide + c;
      positions.set(sweepPoint(sweep, rows[r], span[0] + (span[1] - span[0]) * share), 3 * v);
      flat.set(cover.flatAt(r, share), 2 * v);
    }
  if (pointed) {
    positions.set(sweep.middles[rows[rings]], 3 * rings * wide);
    flat.set(cover.flatAt(rings, 0.5), 2 * rings * wide);
  }
  const triangles: number[] = [];
  for (let c = 0; c < columns; c++) {
    for (let r = 0; r + 1 < rings; r++) {
      const a = r * wide + c;
      triangles.push(a, a + 1, a + 1 + wide, a, a + 1 + wide, a + wide);
    }
    if (pointed) triangles.push((rings - 1) * wide + c, (rings - 1) * wide + c + 1, rings * wide);
  }
  return piece(cover.panel, positions, flat, triangles);
}

/** A flat place between two lines of points that keep pace with each other. */
export function between(
  left: readonly Point[],
  right: readonly Point[],
): (row: number, share: number) => Point {
  return (row, share) => [
    left[row][0] + (right[row][0] - left[row][0]) * share,
    left[row][1] + (right[row][1] - left[row][1]) * share,
  ];
}

/** A disc that closes the base of a sweep; its outline begins at an angle of the section, radians. */
export function coverBase(panel: string, sweep: Sweep, outline: readonly Point[], from: number): WornPiece {
  const { u, v } = sweep.sides[0];
  const count = outline.length;
  const radius = sweep.radii[0];
  // The outline is drawn a trace larger than the circle, so that its length is right.
  const drawn = Math.hypot(outline[0][0], outline[0][1]);
  const positions = new Float64Array(3 * (count + 1));
  const flat = new Float64Array(2 * (count + 1));
  const start = Math.atan2(outline[0][1], outline[0][0]);
  outline.forEach(([x, y], i) => {
    // Seen from outside, the section runs the other way round.
    const angle = from - (Math.atan2(y, x) - start);
    const r = (radius * Math.hypot(x, y)) / drawn;
    positions.set(add(add(sweep.middles[0], u, r * Math.cos(angle)), v, r * Math.sin(angle)), 3 * i);
    flat.set([x, y], 2 * i);
  });
  positions.set(sweep.middles[0], 3 * count);
  const triangles = outline.flatMap((_, i) => [i, (i + 1) % count, count]);
  return piece(panel, positions, flat, triangles);
}

/**
 * A flat panel put into space by a rule for its points: the outline with rings toward a middle from which all of it is
 * seen. Undefined where some of it is not.
 */
export function placeFlat(
  panel: string,
  outline: readonly Point[],
  middle: Point,
  place: (p: Point) => Point3,
  options: { readonly rings?: number; readonly open?: boolean } = {},
): WornPiece | undefined {
  const { rings = 12, open = false } = options;
  const count = outline.length;
  // An open fan has a dart between its last point and its first.
  const sides = open ? count - 1 : count;
  for (let i = 0; i < sides; i++) {
    const [p, q] = [outline[i], outline[(i + 1) % count]];
    const turn = (p[0] - middle[0]) * (q[1] - middle[1]) - (p[1] - middle[1]) * (q[0] - middle[0]);
    if (turn <= 0) return undefined;
  }
  const flatPoints: Point[] = [];
  for (let k = 1; k <= rings; k++)
    for (const [x, y] of outline) {
      const share = k / rings;
      flatPoints.push([middle[0] + (x - middle[0]) * share, middle[1] + (y - middle[1]) * share]);
    }
  const triangles: number[] = [];
  flatPoints.push(middle);
  for (let i = 0; i < sides; i++) {
    const next = (i + 1) % count;
    triangles.push(flatPoints.length - 1, i, next);
    for (let k = 0; k + 1 < rings; k++) {
      const [a, b] = [k * count + i, k * count + next];
      triangles.push(a, a + count, b + count, a, b + count, b);
    }
  }
  return piece(
    panel,
    Float64Array.from(flatPoints.flatMap(place)),
    Float64Array.from(flatPoints.flat()),
    triangles,
  );
}

function piece(
  panel: string | undefined,
  positions: Float64Array,
  flat: Float64Array,
  triangles: readonly number[],
): WornPiece {
  return {
    ...(panel === undefined ? {} : { panel }),
    mesh: { positions, triangles: Uint32Array.from(triangles) },
    flat,
  };
}
