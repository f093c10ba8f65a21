import { polylineLength, type Point } from "@peltry/geometry";
import { fail, type Place } from "@peltry/issues";
import type { Edge, Pattern } from "@peltry/pattern";
import type { PatchCutting } from "@peltry/seams";
import type { ClosurePart } from "../project/schema";
import { edgeOf, key, type EdgeRef, type Stretch } from "./fitted-closure";
import { asMm } from "./lay-out-panels";

/** A closure of the project file, or one that another key implies. */
export type Given = ClosurePart & { readonly implied?: string };

/** A pattern with a place left open for a closure. */
export interface Opened {
  readonly pattern: Pattern;
  readonly stretches: readonly Stretch[];
  readonly length: number;
  readonly from: string;
  /** Edges, as `panel/edge`, that run toward the end that is counted from. */
  readonly backward: ReadonlySet<string>;
}

/**
 * Leaves a line of seams open from its upper or lower end on.
 *
 * @throws `run/closure-misses`
 */
export function openSeams(pattern: Pattern, given: Given, cutting: PatchCutting, at: Place): Opened {
  const height = ({ patch, path }: { patch: string; path: readonly number[] }, end: "first" | "last") => {
    const { mesh } = cutting.patches.find((each) => each.id === patch)!;
    return mesh.positions[3 * path[end === "first" ? 0 : path.length - 1] + 1];
  };
  const isTop = (given.from ?? "top") === "top";
  const line = cutting.seams
    .filter(({ id, lines }) => lines.includes(given.along) && pattern.seams.some((seam) => seam.id === id))
    .map((seam) => ({ id: seam.id, first: height(seam.a, "first"), last: height(seam.a, "last") }))
    .sort((p, q) =>
      isTop
        ? Math.max(q.first, q.last) - Math.max(p.first, p.last)
        : Math.min(p.first, p.last) - Math.min(q.first, q.last),
    );
  if (line.length === 0) {
    fail(
      "run/closure-misses",
      `Closure "${given.id}" lies along "${given.along}", which is no seam here.`,
      at,
      {
        found: given.along,
        limit: [...new Set(cutting.seams.flatMap(({ lines }) => lines))].join(", "),
        fix: "Name one of the part’s seam lines, or add the line under seams.lines.",
      },
    );
  }
  const seams = line.map(({ id }) => pattern.seams.find((seam) => seam.id === id)!);
  const lengths = seams.map((seam) => polylineLength(edgeOf(pattern, seam.a).points));
  const whole = lengths.reduce((sum, each) => sum + each, 0);
  const length = lengthWithin(given, 20, whole, "seam", at);
  let opened = pattern;
  let from = 0;
  const stretches: Stretch[] = [];
  const backward = new Set<string>();
  for (const [k, seam] of seams.entries()) {
    if (length - from < 0.05) break;
    const share = Math.min(1, (length - from) / lengths[k]);
    const startsHere = isTop === line[k].first > line[k].last;
    const underStarts = seam.reversed ? !startsHere : startsHere;
    const [upper, under] = [
      part(opened, seam.a, share, startsHere),
      part(opened, seam.b, share, underStarts),
    ];
    opened = {
      ...opened,
      panels: opened.panels.map((panel) => ({
        ...panel,
        edges: panel.edges.flatMap((edge) =>
          key(seam.a) === key({ panel: panel.id, edge: edge.id })
            ? upper.edges
            : key(seam.b) === key({ panel: panel.id, edge: edge.id })
              ? under.edges
              : [edge],
        ),
      })),
      seams: opened.seams.filter(({ id }) => share < 1 || id !== seam.id),
    };
    if (!startsHere) backward.add(key(upper.open));
    if (!underStarts) backward.add(key(under.open));
    stretches.push({ upper: upper.open, under: under.open, from, length: share * lengths[k] });
    from += share * lengths[k];
  }
  return { pattern: opened, stretches, length: from, from: isTop ? "upper end" : "lower end", backward };
}

/**
 * Two edges of a part that is drawn by rule, such as the ends of a band: `band/right` onto `band/left`.
 *
 * @throws `run/closure-misses`
 */
export function wholeEdges(pattern: Pattern, id: string, given: Given, at: Place): Opened {
  const [upper, under] = [given.along, given.to ?? given.along].map((text): EdgeRef => {
    const [panel, edge] = text.split("/");
    const found = pattern.panels.find((each) => each.id === `${id}-${panel}`);
    const open = found?.edges.find((each) => each.id === edge && each.role === "opening");
    if (found && open) return { panel: found.id, edge: open.id };
    const known = pattern.panels.flatMap((each) =>
      each.edges.flatMap((one) =>
        one.role === "opening" ? [`${each.id.slice(id.length + 1)}/${one.id}`] : [],
      ),
    );
    return fail(
      "run/closure-misses",
      `Closure "${given.id}" names "${text}", which is no open edge here.`,
      at,
      {
        found: text,
        limit: known.join(", ") || "none: give the band an overlapMm",
        fix: "Name panel and edge, such as along: band/right, to: band/left.",
      },
    );
  });
  const whole = polylineLength(edgeOf(pattern, upper).points);
  const length = lengthWithin(given, 10, whole, "edge", at);
  return {
    pattern,
    stretches: [{ upper, under, from: 0, length }],
    length,
    from: "lower end",
    // Both ends of a band are counted from the same side of it.
    backward: new Set(key(upper) === key(under) ? [] : [key(under)]),
  };
}

/** Length of a closure, mm: that of what it lies along unless it is given. */
function lengthWithin(given: Given, least: number, most: number, what: string, at: Place): number {
  const length = given.lengthMm === undefined ? most : asMm(given.lengthMm);
  if (length >= least && length <= most + 0.05) return length;
  return fail(
    "run/closure-misses",
    `Closure "${given.id}" is ${Math.round(length)} mm long; the ${what} is ${Math.round(most)} mm.`,
    at,
    {
      found: Math.round(length),
      limit: `${least} to ${Math.round(most)}`,
      fix: "Give it a length in that range.",
    },
  );
}

/** An edge of which one end stays open: the open stretch loses its seam. */
function part(
  pattern: Pattern,
  ref: EdgeRef,
  share: number,
  atStart: boolean,
): { edges: Edge[]; open: EdgeRef } {
  const edge = edgeOf(pattern, ref);
  const open = { panel: ref.panel, edge: `${edge.id}-open` };
  const { seam: _seam, ...free } = edge;
  const opening = (points: readonly Point[]): Edge => ({
    ...free,
    id: open.edge,
    role: "opening",
    points,
    ...(edge.name ? { name: `${edge.name}, closure` } : {}),
  });
  if (share > 1 - 1e-6) return { edges: [opening(edge.points)], open };
  const [first, second] = splitAt(edge.points, (atStart ? share : 1 - share) * polylineLength(edge.points));
  return {
    edges: atStart
      ? [opening(first), { ...edge, points: second }]
      : [{ ...edge, points: first }, opening(second)],
    open,
  };
}

function splitAt(points: readonly Point[], length: number): [Point[], Point[]] {
  let left = length;
  for (let i = 1; i < points.length; i++) {
    const [p, q] = [points[i - 1], points[i]];
    const step = Math.hypot(q[0] - p[0], q[1] - p[1]);
    if (step < left) {
      left -= step;
      continue;
    }
    const cut: Point = [p[0] + (left / step) * (q[0] - p[0]), p[1] + (left / step) * (q[1] - p[1])];
    return [
      [...points.slice(0, i), cut],
      [cut, ...points.slice(i)].filter(
        (point, k) => k === 0 || Math.hypot(point[0] - cut[0], point[1] - cut[1]) > 1e-9,
      ),
    ];
  }
  return [[...points], [points[points.length - 1]]];
}
