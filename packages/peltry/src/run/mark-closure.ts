import { stationAt, type Point } from "@peltry/geometry";
import type { Marking, Pattern } from "@peltry/pattern";
import { edgeOf, key, type FittedClosure, type Stretch } from "./fitted-closure";

/** Length of a tick across the sew line, mm. */
const TICK_MM = 8;

/** Marks on both banks: inside the sew line of the upper one, as ticks on the sew line of one that reaches under it. */
export function markBanks(pattern: Pattern, closure: FittedClosure, backward: ReadonlySet<string>): Pattern {
  return closure.stretches.reduce(
    (whole, stretch) =>
      (["upper", "under"] as const).reduce((each, bank): Pattern => {
        const ref = stretch[bank];
        if (bank === "under" && key(ref) === key(stretch.upper)) return each;
        const isBackward = backward.has(key(ref));
        const run = edgeOf(each, ref).points;
        const points = isBackward ? [...run].reverse() : run;
        const onPanel = each.panels.find(({ id }) => id === ref.panel)!;
        // On a band folded lengthwise the bank on top has its part on the half that comes to lie inside.
        const fold = bank === "upper" ? onPanel.markings.find(({ id }) => id === "fold")?.points : undefined;
        const markings = marksOf(closure, stretch, bank, (s, inward) => {
          const point = beside(points, s - stretch.from, isBackward ? -inward : inward);
          return fold ? mirrored(point, fold) : point;
        });
        const note =
          noteOf(closure, bank === "under") + (fold ? " That is the half beyond the fold line." : "");
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
  if (isUnder && extension === 0)
    return `Closure ${id}: this bank lies underneath; its part of the ${what} sits on the outside, ${overlap / 2} mm from the edge.`;
  return isUnder
    ? `Closure ${id}: this bank reaches ${overlap} mm under the other; its part of the ${what} sits in the middle of that strip, opposite the ticks, counted from the ${from}.`
    : `Closure ${id}: this bank lies on top; its part of the ${what} sits on the inside, ${overlap / 2} mm from the edge.`;
}

/** A point on the other side of a straight line. */
function mirrored([x, y]: Point, line: readonly Point[]): Point {
  const [[ax, ay], [bx, by]] = [line[0], line[line.length - 1]];
  const [dx, dy] = [bx - ax, by - ay];
  const t = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy);
  return [2 * (ax + t * dx) - x, 2 * (ay + t * dy) - y];
}

/** A point of a polyline by its length along it, moved to its left by so much. */
function beside(points: readonly Point[], along: number, left: number): Point {
  const { point, tangent } = stationAt(points, along);
  return [point[0] - left * tangent[1], point[1] + left * tangent[0]];
}
