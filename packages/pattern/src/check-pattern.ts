import { PeltryError, type Issue } from "@peltry/issues";
import { patternFormFaults } from "./check/check-form";
import { checkIds } from "./check/check-ids";
import { checkPanelOutline } from "./check/check-outline";
import { checkPanelContents } from "./check/check-panel";
import { checkSeams } from "./check/check-seams";
import type { Pattern } from "./types";

/**
 * Every fault of a pattern in plain words, each with its panel and edge: open, crossing, clockwise or empty outlines,
 * points that are no numbers, edges of no length, ids used twice or pointing nowhere, seams without a partner or of
 * unequal length, notches and match points that do not meet, darts that do not close, bent folds, markings outside,
 * pile directions left out. What has not even the form of a pattern is told as `pattern/bad-form`. An empty list means that nothing was found.
 *
 * @returns issues in the order: names, outlines, panel contents, seams
 * @remarks n log n in the number of points of each outline
 */
export function checkPattern(pattern: Pattern): Issue[] {
  const form = patternFormFaults(pattern);
  if (form.length > 0) return form;
  const issues = [
    ...checkIds(pattern),
    ...pattern.panels.flatMap(checkPanelOutline),
    ...pattern.panels.flatMap((panel) => checkPanelContents(panel, pattern.fabrics)),
    ...checkSeams(pattern),
  ];
  if (pattern.panels.length === 0) {
    issues.unshift({
      code: "pattern/no-panels",
      severity: "warning",
      message: "The pattern has no panels.",
      at: {},
      fix: "Add a panel.",
    });
  }
  return issues;
}

/**
 * Stops at a broken pattern.
 *
 * @throws PeltryError that carries every error-level issue of {@link checkPattern}; its code is that of the first
 */
export function assertPattern(pattern: Pattern): void {
  const errors = checkPattern(pattern).filter((issue) => issue.severity === "error");
  if (errors.length > 0) throw new PeltryError(errors);
}
