import type { TriangleMesh } from "@peltry/geometry";

/** Lowest height of a triangle against its longest side; flatter ones are given this height, so that nothing divides by zero. */
const FLATTEST = 1e-6;

/**
 * Every triangle laid flat on its own, corner 0 at the origin and corner 1 on +x.
 * `frames` holds four numbers a triangle: 1/x₁, −x₂/(x₁y₂), 1/y₂ and the area.
 */
export interface RestShape {
  readonly frames: Float64Array;
  readonly area: number;
  /** Triangles whose height had to be raised. */
  readonly mended: readonly number[];
}

/** Rest shape of a mesh. Linear. */
export function restShape(mesh: TriangleMesh): RestShape {
  const { positions: p, triangles } = mesh;
  const count = triangles.length / 3;
  const frames = new Float64Array(4 * count);
  const mended: number[] = [];
  let area = 0;
  const smallest = 1e-9 * Math.sqrt(boxDiagonalSquare(p)) || 1;
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
    const wx = vx - ux;
    const wy = vy - uy;
    const wz = vz - uz;
    const longest = Math.max(
      Math.sqrt(ux * ux + uy * uy + uz * uz),
      Math.sqrt(vx * vx + vy * vy + vz * vz),
      Math.sqrt(wx * wx + wy * wy + wz * wz),
      smallest,
    );
    let x1 = Math.sqrt(ux * ux + uy * uy + uz * uz);
    let x2 = x1 > 0 ? (ux * vx + uy * vy + uz * vz) / x1 : 0;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    let y2 = x1 > 0 ? Math.sqrt(nx * nx + ny * ny + nz * nz) / x1 : 0;
    if (x1 < FLATTEST * longest) {
      // Corners 0 and 1 coincide: a needle, given a short base.
      x1 = FLATTEST * longest;
      x2 = 0;
      y2 = longest;
      mended.push(t);
    } else if (y2 * x1 < FLATTEST * longest * longest) {
      y2 = (FLATTEST * longest * longest) / x1;
      mended.push(t);
    }
    frames[4 * t] = 1 / x1;
    frames[4 * t + 1] = -x2 / (x1 * y2);
    frames[4 * t + 2] = 1 / y2;
    frames[4 * t + 3] = 0.5 * x1 * y2;
    area += 0.5 * x1 * y2;
  }
  return { frames, area, mended };
}

function boxDiagonalSquare(p: Float64Array): number {
  let sum = 0;
  for (let axis = 0; axis < 3; axis++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = axis; i < p.length; i += 3) {
      if (p[i] < low) low = p[i];
      if (p[i] > high) high = p[i];
    }
    sum += (high - low) ** 2;
  }
  return sum;
}
