import { fail } from "@peltry/issues";
import { shown } from "../parts/number";
import { utf8 } from "../scan/text-scanner";
import type { DrawingOptions } from "./wrap-drawing";

/**
 * The text of a drawing given as bytes or text.
 *
 * @throws `forms/bad-call` for anything else, and for an option that makes no sense
 */
export function sourceText(source: Uint8Array | string, options: DrawingOptions): string {
  checkOptions(options);
  if (typeof source === "string") return source;
  if (source instanceof Uint8Array) return utf8(source, source[0] === 0xef ? 3 : 0);
  return refuse("The drawing is no text and no bytes.", source, "Pass the whole file.");
}

function checkOptions(options: DrawingOptions): void {
  const given: Partial<Record<keyof DrawingOptions, unknown>> = options;
  if (typeof given !== "object" || given === null) refuse("The options are none.", given, "Leave them out.");
  const { mmPerUnit, joinWithin, only } = given;
  if (mmPerUnit !== undefined && !(isLength(mmPerUnit) && mmPerUnit > 0))
    refuse("mmPerUnit must be a positive number.", mmPerUnit, "Pass the mm in one unit of the drawing.");
  if (joinWithin !== undefined && !isLength(joinWithin))
    refuse("joinWithin must be a length.", joinWithin, "Pass mm, 0 to join nothing.");
  if (only !== undefined && !Array.isArray(only)) refuse("only must be a list.", only, "Pass ids or layers.");
}

function isLength(value: unknown): value is number {
  return typeof value === "number" && value >= 0 && value < Infinity;
}

function refuse(message: string, found: unknown, fix: string): never {
  return fail("forms/bad-call", message, {}, { found: shown(found), fix });
}
