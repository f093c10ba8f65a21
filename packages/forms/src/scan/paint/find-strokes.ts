import {
  buildLineGraph,
  chainStrokes,
  dropArc,
  mergeForks,
  mergeThrough,
  pruneSpurs,
  type LineGraph,
  type Stroke,
} from "./line-graph";
import { smoothField, type SurfaceGraph } from "./surface-graph";
import { fillGaps, thinInk } from "./thin-ink";
import { dot, runLength, sub, unit, size, type Vec } from "./vector";
import { pointAlong } from "./line-graph";

/** Ink on a surface, and how wide its lines are. */
export interface InkMap {
  readonly share: Float64Array;
  /** Middle width of the lines, mm. */
  readonly width: number;
}

/** Vertices with more ink than this belong to a line. */
export const INK_LEVEL = 0.42;

/**
 * Width of the lines of an ink map: twice the inked area over the length of its outline.
 *
 * @returns mm; undefined without ink
 */
export function inkWidth(graph: SurfaceGraph, share: Float64Array): number | undefined {
  const { positions: p, triangles } = graph.mesh;
  let area = 0;
  let outline = 0;
  for (let v = 0; v < share.length; v++) if (share[v] > 0.2) area += share[v] * graph.area[v];
  for (let i = 0; i < triangles.length; i += 3) {
    const cut: Vec[] = [];
    for (let k = 0; k < 3; k++) {
      const a = triangles[i + k];
      const b = triangles[i + ((k + 1) % 3)];
      if (share[a] > 0.5 === share[b] > 0.5) continue;
      const t = (0.5 - share[a]) / (share[b] - share[a]);
      cut.push([0, 1, 2].map((d) => p[3 * a + d] + t * (p[3 * b + d] - p[3 * a + d])) as Vec);
    }
    if (cut.length === 2) outline += size(sub(cut[0], cut[1]));
  }
  return outline > 0 ? (2 * area) / outline : undefined;
}

/** What {@link findStrokes} is told. */
export interface StrokeRules {
  /** Ends closer than this, mm, that point at each other are one line with missing ink. */
  readonly bridge: number;
  /** Lines shorter than this, mm, are stray ink. */
  readonly leastLine: number;
}

/** The lines of an ink map, thinned, cleaned, and chained straight on through crossings. */
export function findStrokes(graph: SurfaceGraph, ink: InkMap, rules: StrokeRules): Stroke[] {
  const inside = Uint8Array.from(ink.share, (x) => (x > INK_LEVEL ? 1 : 0));
  fillGaps(graph, inside, ink.width * ink.width);
  const even = new Float64Array(inside.length).fill(1);
  const depth = smoothField(graph, ink.share, even, 0.6 * ink.width + 0.5 * graph.edge, 8);
  thinInk(graph, inside, depth);
  const lines = buildLineGraph(graph, inside);
  // Thinning leaves side branches that reach at most the ink's edge and a vertex past it.
  const blunt = 1.3 * ink.width + graph.edge;
  const ragged = 0.6 * (ink.width + graph.edge);
  mergeThrough(lines);
  pruneSpurs(lines, blunt, ragged);
  bridgeEnds(lines, rules.bridge, ink.width + graph.edge);
  mergeThrough(lines);
  pruneSpurs(lines, blunt, ragged);
  mergeForks(lines, 1.5 * ink.width + graph.edge);
  dropStray(lines, rules.leastLine);
  return chainStrokes(lines, 1.5 * ink.width + graph.edge);
}

/** Joins free ends that point at each other across missing ink, best pairs first. */
function bridgeEnds(lines: LineGraph, bridge: number, look: number): void {
  const ends: { node: number; place: Vec; way: Vec; arc: number }[] = [];
  lines.nodes.forEach((node, n) => {
    if (node.arcs.size !== 1) return;
    const [i] = node.arcs;
    const arc = lines.arcs[i]!;
    const run = arc.ends[0] === n ? arc.points : arc.points.slice().reverse();
    ends.push({ node: n, place: node.place, way: unit(sub(node.place, pointAlong(run, 2 * look))), arc: i });
  });
  const pairs: { a: number; b: number; cost: number }[] = [];
  for (let a = 0; a < ends.length; a++) {
    for (let b = a + 1; b < ends.length; b++) {
      const step = sub(ends[b].place, ends[a].place);
      const gap = size(step);
      if (gap > bridge + look) continue;
      const way = unit(step);
      const bend = Math.max(1 - dot(ends[a].way, way), 1 + dot(ends[b].way, way));
      // Near ends may be askew: thinning leaves them up to half a line's width off.
      if (bend < (gap < look ? 0.9 : 0.4)) pairs.push({ a, b, cost: gap * (1 + 3 * bend) });
    }
  }
  pairs.sort((x, y) => x.cost - y.cost || x.a - y.a || x.b - y.b);
  const done = new Set<number>();
  for (const { a, b } of pairs) {
    if (done.has(a) || done.has(b)) continue;
    done.add(a).add(b);
    const i =
      lines.arcs.push({ ends: [ends[a].node, ends[b].node], points: [ends[a].place, ends[b].place] }) - 1;
    lines.nodes[ends[a].node].arcs.add(i);
    lines.nodes[ends[b].node].arcs.add(i);
  }
}

/** Drops connected sets of lines that are too short in all to be meant. */
function dropStray(lines: LineGraph, least: number): void {
  const seen = new Set<number>();
  lines.arcs.forEach((arc, seed) => {
    if (!arc || seen.has(seed)) return;
    const set = [seed];
    seen.add(seed);
    for (let i = 0; i < set.length; i++) {
      for (const n of lines.arcs[set[i]]!.ends) {
        if (n < 0) continue;
        for (const j of lines.nodes[n].arcs) {
          if (!seen.has(j)) {
            seen.add(j);
            set.push(j);
          }
        }
      }
    }
    const total = set.reduce((sum, i) => sum + runLength(lines.arcs[i]!.points), 0);
    if (total < least) for (const i of set) dropArc(lines, i);
  });
}
