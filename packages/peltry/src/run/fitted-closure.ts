import type { Closure } from "@peltry/forms";
import type { Edge, Pattern } from "@peltry/pattern";

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

/** An edge of a panel. */
export interface EdgeRef {
  readonly panel: string;
  readonly edge: string;
}

/** Turned in beyond an overlap, mm. Common practice, no source. */
export const TURN_IN_MM = 10;

/** Name of an edge over the whole pattern. */
export const key = ({ panel, edge }: EdgeRef): string => `${panel}/${edge}`;

/** The edge itself. */
export function edgeOf(pattern: Pattern, { panel, edge }: EdgeRef): Edge {
  return pattern.panels.find(({ id }) => id === panel)!.edges.find(({ id }) => id === edge)!;
}
