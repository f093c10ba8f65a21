// Cloth with a pile and a backing does not follow a groove that is narrower than it can bend: it lies from ridge to ridge. A
// form with toes or pleats of that size is laid out as the cloth will lie on it.
import {
  cotangentLaplacian,
  meshTopology,
  multiplySymmetric,
  triangleArea,
  vertexDistance,
  type TriangleMesh,
} from "@peltry/geometry";

/** Width of grooves that are bridged, mm: waves of this length lose two thirds of their depth. @remarks judgement; no source */
export const FEATURE = 30;
/** How much more it counts that the cloth must not lie inside the form than that it lies on it. */
const OUTSIDE = 20;
/** Rounds in which the weights find their side, and steps of each. */
const ROUNDS = 6;
const STEPS = 400;
/** A form as stiff cloth lies on it. */
export interface BridgedForm {
  readonly mesh: TriangleMesh;
  /** How far the cloth stands off the form at each vertex, mm; negative where it presses into it. */
  readonly off: Float64Array;
}

/**
 * The smooth surface that lies on a form's ridges and bridges what is narrower than about 30 mm, borders too. Curvature over
 * more than that distance stays: what a tail's tip or a heel asks of the cloth is asked of it still.
 *
 * @remarks least squares of bending against distance, where lying inside weighs more than standing off
 * @source asymmetric least squares as used for baselines (Eilers 2004, from memory), bending as squared Laplacian
 */
export function bridgeForm(mesh: TriangleMesh): BridgedForm {
  const given = mesh.positions;
  const area = vertexAreas(mesh);
  const bending = bendingOf(mesh, area);
  const wave = FEATURE / (2 * Math.PI);
  const stiffness = 9 * (wave * wave) * (wave * wave);
  const weight = area.slice();
  const moved = Float64Array.from(given);
  let off: Float64Array = new Float64Array(area.length);
  for (let round = 0; round < ROUNDS; round++) {
    solve(weight, stiffness, bending, given, moved);
    off = offsets(given, moved, mesh.triangles);
    off.forEach((d, v) => (weight[v] = area[v] * (d < 0 ? OUTSIDE : 1)));
  }
  return { mesh: { positions: moved, triangles: mesh.triangles }, off };
}

/** A third of the triangles round each vertex, mm². */
export function vertexAreas(mesh: TriangleMesh): Float64Array {
  const out = new Float64Array(mesh.positions.length / 3);
  for (let h = 0; h < mesh.triangles.length; h++)
    out[mesh.triangles[h]] += triangleArea(mesh, Math.floor(h / 3)) / 3;
  return out;
}

/** Distance of the moved vertices from the given ones along the moved surface's outward normals. */
function offsets(given: Float64Array, moved: Float64Array, triangles: ArrayLike<number>): Float64Array {
  const normal = new Float64Array(moved.length);
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i], 3 * triangles[i + 1], 3 * triangles[i + 2]];
    const u = [0, 1, 2].map((k) => moved[b + k] - moved[a + k]);
    const v = [0, 1, 2].map((k) => moved[c + k] - moved[a + k]);
    for (const corner of [a, b, c]) {
      normal[corner] += u[1] * v[2] - u[2] * v[1];
      normal[corner + 1] += u[2] * v[0] - u[0] * v[2];
      normal[corner + 2] += u[0] * v[1] - u[1] * v[0];
    }
  }
  return Float64Array.from({ length: moved.length / 3 }, (_, v) => {
    let along = 0;
    let size = 0;
    for (let k = 3 * v; k < 3 * v + 3; k++) {
      along += normal[k] * (moved[k] - given[k]);
      size += normal[k] * normal[k];
    }
    return size > 0 ? along / Math.sqrt(size) : 0;
  });
}

/** Gradient of a bending energy at x, y, z in turn, added to `out`. */
type Bending = (x: Float64Array, out: Float64Array) => void;

/** Squared Laplacian over the surface; along borders squared curvature, for a border has no Laplacian of its own. */
function bendingOf(mesh: TriangleMesh, area: Float64Array): Bending {
  const laplacian = cotangentLaplacian(mesh);
  const { loops } = meshTopology(mesh);
  const inverse = Float64Array.from(area, (a) => (a > 0 ? 1 / a : 0));
  for (const loop of loops) for (const v of loop) inverse[v] = 0;
  const gap = (a: number, b: number): number => Math.max(1e-3, vertexDistance(mesh.positions, a, b));
  const bends = loops.flatMap((loop) =>
    loop.map((v, i) => {
      const before = loop[(i + loop.length - 1) % loop.length];
      const after = loop[(i + 1) % loop.length];
      const [d, e] = [gap(before, v), gap(v, after)];
      // A border counts like a strip of a quarter of the feature's width.
      return { before: 3 * before, at: 3 * v, after: 3 * after, d, e, weight: FEATURE / 2 / (d + e) };
    }),
  );
  const first = new Float64Array(3 * area.length);
  const second = new Float64Array(3 * area.length);
  return (x, out) => {
    multiplySymmetric(laplacian, x, 3, first);
    for (let i = 0; i < first.length; i++) first[i] *= inverse[(i - (i % 3)) / 3];
    multiplySymmetric(laplacian, first, 3, second);
    for (let i = 0; i < second.length; i++) out[i] += second[i];
    for (const { before, at, after, d, e, weight } of bends) {
      for (let k = 0; k < 3; k++) {
        const turn = weight * ((x[after + k] - x[at + k]) / e - (x[at + k] - x[before + k]) / d);
        out[after + k] += turn / e;
        out[before + k] += turn / d;
        out[at + k] -= turn * (1 / e + 1 / d);
      }
    }
  };
}

/** Least of weight · |x − goal|² + stiffness · bending(x), by conjugate gradients from the given x. */
function solve(
  weight: Float64Array,
  stiffness: number,
  bending: Bending,
  goal: Float64Array,
  x: Float64Array,
): void {
  const image = new Float64Array(x.length);
  const apply = (from: Float64Array): void => {
    image.fill(0);
    bending(from, image);
    for (let i = 0; i < image.length; i++)
      image[i] = stiffness * image[i] + weight[(i - (i % 3)) / 3] * from[i];
  };
  apply(x);
  const rest = Float64Array.from(x, (_, i) => weight[(i - (i % 3)) / 3] * goal[i] - image[i]);
  const way = rest.slice();
  let size = dot(rest, rest);
  const enough = 1e-6 * dot(weight, weight);
  for (let step = 0; step < STEPS && size > enough; step++) {
    apply(way);
    const length = size / dot(way, image);
    for (let i = 0; i < x.length; i++) {
      x[i] += length * way[i];
      rest[i] -= length * image[i];
    }
    const next = dot(rest, rest);
    for (let i = 0; i < x.length; i++) way[i] = rest[i] + (next / size) * way[i];
    size = next;
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
