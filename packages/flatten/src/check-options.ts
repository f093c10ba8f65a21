import { fail } from "@peltry/issues";
import type { StrainRange } from "@peltry/pattern";
import type { FlattenOptions } from "./types";

/** Throws when the fabric's limits or the numbers of the options cannot be meant. @throws `flatten/bad-fabric-limits`, `flatten/bad-option` */
export function checkOptions(options: FlattenOptions, vertexCount: number): void {
  const { fabric, anyDirection, targetStretch } = options;
  if (fabric !== undefined) {
    for (const key of ["along", "across", "shear"] as const) checkRange(fabric[key], `fabric.${key}`);
  }
  if (anyDirection !== undefined) checkRange(anyDirection, "anyDirection");
  for (const key of ["along", "across"] as const) {
    const value = targetStretch?.[key] ?? 0;
    if (!(value > -0.9 && value < 10)) {
      badOption(`targetStretch.${key}`, value, "a fraction between −0.9 and 10, such as 0.1 for a tenth");
    }
  }
  positive(options.edgeLengthWeight, "edgeLengthWeight", true);
  positive(options.tolerance, "tolerance", false);
  positive(options.maxIterations, "maxIterations", true);
  // So many turns that radians lose the direction, or overflow, are no angle.
  if (options.pileAngle !== undefined && !(Math.abs(options.pileAngle) <= 3600)) {
    badOption("pileAngle", options.pileAngle, "degrees, −3600 to 3600");
  }
  if (
    options.mode !== undefined &&
    !["shape-preserving", "flip-free", "strain-limited"].includes(options.mode)
  ) {
    badOption("mode", options.mode, "shape-preserving, flip-free or strain-limited");
  }
  if (options.mode === "strain-limited" && fabric === undefined && anyDirection === undefined) {
    fail(
      "flatten/bad-option",
      "Mode strain-limited needs the limits of a fabric.",
      { path: ["mode"] },
      { fix: "Give `fabric` or `anyDirection`, or choose another mode." },
    );
  }
  if (options.from !== undefined) {
    if (options.from.length !== 2 * vertexCount) {
      badOption("from", options.from.length, `${2 * vertexCount} numbers, x and y of each vertex`);
    }
    const bad = options.from.findIndex((value) => !Number.isFinite(value));
    if (bad >= 0) badOption(`from[${bad}]`, options.from[bad], "finite numbers");
  }
}

function checkRange(range: StrainRange | undefined, name: string): void {
  const path = name.split(".");
  if (range === undefined || typeof range !== "object" || range === null) {
    fail(
      "flatten/bad-fabric-limits",
      `${name} is missing.`,
      { path },
      { fix: "Give { max, min } as fractions." },
    );
  }
  const { min, max, stiffness } = range;
  if (!(typeof min === "number" && typeof max === "number") || Number.isNaN(min) || Number.isNaN(max)) {
    fail(
      "flatten/bad-fabric-limits",
      `${name} needs numbers for min and max; found ${String(min)} and ${String(max)}.`,
      { path },
      { fix: "Give fractions: 0.15 is 15 %." },
    );
  }
  if (min > max) {
    fail(
      "flatten/bad-fabric-limits",
      `${name} has min ${min} above max ${max}.`,
      { path },
      {
        found: min,
        limit: max,
        fix: "min is the ease-in, zero or negative; max the stretch, zero or positive. Swap them.",
      },
    );
  }
  if (min <= -1) {
    fail(
      "flatten/bad-fabric-limits",
      `${name}.min is ${min}: cloth cannot be shortened to nothing.`,
      { path: [...path, "min"] },
      { found: min, limit: -1, fix: "Give a fraction such as −0.03, not percent." },
    );
  }
  if (min > 0 || max < 0) {
    fail(
      "flatten/bad-fabric-limits",
      `${name} runs from ${min} to ${max} and leaves out the unstrained cloth.`,
      { path },
      { fix: "Let the range hold 0; ask for stretch when worn with `targetStretch`." },
    );
  }
  if (stiffness !== undefined && !(stiffness > 0 && Number.isFinite(stiffness))) {
    fail(
      "flatten/bad-fabric-limits",
      `${name}.stiffness is ${stiffness}; expected a positive number.`,
      { path: [...path, "stiffness"] },
      { found: stiffness, fix: "1 is the default; 2 is twice as stiff." },
    );
  }
}

function positive(value: number | undefined, name: string, zero: boolean): void {
  if (value === undefined) return;
  if (!Number.isFinite(value) || value < 0 || (value === 0 && !zero)) {
    badOption(name, value, zero ? "zero or a positive number" : "a positive number");
  }
}

function badOption(name: string, found: number | string, expected: string): never {
  fail(
    "flatten/bad-option",
    `Option ${name} is ${found}; expected ${expected}.`,
    { path: [name] },
    { found, limit: expected, fix: `Give ${expected}, or leave ${name} out.` },
  );
}
