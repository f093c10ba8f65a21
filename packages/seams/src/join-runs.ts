// A search puts one cut at the tip of another and later takes away what stood between them. What then runs on from end to
// end is one line for the person who sews it, decides about it and pays for it.
import { meshTopology, nextHalfEdge, vertexPoint, type Point3, type SurfacePoint } from "@peltry/geometry";
import { worstMismatch } from "./certify-panels";
import { cutAlong, type FoundGroup, type Proved, type Verified } from "./finish-plan";
import { distance } from "./lines-in-space";
import type { PlanInput } from "./plan-input";
import { seamLengths } from "./polish";

/** A joint that turns by more than this is a corner, and the two stay two, degrees. @remarks judgement; no source */
const CORNER = 50;
/** The direction at a joint is taken over this length, mm. */
const LOOK = 12;
/** Kinds that a run may be made of. */
const RUNS = ["dart", "seam"];

/** One cut: its places on the given mesh and its vertices on the refined one, from its root. */
interface Run {
  readonly path: readonly SurfacePoint[];
  readonly vertices: readonly number[];
}

/** A group with its runs. */
interface RunGroup extends Omit<FoundGroup, "paths"> {
  readonly runs: readonly Run[];
}

/** What lies at the places of a cut form. */
interface Places {
  /** Nothing else is there: the tip of a slit. */
  readonly isOpen: (vertex: number) => boolean;
  /** Two lines meet there and no more, and no border does. */
  readonly isJoint: (vertex: number) => boolean;
  readonly at: (vertex: number) => Point3;
}

/**
 * Joins cuts that meet end to end with nothing else there and no corner; a seam with a free end is a dart. The panels stay
 * as they lie.
 */
export function joinRuns(input: PlanInput, { groups, done }: Proved): Proved {
  const places = placesOf(input, done);
  let cut = 0;
  let list = groups.map(({ paths, ...rest }) =>
    asDart(places, { ...rest, runs: paths.map((path) => ({ path, vertices: done.lines.cuts[cut++] })) }),
  );
  for (let next: RunGroup[] | undefined = list; next; next = joinedOnce(places, list)) list = next;
  const isAsBefore = list.every(({ kind }, i) => kind === groups[i]?.kind) && list.length === groups.length;
  if (isAsBefore) return { groups, done };
  return {
    groups: list.map(({ runs, ...rest }) => ({ ...rest, paths: runs.map(({ path }) => path) })),
    done: toldApart(
      input,
      done,
      list.flatMap(({ runs }) => runs.map(({ vertices }) => vertices)),
    ),
  };
}

/** The same panels between lines that are told apart otherwise. */
function toldApart(input: PlanInput, done: Verified, cuts: readonly (readonly number[])[]): Verified {
  const lines = { ...done.lines, cuts };
  const cutting = cutAlong(input, done.mesh, done.regions, lines);
  const seams = seamLengths(
    cutting,
    done.flat.panels.map(({ positions }) => positions),
  );
  const panels = done.flat.panels.map((panel) => ({
    ...panel,
    certificate: { ...panel.certificate, seamMismatch: worstMismatch(cutting, seams, panel.id) },
  }));
  return {
    ...done,
    lines,
    cutting,
    flat: { ...done.flat, panels, seams },
    panels: done.panels.map((panel, i) => ({ ...panel, patch: cutting.patches[i], flat: panels[i] })),
  };
}

function placesOf(input: PlanInput, { mesh, regions, lines }: Verified): Places {
  const arms = new Map<number, Set<number>>();
  const rim = new Set<number>();
  const arm = (a: number, b: number): void => {
    arms.set(a, (arms.get(a) ?? new Set()).add(b));
    arms.set(b, (arms.get(b) ?? new Set()).add(a));
  };
  const { twin } = meshTopology(mesh);
  twin.forEach((g, h) => {
    const [a, b] = [mesh.triangles[h], mesh.triangles[nextHalfEdge(h)]];
    if (g < 0) rim.add(a).add(b);
    else if (regions[Math.floor(h / 3)] !== regions[Math.floor(g / 3)]) arm(a, b);
  });
  const fixed = lines.fixed.map((path, i) => (input.fixed[i].closed ? [...path, path[0]] : path));
  for (const path of [...fixed, ...lines.cuts]) path.slice(1).forEach((v, i) => arm(path[i], v));
  const count = (v: number): number => (rim.has(v) ? Infinity : (arms.get(v)?.size ?? 0));
  return {
    isOpen: (v) => count(v) === 1,
    isJoint: (v) => count(v) === 2,
    at: (v) => vertexPoint(mesh, v),
  };
}

function endsOf({ vertices }: Run): readonly [number, number] {
  return [vertices[0], vertices[vertices.length - 1]];
}

function turnedRound({ path, vertices }: Run): Run {
  return { path: [...path].reverse(), vertices: [...vertices].reverse() };
}

/** A seam that lost what it led to, as the dart that it is now; any other group as it is. */
function asDart({ isOpen }: Places, group: RunGroup): RunGroup {
  if (group.kind !== "seam" || !group.runs.every((run) => endsOf(run).some(isOpen))) return group;
  return {
    ...group,
    kind: "dart",
    runs: group.runs.map((run) => (isOpen(endsOf(run)[0]) ? turnedRound(run) : run)),
  };
}

/** The groups with the first two that run on joined; undefined where none do. */
function joinedOnce(places: Places, list: readonly RunGroup[]): RunGroup[] | undefined {
  for (const a of list) {
    for (const b of list) {
      const by = a !== b && joined(places, a, b);
      if (by) return list.flatMap((group) => (group === a ? [by] : group === b ? [] : [group]));
    }
  }
  return undefined;
}

/** Two groups as one; undefined where they do not run on, cut for cut, from one to the other. */
function joined(places: Places, a: RunGroup, b: RunGroup): RunGroup | undefined {
  if (a.id || b.id || a.runs.length !== b.runs.length) return undefined;
  if (!RUNS.includes(a.kind) || !RUNS.includes(b.kind)) return undefined;
  const runs = a.runs.flatMap((run) => {
    const found = b.runs.flatMap((other) => oneRun(places, run, other) ?? []);
    return found.length === 1 ? found : [];
  });
  if (runs.length < a.runs.length) return undefined;
  const longer = a.length >= b.length ? a : b;
  const group = {
    kind: "seam" as const,
    runs,
    cost: a.cost + b.cost,
    length: a.length + b.length,
    round: Math.min(a.round, b.round),
    scale: longer.scale,
    before: Math.max(a.before, b.before),
    after: Math.min(a.after, b.after),
    state: a.state,
    images: a.images,
    snap: a.snap,
  };
  return asDart(places, group);
}

/** Two cuts as one; undefined where they do not meet, or make a corner or a ring. */
function oneRun(places: Places, a: Run, b: Run): Run | undefined {
  const met = endsOf(a).filter((v) => endsOf(b).includes(v) && places.isJoint(v));
  if (met.length !== 1) return undefined;
  const [joint] = met;
  const before = endsOf(a)[1] === joint ? a : turnedRound(a);
  const after = endsOf(b)[0] === joint ? b : turnedRound(b);
  if (turn(places, before.vertices, after.vertices) > CORNER) return undefined;
  return {
    path: [...before.path, ...after.path.slice(1)],
    vertices: [...before.vertices, ...after.vertices.slice(1)],
  };
}

/** Angle by which a line turns where it goes on, degrees. */
function turn({ at }: Places, before: readonly number[], after: readonly number[]): number {
  const joint = at(after[0]);
  const away = (vertices: readonly number[]): number[] => {
    const points = vertices.map(at);
    const point = points.find((p) => distance(p, joint) >= LOOK) ?? points[points.length - 1];
    const size = distance(point, joint) || 1;
    return point.map((x, k) => (x - joint[k]) / size);
  };
  const [p, q] = [away([...before].reverse()), away(after)];
  const cosine = -p.reduce((sum, x, k) => sum + x * q[k], 0);
  return (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI;
}
