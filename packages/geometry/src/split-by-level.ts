import { fail } from "@peltry/issues";
import type { TriangleMesh } from "./types";

/** A mesh cut along the lines where one field overtakes another. */
export interface LabelSplit {
  readonly mesh: TriangleMesh;
  /** Label of each triangle: all its inside belongs to it. */
  readonly label: Int32Array;
  /** Triangle of the source for each triangle. */
  readonly sourceTriangle: Uint32Array;
  /**
   * Where each vertex lies: it is (1 − t) of source vertex `from` and t of `to`. Source vertices come first, in their
   * order, with t = 0. A vertex where three labels meet lies inside its triangle; it names the first of the cuts round it.
   */
  readonly from: Uint32Array;
  readonly to: Uint32Array;
  readonly fraction: Float64Array;
}

/** How close to its end an edge may be cut, as a share of its length: closer cuts would leave needles. */
const CLOSEST = 0.06;

/**
 * Cuts triangles so that the lines between labels become mesh edges. The label of a place is the field that is greatest
 * there; fields run straight along edges.
 *
 * @param fields - one array a label, one value a vertex
 * @returns the cut mesh; corners keep their winding and every source vertex its index
 * @throws `geometry/bad-field` when a field has the wrong length or a value that is no number
 * @source marching triangles, the two-dimensional case of Lorensen and Cline, Marching Cubes, 1987; three labels in one
 * triangle meet at the middle of its three cuts
 * @remarks linear in triangles and labels
 */
export function splitByLabels(mesh: TriangleMesh, fields: readonly ArrayLike<number>[]): LabelSplit {
  const { positions, triangles } = mesh;
  const vertexCount = positions.length / 3;
  const labels = greatestField(fields, vertexCount);
  const points: number[] = [];
  const from = Array.from({ length: vertexCount }, (_, v) => v);
  const to = from.slice();
  const fraction = new Array<number>(vertexCount).fill(0);
  const cuts = new Map<number, number>();
  const corners: number[] = [];
  const label: number[] = [];
  const source: number[] = [];
  const emit = (t: number, owner: number, ...run: number[]): void => {
    corners.push(...run);
    for (let i = 0; i < run.length; i += 3) {
      label.push(labels[owner]);
      source.push(t);
    }
  };
  const place = (v: number, k: number): number =>
    v < vertexCount ? positions[3 * v + k] : points[3 * (v - vertexCount) + k];
  const cut = (a: number, b: number): number => {
    const key = Math.min(a, b) * vertexCount + Math.max(a, b);
    const known = cuts.get(key);
    if (known !== undefined) return known;
    const [p, q] = a < b ? [a, b] : [b, a];
    const t = crossing(fields, labels[p], labels[q], p, q);
    for (let k = 0; k < 3; k++)
      points.push(positions[3 * p + k] + t * (positions[3 * q + k] - positions[3 * p + k]));
    from.push(p);
    to.push(q);
    fraction.push(t);
    const v = from.length - 1;
    cuts.set(key, v);
    return v;
  };
  const square = (a: number, b: number): number =>
    [0, 1, 2].reduce((sum, k) => sum + (place(a, k) - place(b, k)) ** 2, 0);
  for (let t = 0; t < triangles.length / 3; t++) {
    const trio = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    const [la, lb, lc] = trio.map((v) => labels[v]);
    if (la === lb && lb === lc) {
      emit(t, trio[0], ...trio);
      continue;
    }
    if (la !== lb && lb !== lc && la !== lc) {
      const sides = [cut(trio[0], trio[1]), cut(trio[1], trio[2]), cut(trio[2], trio[0])];
      for (let k = 0; k < 3; k++)
        points.push((place(sides[0], k) + place(sides[1], k) + place(sides[2], k)) / 3);
      from.push(trio[0]);
      to.push(trio[1]);
      fraction.push(fraction[sides[0]]);
      const middle = from.length - 1;
      for (let k = 0; k < 3; k++) {
        const before = sides[(k + 2) % 3];
        emit(t, trio[k], trio[k], sides[k], middle, trio[k], middle, before);
      }
      continue;
    }
    const alone = lb === lc ? 0 : la === lc ? 1 : 2;
    const [v, a, b] = [trio[alone], trio[(alone + 1) % 3], trio[(alone + 2) % 3]];
    const onA = cut(v, a);
    const onB = cut(b, v);
    emit(t, v, v, onA, onB);
    // The shorter way across the four-sided rest makes the better triangles.
    if (square(onA, b) <= square(a, onB)) emit(t, a, onA, a, b, onA, b, onB);
    else emit(t, a, onA, a, onB, a, b, onB);
  }
  const all = new Float64Array(3 * from.length);
  all.set(positions);
  all.set(points, positions.length);
  return {
    mesh: { positions: all, triangles: Uint32Array.from(corners) },
    label: Int32Array.from(label),
    sourceTriangle: Uint32Array.from(source),
    from: Uint32Array.from(from),
    to: Uint32Array.from(to),
    fraction: Float64Array.from(fraction),
  };
}

/**
 * Cuts a mesh along the line where a field has a value: triangles of label 0 lie below it, of label 1 above.
 *
 * @param field - one value a vertex
 * @throws `geometry/bad-field`
 */
export function splitByLevel(mesh: TriangleMesh, field: ArrayLike<number>, level: number): LabelSplit {
  const above = Float64Array.from(field, (x) => x - level);
  return splitByLabels(mesh, [above.map((x) => -x), above]);
}

function greatestField(fields: readonly ArrayLike<number>[], vertexCount: number): Int32Array {
  const labels = new Int32Array(vertexCount);
  fields.forEach((field, c) => {
    if (field.length !== vertexCount) {
      fail(
        "geometry/bad-field",
        `Field ${c} has ${field.length} values; the mesh has ${vertexCount} vertices.`,
        { index: c },
        {
          found: field.length,
          limit: vertexCount,
          fix: "Pass one value a vertex.",
        },
      );
    }
    for (let v = 0; v < vertexCount; v++) {
      if (!Number.isFinite(field[v])) {
        fail(
          "geometry/bad-field",
          `Field ${c} has no finite number at vertex ${v}.`,
          { index: c, vertex: v },
          { found: String(field[v]), fix: "Fill the gaps first." },
        );
      }
      if (field[v] > fields[labels[v]][v]) labels[v] = c;
    }
  });
  return labels;
}

/** Fraction of the way from p to q at which the label of q overtakes that of p. */
function crossing(
  fields: readonly ArrayLike<number>[],
  lp: number,
  lq: number,
  p: number,
  q: number,
): number {
  const atP = fields[lp][p] - fields[lq][p];
  const atQ = fields[lq][q] - fields[lp][q];
  const t = atP + atQ > 0 ? atP / (atP + atQ) : 0.5;
  return Math.max(CLOSEST, Math.min(1 - CLOSEST, t));
}
