import { placeClosure, type Closure } from "@peltry/forms";
import { polylineLength, type Point } from "@peltry/geometry";
import { fail, type Place } from "@peltry/issues";
import type { Edge, Marking, Pattern } from "@peltry/pattern";
import type { PatchCutting } from "@peltry/seams";
import type { ReadProject } from "../project/read-project";
import type { ClosurePart, ProjectPart } from "../project/schema";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import type { MadePart } from "./made-part";

/** A closure where it sits on the pattern: the upper bank laps over the under one. */
export interface FittedClosure extends Closure {
  readonly id: string;
  /** The stretches of it in turn: one, or several where other seams cross it. */
  readonly stretches: readonly Stretch[];
  /** mm, and where it is counted from. */
  readonly length: number;
  readonly from: string;
  /** What the under bank is cut wider by, mm: 0 where the part has its overlap already. */
  readonly extension: number;
}

/** A stretch of a closure between two banks. */
export interface Stretch {
  readonly upper: EdgeRef;
  readonly under: EdgeRef;
  /** Where it begins and how long it is, mm along the closure. */
  readonly from: number;
  readonly length: number;
}

interface EdgeRef {
  readonly panel: string;
  readonly edge: string;
}

/** Turned in beyond an overlap, mm. Common practice, no source. */
export const TURN_IN_MM = 10;
/** Length of a tick across the sew line, mm. */
const TICK_MM = 8;

/**
 * Snaps, zips, hooks and hook-and-loop of a part: the seam is left open along each, and both banks are marked.
 *
 * @param cutting - of a part that was cut from a form, whose closures lie along its lines; absent for one drawn by rule,
 * whose closures name their edges
 * @throws `run/closure-misses`, `forms/bad-part`
 */
export function addClosures(
  made: MadePart,
  input: { readonly read: ReadProject; readonly index: number; readonly cutting?: PatchCutting },
): MadePart {
  const list = closuresOf(made.part);
  const closures: FittedClosure[] = [];
  let pattern = made.pattern;
  for (const [i, given] of list.entries()) {
    const path = ["parts", input.index, ...(given.implied ? [given.implied] : ["closures", i])];
    const at = input.read.place(path);
    const opened = input.cutting
      ? openSeams(pattern, given, input.cutting, at)
      : wholeEdges(pattern, made.part.id, given, at);
    const closure = located(input.read, path, () =>
      placeClosure({
        kind: given.kind,
        length: opened.length,
        spacing: given.spacingMm,
        end: given.endMm,
        width: given.widthMm,
      }),
    );
    const fitted: FittedClosure = {
      ...closure,
      id: given.id,
      stretches: opened.stretches,
      length: opened.length,
      from: opened.from,
      extension: input.cutting ? closure.overlap : 0,
    };
    closures.push(fitted);
    pattern = markBanks(opened.pattern, fitted, opened.backward);
  }
  return closures.length === 0 ? made : { ...made, pattern, closures };
}

type Given = ClosurePart & { readonly implied?: string };

/** The closures of a part; the zip that a boot cover is entered by is one. */
function closuresOf(part: ProjectPart): Given[] {
  const given = part.closures ?? [];
  if (part.kind !== "boot-cover" || part.zipMm === undefined || given.length > 0) return given;
  const along = part.seams?.lines?.[0] ?? "back-line";
  return [{ id: "zip", kind: "zip", along, lengthMm: part.zipMm, implied: "zipMm" }];
}

interface Opened {
  readonly pattern: Pattern;
  readonly stretches: readonly Stretch[];
  readonly length: number;
  readonly from: string;
  /** Edges, as `panel/edge`, that run toward the end that is counted from. */
  readonly backward: ReadonlySet<string>;
}

const key = ({ panel, edge }: EdgeRef): string => `${panel}/${edge}`;

/** Leaves a line of seams open from its upper or lower end on. */
function openSeams(pattern: Pattern, given: Given, cutting: PatchCutting, at: Place): Opened {
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
  const length = given.lengthMm === undefined ? whole : asMm(given.lengthMm);
  if (!(length >= 20 && length <= whole + 0.05)) {
    fail(
      "run/closure-misses",
      `Closure "${given.id}" is ${Math.round(length)} mm long; the seam is ${Math.round(whole)} mm.`,
      at,
      {
        found: Math.round(length),
        limit: `20 to ${Math.round(whole)}`,
        fix: "Give it a length in that range.",
      },
    );
  }
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

function edgeOf(pattern: Pattern, { panel, edge }: EdgeRef): Edge {
  return pattern.panels.find(({ id }) => id === panel)!.edges.find(({ id }) => id === edge)!;
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

/** Two edges of a part that is drawn by rule, such as the ends of a band: `band/right` onto `band/left`. */
function wholeEdges(pattern: Pattern, id: string, given: Given, at: Place): Opened {
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
  const length = given.lengthMm === undefined ? whole : asMm(given.lengthMm);
  if (!(length >= 10 && length <= whole + 0.05)) {
    fail(
      "run/closure-misses",
      `Closure "${given.id}" is ${Math.round(length)} mm long; the edge is ${Math.round(whole)} mm.`,
      at,
      {
        found: Math.round(length),
        limit: `10 to ${Math.round(whole)}`,
        fix: "Give it a length in that range.",
      },
    );
  }
  return {
    pattern,
    stretches: [{ upper, under, from: 0, length }],
    length,
    from: "lower end",
    // Both ends of a band are counted from the same side of it.
    backward: new Set(key(upper) === key(under) ? [] : [key(under)]),
  };
}

/** Marks on both banks: inside the sew line of the upper one, as ticks on the sew line of one that reaches under it. */
function markBanks(pattern: Pattern, closure: FittedClosure, backward: ReadonlySet<string>): Pattern {
  return closure.stretches.reduce(
    (whole, stretch) =>
      (["upper", "under"] as const).reduce((each, bank): Pattern => {
        const ref = stretch[bank];
        if (bank === "under" && key(ref) === key(stretch.upper)) return each;
        const isBackward = backward.has(key(ref));
        const run = edgeOf(each, ref).points;
        const points = isBackward ? [...run].reverse() : run;
        const markings = marksOf(closure, stretch, bank, (s, inward) =>
          beside(points, s - stretch.from, isBackward ? -inward : inward),
        );
        const note = noteOf(closure, bank === "under");
        return {
          ...each,
          panels: each.panels.map((panel) =>
            panel.id !== ref.panel
              ? panel
              : {
                  ...panel,
                  markings: [...panel.markings, ...markings],
                  notes: [...new Set([...(panel.notes ?? []), note])],
                },
          ),
        };
      }, whole),
    pattern,
  );
}

function marksOf(
  { kind, id, at, overlap, extension }: FittedClosure,
  stretch: Stretch,
  bank: "upper" | "under",
  place: (along: number, inward: number) => Point,
): Marking[] {
  const what = kind.replace(/-/g, " ");
  const end = stretch.from + stretch.length;
  // Nothing is drawn outside a panel: what sits on the strip past the sew line is marked by ticks along that line.
  const isStrip = bank === "under" && extension > 0;
  if (kind === "hook-and-loop") {
    const [first, last] = [Math.max(at[0], stretch.from), Math.min(at[1], end)];
    if (last - first < 1) return [];
    const steps = Math.max(1, Math.ceil((last - first) / 20));
    const inset = isStrip ? 0.1 : overlap / 2;
    const points = Array.from({ length: steps + 1 }, (_, k) =>
      place(first + ((last - first) * k) / steps, inset),
    );
    const where = isStrip ? "on the strip past this line" : `${bank} side`;
    return [{ id: `${id}-${bank}-${Math.round(first)}`, kind: "line", points, label: `${what}, ${where}` }];
  }
  return at.flatMap((s, k): Marking[] => {
    if (s < stretch.from - 1e-6 || s > end + 1e-6) return [];
    const zip = k === 0 ? "zip from here" : "zip to here";
    const mark = { id: `${id}-${bank}-${k + 1}`, label: kind === "zip" ? zip : `${what} ${k + 1}` };
    return kind === "zip" || isStrip
      ? [{ ...mark, kind: "line", points: [place(s, 0.1), place(s, TICK_MM)] }]
      : [{ ...mark, kind: "drill", points: [place(s, overlap / 2)] }];
  });
}

function noteOf({ kind, overlap, extension, from, id }: FittedClosure, isUnder: boolean): string {
  const what = kind.replace(/-/g, " ");
  if (kind === "zip")
    return `Closure ${id}: the ${what} lies with its teeth on the sew line, between the two marks.`;
  return isUnder && extension > 0
    ? `Closure ${id}: this bank reaches ${overlap} mm under the other; its part of the ${what} sits in the middle of that strip, opposite the ticks, counted from the ${from}.`
    : `Closure ${id}: this bank lies on top; its part of the ${what} sits on the inside, ${overlap / 2} mm from the edge.`;
}

/** A point of a polyline by its length along it, moved to its left by so much. */
function beside(points: readonly Point[], along: number, left: number): Point {
  let rest = along;
  for (let i = 1; i < points.length; i++) {
    const [p, q] = [points[i - 1], points[i]];
    const step = Math.hypot(q[0] - p[0], q[1] - p[1]);
    if (rest > step + 1e-9 && i + 1 < points.length) {
      rest -= step;
      continue;
    }
    const [ux, uy] = [(q[0] - p[0]) / step, (q[1] - p[1]) / step];
    return [p[0] + rest * ux - left * uy, p[1] + rest * uy + left * ux];
  }
  return points[0];
}
