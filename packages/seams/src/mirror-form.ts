// A form that is its own mirror image, but whose triangles are not: the search works on one half of it and that half's image.
import {
  decimate,
  MeshRefinement,
  meshTopology,
  nextHalfEdge,
  vertexPoint,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import type { MirrorMap } from "./mirror-map";
import type { Plane } from "./mirror-plane";

/** A mesh made of a half and its image. */
export interface MirroredForm {
  readonly mesh: TriangleMesh;
  readonly regions: Int32Array;
  /** Given lines of the half and their images, as runs of vertices. */
  readonly lines: readonly (readonly number[])[];
  readonly mirror: MirrorMap;
}

/** Where the plane crosses an edge nearer to its end than this share, the end is moved into the plane: no needles arise. */
const SNAP = 0.15;

/**
 * Cuts a form at its plane of symmetry, makes one half coarser with that line, given lines and region borders kept, and joins
 * it to its image along the plane. Edges of the border that lie in the plane stay open.
 *
 * @param lines - runs of vertices; edges of them no further than `near` mm from the plane are taken as in it
 * @param triangles - about how many the whole may have
 * @returns undefined when a half and its image make no surface, as where the form only touches its plane
 */
export function mirroredForm(
  mesh: TriangleMesh,
  regions: Int32Array,
  lines: readonly (readonly number[])[],
  plane: Plane,
  triangles: number,
  near: number,
): MirroredForm | undefined {
  const half = halfOf(mesh, lines, plane, near) ?? (near > 0 ? halfOf(mesh, lines, plane, 0) : undefined);
  if (!half) return undefined;
  const coarse = decimate(half.mesh, {
    triangles: triangles / 2,
    // A run from a vertex to itself keeps that vertex.
    lines: [...half.lines, ...half.kept.map((v) => [v, v])],
    labels: half.baseTriangle.map((t) => regions[t]),
  });
  const welded = Uint8Array.from(coarse.sourceVertex, (v) => half.welded[v]);
  const source = Array.from(coarse.sourceTriangle, (t) => half.baseTriangle[t]);
  const own = half.lines.map((line) => line.map((v) => coarse.vertexOf[v]).filter((v) => v >= 0));
  const { whole, image } = withImage(coarse.mesh, welded, plane);
  const topology = meshTopology(whole);
  if (
    topology.nonManifoldEdges.length +
      topology.inconsistentEdges.length +
      topology.nonManifoldVertices.length >
    0
  )
    return undefined;
  const count = source.length;
  const isApart = (line: readonly number[]): boolean => line.some((v) => image[v] !== v);
  return {
    mesh: whole,
    regions: Int32Array.from([...source, ...source], (t) => regions[t]),
    lines: [...own, ...own.filter(isApart).map((line) => line.map((v) => image[v]))],
    mirror: {
      triangle: Int32Array.from({ length: 2 * count }, (_, t) => (t + count) % (2 * count)),
      // The image of a triangle is wound the other way: its second and third corner change places.
      corner: Uint8Array.from({ length: 6 * count }, (_, c) => (3 - (c % 3)) % 3),
      side: Float64Array.from({ length: whole.positions.length / 3 }, (_, v) =>
        image[v] === v ? 0 : plane.side(vertexPoint(whole, v)),
      ),
    },
  };
}

/** One half of a form. */
interface Half {
  readonly mesh: TriangleMesh;
  readonly baseTriangle: number[];
  readonly lines: number[][];
  /** Vertices along which it is joined to its image. */
  readonly welded: Uint8Array;
  /** Of those the ones where the border of the form begins. */
  readonly kept: number[];
}

/** The half on which the first vertex lies that is clearly beside the plane; undefined where a triangle would turn over. */
function halfOf(
  mesh: TriangleMesh,
  lines: readonly (readonly number[])[],
  plane: Plane,
  near: number,
): Half | undefined {
  const refinement = new MeshRefinement(mesh);
  lines.forEach((line, i) => refinement.markPath(line, i + 1));
  const side = sidesOf(mesh, lines, plane, near);
  const crossed: [number, number][] = [];
  const { triangles } = mesh;
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[nextHalfEdge(h)]];
    if (side[a] > 0 && side[b] < 0) crossed.push([a, b]);
    else if (side[a] < 0 && side[b] > 0 && refinement.twin[h] < 0) crossed.push([a, b]);
  }
  for (const [a, b] of crossed)
    refinement.splitEdge(refinement.edgeBetween(a, b), splitShare(refinement, a, b, side));
  const sideOf = (v: number): number => side[v] ?? 0;
  const first = triangles.find((v) => Math.abs(side[v]) > near);
  const chosen = first === undefined || side[first] > 0 ? 1 : -1;
  const { corners, twin, mark, baseTriangle } = refinement;
  const isIn = (t: number): boolean => [0, 1, 2].some((k) => chosen * sideOf(corners[3 * t + k]) > 0);
  const inside = Array.from({ length: refinement.triangleCount }, (_, t) => t).filter(isIn);
  const local = new Map<number, number>();
  const positions: number[] = [];
  const vertex = (v: number): number => {
    const known = local.get(v);
    if (known !== undefined) return known;
    const p = [0, 1, 2].map((k) => refinement.positions[3 * v + k]) as unknown as Point3;
    positions.push(...(sideOf(v) === 0 ? plane.foot(p) : p));
    local.set(v, local.size);
    return local.size - 1;
  };
  const cut = inside.flatMap((t) => [0, 1, 2].map((k) => vertex(corners[3 * t + k])));
  const out: TriangleMesh = {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(cut),
  };
  if (inside.some((t, i) => isTurned(refinement, t, out, i))) return undefined;
  const welded = new Uint8Array(local.size);
  const rim = new Uint8Array(local.size);
  const runs: [number, number][][] = lines.map(() => []);
  for (const t of inside) {
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const ends = [local.get(corners[h])!, local.get(corners[nextHalfEdge(h)])!] as const;
      const g = twin[h];
      const isOpen = g < 0;
      const isSeamed = !isOpen && !isIn(Math.floor(g / 3));
      for (const v of ends) {
        if (isOpen) rim[v] = 1;
        if (isSeamed) welded[v] = 1;
      }
      if (mark[h] > 0 && (isOpen || isSeamed || g > h)) runs[mark[h] - 1].push([...ends]);
    }
  }
  return {
    mesh: out,
    baseTriangle: inside.map((t) => baseTriangle[t]),
    lines: runs.flatMap(chained),
    welded,
    kept: Array.from(welded.keys()).filter((v) => welded[v] && rim[v]),
  };
}

/** Signed distance of each vertex from the plane; nought for those that are taken as in it. */
function sidesOf(
  mesh: TriangleMesh,
  lines: readonly (readonly number[])[],
  plane: Plane,
  near: number,
): Float64Array {
  const { triangles } = mesh;
  const side = Float64Array.from({ length: mesh.positions.length / 3 }, (_, v) =>
    plane.side(vertexPoint(mesh, v)),
  );
  for (const line of lines) {
    const along = line.slice(1).flatMap((b, i) => {
      const a = line[i];
      return Math.abs(plane.side(vertexPoint(mesh, a))) < near &&
        Math.abs(plane.side(vertexPoint(mesh, b))) < near
        ? [a, b]
        : [];
    });
    for (const v of along) side[v] = 0;
  }
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h], triangles[nextHalfEdge(h)]];
    if (!(side[a] * side[b] < 0)) continue;
    const t = side[a] / (side[a] - side[b]);
    if (t < SNAP) side[a] = 0;
    else if (t > 1 - SNAP) side[b] = 0;
  }
  return side;
}

function splitShare(refinement: MeshRefinement, a: number, b: number, side: Float64Array): number {
  const h = refinement.edgeBetween(a, b);
  const t = side[a] / (side[a] - side[b]);
  return refinement.corners[h] === a ? t : 1 - t;
}

/** Whether a triangle of the half looks the other way than it did before vertices were moved into the plane. */
function isTurned(refinement: MeshRefinement, t: number, half: TriangleMesh, own: number): boolean {
  const before = normalOf(refinement.positions, refinement.corners, t);
  const after = normalOf(half.positions, half.triangles, own);
  return before[0] * after[0] + before[1] * after[1] + before[2] * after[2] < 0;
}

function normalOf(p: ArrayLike<number>, corners: ArrayLike<number>, t: number): Point3 {
  const [a, b, c] = [corners[3 * t], corners[3 * t + 1], corners[3 * t + 2]];
  const u = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * a + k]);
  const v = [0, 1, 2].map((k) => p[3 * c + k] - p[3 * a + k]);
  return [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
}

/** Edges joined to runs of vertices as long as they go. */
function chained(edges: readonly (readonly [number, number])[]): number[][] {
  const next = new Map<number, number[]>();
  for (const [a, b] of edges) {
    next.set(a, [...(next.get(a) ?? []), b]);
    next.set(b, [...(next.get(b) ?? []), a]);
  }
  const out: number[][] = [];
  const take = (from: number): number | undefined => {
    const to = next.get(from)?.pop();
    if (to !== undefined) {
      const back = next.get(to)!;
      back.splice(back.indexOf(from), 1);
    }
    return to;
  };
  const ends = [...next.keys()].filter((v) => next.get(v)!.length !== 2);
  // Rings have no ends: they begin anywhere.
  for (const start of [...ends, ...next.keys()]) {
    for (let v = take(start); v !== undefined;) {
      const run = [start, v];
      while ((v = take(run[run.length - 1])) !== undefined && v !== start) run.push(v);
      if (v === start) run.push(start);
      out.push(run);
      v = take(start);
    }
  }
  return out;
}

/** A half and its image as one mesh, and the image of each vertex. */
function withImage(
  { positions, triangles }: TriangleMesh,
  welded: Uint8Array,
  plane: Plane,
): { whole: TriangleMesh; image: Int32Array } {
  const n = welded.length;
  const all = Array.from(positions);
  const image = new Int32Array(2 * n).fill(-1);
  for (let v = 0; v < n; v++) {
    if (welded[v]) {
      image[v] = v;
      continue;
    }
    const at = all.length / 3;
    all.push(...plane.image([positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]]));
    image[v] = at;
    image[at] = v;
  }
  const corners = Array.from(triangles);
  for (let t = 0; t < triangles.length; t += 3)
    corners.push(image[triangles[t]], image[triangles[t + 2]], image[triangles[t + 1]]);
  return {
    whole: { positions: Float64Array.from(all), triangles: Uint32Array.from(corners) },
    image: image.slice(0, all.length / 3),
  };
}
