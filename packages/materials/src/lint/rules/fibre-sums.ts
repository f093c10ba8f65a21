import { entryRule } from "../context";
import { asList, asObject, shownAs } from "../loose";

/** Fibre shares of each part can add up to 100 %. */
export const fibreSums = entryRule(
  "fibre-sums",
  "Fibres of each part add up to 100 % within 1.",
  ({ entry }) => {
    const shares = asList(entry["fibres"]).map(asObject);
    const parts = new Set(shares.map((share) => share?.["part"]).filter((part) => typeof part === "string"));
    return [...parts].flatMap((part) => {
      const own = shares.filter((share) => share?.["part"] === part);
      const given = own.filter((share) => typeof share?.["percentMin"] === "number");
      const low = sum(given.map((share) => asNumber(share?.["percentMin"])));
      const high = sum(given.map((share) => asNumber(share?.["percentMax"] ?? share?.["percentMin"])));
      const at = shares.findIndex((share) => share?.["part"] === part);
      const complete = given.length === own.length;
      if (low <= 101 && (!complete || high >= 99)) return [];
      const figure = low > 101 ? low : high;
      return [
        {
          path: ["fibres", at],
          message: `The fibres of the ${shownAs(part)} add up to ${low === high ? low : `${low} to ${high}`} %.`,
          fix: "Each part has its own list that adds up to 100; leave a percent out where it is unknown.",
          found: figure,
          limit: "99 to 101",
        },
      ];
    });
  },
);

/** A percent, or 100 where it is no number: the shape rule reports that. */
function asNumber(value: unknown): number {
  return typeof value === "number" ? value : 100;
}

function sum(figures: readonly number[]): number {
  return figures.reduce((total, figure) => total + figure, 0);
}
