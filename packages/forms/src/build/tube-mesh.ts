import type { FormCurve } from "../types";

/** A tube of rows and columns: positions, triangles outward, and its named lines. */
export interface TubeMesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly columns: number;
  readonly rows: number;
}

/** Point of the tube's surface: share of the way round, and of the way from the first row to the last. */
export type TubePoint = (share: number, along: number) => readonly [number, number, number];

/** Lays a tube out; rows run from the top down, so that triangles face outward. */
export function meshTube(point: TubePoint, columns: number, alongs: readonly number[]): TubeMesh {
  const positions = new Float64Array(3 * columns * alongs.length);
  alongs.forEach((along, r) => {
    for (let c = 0; c < columns; c++) positions.set(point(c / columns, along), 3 * (r * columns + c));
  });
  const triangles = new Uint32Array(6 * columns * (alongs.length - 1));
  const gap = (a: number, b: number): number =>
    (positions[3 * a] - positions[3 * b]) ** 2 +
    (positions[3 * a + 1] - positions[3 * b + 1]) ** 2 +
    (positions[3 * a + 2] - positions[3 * b + 2]) ** 2;
  let k = 0;
  for (let r = 0; r + 1 < alongs.length; r++) {
    for (let c = 0; c < columns; c++) {
      const next = (c + 1) % columns;
      const [a, b] = [r * columns + c, r * columns + next];
      const [d, e] = [a + columns, b + columns];
      triangles.set(gap(a, e) <= gap(b, d) * (1 + 1e-9) ? [a, e, b, a, d, e] : [a, d, b, b, d, e], k);
      k += 6;
    }
  }
  return { positions, triangles, columns, rows: alongs.length };
}

/** The four long lines and both rims of a tube. */
export function tubeCurves(
  tube: TubeMesh,
  lines: readonly {
    readonly id: string;
    readonly name: string;
    readonly column: number;
    readonly seam: boolean;
  }[],
  rims: readonly [
    top: { readonly id: string; readonly name: string },
    bottom: { readonly id: string; readonly name: string },
  ],
): FormCurve[] {
  const ring = (row: number): number[] =>
    Array.from({ length: tube.columns }, (_, c) => row * tube.columns + c);
  return [
    ...lines.map(({ id, name, column, seam }): FormCurve => ({
      id,
      name,
      kind: seam ? "drawn" : "level",
      path: Array.from({ length: tube.rows }, (_, r) => r * tube.columns + column),
      closed: false,
    })),
    { ...rims[0], kind: "rim", path: ring(0), closed: true },
    { ...rims[1], kind: "rim", path: ring(tube.rows - 1), closed: true },
  ];
}
