import { inTriangle, supportVertices, type SurfacePoint, type TriangleMesh } from "@peltry/geometry";

/**
 * A path over a mesh by its crossings alone, straight within each triangle. Places of another mesh's edges lie anywhere in
 * the triangles of this one: put in as vertices they make slivers that fold when the panel is laid flat.
 */
export function straightInTriangles(mesh: TriangleMesh, path: readonly SurfacePoint[]): SurfacePoint[] {
  const last = path.length - 1;
  const support = (point: SurfacePoint): string =>
    supportVertices(mesh, point)
      .sort((a, b) => a - b)
      .join();
  const crossings = path.filter(
    (point, i) => i === 0 || i === last || supportVertices(mesh, point).length < 3,
  );
  const out: SurfacePoint[] = [];
  for (let i = 0; i < crossings.length;) {
    let end = i + 1;
    const edge = support(crossings[i]);
    const isCrossing = supportVertices(mesh, crossings[i]).length === 2;
    while (isCrossing && end < crossings.length && support(crossings[end]) === edge) end++;
    const run = crossings.slice(i, end);
    const free = i > 0 && end < crossings.length;
    if (run.length === 1 || !free) out.push(...(i > 0 ? run.slice(-1) : run.slice(0, 1)));
    // Where it comes back over the edge that it left by, it may as well stay.
    else if (!shareTriangle(mesh, out[out.length - 1], crossings[end])) out.push(run[run.length - 1]);
    i = end;
  }
  return out;
}

/** Whether two places lie in one triangle. */
function shareTriangle(mesh: TriangleMesh, a: SurfacePoint, b: SurfacePoint): boolean {
  return inTriangle(mesh, a, b.triangle) !== undefined || inTriangle(mesh, b, a.triangle) !== undefined;
}
