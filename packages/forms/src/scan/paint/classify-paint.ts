// Approaches tried: nearest reference colour (fails in shadow), colour with its lightness taken out (fails between greys),
// a smooth light field found together with the labels (this one).
import { smoothField, type SurfaceGraph } from "./surface-graph";

/** r, g, b, 0..255. */
export type Colour = readonly [number, number, number];

/** What each vertex is painted with. */
export interface PaintField {
  /** Share of each paint at each vertex, 0..1, smooth; summing to 1. One array a paint. */
  readonly shares: readonly Float64Array[];
  /** Paint with the greatest share. */
  readonly label: Int32Array;
  /** How much of the vertex is ink, 0..1; all 0 without an ink colour. */
  readonly ink: Float64Array;
  /** Light on each vertex: 1 shows a paint as its reference. */
  readonly light: Float64Array;
}

/** What {@link classifyPaint} is told. */
export interface PaintRules {
  /** Reference colours of each paint; a paint may have several. */
  readonly paints: readonly (readonly Colour[])[];
  readonly ink?: Colour | undefined;
  /** How far shares are smoothed, mm. */
  readonly reach: number;
  /** Vertices whose colour says nothing (filled holes). */
  readonly blind?: Uint8Array | undefined;
}

/** Light that a scan may show a paint in, as a share of its reference: deep shadow to a bright spot. */
const LIGHT = { least: 0.3, usual: 0.85, most: 1.25 };
/** Scatter of a scanned colour: a share of its value (shading of small bumps) and a floor (camera noise). */
const SCATTER = { share: 0.07, floor: 6 };

/**
 * Decides which paint each vertex carries, whatever the light, and how much ink lies over it.
 *
 * @remarks A seen colour is light × reference, the light smooth over the surface; ink is a mix of that with the ink's
 * colour. Two passes: light from the surest vertices, then labels under that light. Near linear.
 */
export function classifyPaint(graph: SurfaceGraph, colors: Uint8Array, rules: PaintRules): PaintField {
  const count = graph.vertexCount;
  const first = firstGuess(graph, colors, rules);
  let { label, sure } = first;
  let light = first.light;
  let shares: Float64Array[] = [];
  let ink: Float64Array = new Float64Array(count);
  for (let pass = 0; pass < 2; pass++) {
    light = smoothField(graph, light, sure, Math.max(25, 4 * graph.edge), 16);
    ink = inkShare(graph, colors, rules, light, label);
    const weight = new Float64Array(count);
    const likely = likelihood(colors, rules, light, ink, weight);
    shares = smoothShares(graph, likely, weight, rules.reach);
    label = greatest(shares, count);
    sure = new Float64Array(count);
    for (let v = 0; v < count; v++) {
      const own = shares[label[v]][v];
      sure[v] = weight[v] * Math.max(0, 2 * own - 1) ** 2 + 1e-6;
      light[v] = lightOf(colors, v, rules.paints[label[v]], light[v]);
    }
  }
  return { shares, label, ink, light };
}

/** Smooths all shares; the last is what the others leave, since they sum to 1 before and after. */
function smoothShares(
  graph: SurfaceGraph,
  likely: readonly Float64Array[],
  weight: Float64Array,
  reach: number,
): Float64Array[] {
  const out = likely.slice(0, -1).map((p) => smoothField(graph, p, weight, reach, 24));
  const last = new Float64Array(weight.length).fill(1);
  for (const share of out) for (let v = 0; v < last.length; v++) last[v] -= share[v];
  return [...out, last];
}

/** Best light for a colour under a paint, kept in the usual range, by least squares; the paint's nearest reference counts. */
function lightOf(colors: Uint8Array, v: number, paint: readonly Colour[], near?: number): number {
  let best = LIGHT.usual;
  let least = Infinity;
  for (const r of paint) {
    const s = fitLight(colors, v, r);
    const d = offRay(colors, v, r, s) + (near === undefined ? 0 : 400 * (s - near) ** 2);
    if (d < least) {
      least = d;
      best = s;
    }
  }
  return best;
}

function fitLight(colors: Uint8Array, v: number, r: Colour): number {
  const square = r[0] * r[0] + r[1] * r[1] + r[2] * r[2] || 1;
  const dot = colors[3 * v] * r[0] + colors[3 * v + 1] * r[1] + colors[3 * v + 2] * r[2];
  return Math.max(LIGHT.least, Math.min(LIGHT.most, dot / square));
}

/** Squared distance of a colour from s × reference, in units of its scatter. */
function offRay(colors: Uint8Array, v: number, r: Colour, s: number): number {
  const size = Math.sqrt(r[0] * r[0] + r[1] * r[1] + r[2] * r[2]);
  const d =
    (colors[3 * v] - s * r[0]) ** 2 +
    (colors[3 * v + 1] - s * r[1]) ** 2 +
    (colors[3 * v + 2] - s * r[2]) ** 2;
  return d / ((SCATTER.share * s * size) ** 2 / 3 + SCATTER.floor ** 2);
}

function firstGuess(
  graph: SurfaceGraph,
  colors: Uint8Array,
  rules: PaintRules,
): { label: Int32Array; sure: Float64Array; light: Float64Array } {
  const count = graph.vertexCount;
  const label = new Int32Array(count);
  const sure = new Float64Array(count);
  const light = new Float64Array(count);
  for (let v = 0; v < count; v++) {
    let least = Infinity;
    let second = Infinity;
    rules.paints.forEach((paint, c) => {
      let cost = Infinity;
      let s = LIGHT.usual;
      for (const r of paint) {
        const t = fitLight(colors, v, r);
        const d = offRay(colors, v, r, t) + ((t - LIGHT.usual) / 0.2) ** 2;
        if (d < cost) [cost, s] = [d, t];
      }
      if (cost < least) {
        second = least;
        least = cost;
        label[v] = c;
        light[v] = s;
      } else second = Math.min(second, cost);
    });
    const asInk = rules.ink ? offRay(colors, v, rules.ink, 1) : Infinity;
    const lead = Math.min(second, asInk) - least;
    sure[v] = rules.blind?.[v] ? 0 : lead > 0 ? Math.min(1, lead / 6) : 1e-4;
  }
  return { label, sure, light };
}

/** How far each colour lies on the way from the paints around to the ink: the least over the paints within two steps. */
function inkShare(
  graph: SurfaceGraph,
  colors: Uint8Array,
  rules: PaintRules,
  light: Float64Array,
  label: Int32Array,
): Float64Array {
  const ink = new Float64Array(graph.vertexCount);
  const { ink: colour, paints } = rules;
  if (!colour) return ink;
  const near = new Float64Array(paints.length);
  for (let v = 0; v < ink.length; v++) {
    if (rules.blind?.[v]) continue;
    near.fill(0);
    near[label[v]] = 1;
    for (let i = graph.start[v]; i < graph.start[v + 1]; i++) {
      const w = graph.neighbours[i];
      near[label[w]] = 1;
      for (let j = graph.start[w]; j < graph.start[w + 1]; j++) near[label[graph.neighbours[j]]] = 1;
    }
    let share = 1;
    for (let c = 0; c < paints.length; c++) {
      if (!near[c]) continue;
      for (const r of paints[c]) share = Math.min(share, onTheWay(colors, v, r, light[v], colour));
    }
    ink[v] = Math.max(0, share);
  }
  return ink;
}

function onTheWay(colors: Uint8Array, v: number, r: Colour, s: number, ink: Colour): number {
  let dot = 0;
  let square = 0;
  for (let k = 0; k < 3; k++) {
    const way = ink[k] - s * r[k];
    dot += (colors[3 * v + k] - s * r[k]) * way;
    square += way * way;
  }
  return square > 0 ? dot / square : 0;
}

/** Likelihood of each paint under the light; ink and blind vertices get no weight. */
function likelihood(
  colors: Uint8Array,
  rules: PaintRules,
  light: Float64Array,
  ink: Float64Array,
  weight: Float64Array,
): Float64Array[] {
  const count = weight.length;
  const out = rules.paints.map(() => new Float64Array(count));
  const cost = new Float64Array(rules.paints.length);
  for (let v = 0; v < count; v++) {
    let least = Infinity;
    for (let c = 0; c < cost.length; c++) {
      cost[c] = Infinity;
      for (const r of rules.paints[c]) {
        const s = fitLight(colors, v, r);
        cost[c] = Math.min(cost[c], offRay(colors, v, r, s) + ((s - light[v]) / 0.12) ** 2);
      }
      least = Math.min(least, cost[c]);
    }
    let sum = 0;
    for (let c = 0; c < cost.length; c++) sum += cost[c] = Math.exp(-0.5 * Math.min(60, cost[c] - least));
    for (let c = 0; c < cost.length; c++) out[c][v] = cost[c] / sum;
    // A little ink spoils the colour already.
    weight[v] = rules.blind?.[v] ? 0 : Math.max(0, 1 - 3.5 * ink[v]) ** 2 + 1e-4;
  }
  return out;
}

function greatest(shares: readonly Float64Array[], count: number): Int32Array {
  const label = new Int32Array(count);
  for (let v = 0; v < count; v++) {
    for (let c = 1; c < shares.length; c++) if (shares[c][v] > shares[label[v]][v]) label[v] = c;
  }
  return label;
}
