import type { Marking } from "@peltry/pattern";
import { partNumber, partWord } from "./number";

/** Kinds of closure. */
export type ClosureKind = "snap" | "zip" | "hook-and-loop" | "hook-and-eye";

/** Length of the opening, kind of closure and what decides its spacing and overlap. */
export interface ClosureOptions {
  readonly kind: ClosureKind;
  /** Length of the opening from end to end, mm. */
  readonly length: number;
  /** Most between two snaps or hooks, mm; 50 and 25 by default. */
  readonly spacing?: number | undefined;
  /** From an end to the first snap, hook, tape or zip stop, mm; 12 by default. */
  readonly end?: number | undefined;
  /** Width of the tape or the cap, mm; 12 for snaps, 25 for hook-and-loop by default. */
  readonly width?: number | undefined;
}

/** What closes an opening, and where. */
export interface Closure {
  readonly kind: ClosureKind;
  /** mm from one end: of each snap or hook, or both ends of tape and zip. */
  readonly at: readonly number[];
  /** How far one side laps over the other, mm: as wide as the cap or tape and a margin each side; 0 for a zip. */
  readonly overlap: number;
  /** Pieces to buy, or length of tape or zip, mm. */
  readonly need: { readonly amount: number; readonly unit: "pieces" | "mm" };
}

/** Margin from cap or tape to the edge of the overlap, mm. Common practice, no source. */
const MARGIN = 5;

/**
 * Positions of snaps, hooks, hook-and-loop or a zip along an opening: spread evenly, none further apart than asked.
 *
 * @throws forms/bad-part
 * @source spacing: common practice, no source
 */
export function placeClosure(options: ClosureOptions): Closure {
  const kind = partWord(options.kind, "kind", ["snap", "zip", "hook-and-loop", "hook-and-eye"]);
  const length = partNumber(options.length, "length", 10, 5000);
  const end = partNumber(options.end ?? 12, "end", 0, length / 2);
  const usual = kind === "hook-and-eye" ? 25 : 50;
  const spacing = partNumber(options.spacing ?? usual, "spacing", 5, 500);
  const width = partNumber(options.width ?? (kind === "hook-and-loop" ? 25 : 12), "width", 2, 100);
  const span = length - 2 * end;
  if (kind === "zip") {
    return { kind, at: [end, length - end], overlap: 0, need: { amount: span, unit: "mm" } };
  }
  const overlap = width + 2 * MARGIN;
  if (kind === "hook-and-loop") {
    return { kind, at: [end, length - end], overlap, need: { amount: span, unit: "mm" } };
  }
  const gaps = Math.max(1, Math.ceil(span / spacing - 1e-9));
  const at = span === 0 ? [end] : Array.from({ length: gaps + 1 }, (_, k) => end + (span * k) / gaps);
  return { kind, at, overlap, need: { amount: at.length, unit: "pieces" } };
}

/** The closure as marks on a straight edge: drill points for snaps and hooks, a line for tape and zip. */
export function closureMarkings(
  closure: Closure,
  from: readonly [number, number],
  to: readonly [number, number],
  id = "closure",
): Marking[] {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const point = (at: number) =>
    [from[0] + ((to[0] - from[0]) * at) / long, from[1] + ((to[1] - from[1]) * at) / long] as const;
  if (closure.kind === "zip" || closure.kind === "hook-and-loop")
    return [{ id, kind: "line", points: closure.at.map(point), label: closure.kind }];
  return closure.at.map((at, k): Marking => ({
    id: `${id}-${k + 1}`,
    kind: "drill",
    points: [point(at)],
    label: `${closure.kind} ${k + 1}`,
  }));
}
