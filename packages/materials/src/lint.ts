export { draftMaterial, idFromName, type DraftAnswers } from "./lint/draft-material";
export { lintMaterials, type LintFile, type LintOptions, type LintResult } from "./lint/lint-materials";
export { formatEntry } from "./lint/format-entry";
export { readJson, type JsonDocument } from "./lint/json-text";
export { highestStatus, LADDER, type LadderValue } from "./lint/status-ladder";
export { bannedWords } from "./check/banned-words";
export { casCheckDigit, isCasNumber } from "./check/cas-number";

import { RULES } from "./lint/rules";

/** What each rule of the lint asks, by its id. */
export const LINT_RULES: readonly { readonly id: string; readonly asks: string }[] = RULES.map(
  ({ id, asks }) => ({
    id,
    asks,
  }),
);
