import { angleDefects, decimate, meshTopology, type TriangleMesh } from "@peltry/geometry";
import type { PlanInput } from "./plan-input";
import { boxesOf } from "./plan-input";
import { roomOf } from "./search/fabric-box";

/** Triangles of the search where the form bends gently for its cloth, and at most. */
const USUAL = 2000;
const MOST = 3000;

/**
 * Triangles for each full turn of curvature over the strain limit. The corners of a mesh are little cones: at a limit of
 * 3 % one of 20° can no longer lie flat, so forms that bend strongly under firm cloth need smaller triangles.
 *
 * @remarks judgement from trials on tails, boots and legs
 */
const FOR_A_TURN = 50;

/** How many triangles the search should work on. */
export function searchSize(input: PlanInput): number {
  const { mesh, regions } = input;
  if (mesh.triangles.length / 3 <= 1.25 * USUAL) return USUAL;
  // Measured on a coarse copy, where the roughness of a scan no longer counts as curvature.
  const coarse = decimate(mesh, {
    triangles: USUAL,
    lines: input.fixed.map(({ path, closed }) => (closed ? [...path, path[0]] : [...path])),
    labels: regions,
  });
  const turns = totalCurvature(coarse.mesh) / (2 * Math.PI);
  return Math.round(
    Math.max(USUAL, Math.min(MOST, (FOR_A_TURN * turns) / (roomOf(boxesOf(input.fabrics)) / 2))),
  );
}

/** Sum of the sizes of all inner angle defects, radians. */
function totalCurvature(mesh: TriangleMesh): number {
  const border = new Uint8Array(mesh.positions.length / 3);
  for (const loop of meshTopology(mesh).loops) for (const v of loop) border[v] = 1;
  return angleDefects(mesh, border).inner.reduce((sum, k) => sum + Math.abs(k), 0);
}
