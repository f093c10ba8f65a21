import type { Form } from "@peltry/forms";
import type { SurfacePoint, TriangleMesh } from "@peltry/geometry";

/** A refined copy of a form's mesh: where its triangles and vertices come from. */
export interface Refined {
  readonly mesh: TriangleMesh;
  readonly regionOf: Int32Array;
  readonly sourceTriangle: Uint32Array;
  /** Place of each vertex on the form's own mesh; absent where the first vertices are the form's own. */
  readonly sourcePoint?: readonly SurfacePoint[];
}

/** The form on its refined mesh. Curves are those given; landmarks keep their vertices, which come first. */
export function carryForm(form: Form, refined: Refined, curves: Form["curves"]): Form {
  const { mesh, regionOf, sourceTriangle } = refined;
  return {
    name: form.name,
    mesh,
    regions: form.regions,
    regionOf,
    curves,
    landmarks: form.landmarks.filter(({ vertex }) => vertex < mesh.positions.length / 3),
    ...(form.symmetry ? { symmetry: form.symmetry } : {}),
    ...(form.pile ? { pile: takeTriples(form.pile, sourceTriangle) } : {}),
  };
}

/** x, y, z of the given triangles in turn. */
export function takeTriples(values: Float64Array, triangles: Uint32Array): Float64Array {
  const taken = new Float64Array(triangles.length * 3);
  triangles.forEach((t, i) => taken.set(values.subarray(3 * t, 3 * t + 3), 3 * i));
  return taken;
}
