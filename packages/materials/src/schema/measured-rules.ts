import { propertyRule, type PropertyId } from "../entry/properties";

/** What these rules read of a value; anything may be missing or wrong in a draft. */
export interface ValueLike {
  readonly typical?: unknown;
  readonly min?: unknown;
  readonly max?: unknown;
  readonly conditions?: unknown;
}

/** What is wrong with the figures of a value, or undefined. */
export function rangeFault(value: ValueLike): string | undefined {
  const { typical, min, max } = value;
  if (typical === undefined && min === undefined && max === undefined)
    return "Give at least one of typical, min, max; leave the whole value out when it is unknown.";
  const low = typeof min === "number" ? min : -Infinity;
  const high = typeof max === "number" ? max : Infinity;
  if (low > high) return `min ${low} is above max ${high}.`;
  if (typeof typical === "number" && (typical < low || typical > high))
    return `typical ${typical} is outside min to max.`;
  return undefined;
}

/** Conditions without which this figure means nothing, as messages. */
export function missingConditions(property: PropertyId, value: ValueLike): string[] {
  const given = (
    typeof value.conditions === "object" && value.conditions !== null ? value.conditions : {}
  ) as Record<string, unknown>;
  return (propertyRule(property).needs ?? []).flatMap((need) => {
    if (given[need] !== undefined) return [];
    if (need === "loadNPerCm") {
      if (given["load"] === "hand") return [];
      return [
        `${property} means nothing without its load: give loadNPerCm, or load "hand" for a firm pull by hand.`,
      ];
    }
    return [`${property} means nothing without ${need}.`];
  });
}
