import { placeClosure } from "@peltry/forms";
import type { PatchCutting } from "@peltry/seams";
import type { ReadProject } from "../project/read-project";
import type { ProjectPart } from "../project/schema";
import type { FittedClosure } from "./fitted-closure";
import { located } from "./located";
import type { MadePart } from "./made-part";
import { markBanks } from "./mark-closure";
import { openSeams, wholeEdges, type Given } from "./open-for-closure";

/**
 * Snaps, zips, hooks and hook-and-loop of a part: the seam is left open along each, and both banks are marked.
 *
 * @param cutting - of a part that was cut from a form, whose closures lie along its lines; absent for one drawn by rule,
 * whose closures name their edges
 * @throws `run/closure-misses`, `forms/bad-part`
 */
export function addClosures(
  made: MadePart,
  input: { readonly read: ReadProject; readonly index: number; readonly cutting?: PatchCutting },
): MadePart {
  const list = closuresOf(made.part);
  const closures: FittedClosure[] = [];
  let pattern = made.pattern;
  for (const [i, given] of list.entries()) {
    const path = ["parts", input.index, ...(given.implied ? [given.implied] : ["closures", i])];
    const at = input.read.place(path);
    const opened = input.cutting
      ? openSeams(pattern, given, input.cutting, at)
      : wholeEdges(pattern, made.part.id, given, at);
    const closure = located(input.read, path, () =>
      placeClosure({
        kind: given.kind,
        length: opened.length,
        spacing: given.spacingMm,
        end: given.endMm,
        width: given.widthMm,
      }),
    );
    const fitted: FittedClosure = {
      ...closure,
      id: given.id,
      stretches: opened.stretches,
      length: opened.length,
      from: opened.from,
      extension: input.cutting ? closure.overlap : 0,
    };
    closures.push(fitted);
    pattern = markBanks(opened.pattern, fitted, opened.backward);
  }
  return closures.length === 0 ? made : { ...made, pattern, closures };
}

/** The closures of a part; the zip that a boot cover is entered by is one. */
function closuresOf(part: ProjectPart): Given[] {
  const given = part.closures ?? [];
  if (part.kind !== "boot-cover" || part.zipMm === undefined || given.length > 0) return given;
  const along = part.seams?.lines?.[0] ?? "back-line";
  return [{ id: "zip", kind: "zip", along, lengthMm: part.zipMm, implied: "zipMm" }];
}
