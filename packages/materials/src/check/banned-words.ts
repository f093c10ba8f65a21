/**
 * Words that promise what nobody can promise of a material. `safety data sheet` is the name of a document and stays.
 */
const BANNED =
  /\b(?:safe|safely|food-safe|skin-safe|non-?toxic|compliant|complies|fire-?proof|flame-?proof|hypoallergenic|harmless|risk-free|no known hazards?)\b/gi;

/** The banned words in a text, in order. */
export function bannedWords(text: string): string[] {
  return [...text.matchAll(BANNED)].map((match) => match[0]);
}
