import {
  boundingBox,
  distance,
  outlineCrossings,
  pointInOutline,
  signedArea,
  type Outline,
  type Point,
} from "@peltry/geometry";
import type { HiddenLine, SplitProposal } from "./types";

/** What {@link proposeSplits} needs to know. */
export interface SplitQuestion {
  readonly outline: Outline;
  readonly hiddenLines: readonly HiddenLine[];
  /** Direction of the nap as drawn, degrees. */
  readonly napAngle: number;
  /** Cloth added on both sides of a cut, mm. */
  readonly allowance: number;
  /** Pieces that a part fits by itself. */
  readonly piecesFor: (part: Outline) => string[];
  /** Whether there is any such piece, where that is known sooner; most tries end with this question. */
  readonly fits?: (part: Outline) => boolean;
}

/** A split that was tried. */
interface Try {
  readonly lines: readonly Line[];
  readonly parts: readonly Point[][];
  readonly fits: boolean;
  /** Parts that fit, of the largest on, until one did not. */
  readonly fitting: number;
  readonly seamLength: number;
}

type Line = SplitProposal["lines"][number];

/** At most this many lines at once. */
const MOST_LINES = 3;

/**
 * Ways to split a panel into parts that fit singly: along its hidden lines, by rank; lacking a fit there, along
 * straight lines with and across the nap.
 *
 * @returns the best first: those that fit, with the fewest lines, the best ranks, the shortest seam. When nothing
 * fits, the most promising one with `fits: false`.
 */
export function proposeSplits(question: SplitQuestion): SplitProposal[] {
  const hidden = [...question.hiddenLines]
    .sort((a, b) => a.rank - b.rank)
    .map((line): Line => ({ points: [...line.points], rank: line.rank, kind: "hidden" }));
  const told = (tries: readonly Try[]): SplitProposal[] => tries.map((one) => toProposal(question, one));
  const fromHidden = tryAll(question, combinations(hidden));
  if (fromHidden.some(({ fits }) => fits)) return told(fromHidden.filter(({ fits }) => fits).slice(0, 3));
  const straight = tryAll(question, straightCuts(question));
  const fitting = straight.filter(({ fits }) => fits);
  if (fitting.length > 0) return told(fitting.slice(0, 3));
  const share = ({ fitting: count, parts }: Try): number => count / parts.length;
  const largest = ({ parts }: Try): number => Math.max(...parts.map((part) => Math.abs(signedArea(part))));
  const rest = [...fromHidden, ...straight].sort((p, q) => share(q) - share(p) || largest(p) - largest(q));
  return told(rest.slice(0, 1));
}

function toProposal({ piecesFor }: SplitQuestion, { lines, parts, fits, seamLength }: Try): SplitProposal {
  return {
    lines: [...lines],
    parts: parts.map((outline) => ({ outline, pieces: piecesFor(outline) })),
    fits,
    seamLength,
  };
}

/** Sets of one to three lines, fewer lines and better ranks first. */
function combinations(lines: readonly Line[]): Line[][] {
  const sets: Line[][] = [];
  for (let mask = 1; mask < 1 << Math.min(lines.length, 8); mask++) {
    const set = lines.filter((_, i) => (mask >> i) & 1);
    if (set.length <= MOST_LINES) sets.push(set);
  }
  const ranks = (set: readonly Line[]): number => set.reduce((sum, line) => sum + (line.rank ?? 0), 0);
  return sets.sort((a, b) => a.length - b.length || ranks(a) - ranks(b));
}

/** Straight cuts at even shares of the panel, along the nap, across it, and both. */
function straightCuts({ outline, napAngle }: SplitQuestion): Line[][] {
  const angle = (napAngle * Math.PI) / 180;
  const nap: Point = [Math.cos(angle), Math.sin(angle)];
  const across: Point = [nap[1], -nap[0]];
  const line = (along: Point, side: Point, share: number, kind: Line["kind"]): Line => {
    const on = (axis: Point): number[] => outline.map((p) => p[0] * axis[0] + p[1] * axis[1]);
    const sides = on(side);
    const lengths = on(along);
    const t = Math.min(...sides) + share * (Math.max(...sides) - Math.min(...sides));
    const reach = (value: number): Point => [side[0] * t + along[0] * value, side[1] * t + along[1] * value];
    return { points: [reach(Math.min(...lengths) - 1), reach(Math.max(...lengths) + 1)], kind };
  };
  const alongNap = (share: number): Line => line(nap, across, share, "along-nap");
  const acrossNap = (share: number): Line => line(across, nap, share, "across-nap");
  const shares = [0.5, 0.4, 0.6, 0.3, 0.7];
  const thirds = [1 / 3, 2 / 3];
  const quarters = [0.25, 0.5, 0.75];
  return [
    ...shares.flatMap((share) => [[alongNap(share)], [acrossNap(share)]]),
    thirds.map(alongNap),
    thirds.map(acrossNap),
    [alongNap(0.5), acrossNap(0.5)],
    quarters.map(alongNap),
    quarters.map(acrossNap),
    [...thirds.map(alongNap), acrossNap(0.5)],
    [alongNap(0.5), ...thirds.map(acrossNap)],
    [...thirds.map(alongNap), ...thirds.map(acrossNap)],
  ];
}

function tryAll(question: SplitQuestion, sets: readonly Line[][]): Try[] {
  const found: Try[] = [];
  let fewest = Infinity;
  for (const lines of sets) {
    if (lines.length > fewest) continue;
    const one = trySplit(question, lines);
    if (one === undefined) continue;
    found.push(one);
    if (one.fits) fewest = lines.length;
  }
  return found.sort((a, b) => Number(b.fits) - Number(a.fits));
}

function trySplit(question: SplitQuestion, lines: readonly Line[]): Try | undefined {
  const { outline, allowance, piecesFor } = question;
  let cutParts: CutPart[] = [{ points: [...outline], cut: outline.map(() => false) }];
  let seamLength = 0;
  for (const line of lines) {
    const cuts = cutParts.map((part) => cutOpen(part, line.points));
    seamLength += cuts.reduce((sum, cut) => sum + cut.length, 0);
    cutParts = cuts.flatMap((cut) => cut.parts);
  }
  if (cutParts.length < 2) return undefined;
  const parts = cutParts.map((part) => withAllowance(part, allowance));
  const largestFirst = [...parts].sort((a, b) => Math.abs(signedArea(b)) - Math.abs(signedArea(a)));
  const fits = question.fits ?? ((part) => piecesFor(part).length > 0);
  const misfit = largestFirst.findIndex((part) => !fits(part));
  const fitting = misfit < 0 ? parts.length : misfit;
  return { lines, parts, fits: misfit < 0, fitting, seamLength };
}

/** A part of a panel; `cut[i]` tells whether side i (from point i) is a new cut. */
interface CutPart {
  readonly points: Point[];
  readonly cut: boolean[];
}

/** Splits a part along every stretch of a line that runs through it. */
function cutOpen(part: CutPart, line: readonly Point[]): { parts: CutPart[]; length: number } {
  const chord = firstChord(part.points, line);
  if (chord === undefined) return { parts: [part], length: 0 };
  const { from, to, path } = chord;
  const side = (start: Hit, end: Hit, way: readonly Point[]): CutPart => {
    const points: Point[] = [start.at];
    const cut: boolean[] = [part.cut[start.side]];
    const n = part.points.length;
    for (let k = (start.side + 1) % n, guard = 0; guard < n; k = (k + 1) % n, guard++) {
      points.push(part.points[k]);
      cut.push(part.cut[k]);
      if (k === end.side) break;
    }
    if (start.side === end.side && end.t > start.t) {
      points.length = 1;
      cut.length = 1;
    }
    // From `end` back to `start` along the cut.
    for (let k = 0; k < way.length - 1; k++) {
      points.push(way[k]);
      cut.push(true);
    }
    return dropRepeats({ points, cut });
  };
  const back = [...path].reverse();
  const one = side(from, to, back);
  const two = side(to, from, path);
  const length = path.reduce((sum, p, k) => (k === 0 ? 0 : sum + distance(path[k - 1], p)), 0);
  const rest = [one, two]
    .filter((half) => Math.abs(signedArea(half.points)) > 1)
    .map((half) => cutOpen(half, line));
  return {
    parts: rest.flatMap((half) => half.parts),
    length: length + rest.reduce((sum, half) => sum + half.length, 0),
  };
}

function dropRepeats({ points, cut }: CutPart): CutPart {
  const kept = points.map((p, i) => distance(p, points[(i + 1) % points.length]) > 1e-6);
  return { points: points.filter((_, i) => kept[i]), cut: cut.filter((_, i) => kept[i]) };
}

interface Hit {
  readonly at: Point;
  readonly side: number;
  readonly t: number;
}

/** The first stretch of a line from border to border through the inside. */
function firstChord(
  outline: Outline,
  line: readonly Point[],
): { from: Hit; to: Hit; path: Point[] } | undefined {
  const hits: (Hit & { along: number })[] = [];
  for (let k = 0; k + 1 < line.length; k++) {
    for (let i = 0; i < outline.length; i++) {
      const hit = meet(line[k], line[k + 1], outline[i], outline[(i + 1) % outline.length]);
      if (hit !== undefined) hits.push({ at: hit.at, side: i, t: hit.u, along: k + hit.t });
    }
  }
  hits.sort((a, b) => a.along - b.along);
  for (let h = 0; h + 1 < hits.length; h++) {
    const [from, to] = [hits[h], hits[h + 1]];
    const between = line.filter((_, k) => k > from.along && k < to.along);
    const path = [from.at, ...between, to.at];
    if (distance(path[0], path[1]) < 1e-3) continue;
    const middle: Point = [(path[0][0] + path[1][0]) / 2, (path[0][1] + path[1][1]) / 2];
    const nearBorder = outline.some((p, i) => offLine(middle, p, outline[(i + 1) % outline.length]) < 1e-3);
    if (!nearBorder && pointInOutline(middle, outline) === "inside") return { from, to, path };
  }
  return undefined;
}

function offLine(p: Point, a: Point, b: Point): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** Meeting of a drawn segment (whose ends may stop up to 2 mm short of the border) with a side. */
function meet(a: Point, b: Point, c: Point, d: Point): { at: Point; t: number; u: number } | undefined {
  const rx = b[0] - a[0];
  const ry = b[1] - a[1];
  const sx = d[0] - c[0];
  const sy = d[1] - c[1];
  const det = rx * sy - ry * sx;
  if (det === 0) return undefined;
  const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / det;
  const u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / det;
  const slack = 2 / Math.hypot(rx, ry);
  if (t < -slack || t > 1 + slack || u < 0 || u >= 1) return undefined;
  return { at: [c[0] + u * sx, c[1] + u * sy], t, u };
}

/** The part with cloth added along its cut sides; as it is where that would make it cross itself. */
function withAllowance(part: CutPart, allowance: number): Point[] {
  const { points, cut } = part;
  const n = points.length;
  const sign = signedArea(points) >= 0 ? 1 : -1;
  const normal = (i: number): Point => {
    const [p, q] = [points[i], points[(i + 1) % n]];
    const size = distance(p, q) || 1;
    return [(sign * (q[1] - p[1])) / size, (-sign * (q[0] - p[0])) / size];
  };
  const grown: Point[] = [];
  for (let i = 0; i < n; i++) {
    const before = (i + n - 1) % n;
    const p = points[i];
    if (!cut[i] && !cut[before]) grown.push(p);
    else if (cut[i] && cut[before]) {
      const [a, b] = [normal(before), normal(i)];
      const scale = allowance / Math.max(0.25, 1 + a[0] * b[0] + a[1] * b[1]);
      grown.push([p[0] + (a[0] + b[0]) * scale, p[1] + (a[1] + b[1]) * scale]);
    } else {
      const m = normal(cut[i] ? i : before);
      const moved: Point = [p[0] + m[0] * allowance, p[1] + m[1] * allowance];
      grown.push(...(cut[i] ? [p, moved] : [moved, p]));
    }
  }
  const box = boundingBox(grown);
  const usable = Number.isFinite(box.minX) && outlineCrossings(grown).length === 0;
  return usable ? grown : [...points];
}
