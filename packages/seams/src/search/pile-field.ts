import type { Point3, TriangleMesh } from "@peltry/geometry";

/**
 * Pile direction of each triangle as a unit vector in its plane.
 *
 * @param pile - one direction for all, or x, y, z for each triangle
 */
export function projectPile(mesh: TriangleMesh, pile: Point3 | ArrayLike<number>): Float64Array {
  const { positions: p, triangles } = mesh;
  const count = triangles.length / 3;
  const single = pile.length === 3 && count !== 1;
  const out = new Float64Array(3 * count);
  for (let t = 0; t < count; t++) {
    const a = 3 * triangles[3 * t];
    const b = 3 * triangles[3 * t + 1];
    const c = 3 * triangles[3 * t + 2];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    let nx = uy * vz - uz * vy;
    let ny = uz * vx - ux * vz;
    let nz = ux * vy - uy * vx;
    const size = Math.hypot(nx, ny, nz) || 1;
    nx /= size;
    ny /= size;
    nz /= size;
    const o = single ? 0 : 3 * t;
    const along = pile[o] * nx + pile[o + 1] * ny + pile[o + 2] * nz;
    // Its part in the plane, not made to unit length: where the pile points off the surface it has little say.
    out[3 * t] = pile[o] - along * nx;
    out[3 * t + 1] = pile[o + 1] - along * ny;
    out[3 * t + 2] = pile[o + 2] - along * nz;
  }
  return out;
}
