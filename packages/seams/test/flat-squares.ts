import type { TriangleMesh } from "@peltry/geometry";

/** A flat grid of squares, each of two triangles; vertex (i, j) has index (across + 1) j + i. */
export function squares(across: number, up: number, size: number): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  const row = across + 1;
  for (let j = 0; j <= up; j++) for (let i = 0; i <= across; i++) positions.push(size * i, size * j, 0);
  for (let j = 0; j < up; j++) {
    for (let i = 0; i < across; i++) {
      const a = row * j + i;
      triangles.push(a, a + 1, a + row + 1, a, a + row + 1, a + row);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}
