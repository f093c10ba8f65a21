import { fail } from "@peltry/issues";
import { MESH_LIMITS } from "../raw-mesh";
import { broken, countAt, listAt, numbersAt, objectAt, type Json } from "./json-value";

/** A mesh placed in the scene. */
export interface PlacedMesh {
  readonly mesh: unknown;
  readonly node: number;
  /** 4 × 4, column by column. */
  readonly matrix: readonly number[];
  readonly skinned: boolean;
}

const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1] as const;

/**
 * Meshes of the scene with the transforms of all nodes above them.
 *
 * @throws `forms/mesh-too-large` past 200,000 nodes
 * @throws `forms/node-cycle` when a node is its own ancestor or has two parents
 * @source Khronos Group, glTF 2.0 Specification, section 3.5 (scenes and nodes: strict trees)
 */
export function placeMeshes(json: Json): PlacedMesh[] {
  const nodes = listAt(json.nodes, ["nodes"]);
  if (nodes.length > MESH_LIMITS.nodes)
    fail(
      "forms/mesh-too-large",
      `The glTF file has ${nodes.length} nodes.`,
      { path: ["nodes"] },
      { found: nodes.length, limit: MESH_LIMITS.nodes, fix: "Export a single mesh." },
    );
  const placed: PlacedMesh[] = [];
  const seen = new Uint8Array(nodes.length);
  const stack: { node: number; matrix: readonly number[] }[] = roots(json, nodes)
    .reverse()
    .map((node) => ({ node, matrix: IDENTITY }));
  while (stack.length > 0) {
    const { node, matrix } = stack.pop()!;
    if (node >= nodes.length) broken(["nodes"], `has no entry ${node}`);
    if (seen[node]) {
      fail(
        "forms/node-cycle",
        `Node ${node} is reached twice: the nodes of a glTF file must form a tree.`,
        { path: ["nodes", node] },
        {
          found: node,
          fix: "Export the mesh again, with transforms applied.",
        },
      );
    }
    seen[node] = 1;
    const entry = objectAt(nodes[node], ["nodes", node]);
    const world = multiply(matrix, localMatrix(entry, node));
    if (entry.mesh !== undefined)
      placed.push({ mesh: entry.mesh, node, matrix: world, skinned: entry.skin !== undefined });
    const children = listAt(entry.children, ["nodes", node, "children"]);
    for (let i = children.length - 1; i >= 0; i--) {
      stack.push({ node: countAt(children[i], ["nodes", node, "children", i]), matrix: world });
    }
  }
  return placed;
}

/** Nodes of the chosen scene; without scenes, every node that is nobody's child. */
function roots(json: Json, nodes: readonly unknown[]): number[] {
  const scenes = listAt(json.scenes, ["scenes"]);
  if (scenes.length > 0) {
    const scene = countAt(json.scene, ["scene"], 0);
    if (scene >= scenes.length) broken(["scene"], `names scene ${scene} of ${scenes.length}`);
    const list = listAt(objectAt(scenes[scene], ["scenes", scene]).nodes, ["scenes", scene, "nodes"]);
    return list.map((x, i) => countAt(x, ["scenes", scene, "nodes", i]));
  }
  const child = new Uint8Array(nodes.length);
  nodes.forEach((node, i) => {
    for (const c of listAt(objectAt(node, ["nodes", i]).children, ["nodes", i, "children"])) {
      if (typeof c === "number" && c < nodes.length) child[c] = 1;
    }
  });
  const top = nodes.map((_, i) => i).filter((i) => !child[i]);
  if (top.length === 0 && nodes.length > 0) {
    fail(
      "forms/node-cycle",
      "Every node of the glTF file is a child of another: they must form a tree.",
      { path: ["nodes"] },
      { fix: "Export the mesh again." },
    );
  }
  return top;
}

function localMatrix(entry: Json, node: number): readonly number[] {
  const at = ["nodes", node];
  if (entry.matrix !== undefined) return numbersAt(entry.matrix, 16, [...at, "matrix"], IDENTITY);
  const [tx, ty, tz] = numbersAt(entry.translation, 3, [...at, "translation"], [0, 0, 0]);
  const turn = numbersAt(entry.rotation, 4, [...at, "rotation"], [0, 0, 0, 1]);
  const [sx, sy, sz] = numbersAt(entry.scale, 3, [...at, "scale"], [1, 1, 1]);
  const size = Math.hypot(...turn) || 1;
  const [x, y, z, w] = turn.map((q) => q / size);
  return [
    sx * (1 - 2 * (y * y + z * z)),
    sx * 2 * (x * y + z * w),
    sx * 2 * (x * z - y * w),
    0,
    sy * 2 * (x * y - z * w),
    sy * (1 - 2 * (x * x + z * z)),
    sy * 2 * (y * z + x * w),
    0,
    sz * 2 * (x * z + y * w),
    sz * 2 * (y * z - x * w),
    sz * (1 - 2 * (x * x + y * y)),
    0,
    tx,
    ty,
    tz,
    1,
  ];
}

function multiply(a: readonly number[], b: readonly number[]): number[] {
  const out = new Array<number>(16).fill(0);
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      for (let k = 0; k < 4; k++) out[4 * column + row] += a[4 * k + row] * b[4 * column + k];
    }
  }
  return out;
}

/** Positive for a transform that keeps the winding, negative for one that mirrors. */
export function determinant(m: readonly number[]): number {
  return (
    m[0] * (m[5] * m[10] - m[6] * m[9]) -
    m[4] * (m[1] * m[10] - m[2] * m[9]) +
    m[8] * (m[1] * m[6] - m[2] * m[5])
  );
}
