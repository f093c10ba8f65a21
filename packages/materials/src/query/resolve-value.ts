import type { Issue } from "@peltry/issues";
import { EXPECTED, propertyRule, type PropertyId } from "../entry/properties";
import type { Grade, MaterialEntry, Measured, Status } from "../entry/types";

/** One figure picked from all that an entry holds, with the spread over all of them. */
export interface ResolvedValue {
  readonly property: PropertyId;
  readonly unit: string;
  /** The figure to plan with: the typical of the picked value, else the middle of its range. */
  readonly value: number;
  /** Smallest and largest over the values by the same method as the picked one. */
  readonly min: number;
  readonly max: number;
  readonly picked: Measured;
  readonly grade: Grade;
  readonly status: Status;
  /** How many values the entry holds, of any method. */
  readonly count: number;
  /** Largest figure over smallest, over all values: how far the sources disagree. */
  readonly spread: number;
}

/** Statuses from high to low. */
export const STATUS_ORDER: readonly Status[] = ["approved", "contributed", "provisional", "unconfirmed"];
const GRADE_ORDER: readonly Grade[] = ["A", "B", "C", "M"];

/** The middle of a value: its typical figure, else the middle of its range, else the one bound it has. */
export function middleOf(value: Measured): number {
  if (value.typical !== undefined) return value.typical;
  const low = value.min ?? value.max!;
  return (low + (value.max ?? low)) / 2;
}

/**
 * Picks one figure of an entry where sources stand side by side: highest status, then best grade, then the first listed.
 * Methods are never averaged.
 *
 * @param options.least take only values of at least this status
 * @returns undefined when the entry holds none: unknown is unknown
 */
export function resolveValue(
  holder: Pick<MaterialEntry, "values">,
  property: PropertyId,
  options: { readonly least?: Status } = {},
): ResolvedValue | undefined {
  const all = holder.values[property] ?? [];
  const limit = STATUS_ORDER.indexOf(options.least ?? "unconfirmed");
  const usable = all.filter((value) => STATUS_ORDER.indexOf(value.status) <= limit);
  if (usable.length === 0) return undefined;
  const picked = usable
    .map((value, order) => ({ value, order }))
    .sort(
      (a, b) =>
        STATUS_ORDER.indexOf(a.value.status) - STATUS_ORDER.indexOf(b.value.status) ||
        GRADE_ORDER.indexOf(a.value.grade) - GRADE_ORDER.indexOf(b.value.grade) ||
        a.order - b.order,
    )[0]!.value;
  const bounds = usable
    .filter((value) => value.method === picked.method && value.standard === picked.standard)
    .flatMap(figuresOf);
  const every = usable.flatMap(figuresOf);
  const low = Math.min(...every.map(Math.abs));
  return {
    property,
    unit: picked.unit,
    value: middleOf(picked),
    min: Math.min(...bounds),
    max: Math.max(...bounds),
    picked,
    grade: picked.grade,
    status: picked.status,
    count: all.length,
    spread: low > 0 ? Math.max(...every.map(Math.abs)) / low : 1,
  };
}

function figuresOf(value: Measured): number[] {
  return [value.typical, value.min, value.max].filter((figure): figure is number => figure !== undefined);
}

/** Properties that makers ask of this family and that the entry has no figure for. */
export function unknownValues(entry: Pick<MaterialEntry, "family" | "values">): PropertyId[] {
  return EXPECTED[entry.family].filter((property) => (entry.values[property] ?? []).length === 0);
}

/** A warning that a figure is not known, and how to get it. */
export function unknownIssue(
  entry: Pick<MaterialEntry, "id" | "name">,
  property: PropertyId,
  fix: string,
): Issue {
  return {
    code: "materials/unknown-value",
    severity: "warning",
    message: `${entry.name}: ${propertyRule(property).label.toLowerCase()} is unknown.`,
    at: { material: entry.id, path: ["values", property] },
    fix,
  };
}
