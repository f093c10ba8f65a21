import { fail } from "@peltry/issues";
import type { FlattenOptions } from "./types";

/** Throws when the numbers that any cloth takes cannot be meant. @throws `flatten/bad-option` */
export function checkPlainOptions(
  options: Omit<FlattenOptions, "mode"> & { readonly mode?: string | undefined },
  modes: readonly string[],
  vertexCount: number,
): void {
  for (const key of ["along", "across"] as const) {
    const value = options.targetStretch?.[key] ?? 0;
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
  if (options.mode !== undefined && !modes.includes(options.mode)) {
    badOption("mode", options.mode, modes.join(" or "));
  }
  if (options.from !== undefined) {
    if (options.from.length !== 2 * vertexCount) {
      badOption("from", options.from.length, `${2 * vertexCount} numbers, x and y of each vertex`);
    }
    const bad = options.from.findIndex((value) => !Number.isFinite(value));
    if (bad >= 0) badOption(`from[${bad}]`, options.from[bad], "finite numbers");
  }
}

function positive(value: number | undefined, name: string, zero: boolean): void {
  if (value === undefined) return;
  if (!Number.isFinite(value) || value < 0 || (value === 0 && !zero)) {
    badOption(name, value, zero ? "zero or a positive number" : "a positive number");
  }
}

/** Says which option is wrong and what it should be. */
export function badOption(name: string, found: number | string, expected: string): never {
  fail(
    "flatten/bad-option",
    `Option ${name} is ${found}; expected ${expected}.`,
    { path: [name] },
    { found, limit: expected, fix: `Give ${expected}, or leave ${name} out.` },
  );
}
