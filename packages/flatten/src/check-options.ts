import { fail } from "@peltry/issues";
import type { StrainRange } from "@peltry/pattern";
import { checkPlainOptions } from "./check-plain-options";
import type { FlattenOptions } from "./types";

/** Throws when the fabric's limits or the numbers of the options cannot be meant. @throws `flatten/bad-fabric-limits`, `flatten/bad-option` */
export function checkOptions(options: FlattenOptions, vertexCount: number): void {
  const { fabric, anyDirection } = options;
  if (fabric !== undefined) {
    for (const key of ["along", "across", "shear"] as const) checkRange(fabric[key], `fabric.${key}`);
  }
  if (anyDirection !== undefined) checkRange(anyDirection, "anyDirection");
  checkPlainOptions(options, ["shape-preserving", "flip-free", "strain-limited"], vertexCount);
  if (options.mode === "strain-limited" && fabric === undefined && anyDirection === undefined) {
    fail(
      "flatten/bad-option",
      "Mode strain-limited needs the limits of a fabric.",
      { path: ["mode"] },
      { fix: "Give `fabric` or `anyDirection`, or choose another mode." },
    );
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
