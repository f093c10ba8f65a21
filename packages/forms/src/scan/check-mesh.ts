import type { TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";

/**
 * The mesh itself where it is two arrays of numbers; what the numbers are is looked at elsewhere.
 *
 * @throws `forms/bad-call`
 */
export function needMesh(mesh: TriangleMesh): TriangleMesh {
  const given = mesh as Partial<TriangleMesh> | null | undefined;
  if (ArrayBuffer.isView(given?.positions) && ArrayBuffer.isView(given.triangles)) return mesh;
  return fail(
    "forms/bad-call",
    "This is no mesh.",
    {},
    {
      found: typeof mesh,
      fix: "Pass { positions: Float64Array, triangles: Uint32Array }, as readMesh gives it.",
    },
  );
}
