import type { FoundGroup, Verified } from "./finish-plan";
import type { CurvePoint } from "./search/greedy";

/** The suggested cuts of a plan and what they come to; openings are not suggested. */
export function suggestedTotals(groups: readonly FoundGroup[]): Pick<CurvePoint, "cuts" | "length" | "cost"> {
  const suggested = groups.filter(({ kind }) => kind !== "opening");
  const sum = (value: (group: FoundGroup) => number): number =>
    suggested.reduce((total, group) => total + value(group), 0);
  return {
    cuts: sum(({ paths }) => paths.length),
    length: sum(({ length }) => length),
    cost: sum(({ cost }) => cost),
  };
}

/** The points that a search saw on its way, ended by the plan as it was proved on the full form. */
export function curveTo(
  seen: readonly CurvePoint[],
  groups: readonly FoundGroup[],
  done: Verified,
): CurvePoint[] {
  const end = {
    ...suggestedTotals(groups),
    worst: done.panels.reduce((top, { use }) => Math.max(top, use.peak), 0),
    accepted: done.valid && done.within,
  };
  return [...seen.filter((point) => !point.accepted && point.length < end.length), end];
}
