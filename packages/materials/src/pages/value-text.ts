import { propertyRule, type ConditionId, type PropertyId } from "../entry/properties";
import type { Measured } from "../entry/types";

/** UCUM units as people write them. */
const UNITS: Readonly<Record<string, string>> = {
  "g/m2": "g/m²",
  "kg/m3": "kg/m³",
  Cel: "°C",
  "m2.K/W": "m²·K/W",
  "m2.Pa/W": "m²·Pa/W",
  "W/(m.K)": "W/(m·K)",
  "%{vol}": "% by volume",
  "%{w/w}": "% by mass",
  "N/cm2": "N/cm²",
  "1": "",
};

/** A unit as people write it. */
export function unitText(unit: string): string {
  return Object.hasOwn(UNITS, unit) ? UNITS[unit]! : unit;
}

/** The figure of a value: `160–280 g/m²`, `about 33 kg/m³`, `at most 80 °C`. */
export function figureText(value: Measured): string {
  const unit = unitText(value.unit);
  const figure = rangeText(value);
  return unit === "" ? figure : `${figure} ${unit}`;
}

function rangeText({ typical, min, max }: Measured): string {
  const range =
    min !== undefined && max !== undefined
      ? min === max
        ? `${min}`
        : `${min} to ${max}`
      : min !== undefined
        ? `at least ${min}`
        : max !== undefined
          ? `at most ${max}`
          : "";
  if (typical === undefined) return range;
  return range === "" ? `${typical}` : `${typical} (${range})`;
}

/** Conditions of a value in words: `at 25 % strain, 72 h`. */
export function conditionText(value: Measured): string {
  const given = Object.entries(value.conditions ?? {}) as [ConditionId, number | string][];
  return given
    .map(([id, at]) => {
      if (id === "load") return "at a firm pull by hand";
      const unit = CONDITION_UNITS[id];
      return typeof at === "string" || unit === undefined ? String(at) : `${at} ${unit}`;
    })
    .join(", ");
}

const CONDITION_UNITS: Partial<Record<ConditionId, string>> = {
  loadNPerCm: "N/cm",
  pressureKPa: "kPa",
  strainPercent: "% strain",
  hours: "h",
  temperatureCel: "°C",
  rhPercent: "% humidity",
  specimenMm: "mm thick",
  cycles: "cycles",
};

/** Name of a property for people. */
export function propertyLabel(property: PropertyId): string {
  return propertyRule(property).label;
}
