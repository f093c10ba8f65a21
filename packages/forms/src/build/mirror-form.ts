import { partWord } from "../parts/number";
import type { Form } from "../types";

/** Side of the wearer. With y up and z forward, +x is the wearer's left: space is right-handed. */
export type Side = "left" | "right";

/**
 * The form of the other side of the wearer: turned over about the plane x = 0. Vertices, curves and landmarks keep their
 * indices; triangles run the other way round, so that they stay counter-clockwise from outside.
 */
export function mirrorForm<T extends Form>(form: T): T {
  const triangles = Uint32Array.from(form.mesh.triangles);
  for (let t = 0; t < triangles.length; t += 3)
    [triangles[t + 1], triangles[t + 2]] = [triangles[t + 2], triangles[t + 1]];
  return {
    ...form,
    mesh: { positions: mirrorTriples(form.mesh.positions), triangles },
    ...(form.pile ? { pile: mirrorTriples(form.pile) } : {}),
    ...(form.inner ? { inner: mirrorTriples(form.inner) } : {}),
    ...(form.symmetry
      ? { symmetry: { point: turned(form.symmetry.point), normal: turned(form.symmetry.normal) } }
      : {}),
  };
}

function mirrorTriples(from: Float64Array): Float64Array {
  return from.map((value, k) => (k % 3 === 0 ? 0 - value : value));
}

function turned([x, y, z]: readonly [number, number, number]): readonly [number, number, number] {
  return [0 - x, y, z];
}

/** Whether the right side is asked for; the left where nothing is. @throws forms/bad-part for any other word */
export function isRight(side: unknown): boolean {
  return partWord(side ?? "left", "side", ["left", "right"]) === "right";
}
