import type { Point3, TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { shown } from "../parts/number";
import { needMesh } from "./check-mesh";

/** An axis of a file, or its opposite. */
export type UpAxis = "x" | "y" | "z" | "-x" | "-y" | "-z";

/** Where the new x, y and z come from: axis and sign. All are turns, none mirrors. */
const TURNS: Readonly<Record<UpAxis, readonly (readonly [number, 1 | -1])[]>> = {
  y: [
    [0, 1],
    [1, 1],
    [2, 1],
  ],
  "-y": [
    [0, 1],
    [1, -1],
    [2, -1],
  ],
  z: [
    [0, 1],
    [2, 1],
    [1, -1],
  ],
  "-z": [
    [0, 1],
    [2, -1],
    [1, 1],
  ],
  x: [
    [1, -1],
    [0, 1],
    [2, 1],
  ],
  "-x": [
    [1, 1],
    [0, -1],
    [2, 1],
  ],
};

/**
 * Turns a mesh so that the given axis points along +y.
 *
 * @throws `forms/bad-call` when the axis or the mesh is none
 */
export function turnUp(mesh: TriangleMesh, up: UpAxis): TriangleMesh {
  needMesh(mesh);
  if (typeof up !== "string" || !Object.hasOwn(TURNS, up))
    fail(
      "forms/bad-call",
      `“${shown(up)}” is no axis.`,
      {},
      { limit: Object.keys(TURNS).join(", "), fix: "Pass one of these." },
    );
  if (up === "y") return mesh;
  const turn = TURNS[up];
  const positions = new Float64Array(mesh.positions.length);
  for (let v = 0; v < positions.length; v += 3) {
    for (let k = 0; k < 3; k++) positions[v + k] = turn[k][1] * mesh.positions[v + turn[k][0]] + 0;
  }
  return { positions, triangles: mesh.triangles.slice() };
}

/** A point turned like {@link turnUp} turns a mesh. */
export function turnPoint(point: Point3, up: UpAxis): [number, number, number] {
  return TURNS[up].map(([k, sign]) => sign * point[k]) as [number, number, number];
}
