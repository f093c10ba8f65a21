import { bannedWords } from "../../check/banned-words";
import { entryRule } from "../context";
import { allTexts } from "../loose";

/** No text promises what nobody can promise, and none carries a brand mark. */
export const words = entryRule("words", "No text promises safety or carries a brand mark.", ({ entry }) =>
  allTexts(entry).flatMap(({ text, path }) => [
    ...bannedWords(text).map((word) => ({
      path,
      message: `The word "${word}" promises what nobody can promise.`,
      fix: "Say what can happen and how to lower it.",
      found: word,
    })),
    ...(/[®™]/.test(text)
      ? [
          {
            path,
            message: "A brand mark stands here.",
            fix: "Entries are generic: name the kind of material.",
          },
        ]
      : []),
  ]),
);
