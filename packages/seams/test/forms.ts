import type { TriangleMesh } from "@peltry/geometry";
import { diskSurface, gridSurface } from "../../../test-fixtures/src/shapes";

/** Half cylinder of radius 90, 300 high, with a round bump of 38 mm. */
export function bump(triangles: number): TriangleMesh {
  return gridSurface(
    (u, v) => {
      const a = Math.PI * (u - 0.5);
      const y = 300 * v;
      const r = 90 + 38 * Math.exp(-((90 * a) ** 2 + (y - 150) ** 2) / (2 * 38 * 38));
      return [r * Math.sin(a), y, r * Math.cos(a)];
    },
    (Math.PI * 90) / 300,
    { triangles },
  );
}

/** A tail 500 long with a round tip, open at its base; it bends by an angle, radians. */
export function tailTube(triangles: number, bend = 0.5): TriangleMesh {
  const axis = 500 / bend;
  return diskSurface(
    (w, a) => {
      const x = 500 * w;
      const r =
        82 *
        Math.sqrt(1 - (1 - Math.min(1, x / 160)) ** 2) *
        (x > 160 ? 1 - 0.35 * ((x - 160) / 340) ** 1.5 : 1);
      const turn = (bend * (500 - x)) / 500;
      return [
        r * Math.sin(a),
        -(Math.sin(turn) * axis - Math.sin(turn) * r * Math.cos(a)),
        (1 - Math.cos(turn)) * axis + Math.cos(turn) * r * Math.cos(a),
      ];
    },
    { triangles },
  );
}

/** A padded leg 860 high with two bends as a closed tube, its inner seam, and a cost from 1 inside to 3 in front outside. */
export function legTube(triangles: number): { mesh: TriangleMesh; seam: number[]; cost: Float64Array } {
  const around = Math.max(8, Math.round(Math.sqrt((triangles / 2) * 0.62)));
  const up = Math.round(triangles / 2 / around);
  const hump = (v: number, at: number, w: number): number => Math.exp(-(((v - at) / w) ** 2));
  const axis = (v: number): number => 70 * hump(v, 0.55, 0.2) - 60 * hump(v, 0.22, 0.14);
  const radius = (v: number, a: number): number =>
    62 +
    42 * v * v +
    9 * hump(v, 0.72, 0.22) * (1 + Math.cos(a)) +
    6 * hump(v, 0.3, 0.14) * (1 - Math.cos(a));
  const positions: number[] = [];
  const corners: number[] = [];
  for (let j = 0; j <= up; j++) {
    for (let i = 0; i < around; i++) {
      const v = j / up;
      const a = (2 * Math.PI * (i + 0.5 * (j % 2))) / around;
      const slope =
        (axis(Math.min(1, v + 1e-4)) - axis(Math.max(0, v - 1e-4))) /
        (860 * (Math.min(1, v + 1e-4) - Math.max(0, v - 1e-4)));
      const size = Math.hypot(1, slope);
      const r = radius(v, a);
      positions.push(
        r * Math.sin(a),
        860 * v - (slope / size) * r * Math.cos(a),
        axis(v) + (r * Math.cos(a)) / size,
      );
    }
  }
  for (let j = 0; j < up; j++) {
    for (let i = 0; i < around; i++) {
      const a = j * around + i;
      const b = j * around + ((i + 1) % around);
      if (j % 2 === 0) corners.push(a, b, a + around, b, b + around, a + around);
      else corners.push(a, b, b + around, a, b + around, a + around);
    }
  }
  const cost = Float64Array.from({ length: corners.length / 3 }, (_, t) => {
    const a = (2 * Math.PI * (((t >> 1) % around) + 0.5)) / around;
    return 1 + 2 * Math.max(0, Math.cos(a + Math.PI / 4));
  });
  const seam = Array.from({ length: up + 1 }, (_, j) => j * around + Math.round(around / 4));
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(corners) },
    seam,
    cost,
  };
}
