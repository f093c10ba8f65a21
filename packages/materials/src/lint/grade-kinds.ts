/** Grades that a value from a source of this kind may have, the usual one first. */
export const GRADE_KINDS: Readonly<Record<string, readonly string[]>> = {
  regulation: ["A", "B"],
  standard: ["A", "B"],
  paper: ["A", "B"],
  agency: ["A", "B"],
  handbook: ["B", "C"],
  datasheet: ["B", "C"],
  "safety-data-sheet": ["B"],
  "trade-page": ["C"],
  measurement: ["C", "B"],
  memory: ["M"],
  computed: ["C", "B"],
};
