/** What a worked example gives: numbers for its page, and text files (SVG pictures, tables). */
export interface ExampleResult {
  readonly figures: Record<string, number | string | boolean>;
  readonly files: Record<string, string>;
}

/** A number with a fixed count of decimals, so that the last bits do not show in committed output. */
export function rounded(value: number, decimals = 2): number {
  return Number(value.toFixed(decimals));
}
