import { splitByLevel, type Point3, type TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { shown } from "../parts/number";
import { needMesh } from "./check-mesh";

/** What is left of a mesh on one side of a plane. */
export interface ClippedMesh {
  readonly mesh: TriangleMesh;
  /** r, g, b of each vertex, between those of the ends of the edge that was cut. */
  readonly colors?: Uint8Array;
  /** Triangle of the input for each triangle. */
  readonly sourceTriangle: Uint32Array;
}

/**
 * Cuts a mesh at a plane and keeps the side that the normal points to. The cut is a run of mesh edges.
 *
 * @param plane - a point on it and its normal (any length)
 * @throws `forms/bad-call` when the mesh is none or the normal has no direction
 * @remarks Linear. Edges are never cut nearer than 6 % to an end, so that the rim may lie that much off the plane.
 */
export function clipMesh(
  mesh: TriangleMesh,
  plane: { readonly point: Point3; readonly normal: Point3 },
  colors?: Uint8Array,
): ClippedMesh {
  needMesh(mesh);
  const isPoint = (given: unknown): boolean =>
    Array.isArray(given) && given.length === 3 && given.every(Number.isFinite);
  const size = isPoint(plane?.normal) ? Math.hypot(...plane.normal) : 0;
  if (!(size > 0) || !isPoint(plane.point) || !Number.isFinite(size)) {
    fail(
      "forms/bad-call",
      "The plane has no direction.",
      {},
      { found: shown(plane?.normal), fix: "Pass a point and a normal of finite numbers." },
    );
  }
  const count = mesh.positions.length / 3;
  const height = Float64Array.from({ length: count }, (_, v) => {
    let sum = 0;
    for (let k = 0; k < 3; k++)
      sum += ((mesh.positions[3 * v + k] - plane.point[k]) * plane.normal[k]) / size;
    return sum;
  });
  const split = splitByLevel(mesh, height, 0);
  const place = new Int32Array(split.from.length).fill(-1);
  const kept: number[] = [];
  const source: number[] = [];
  const corners: number[] = [];
  split.label.forEach((label, t) => {
    if (label !== 1) return;
    source.push(split.sourceTriangle[t]);
    for (let k = 0; k < 3; k++) {
      const v = split.mesh.triangles[3 * t + k];
      if (place[v] < 0) place[v] = kept.push(v) - 1;
      corners.push(place[v]);
    }
  });
  const positions = new Float64Array(3 * kept.length);
  const rgb = colors ? new Uint8Array(3 * kept.length) : undefined;
  kept.forEach((v, i) => {
    const [a, b, f] = [3 * split.from[v], 3 * split.to[v], split.fraction[v]];
    for (let k = 0; k < 3; k++) {
      positions[3 * i + k] = split.mesh.positions[3 * v + k];
      if (rgb) rgb[3 * i + k] = Math.round(colors![a + k] * (1 - f) + colors![b + k] * f);
    }
  });
  return {
    mesh: { positions, triangles: Uint32Array.from(corners) },
    ...(rgb ? { colors: rgb } : {}),
    sourceTriangle: Uint32Array.from(source),
  };
}
