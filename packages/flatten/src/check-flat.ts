import { meshTopology, orientationXY, type TriangleMesh } from "@peltry/geometry";
import type { FlatCheck } from "./types";

/**
 * Counts what would make a panel unusable: triangles turned over or without area, and outline sides that meet.
 * With neither, and the outline counter-clockwise, the panel covers no place twice. Decided with exact predicates; shares
 * no code with the solver.
 *
 * @param mesh - the mesh, for its triangles and border
 * @param positions - x, y of each vertex in the flat
 * @param loops - border loops, when already known
 * @source degree argument: a map with positive triangles and a simple border image is one to one, see Lipman, Bijective
 * Mappings of Meshes with Boundary and the Degree in Mesh Processing, 2014
 * @remarks near n log n
 */
export function checkFlat(
  mesh: TriangleMesh,
  positions: Float64Array,
  loops: readonly (readonly number[])[] = meshTopology(mesh).loops,
): FlatCheck {
  const flippedTriangles: number[] = [];
  const { triangles } = mesh;
  for (let t = 0; t < triangles.length / 3; t++) {
    const [a, b, c] = [2 * triangles[3 * t], 2 * triangles[3 * t + 1], 2 * triangles[3 * t + 2]];
    const turn = orientationXY(
      positions[a],
      positions[a + 1],
      positions[b],
      positions[b + 1],
      positions[c],
      positions[c + 1],
    );
    if (!(turn > 0)) flippedTriangles.push(t);
  }
  const crossings = borderCrossings(positions, loops);
  return { flips: flippedTriangles.length, overlaps: crossings.length, flippedTriangles, crossings };
}

/** Pairs of border sides that meet, neighbours only when they fold back on each other. */
function borderCrossings(
  x: Float64Array,
  loops: readonly (readonly number[])[],
): (readonly [number, number, number, number])[] {
  const from: number[] = [];
  const to: number[] = [];
  for (const loop of loops) {
    loop.forEach((v, i) => {
      from.push(v);
      to.push(loop[(i + 1) % loop.length]);
    });
  }
  const count = from.length;
  const low = new Float64Array(count);
  const high = new Float64Array(count);
  for (let s = 0; s < count; s++) {
    low[s] = Math.min(x[2 * from[s]], x[2 * to[s]]);
    high[s] = Math.max(x[2 * from[s]], x[2 * to[s]]);
  }
  const order = Uint32Array.from(from, (_, i) => i).sort((a, b) => low[a] - low[b] || a - b);
  const found: (readonly [number, number, number, number])[] = [];
  const open: number[] = [];
  for (const side of order) {
    let kept = 0;
    for (const other of open) {
      if (high[other] < low[side]) continue;
      open[kept++] = other;
      const [first, second] = other < side ? [other, side] : [side, other];
      if (sidesMeet(x, from[first], to[first], from[second], to[second])) {
        found.push([from[first], to[first], from[second], to[second]]);
      }
    }
    open.length = kept;
    open.push(side);
  }
  return found;
}

function sidesMeet(x: Float64Array, a: number, b: number, c: number, d: number): boolean {
  const ax = x[2 * a];
  const ay = x[2 * a + 1];
  const bx = x[2 * b];
  const by = x[2 * b + 1];
  const cx = x[2 * c];
  const cy = x[2 * c + 1];
  const dx = x[2 * d];
  const dy = x[2 * d + 1];
  if (Math.max(ay, by) < Math.min(cy, dy) || Math.max(cy, dy) < Math.min(ay, by)) return false;
  if (b === c || a === d || a === c || b === d) {
    // Neighbours share a point and always touch there; they overlap when they lie on one line, on the same side.
    const shared = b === c || b === d ? b : a;
    const p = shared === b ? a : b;
    const q = shared === c ? d : c;
    if (p === q) return false;
    if (orientationXY(x[2 * p], x[2 * p + 1], x[2 * shared], x[2 * shared + 1], x[2 * q], x[2 * q + 1]) !== 0)
      return false;
    const same =
      (x[2 * p] - x[2 * shared]) * (x[2 * q] - x[2 * shared]) +
      (x[2 * p + 1] - x[2 * shared + 1]) * (x[2 * q + 1] - x[2 * shared + 1]);
    return same > 0;
  }
  const abc = Math.sign(orientationXY(ax, ay, bx, by, cx, cy));
  const abd = Math.sign(orientationXY(ax, ay, bx, by, dx, dy));
  if (abc * abd > 0) return false;
  const cda = Math.sign(orientationXY(cx, cy, dx, dy, ax, ay));
  const cdb = Math.sign(orientationXY(cx, cy, dx, dy, bx, by));
  if (cda * cdb > 0) return false;
  // Neither lies on one side of the other, and their boxes meet: in y as seen above, in x as the sweep saw.
  return true;
}
