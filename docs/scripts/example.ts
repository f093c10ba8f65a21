/** What a worked example gives: numbers for its page, and files (SVG and PNG pictures, tables). */
export interface ExampleResult {
  readonly figures: Record<string, number | string | boolean>;
  readonly files: Record<string, string | Uint8Array>;
}

/** A number with a fixed count of decimals, so that the last bits do not show in committed output. */
export function rounded(value: number, decimals = 2): number {
  return Number(value.toFixed(decimals));
}
