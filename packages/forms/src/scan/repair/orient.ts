import { nextHalfEdge as next, triangleArea, type EdgeTable } from "@peltry/geometry";
import { edgesOf, type WorkingMesh } from "./working-mesh";

/** Pieces of a mesh, joined through edges of exactly two triangles. */
export interface Pieces {
  readonly count: number;
  /** Piece of each triangle. */
  readonly of: Int32Array;
  readonly area: Float64Array;
  readonly triangles: Int32Array;
}

/** The pieces of a mesh, in the order of their first triangle. */
export function findPieces(mesh: WorkingMesh): Pieces {
  const { triangles, positions } = mesh;
  const { edgeOf, start, uses } = edgesOf(mesh);
  const count = triangles.length / 3;
  const of = new Int32Array(count).fill(-1);
  const area: number[] = [];
  const size: number[] = [];
  const stack = new Int32Array(count);
  for (let seed = 0; seed < count; seed++) {
    if (of[seed] >= 0) continue;
    const piece = area.length;
    let total = 0;
    let members = 0;
    of[seed] = piece;
    let top = 0;
    stack[top++] = seed;
    while (top > 0) {
      const t = stack[--top];
      members++;
      total += triangleArea({ positions, triangles }, t);
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        for (let i = start[edgeOf[h]]; i < start[edgeOf[h] + 1]; i++) {
          const u = (uses[i] / 3) | 0;
          if (of[u] >= 0) continue;
          of[u] = piece;
          stack[top++] = u;
        }
      }
    }
    area.push(total);
    size.push(members);
  }
  return { count: area.length, of, area: Float64Array.from(area), triangles: Int32Array.from(size) };
}

/** What orienting did. */
export interface OrientResult {
  readonly flipped: number;
  /** Half-edges across which no winding can be made to agree: the surface has one side only there. */
  readonly oneSided: readonly number[];
}

/**
 * Turns triangles so that neighbours agree, each piece then outward where it is closed, or the way that most of its area
 * was wound. Works on edges of exactly two triangles.
 *
 * @param outward - also turn open pieces outward, by the volume that they enclose with their openings capped
 */
export function orientTriangles(mesh: WorkingMesh, outward: boolean): OrientResult {
  const { triangles, positions } = mesh;
  const table = edgesOf(mesh);
  const count = triangles.length / 3;
  const turn = new Int8Array(count).fill(-1);
  const oneSided: number[] = [];
  let flipped = 0;
  const queue = new Int32Array(count);
  for (let seed = 0; seed < count; seed++) {
    if (turn[seed] >= 0) continue;
    let length = 0;
    queue[length++] = seed;
    turn[seed] = 0;
    let area = 0;
    let turned = 0;
    let border = false;
    for (let i = 0; i < length; i++) {
      const t = queue[i];
      const size = triangleArea({ positions, triangles }, t);
      area += size;
      if (turn[t]) turned += size;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const e = table.edgeOf[h];
        if (table.start[e + 1] - table.start[e] !== 2) {
          border = true;
          continue;
        }
        const g =
          table.uses[table.start[e]] === h ? table.uses[table.start[e] + 1] : table.uses[table.start[e]];
        const u = (g / 3) | 0;
        const agree = triangles[g] !== triangles[h] ? 1 : 0;
        const wanted = agree ? turn[t] : 1 - turn[t];
        if (turn[u] < 0) {
          turn[u] = wanted;
          queue[length++] = u;
        } else if (turn[u] !== wanted && h < g) oneSided.push(h);
      }
    }
    const members = queue.subarray(0, length);
    let whole = turned > 0.5 * area ? 1 : 0;
    if (!border || outward) {
      const volume = cappedVolume(mesh, table, members, turn);
      if (volume !== 0) whole = volume < 0 ? 1 : 0;
    }
    for (const t of members) {
      turn[t] ^= whole;
      if (turn[t]) flipped++;
    }
  }
  if (flipped > 0) {
    const wound = triangles.slice();
    for (let t = 0; t < count; t++) {
      if (turn[t] !== 1) continue;
      wound[3 * t + 1] = triangles[3 * t + 2];
      wound[3 * t + 2] = triangles[3 * t + 1];
    }
    mesh.triangles = wound;
  }
  return { flipped, oneSided };
}

/**
 * Six times the volume that a piece encloses, its openings capped by fans to the middle of each border edge set.
 *
 * @source divergence theorem; a cap to any point closes a loop, and its middle keeps the cap inside the opening
 */
function cappedVolume(mesh: WorkingMesh, table: EdgeTable, members: Int32Array, turn: Int8Array): number {
  const { triangles, positions: p } = mesh;
  const origin = 3 * triangles[3 * members[0]];
  const det = (a: number, b: number, x: number, y: number, z: number): number => {
    const ax = p[3 * a] - p[origin];
    const ay = p[3 * a + 1] - p[origin + 1];
    const az = p[3 * a + 2] - p[origin + 2];
    const bx = p[3 * b] - p[origin];
    const by = p[3 * b + 1] - p[origin + 1];
    const bz = p[3 * b + 2] - p[origin + 2];
    return ax * (by * z - bz * y) + ay * (bz * x - bx * z) + az * (bx * y - by * x);
  };
  let sum = 0;
  const border: [number, number][] = [];
  for (const t of members) {
    const a = triangles[3 * t];
    const b = triangles[3 * t + (turn[t] ? 2 : 1)];
    const c = triangles[3 * t + (turn[t] ? 1 : 2)];
    sum += det(a, b, p[3 * c] - p[origin], p[3 * c + 1] - p[origin + 1], p[3 * c + 2] - p[origin + 2]);
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const e = table.edgeOf[h];
      if (table.start[e + 1] - table.start[e] === 2) continue;
      border.push(turn[t] ? [triangles[h], triangles[next(h)]] : [triangles[next(h)], triangles[h]]);
    }
  }
  for (const loop of chainLoops(border)) {
    const middle = [0, 0, 0];
    for (const v of loop)
      for (let k = 0; k < 3; k++) middle[k] += (p[3 * v + k] - p[origin + k]) / loop.length;
    for (let i = 0; i < loop.length; i++)
      sum += det(loop[i], loop[(i + 1) % loop.length], middle[0], middle[1], middle[2]);
  }
  return sum;
}

/** Joins directed border edges into loops; an edge set that does not close gives open runs, which is good enough for a cap. */
function chainLoops(edges: readonly (readonly [number, number])[]): number[][] {
  const after = new Map<number, number[]>();
  for (const [a, b] of edges) {
    const list = after.get(a);
    if (list) list.push(b);
    else after.set(a, [b]);
  }
  const loops: number[][] = [];
  for (const [a] of edges) {
    let list = after.get(a);
    if (!list || list.length === 0) continue;
    const loop: number[] = [];
    let v = a;
    while (list && list.length > 0) {
      loop.push(v);
      v = list.pop()!;
      list = after.get(v);
    }
    loops.push(loop);
  }
  return loops;
}
