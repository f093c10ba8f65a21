import { nextHalfEdge as next, vertexDistance } from "@peltry/geometry";
import { edgesOf, type WorkingMesh } from "./working-mesh";

/** A closed run of border edges. */
export interface BorderLoop {
  /** Vertices with the surface on the left. */
  readonly vertices: readonly number[];
  /** mm. */
  readonly length: number;
  /** A triangle at the loop. */
  readonly triangle: number;
}

/** Border loops of a manifold, consistently wound mesh. */
export function borderLoops(mesh: WorkingMesh): BorderLoop[] {
  const { positions, triangles } = mesh;
  const vertexCount = positions.length / 3;
  const table = edgesOf(mesh);
  const leaving = new Int32Array(vertexCount).fill(-1);
  const starts: number[] = [];
  for (let h = 0; h < triangles.length; h++) {
    const e = table.edgeOf[h];
    if (table.start[e + 1] - table.start[e] !== 1) continue;
    leaving[triangles[h]] = h;
    starts.push(h);
  }
  const loops: BorderLoop[] = [];
  const seen = new Uint8Array(triangles.length);
  for (const start of starts) {
    const vertices: number[] = [];
    let length = 0;
    for (let h = start; h >= 0 && !seen[h]; h = leaving[triangles[next(h)]]) {
      seen[h] = 1;
      vertices.push(triangles[h]);
      length += vertexDistance(positions, triangles[h], triangles[next(h)]);
    }
    if (vertices.length > 2) loops.push({ vertices, length, triangle: Math.floor(start / 3) });
  }
  return loops;
}
