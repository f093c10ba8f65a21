import { assertOptions, assertPatternForm } from "./check/check-form";
import { polylineLength } from "@peltry/geometry";
import { curvaturePeaks, type CurvaturePeakOptions } from "./curvature-peaks";
import { findEdge, findPanel } from "./outline";
import type { Edge, EdgeRef, MatchPoint, Notch, Panel, Pattern, Seam } from "./types";

/** Where notches are put. All lengths in mm. */
export interface NotchRules extends CurvaturePeakOptions {
  /** Seams shorter than this get none. */
  readonly leastSeam?: number;
  /** Seams from this length on get all three quarter points, shorter ones only their middle. */
  readonly quartersFrom?: number;
  /** No notch nearer than this to an end of the seam. */
  readonly clearEnds?: number;
  /** Two notches of a seam stand at least this far apart. */
  readonly leastGap?: number;
  /** Also where a curve is tightest, on either side. */
  readonly peaks?: boolean;
  /** Also at both ends of a dart's mouth. */
  readonly dartMouths?: boolean;
  /** Ids of the seams whose notches are double; when left out they are chosen so that seams of one panel that could be mistaken for each other differ. */
  readonly doubleSeams?: readonly string[];
}

/**
 * Spacing and kinds of notches where nothing else is asked.
 *
 * @source common practice, no source: figures of a home sewer's drafting habit
 */
export const NOTCH_DEFAULTS: Readonly<
  Required<Pick<NotchRules, "leastSeam" | "quartersFrom" | "clearEnds" | "leastGap" | "peaks" | "dartMouths">>
> = Object.freeze({
  leastSeam: 80,
  quartersFrom: 200,
  clearEnds: 25,
  leastGap: 30,
  peaks: true,
  dartMouths: true,
});

/** Lengths within this part of each other can be mistaken. */
const ALIKE = 0.1;
/** A stretch between match points whose sides differ by more than this is eased. */
const EASED = 0.01;

/**
 * The pattern with match points on every seam and the notches that stand for them on both sides. Match points that
 * are there already stay and come first; new ones go, in this order, to the ends and middle of eased stretches, to where a
 * curve is tightest on either side, and to the quarter points, as far as they keep their distance. Notches without
 * a match point stay.
 *
 * @returns a new pattern; seams whose sides are missing are left as they are
 * @throws PeltryError `pattern/bad-form` when it is no pattern, `pattern/bad-options` when the rules are none
 */
export function placeNotches(pattern: Pattern, rules: NotchRules = {}): Pattern {
  assertPatternForm(pattern);
  assertOptions(rules);
  const settings = { ...NOTCH_DEFAULTS, ...rules };
  const doubles = rules.doubleSeams ? new Set(rules.doubleSeams) : seamsToDouble(pattern);
  const notches = new Map<string, Notch[]>();
  const note = (ref: EdgeRef, notch: Notch): void => {
    const key = JSON.stringify([ref.panel, ref.edge]);
    notches.set(key, [...(notches.get(key) ?? []), notch]);
  };
  const seams = pattern.seams.map((seam): Seam => {
    const matchPoints = matchSeam(pattern, seam, settings);
    if (!matchPoints) return seam;
    for (const point of matchPoints) {
      const kind = doubles.has(seam.id) ? "double" : "single";
      note(seam.a, { at: point.a, kind, match: point.id });
      note(seam.b, { at: point.b, kind, match: point.id });
    }
    return { ...seam, matchPoints };
  });
  const panels = pattern.panels.map((panel): Panel => {
    const mouths = settings.dartMouths ? dartMouths(panel) : new Map<string, Notch[]>();
    const renew = (edge: Edge): Edge => {
      const placed = notches.get(JSON.stringify([panel.id, edge.id])) ?? [];
      const loose = (edge.notches ?? []).filter((notch) => notch.match === undefined);
      const mouth = (mouths.get(edge.id) ?? []).filter(
        (one) => !loose.some((old) => Math.abs(old.at - one.at) < 1),
      );
      const all = [...loose, ...mouth, ...placed].sort((one, two) => one.at - two.at);
      return all.length > 0 || edge.notches ? { ...edge, notches: all } : edge;
    };
    return {
      ...panel,
      edges: panel.edges.map(renew),
      ...(panel.holes ? { holes: panel.holes.map((hole) => hole.map(renew)) } : {}),
    };
  });
  return { ...pattern, panels, seams };
}

function edgeOf(pattern: Pattern, ref: EdgeRef): Edge | undefined {
  const panel = findPanel(pattern, ref.panel);
  return panel && findEdge(panel, ref.edge);
}

function matchSeam(
  pattern: Pattern,
  seam: Seam,
  rules: typeof NOTCH_DEFAULTS & NotchRules,
): MatchPoint[] | undefined {
  const [edgeA, edgeB] = [edgeOf(pattern, seam.a), edgeOf(pattern, seam.b)];
  if (!edgeA || !edgeB) return undefined;
  const [lengthA, lengthB] = [polylineLength(edgeA.points), polylineLength(edgeB.points)];
  // Along the seam: both lengths counted the way of side a.
  const along = (b: number): number => (seam.reversed ? lengthB - b : b);
  const given = [...seam.matchPoints].sort((one, two) => one.a - two.a);
  if (Math.min(lengthA, lengthB) < rules.leastSeam || edgeA.role === "dart") return given;
  const stations = [[0, 0], ...given.map((point) => [point.a, along(point.b)]), [lengthA, lengthB]];
  const toB = (a: number): number => interpolate(stations, a);
  const toA = (b: number): number =>
    interpolate(
      stations.map(([a, bb]) => [bb, a]),
      b,
    );
  const wanted: number[] = [];
  for (let i = 1; i < stations.length; i++) {
    const [[a0, b0], [a1, b1]] = [stations[i - 1], stations[i]];
    const [stepA, stepB] = [a1 - a0, b1 - b0];
    if (Math.abs(stepA - stepB) > EASED * Math.max(stepA, stepB))
      wanted.push(a0, a1, (a0 + a1) / 2, a0 + stepA / 4, a1 - stepA / 4);
  }
  if (rules.peaks) {
    wanted.push(
      ...curvaturePeaks(edgeA.points, rules),
      ...curvaturePeaks(edgeB.points, rules).map((b) => toA(along(b))),
    );
  }
  wanted.push(lengthA / 2);
  if (lengthA >= rules.quartersFrom) wanted.push(lengthA / 4, (3 * lengthA) / 4);
  const kept = given.map((point) => point.a);
  const fresh: number[] = [];
  for (const a of wanted) {
    if (a < rules.clearEnds || a > lengthA - rules.clearEnds) continue;
    if ([...kept, ...fresh].some((other) => Math.abs(other - a) < rules.leastGap)) continue;
    fresh.push(a);
  }
  const taken = new Set(given.map((point) => point.id));
  const made = fresh
    .sort((one, two) => one - two)
    .map((a) => ({ a: round(a), b: round(seam.reversed ? lengthB - toB(a) : toB(a)) }));
  let number = 0;
  const points = made.map((place): MatchPoint => {
    do number++;
    while (taken.has(`${seam.letter}${number}`));
    return { id: `${seam.letter}${number}`, ...place };
  });
  return [...given, ...points].sort((one, two) => one.a - two.a);
}

/** A thousandth of a millimetre: files stay short, nothing that shows is lost. */
function round(x: number): number {
  return Math.round(x * 1000) / 1000;
}

function interpolate(stations: readonly (readonly number[])[], x: number): number {
  for (let i = 1; i < stations.length; i++) {
    const [[x0, y0], [x1, y1]] = [stations[i - 1], stations[i]];
    if (x <= x1 || i + 1 === stations.length) return x1 > x0 ? y0 + ((y1 - y0) * (x - x0)) / (x1 - x0) : y0;
  }
  return x;
}

/** Seams that take double notches, so that no two seams of like length on one panel carry the same kind if it can be helped. */
function seamsToDouble(pattern: Pattern): Set<string> {
  const doubles = new Set<string>();
  const lengths = new Map(
    pattern.seams.map((seam) => {
      const edge = edgeOf(pattern, seam.a);
      return [seam.id, edge ? polylineLength(edge.points) : 0];
    }),
  );
  pattern.seams.forEach((seam, i) => {
    const length = lengths.get(seam.id)!;
    let against = 0;
    for (const other of pattern.seams.slice(0, i)) {
      const shared = [other.a.panel, other.b.panel].some((id) => id === seam.a.panel || id === seam.b.panel);
      const size = lengths.get(other.id)!;
      if (!shared || Math.abs(size - length) > ALIKE * Math.max(size, length)) continue;
      against += doubles.has(other.id) ? -1 : 1;
    }
    if (against > 0) doubles.add(seam.id);
  });
  return doubles;
}

function dartMouths(panel: Panel): Map<string, Notch[]> {
  const marks = new Map<string, Notch[]>();
  const add = (edge: Edge | undefined, at: number): void => {
    if (!edge || edge.role === "dart") return;
    marks.set(edge.id, [...(marks.get(edge.id) ?? []), { at, kind: "single" }]);
  };
  const rings = [panel.edges, ...(panel.holes ?? [])];
  for (const dart of panel.darts) {
    for (const ring of rings) {
      const first = ring.findIndex((edge) => edge.id === dart.legs[0]);
      if (first < 0) continue;
      const before = ring[(first + ring.length - 1) % ring.length];
      add(before, polylineLength(before.points));
      add(ring[(first + 2) % ring.length], 0);
    }
  }
  return marks;
}
