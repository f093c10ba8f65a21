// A search takes thousands of decisions between things that are nearly equal, and rounding decides some of them: the same
// form moved or turned in space came out with other cuts. So the search works in a frame that the form itself defines, on
// places rounded to far less than any cloth knows of.
import type { Point3, TriangleMesh } from "@peltry/geometry";
import type { PlanInput } from "./plan-input";
import { projectPile } from "./search/pile-field";
import type { PlanOptions, SeamDecision } from "./types";

/** What the search works on: the input, and what comes with places in space, in the form's own frame. */
export interface OwnInput {
  readonly input: PlanInput;
  readonly symmetry: PlanOptions["symmetry"];
  readonly decisions: readonly SeamDecision[];
  /** A mesh in the form's own frame as it lies in the given one, but for the rounding. */
  readonly asGiven: (mesh: TriangleMesh) => TriangleMesh;
}

/** Size of the grid against the size of the form: at most 10 nm on a metre. Many times what rounding does to a place. */
const GRID = 1e-8;
/** The same for directions, whose parts are at most 1. */
const DIRECTION_GRID = 1 / (1 << 24);
/** Vertices that are equally far by less than this share count as equally far: the first one is taken. */
const TIE = 1e-6;

/** Writes an input in the frame of its form. It is the same however the form lies in space, mirrored too. */
export function inOwnFrame(input: PlanInput, options: PlanOptions): OwnInput {
  const frame = frameOf(input.mesh);
  const { mesh, place, turn, back } = frame;
  const givenPile = new Float64Array(input.givenPile.length);
  for (let t = 0; t < givenPile.length; t += 3) {
    const d = turn([input.givenPile[t], input.givenPile[t + 1], input.givenPile[t + 2]]);
    // Where the pile decides nothing, the way it lies in space shall not either.
    givenPile.set(isPileNeeded(input) ? d : [0, -1, 0], t);
  }
  const line = (points: readonly Point3[]): Point3[] => points.map(place);
  return {
    input: {
      ...input,
      mesh,
      givenPile,
      pile: projectPile(mesh, givenPile),
      weight: input.weight.map(Math.fround),
    },
    asGiven: (own) => ({
      positions: own.positions.map(
        (_, i, p) => back([p[i - (i % 3)], p[i - (i % 3) + 1], p[i - (i % 3) + 2]])[i % 3],
      ),
      triangles: own.triangles,
    }),
    symmetry: options.symmetry && {
      point: place(options.symmetry.point),
      normal: turn(options.symmetry.normal),
    },
    decisions: (options.decisions ?? []).map((decision) => ({
      ...decision,
      line: line(decision.line),
      to: decision.to && place(decision.to),
      rest: decision.rest?.map(({ kind, lines }) => ({ kind, lines: lines.map(line) })),
    })),
  };
}

/** Whether any fabric has a grain, or any cost or limit a direction. */
export function isPileNeeded({ fabrics, directionCost }: PlanInput): boolean {
  return (
    directionCost !== undefined ||
    fabrics.some(
      ({ behaviour, maxPileAngle, widthMm }) =>
        behaviour !== undefined || maxPileAngle !== undefined || widthMm !== undefined,
    )
  );
}

interface Frame {
  readonly mesh: TriangleMesh;
  readonly place: (point: Point3) => Point3;
  readonly turn: (direction: Point3) => Point3;
  readonly back: (place: Point3) => Point3;
}

/** A frame at one corner of a mesh, with its axes towards the vertices that are farthest off. */
function frameOf({ positions, triangles }: TriangleMesh): Frame {
  const used = [...new Set(triangles)];
  const at = (v: number): Point3 => [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]];
  const origin = at(triangles[0]);
  const from = (p: Point3): Point3 => [p[0] - origin[0], p[1] - origin[1], p[2] - origin[2]];
  const axes: Point3[] = [];
  const beside = (p: Point3): Point3 =>
    axes.reduce<Point3>((rest, axis) => {
      const along = dot(rest, axis);
      return [rest[0] - along * axis[0], rest[1] - along * axis[1], rest[2] - along * axis[2]];
    }, p);
  let size = 0;
  for (let k = 0; k < 3; k++) {
    const far = used.map((v) => Math.hypot(...beside(from(at(v)))));
    const most = far.reduce((top, d) => Math.max(top, d), 0);
    size ||= most;
    if (!(most > TIE * size)) break;
    const v = used[far.findIndex((d) => d >= (1 - TIE) * most)];
    const axis = beside(beside(from(at(v))));
    const length = Math.hypot(...axis);
    axes.push([axis[0] / length, axis[1] / length, axis[2] / length]);
  }
  // A flat form has no third axis of its own.
  for (const spare of [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ] as const) {
    const rest = beside(beside([...spare]));
    const length = Math.hypot(...rest);
    if (axes.length < 3 && length > 0.5) axes.push([rest[0] / length, rest[1] / length, rest[2] / length]);
  }
  // A power of two: the same to the last bit whatever rounding did to the size.
  let grid = 1;
  while (grid > GRID * size && size > 0) grid /= 2;
  while (2 * grid <= GRID * size) grid *= 2;
  const written = (p: Point3, step: number): Point3 => {
    const on = (k: number): number => Math.round(dot(p, axes[k]) / step) * step;
    return [on(0), on(1), on(2)];
  };
  const place = (p: Point3): Point3 => written(from(p), grid);
  const back = (p: Point3): Point3 => {
    const on = (i: number): number => origin[i] + p[0] * axes[0][i] + p[1] * axes[1][i] + p[2] * axes[2][i];
    return [on(0), on(1), on(2)];
  };
  const own = new Float64Array(positions.length);
  for (let v = 0; v < positions.length; v += 3)
    own.set(place([positions[v], positions[v + 1], positions[v + 2]]), v);
  return { mesh: { positions: own, triangles }, place, turn: (d) => written(d, DIRECTION_GRID), back };
}

function dot(a: Point3, b: Point3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
