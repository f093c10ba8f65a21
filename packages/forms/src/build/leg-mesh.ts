import type { TriangleMesh } from "@peltry/geometry";
import { bump } from "./bump";
import type { LegSurface } from "./leg-surface";
import { hermite } from "./surface";

/** The surface cut into rows and columns. */
export interface LegGrid {
  readonly mesh: TriangleMesh;
  readonly inner: Float64Array;
  /** Share of the way round and height of each vertex. */
  readonly share: Float64Array;
  readonly height: Float64Array;
  /** Columns; a multiple of four. */
  readonly columns: number;
  /** First vertex of each row, and how many it has: `columns` where closed, one more where open. */
  readonly rows: readonly { readonly first: number; readonly count: number; readonly height: number }[];
  /** Row of the crotch, or the last row of a tube. */
  readonly crotchRow: number;
}

/** A row of vertices: heights at the outer side and at both ends, and how steeply the ends leave. */
interface Row {
  readonly outer: number;
  readonly front: number;
  readonly back: number;
  readonly dipFront: number;
  readonly dipBack: number;
  readonly open: boolean;
}

/** Rows and columns for about the wanted number of triangles, cells near square. */
export function gridLeg(surface: LegSurface, triangles: number, marks: readonly number[]): LegGrid {
  const top = surface.withHip ? surface.crotch : surface.high;
  const legStops = [
    ...new Set([surface.low, ...marks.filter((mark) => mark > surface.low + 4 && mark < top - 4), top]),
  ].sort((a, b) => a - b);
  const scale = createScale(surface, surface.low, top);
  const rise = surface.withHip ? createRise(surface) : undefined;
  const legCells = scale(top);
  const hipCells = rise ? rise.length / scale.girth(top) : 0;
  const columns = Math.max(16, 4 * Math.round(Math.sqrt(triangles / (2 * (legCells + hipCells))) / 4));

  const heights: number[] = [surface.low];
  for (let i = 1; i < legStops.length; i++) {
    const [a, b] = [scale(legStops[i - 1]), scale(legStops[i])];
    const count = Math.max(1, Math.round((b - a) * columns));
    for (let k = 1; k < count; k++) heights.push(scale.inverse(a + ((b - a) * k) / count));
    heights.push(legStops[i]);
  }
  const half = scale.girth(top) / 2;
  const dipReach = Math.min(260, 0.75 * (top - surface.low));
  const rows: Row[] = heights.map((height) => {
    const u = (top - height) / dipReach;
    const dip = rise ? half * bump(u) : 0;
    return { outer: height, front: height, back: height, dipFront: dip, dipBack: dip, open: false };
  });
  const crotchRow = rows.length - 1;
  if (rise) {
    const count = Math.max(4, Math.round(hipCells * columns));
    for (let k = 1; k <= count; k++) {
      const v = k / count;
      const [front, dipFront] = rise.front(v);
      const [back, dipBack] = rise.back(v);
      rows.push({
        outer: surface.crotch + v * (surface.high - surface.crotch),
        front,
        back,
        dipFront: half * dipFront * (1 - v),
        dipBack: half * dipBack * (1 - v),
        open: true,
      });
    }
  }
  return fillGrid(surface, rows, columns, crotchRow);
}

/** Cells of unit aspect from the low end: ∫ meridian length / girth. */
function createScale(
  surface: LegSurface,
  low: number,
  high: number,
): ((height: number) => number) & { inverse: (cells: number) => number; girth: (height: number) => number } {
  const steps = 160;
  const around = 32;
  const cells = new Float64Array(steps + 1);
  const girths = new Float64Array(steps + 1);
  const step = (high - low) / steps;
  let last: [number, number][] = [];
  for (let i = 0; i <= steps; i++) {
    const ring: [number, number][] = [];
    for (let k = 0; k <= around; k++) ring.push(surface.outer(k / around, low + i * step));
    let girth = 0;
    for (let k = 1; k <= around; k++)
      girth += Math.hypot(ring[k][0] - ring[k - 1][0], ring[k][1] - ring[k - 1][1]);
    girths[i] = girth;
    if (i > 0) {
      let meridian = 0;
      for (let k = 0; k < around; k++) {
        meridian += Math.hypot(ring[k][0] - last[k][0], ring[k][1] - last[k][1], step) / around;
      }
      cells[i] = cells[i - 1] + (2 * meridian) / (girths[i] + girths[i - 1]);
    }
    last = ring;
  }
  const at = (table: Float64Array, height: number): number => {
    const s = Math.min(steps, Math.max(0, (height - low) / step));
    const i = Math.min(steps - 1, Math.floor(s));
    return table[i] + (s - i) * (table[i + 1] - table[i]);
  };
  return Object.assign((height: number) => at(cells, height), {
    girth: (height: number) => at(girths, height),
    inverse: (value: number) => {
      let i = 0;
      while (i < steps - 1 && cells[i + 1] < value) i++;
      return low + step * (i + (value - cells[i]) / (cells[i + 1] - cells[i] || 1));
    },
  });
}

/** The line where the hip meets the plane of symmetry, in front and behind, by share of its length. */
function createRise(surface: LegSurface): {
  readonly length: number;
  readonly front: (v: number) => [height: number, dip: number];
  readonly back: (v: number) => [height: number, dip: number];
} {
  const steps = 200;
  const span = surface.high - surface.crotch;
  const line = (end: 0 | 1): { length: number; at: (v: number) => [number, number] } => {
    const height = new Float64Array(steps + 1);
    const depth = new Float64Array(steps + 1);
    const arc = new Float64Array(steps + 1);
    for (let i = 0; i <= steps; i++) {
      height[i] = surface.crotch + span * (i / steps) ** 2;
      depth[i] = surface.outer(surface.openShares(height[i])[end], height[i])[1];
      if (i > 0) arc[i] = arc[i - 1] + Math.hypot(height[i] - height[i - 1], depth[i] - depth[i - 1]);
    }
    return {
      length: arc[steps],
      at: (v) => {
        const wanted = v * arc[steps];
        let i = 1;
        while (i < steps && arc[i] < wanted) i++;
        const t = (wanted - arc[i - 1]) / (arc[i] - arc[i - 1] || 1);
        const along = Math.hypot(height[i] - height[i - 1], depth[i] - depth[i - 1]) || 1;
        return [height[i - 1] + t * (height[i] - height[i - 1]), Math.abs(depth[i] - depth[i - 1]) / along];
      },
    };
  };
  const front = line(0);
  const back = line(1);
  return { length: (front.length + back.length + 2 * span) / 4, front: front.at, back: back.at };
}

function fillGrid(surface: LegSurface, rows: readonly Row[], columns: number, crotchRow: number): LegGrid {
  const starts: { first: number; count: number; height: number }[] = [];
  let total = 0;
  for (const row of rows) {
    const count = row.open ? columns + 1 : columns;
    starts.push({ first: total, count, height: row.outer });
    total += count;
  }
  const positions = new Float64Array(3 * total);
  const inner = new Float64Array(3 * total);
  const share = new Float64Array(total);
  const height = new Float64Array(total);
  rows.forEach((row, r) => {
    const ends = row.open ? [surface.openShares(row.front)[0], surface.openShares(row.back)[1]] : [0, 1];
    for (let c = 0; c < starts[r].count; c++) {
      const v = starts[r].first + c;
      const front = c <= columns / 2;
      const t = front ? (2 * c) / columns : 2 - (2 * c) / columns;
      const end = ends[front ? 0 : 1];
      share[v] = end + t * (0.5 - end);
      height[v] = Math.min(
        surface.high,
        Math.max(
          surface.low,
          hermite(front ? row.front : row.back, -(front ? row.dipFront : row.dipBack), row.outer, 0, t),
        ),
      );
      placeVertex(surface, v, share[v], height[v], positions, inner);
      // Ends of open rows lie in the plane of symmetry exactly.
      if (row.open && (c === 0 || c === columns)) positions[3 * v] = inner[3 * v] = 0;
    }
    if (!row.open && row.dipFront === 0) trueGirth(surface, starts[r], row.outer, positions, inner);
  });
  return {
    mesh: { positions, triangles: joinRows(starts, columns, positions) },
    inner,
    share,
    height,
    columns,
    rows: starts,
    crotchRow,
  };
}

/** Puts a vertex on the surface and its partner on the body. */
export function placeVertex(
  surface: LegSurface,
  v: number,
  share: number,
  height: number,
  positions: Float64Array,
  inner: Float64Array,
): void {
  const [x, z] = surface.outer(share, height);
  const [bx, bz] = surface.inner(share, height);
  positions[3 * v] = x;
  positions[3 * v + 1] = height;
  positions[3 * v + 2] = z;
  inner[3 * v] = bx;
  inner[3 * v + 1] = height;
  inner[3 * v + 2] = bz;
}

/** Chords cut corners: a level ring is grown about its middle until its chords are as long as the curve. */
function trueGirth(
  surface: LegSurface,
  row: { readonly first: number; readonly count: number },
  height: number,
  positions: Float64Array,
  inner: Float64Array,
): void {
  for (const [where, curve] of [
    [positions, surface.outerRun(height)],
    [inner, surface.innerRun(height)],
  ] as const) {
    let [chords, cx, cz] = [0, 0, 0];
    for (let c = 0; c < row.count; c++) {
      const a = 3 * (row.first + c);
      const b = 3 * (row.first + ((c + 1) % row.count));
      chords += Math.hypot(where[a] - where[b], where[a + 2] - where[b + 2]);
      cx += where[a] / row.count;
      cz += where[a + 2] / row.count;
    }
    for (let c = 0; c < row.count; c++) {
      const a = 3 * (row.first + c);
      where[a] = cx + (where[a] - cx) * (curve / chords);
      where[a + 2] = cz + (where[a + 2] - cz) * (curve / chords);
    }
  }
}

/** Two triangles a cell, split along the shorter diagonal; counter-clockwise from outside. */
function joinRows(
  rows: readonly { readonly first: number; readonly count: number }[],
  columns: number,
  positions: Float64Array,
): Uint32Array {
  const triangles = new Uint32Array(6 * columns * (rows.length - 1));
  let k = 0;
  const vertex = (row: { first: number; count: number }, c: number): number => row.first + (c % row.count);
  const gap = (a: number, b: number): number =>
    (positions[3 * a] - positions[3 * b]) ** 2 +
    (positions[3 * a + 1] - positions[3 * b + 1]) ** 2 +
    (positions[3 * a + 2] - positions[3 * b + 2]) ** 2;
  for (let r = 0; r + 1 < rows.length; r++) {
    for (let c = 0; c < columns; c++) {
      const a = vertex(rows[r], c);
      const b = vertex(rows[r], c + 1);
      const d = vertex(rows[r + 1], c);
      const e = vertex(rows[r + 1], c + 1);
      const cell = gap(a, e) <= gap(b, d) * (1 + 1e-9) ? [a, b, e, a, e, d] : [a, b, d, b, e, d];
      triangles.set(cell, k);
      k += 6;
    }
  }
  return triangles;
}
