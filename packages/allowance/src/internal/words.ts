import { fail } from "@peltry/issues";

type Word = "corner" | "notch" | "stitch" | "cloth" | "pressing" | "dartsPressed";

/** Rules that are one word of a few: a misspelt one would fall to the default unseen. */
export const WORDS: Readonly<Record<Word, readonly string[]>> = {
  corner: [
    ...["mitred", "rounded", "squared-to-before", "squared-to-after"],
    ...["turned-back", "stepped", "blended", "butt"],
  ],
  notch: ["slit", "v-in", "v-out", "t", "castle", "check"],
  stitch: ["lockstitch", "overlock", "hand", "ladder", "zip", "glued-butt"],
  cloth: ["woven", "knit", "pile", "foam"],
  pressing: ["open", "turned"],
  dartsPressed: ["after", "before"],
};

/** The first of these rules whose word is none of its choices. */
export function wrongWord(rules: Readonly<Record<string, unknown>>): Word | undefined {
  return (Object.keys(WORDS) as Word[]).find(
    (key) => rules[key] !== undefined && !WORDS[key].includes(rules[key] as string),
  );
}

/** @throws PeltryError `allowance/bad-rule` that names the choices */
export function refuseWord(
  path: readonly (string | number)[],
  found: unknown,
  choices: readonly string[],
): never {
  return fail(
    "allowance/bad-rule",
    `${path.join(".")} is ${String(found)}; it is one of ${choices.join(", ")}.`,
    { path },
    { found: String(found), limit: choices.join(", "), fix: `Write one of ${choices.join(", ")}.` },
  );
}
