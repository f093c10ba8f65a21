import { meshTopology, pathLength, type MeshTopology, type TriangleMesh } from "@peltry/geometry";
import { fail, PeltryError, type Issue } from "@peltry/issues";

/** How many places an error names before it says how many more there are. */
const NAMED = 5;

/**
 * Throws unless the mesh is sound and can be laid flat in one piece; returns its border loops, longest first.
 *
 * @throws `flatten/empty-mesh`, `flatten/not-finite`, `flatten/bad-indices`, `flatten/repeated-index`,
 * `flatten/non-manifold`, `flatten/flipped-winding`, `flatten/unused-vertices`, `flatten/not-a-disk`
 */
export function checkMesh(
  mesh: TriangleMesh,
  holes: "refuse" | "keep",
): { topology: MeshTopology; loops: number[][] } {
  checkNumbers(mesh);
  const topology = meshTopology(mesh);
  checkManifold(mesh, topology);
  checkDisk(mesh, topology, holes);
  const lengths = topology.loops.map((loop) => loopLength(mesh, loop));
  const order = topology.loops.map((_, i) => i).sort((a, b) => lengths[b] - lengths[a] || a - b);
  return { topology, loops: order.map((i) => [...topology.loops[i]]) };
}

function checkNumbers(mesh: TriangleMesh): void {
  const { positions, triangles } = mesh;
  if (triangles.length === 0) {
    fail(
      "flatten/empty-mesh",
      "The mesh has no triangles.",
      {},
      { found: 0, limit: 1, fix: "Give at least one triangle." },
    );
  }
  if (positions.length % 3 !== 0 || triangles.length % 3 !== 0) {
    fail(
      "flatten/bad-indices",
      `Positions and triangles come in threes; found ${positions.length} and ${triangles.length} numbers.`,
      {},
      { fix: "Give x, y, z for every vertex and three vertex indices for every triangle." },
    );
  }
  for (let i = 0; i < positions.length; i++) {
    if (!Number.isFinite(positions[i])) {
      fail(
        "flatten/not-finite",
        `Coordinate ${"xyz"[i % 3]} of vertex ${Math.floor(i / 3)} is ${positions[i]}.`,
        { vertex: Math.floor(i / 3), index: i },
        { found: String(positions[i]), fix: "Repair the mesh: every coordinate must be a finite number." },
      );
    }
  }
  const count = positions.length / 3;
  for (let t = 0; t < triangles.length / 3; t++) {
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    if (a >= count || b >= count || c >= count) {
      fail(
        "flatten/bad-indices",
        `Triangle ${t} names vertex ${Math.max(a, b, c)}, but there are ${count} vertices.`,
        { triangle: t },
        {
          found: Math.max(a, b, c),
          limit: count - 1,
          fix: "Vertex indices run from 0 to the vertex count minus one.",
        },
      );
    }
    if (a === b || b === c || c === a) {
      fail(
        "flatten/repeated-index",
        `Triangle ${t} uses vertex ${a === b || a === c ? a : b} twice.`,
        { triangle: t },
        { fix: "Remove triangles that use a vertex twice; the mesh repair does this." },
      );
    }
  }
}

function checkManifold(mesh: TriangleMesh, topology: MeshTopology): void {
  const edge = (h: number) => [mesh.triangles[h], mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]];
  if (topology.inconsistentEdges.length > 0) {
    throw new PeltryError(
      several(topology.inconsistentEdges, (h) => ({
        code: "flatten/flipped-winding",
        severity: "error",
        message: `Both triangles at edge ${edge(h).join("–")} run it in the same sense: one of them is wound the wrong way.`,
        at: { triangle: Math.floor(h / 3), vertex: edge(h)[0] },
        found: topology.inconsistentEdges.length,
        limit: 0,
        fix: "Wind all triangles alike (the mesh repair does this); a surface that cannot be wound alike must be cut.",
      })),
    );
  }
  if (topology.nonManifoldEdges.length > 0) {
    throw new PeltryError(
      several(topology.nonManifoldEdges, (h) => ({
        code: "flatten/non-manifold",
        severity: "error",
        message: `More than two triangles meet at edge ${edge(h).join("–")}.`,
        at: { triangle: Math.floor(h / 3), vertex: edge(h)[0] },
        found: topology.nonManifoldEdges.length,
        limit: 0,
        fix: "Keep at most two triangles at an edge: remove the extra flap or give it its own vertices.",
      })),
    );
  }
  if (topology.unusedVertices.length > 0) {
    throw new PeltryError(
      several(topology.unusedVertices, (v) => ({
        code: "flatten/unused-vertices",
        severity: "error",
        message: `Vertex ${v} belongs to no triangle (${topology.unusedVertices.length} in all).`,
        at: { vertex: v },
        found: topology.unusedVertices.length,
        limit: 0,
        fix: "Remove vertices that no triangle uses and renumber; the mesh repair does this.",
      })),
    );
  }
  if (topology.componentCount === 1 && topology.nonManifoldVertices.length > 0) {
    throw new PeltryError(
      several(topology.nonManifoldVertices, (v) => ({
        code: "flatten/non-manifold",
        severity: "error",
        message: `The surface touches itself at vertex ${v}: two fans of triangles hang on one point.`,
        at: { vertex: v },
        found: topology.nonManifoldVertices.length,
        limit: 0,
        fix: "Give each fan its own copy of the vertex.",
      })),
    );
  }
}

function several<T>(items: readonly T[], issue: (item: T) => Issue): Issue[] {
  return items.slice(0, NAMED).map(issue);
}

function checkDisk(mesh: TriangleMesh, topology: MeshTopology, holes: "refuse" | "keep"): void {
  const { componentCount, euler, loops } = topology;
  if (componentCount > 1) {
    const firsts = Array.from({ length: Math.min(componentCount, NAMED) }, (_, c) =>
      topology.component.indexOf(c),
    );
    fail(
      "flatten/not-a-disk",
      `The mesh is in ${componentCount} pieces; the first triangles of the pieces are ${firsts.join(", ")}.`,
      { triangle: firsts[1] },
      {
        found: `${componentCount} pieces`,
        limit: "1 piece",
        fix: "Flatten each piece on its own, or together as patches.",
      },
    );
  }
  if (loops.length === 0) {
    const handles = (2 - euler) / 2;
    fail(
      "flatten/not-a-disk",
      `The surface is closed${handles > 0 ? ` and has ${handles} ${handles === 1 ? "handle" : "handles"}` : ""}: it has no border.`,
      {},
      {
        found: "0 border loops",
        limit: "1 border loop",
        fix: "Cut it open along a seam (the seam planner proposes one).",
      },
    );
  }
  const handles = (2 - loops.length - euler) / 2;
  if (handles > 0) {
    fail(
      "flatten/not-a-disk",
      `The surface has ${handles} ${handles === 1 ? "handle" : "handles"} (like a cup's) and ${loops.length} border ${loops.length === 1 ? "loop" : "loops"}.`,
      { vertex: loops[0][0] },
      {
        found: `${handles} handles`,
        limit: "0 handles",
        fix: "Cut through every handle: one seam round it and one along it.",
      },
    );
  }
  if (loops.length > 1 && holes === "refuse") {
    const named = loops
      .slice(0, NAMED)
      .map((loop) => `${loop.length} edges, ${Math.round(loopLength(mesh, loop))} mm, at vertex ${loop[0]}`);
    throw new PeltryError(
      [0, ...loops.slice(1, NAMED).map((_, i) => i + 1)].map((i) => ({
        code: "flatten/not-a-disk",
        severity: "error",
        message:
          i === 0
            ? `The surface has ${loops.length} border loops (${loops.length === 2 ? "a tube or ring" : "a disk with holes"}): ${named.join("; ")}.`
            : `Border loop ${i + 1}: ${named[i]}.`,
        at: { vertex: loops[i][0] },
        found: `${loops.length} border loops`,
        limit: "1 border loop",
        fix: 'Cut a seam from one loop to the next, or keep the holes as inner outlines with `holes: "keep"`.',
      })),
    );
  }
}

function loopLength({ positions }: TriangleMesh, loop: readonly number[]): number {
  return pathLength(positions, [...loop, loop[0]]);
}
