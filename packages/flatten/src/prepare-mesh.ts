import type { CholeskyFactor, SparseSymmetric, TriangleMesh } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { checkMesh } from "./check-mesh";
import { prepareSheet, type Sheet } from "./sheet";
import { plainFactor } from "./system";

/** Everything about a mesh that does not depend on the options. */
export interface PreparedMesh {
  readonly sheet: Sheet;
  readonly laplacian: SparseSymmetric;
  readonly factor: CholeskyFactor;
  readonly issues: readonly Issue[];
  /** A copy of the first start, kept by a flattener. */
  readonly cachedStart?: (() => Float64Array) | undefined;
}

/** Checks a mesh and prepares it. */
export function prepareMesh(mesh: TriangleMesh, holes: "refuse" | "keep"): PreparedMesh {
  const { loops } = checkMesh(mesh, holes);
  const sheet = prepareSheet(mesh, loops);
  checkArea(sheet);
  return { sheet, ...plainFactor(sheet), issues: scaleIssues(sheet) };
}

/** Few triangles without area are survived and named in the panel's issues; nothing else is no surface. */
export function checkArea({ rest, triangleCount }: Sheet): void {
  if (rest.mended.length < triangleCount) return;
  fail(
    "flatten/flat-triangles",
    `None of the ${triangleCount} triangles has an area in space: their corners lie on lines or in one place.`,
    { triangle: 0 },
    {
      found: triangleCount,
      limit: triangleCount - 1,
      fix: "Look at the coordinates: the mesh has been flattened to a line or a point.",
    },
  );
}

function scaleIssues(sheet: Sheet): Issue[] {
  const size = Math.sqrt(sheet.rest.area);
  if (size >= 5 && size <= 20000) return [];
  return [
    {
      code: "flatten/odd-scale",
      severity: "warning",
      message: `The patch is about ${Number(size.toPrecision(3))} mm across: is it really in millimetres?`,
      at: {},
      found: size,
      limit: "5 to 20000 mm",
      fix: "Scale the mesh to millimetres when it is read.",
    },
  ];
}
