import type { Grade, Status } from "../entry/types";

/** Statuses from low to high. */
export const LADDER: readonly Status[] = ["unconfirmed", "provisional", "contributed", "approved"];

/** What the ladder looks at in a value. */
export interface LadderValue {
  readonly grade: Grade;
  readonly source: string;
  /** Middle of its figures. */
  readonly middle: number;
}

/** Two trade pages agree when they are within this of the larger. */
const AGREE = 0.15;

/**
 * The highest status that the sources of a value allow, before any reviewer has looked at it:
 * unconfirmed from memory or one trade page; provisional with one data sheet or two trade pages within 15 %;
 * contributed with a regulation, standard or paper, or with two data sheets.
 *
 * @param others the other values of the same property of the same entry
 */
export function highestStatus(value: LadderValue, others: readonly LadderValue[]): Status {
  const independent = others.filter((other) => other.source !== value.source && other.grade !== "M");
  if (value.grade === "M") return "unconfirmed";
  if (value.grade === "A") return "contributed";
  if (value.grade === "B")
    return independent.some(({ grade }) => grade === "A" || grade === "B") ? "contributed" : "provisional";
  const agrees = independent.some(
    ({ middle }) =>
      Math.abs(middle - value.middle) <= AGREE * Math.max(Math.abs(middle), Math.abs(value.middle)),
  );
  return agrees ? "provisional" : "unconfirmed";
}
