// The corners of a coarse mesh are little cones. Cloth spreads the strain of a cone over some room round its point, which
// triangles larger than that room cannot: planned on them, a rounded tip asks for a cut at every corner. Dividing the
// triangles there changes no place of the form.
import { angleDefects, meshTopology, nextHalfEdge, type MeshRefinement } from "@peltry/geometry";

/** Share of the angle that the cloth can take up at one point, from which a corner counts as sharp. */
const SHARP = 0.35;
/** Longest edges at a sharp corner, mm: strain is judged over spots of about this size. Further off they may grow. */
const FINE = 10;
const GROWTH = 0.6;
/** Triangles that are added at most. */
const MOST = 1200;

/**
 * Divides the triangles round sharp inner corners of the base, sharpest first, until they are small enough there.
 *
 * @param refinement - of the bare mesh, with its lines marked; changed in place
 * @param room - of the cloth, from its least to its most length, as a fraction: 0.06 for ± 3 %
 * @remarks a cone whose defect is 2π times the room can just lie flat: short along its rays, long round them
 */
export function refineCorners(refinement: MeshRefinement, room: number): void {
  const { base } = refinement;
  const border = new Uint8Array(base.positions.length / 3);
  for (const loop of meshTopology(base).loops) for (const v of loop) border[v] = 1;
  const { inner } = angleDefects(base, border);
  const sharp = SHARP * 2 * Math.PI * room;
  const corners = Array.from(inner.keys())
    .filter((v) => Math.abs(inner[v]) > sharp && !refinement.onLine(v))
    .sort((a, b) => Math.abs(inner[b]) - Math.abs(inner[a]) || a - b);
  const most = refinement.triangleCount + MOST;
  for (const corner of corners) {
    const near = new Set(refinement.star(corner).map((h) => Math.floor(h / 3)));
    for (const t of near) {
      // A triangle may be divided many times; its parts are looked at in turn.
      while (refinement.triangleCount < most) {
        const h = longestEdge(refinement, t);
        if (edgeLength(refinement, h) <= allowed(refinement, corner, t)) break;
        const before = refinement.triangleCount;
        divide(refinement, h);
        for (let added = before; added < refinement.triangleCount; added++) near.add(added);
      }
    }
  }
}

/** The longest edge that a triangle near a corner may have, mm. */
function allowed(refinement: MeshRefinement, corner: number, t: number): number {
  const away = [0, 1, 2].map((k) => gap(refinement, corner, refinement.corners[3 * t + k]));
  return Math.max(FINE, GROWTH * Math.min(...away));
}

/**
 * Halves an edge that is the longest of both its triangles: where the neighbour has a longer one, that first.
 *
 * @source Rivara, longest-edge bisection, 1984 and 1997: keeps angles from growing small
 */
function divide(refinement: MeshRefinement, first: number): void {
  let h = first;
  for (let guard = 0; guard < 100; guard++) {
    const g = refinement.twin[h];
    if (g < 0) break;
    const other = longestEdge(refinement, Math.floor(g / 3));
    if (edgeLength(refinement, other) <= edgeLength(refinement, h) * (1 + 1e-9)) break;
    h = other;
  }
  refinement.splitEdge(h, 0.5);
}

function longestEdge(refinement: MeshRefinement, t: number): number {
  let best = 3 * t;
  for (const h of [3 * t + 1, 3 * t + 2])
    if (edgeLength(refinement, h) > edgeLength(refinement, best) * (1 + 1e-9)) best = h;
  return best;
}

function edgeLength(refinement: MeshRefinement, h: number): number {
  return gap(refinement, refinement.corners[h], refinement.corners[nextHalfEdge(h)]);
}

function gap({ positions: p }: MeshRefinement, a: number, b: number): number {
  return Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]);
}
