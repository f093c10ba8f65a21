import type { SurfaceGraph } from "./surface-graph";
import { at, runLength, sub, unit, dot, type Vec } from "./vector";

/** A line between two nodes, or a ring on its own. */
export interface Arc {
  /** Nodes at its ends; −1 for a ring. */
  ends: [number, number];
  points: Vec[];
}

/** A place where lines end or meet. */
export interface LineNode {
  readonly place: Vec;
  readonly arcs: Set<number>;
}

/** Lines as a graph. */
export interface LineGraph {
  readonly nodes: LineNode[];
  /** Undefined for those taken out. */
  readonly arcs: (Arc | undefined)[];
}

/** Turns thinned vertices into arcs between ends and junctions. Junction vertices that touch make one node. */
export function buildLineGraph(graph: SurfaceGraph, inside: Uint8Array): LineGraph {
  const p = graph.mesh.positions;
  const members: number[] = [];
  for (let v = 0; v < inside.length; v++) if (inside[v]) members.push(v);
  const around = new Map<number, number[]>(
    members.map((v) => [
      v,
      Array.from(graph.neighbours.subarray(graph.start[v], graph.start[v + 1])).filter((w) => inside[w]),
    ]),
  );
  const nodeOf = new Map<number, number>();
  const nodes: LineNode[] = [];
  for (const v of members) {
    const degree = around.get(v)!.length;
    if (degree === 2 || nodeOf.has(v)) continue;
    const cluster = [v];
    nodeOf.set(v, nodes.length);
    for (let i = 0; degree > 2 && i < cluster.length; i++) {
      for (const w of around.get(cluster[i])!) {
        if (nodeOf.has(w) || around.get(w)!.length < 3) continue;
        nodeOf.set(w, nodes.length);
        cluster.push(w);
      }
    }
    const place: Vec = [0, 0, 0];
    for (const w of cluster) for (let k = 0; k < 3; k++) place[k] += p[3 * w + k] / cluster.length;
    nodes.push({ place, arcs: new Set() });
  }
  const arcs: (Arc | undefined)[] = [];
  const walked = new Set<number>();
  const addArc = (arc: Arc): void => {
    const i = arcs.push(arc) - 1;
    for (const end of arc.ends) if (end >= 0) nodes[end].arcs.add(i);
  };
  for (const [v, node] of nodeOf) {
    for (const w of around.get(v)!) {
      const other = nodeOf.get(w);
      if (other !== undefined) {
        if (other > node) addArc({ ends: [node, other], points: [nodes[node].place, nodes[other].place] });
        continue;
      }
      if (walked.has(w)) continue;
      const run: Vec[] = [nodes[node].place];
      let before = v;
      let now = w;
      while (!nodeOf.has(now)) {
        walked.add(now);
        run.push(at(p, now));
        const [a, b] = around.get(now)!;
        [before, now] = [now, a === before ? b : a];
      }
      run.push(nodes[nodeOf.get(now)!].place);
      addArc({ ends: [node, nodeOf.get(now)!], points: run });
    }
  }
  for (const v of members) {
    if (nodeOf.has(v) || walked.has(v)) continue;
    const run: Vec[] = [];
    for (let now = v; !walked.has(now);) {
      walked.add(now);
      run.push(at(p, now));
      const [a, b] = around.get(now)!;
      now = walked.has(a) ? b : a;
    }
    if (run.length > 2) addArc({ ends: [-1, -1], points: run });
  }
  return { nodes, arcs };
}

/** Takes an arc out. */
export function dropArc(lines: LineGraph, i: number): void {
  for (const end of lines.arcs[i]!.ends) if (end >= 0) lines.nodes[end].arcs.delete(i);
  lines.arcs[i] = undefined;
}

/** Joins the two arcs of each node that has just two (ring ends left alone). */
export function mergeThrough(lines: LineGraph): void {
  lines.nodes.forEach((node, n) => {
    if (node.arcs.size !== 2) return;
    const [i, j] = [...node.arcs];
    const a = lines.arcs[i]!;
    const b = lines.arcs[j]!;
    if (a.ends[0] === a.ends[1] || b.ends[0] === b.ends[1]) return;
    const first = a.ends[1] === n ? a.points : a.points.slice().reverse();
    const second = b.ends[0] === n ? b.points : b.points.slice().reverse();
    const start = a.ends[1] === n ? a.ends[0] : a.ends[1];
    const end = b.ends[0] === n ? b.ends[1] : b.ends[0];
    dropArc(lines, i);
    dropArc(lines, j);
    const k = lines.arcs.push({ ends: [start, end], points: [...first, ...second.slice(1)] }) - 1;
    lines.nodes[start].arcs.add(k);
    lines.nodes[end].arcs.add(k);
  });
  // A loop through one node is a ring once nothing else hangs on it.
  lines.arcs.forEach((arc, i) => {
    if (!arc || arc.ends[0] < 0 || arc.ends[0] !== arc.ends[1] || lines.nodes[arc.ends[0]].arcs.size !== 1)
      return;
    lines.nodes[arc.ends[0]].arcs.delete(i);
    arc.points.pop();
    arc.ends = [-1, -1];
  });
}

/**
 * Takes out side branches that are only the raggedness of the ink, shortest first: short ones whose free end stays close
 * to the other lines.
 *
 * @param shortest - longer ones stay, mm
 * @param reach - ones whose end is further than this from every other line stay, mm
 */
export function pruneSpurs(lines: LineGraph, shortest: number, reach: number): void {
  for (let guard = 0; guard < 10_000; guard++) {
    let best = -1;
    let least = shortest;
    lines.arcs.forEach((arc, i) => {
      if (!arc || arc.ends[0] < 0) return;
      const side = arc.ends.findIndex((n) => lines.nodes[n].arcs.size === 1);
      if (side < 0 || lines.nodes[arc.ends[1 - side]].arcs.size === 1) return;
      const length = runLength(arc.points);
      if (length >= least || !isNearOthers(lines, i, lines.nodes[arc.ends[side]].place, reach)) return;
      least = length;
      best = i;
    });
    if (best < 0) return;
    dropArc(lines, best);
    mergeThrough(lines);
  }
}

function isNearOthers(lines: LineGraph, own: number, place: Vec, reach: number): boolean {
  return lines.arcs.some(
    (arc, i) =>
      i !== own &&
      arc?.points.some((q) => Math.hypot(q[0] - place[0], q[1] - place[1], q[2] - place[2]) < reach),
  );
}

/** Joins junctions that lie closer than `reach` along an arc: thinning turns a crossing into two forks. */
export function mergeForks(lines: LineGraph, reach: number): void {
  for (let i = 0; i < lines.arcs.length; i++) {
    const arc = lines.arcs[i];
    if (!arc || arc.ends[0] < 0 || arc.ends[0] === arc.ends[1] || runLength(arc.points) > reach) continue;
    const [a, b] = arc.ends;
    if (lines.nodes[a].arcs.size < 3 || lines.nodes[b].arcs.size < 3) continue;
    const middle = lines.nodes[a].place.map((x, k) => (x + lines.nodes[b].place[k]) / 2) as Vec;
    dropArc(lines, i);
    for (const j of [...lines.nodes[b].arcs]) {
      const other = lines.arcs[j]!;
      other.ends = other.ends.map((n) => (n === b ? a : n)) as [number, number];
      lines.nodes[b].arcs.delete(j);
      lines.nodes[a].arcs.add(j);
    }
    (lines.nodes[a] as { place: Vec }).place = middle;
    for (const j of lines.nodes[a].arcs) {
      const other = lines.arcs[j]!;
      if (other.ends[0] === a) other.points[0] = middle;
      if (other.ends[1] === a) other.points[other.points.length - 1] = middle;
    }
  }
}

/** A drawn line as a person sees it: straight on through crossings. */
export interface Stroke {
  points: Vec[];
  closed: boolean;
  /** Whether each end meets another line. */
  joined: [boolean, boolean];
}

/** Chains arcs through junctions, straightest pairs first. */
export function chainStrokes(lines: LineGraph, look: number): Stroke[] {
  const partner = new Map<string, string>();
  lines.nodes.forEach((node, n) => {
    const tails = [...node.arcs].flatMap((i) => {
      const arc = lines.arcs[i]!;
      return ([0, 1] as const)
        .filter((side) => arc.ends[side] === n)
        .map((side) => ({
          key: `${i}:${side}`,
          ways: [
            leaving(arc.points, side, 0.3 * look, look),
            leaving(arc.points, side, 0.4 * look, 1.6 * look),
          ],
        }));
    });
    const pairs: { a: string; b: string; bend: number }[] = [];
    for (let i = 0; i < tails.length; i++) {
      for (let j = i + 1; j < tails.length; j++)
        pairs.push({
          a: tails[i].key,
          b: tails[j].key,
          bend: Math.min(...tails[i].ways.map((way, k) => dot(way, tails[j].ways[k]))),
        });
    }
    pairs.sort((x, y) => x.bend - y.bend);
    const done = new Set<string>();
    // A ring through a crossing comes back to its node: its two ends belong to each other.
    for (const { a, b, bend } of pairs) {
      if (a.split(":")[0] !== b.split(":")[0] || bend > 0.2 || done.has(a) || done.has(b)) continue;
      done.add(a).add(b);
      partner.set(a, b).set(b, a);
    }
    // Two lines of one node that carry on from each other turn by less than 70 degrees; a small ring turns a good part of that.
    for (const { a, b, bend } of pairs) {
      if (bend > -0.35 || done.has(a) || done.has(b)) continue;
      done.add(a).add(b);
      partner.set(a, b).set(b, a);
    }
  });
  const strokes: Stroke[] = [];
  const used = new Set<number>();
  const start = (i: number, side: 0 | 1): void => {
    if (used.has(i)) return;
    const points: Vec[] = [];
    let closed = false;
    let [now, from] = [i, side];
    const first = lines.arcs[i]!.ends[side];
    let last: number;
    for (;;) {
      used.add(now);
      const arc = lines.arcs[now]!;
      const run = from === 0 ? arc.points : arc.points.slice().reverse();
      points.push(...(points.length > 0 ? run.slice(1) : run));
      last = arc.ends[1 - from];
      const next = partner.get(`${now}:${1 - from}`);
      if (!next) break;
      const [j, s] = next.split(":").map(Number);
      if (used.has(j)) {
        closed = j === i && s === side;
        break;
      }
      [now, from] = [j, s as 0 | 1];
    }
    if (closed) points.pop();
    const busy = (n: number): boolean => lines.nodes[n].arcs.size > 1;
    strokes.push({ points, closed, joined: closed ? [false, false] : [busy(first), busy(last)] });
  };
  lines.arcs.forEach((arc, i) => {
    if (!arc) return;
    if (arc.ends[0] < 0) strokes.push({ points: arc.points, closed: true, joined: [false, false] });
    else for (const side of [0, 1] as const) if (!partner.has(`${i}:${side}`)) start(i, side);
  });
  lines.arcs.forEach((arc, i) => {
    if (arc && arc.ends[0] >= 0) start(i, 0);
  });
  return strokes;
}

/** Direction in which an arc leaves its end, between two lengths along it, so that the crossing itself does not count. */
function leaving(points: readonly Vec[], side: 0 | 1, from: number, to: number): Vec {
  const run = side === 0 ? points : points.slice().reverse();
  return unit(sub(pointAlong(run, to), pointAlong(run, from)));
}

/** The point at a length along a run, or its end. */
export function pointAlong(run: readonly Vec[], length: number): Vec {
  let left = length;
  for (let i = 1; i < run.length; i++) {
    const step = Math.hypot(run[i][0] - run[i - 1][0], run[i][1] - run[i - 1][1], run[i][2] - run[i - 1][2]);
    if (left <= step && step > 0) {
      const t = left / step;
      return [0, 1, 2].map((k) => run[i - 1][k] + t * (run[i][k] - run[i - 1][k])) as Vec;
    }
    left -= step;
  }
  return run[run.length - 1];
}
