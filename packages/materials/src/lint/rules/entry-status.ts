import type { Status } from "../../entry/types";
import { entryRule, looseValues, type Loose } from "../context";
import { asList, asObject, shownAs } from "../loose";
import { LADDER } from "../status-ladder";

/** How many people reviewed an entry, and whether one of them looked at safety. */
export function reviewsOf(entry: Loose): { people: number; safety: boolean } {
  const reviews = asList(entry["reviews"]).map(asObject);
  return {
    people: new Set(reviews.map((review) => review?.["by"]).filter((by) => typeof by === "string")).size,
    safety: reviews.some((review) => review?.["scope"] === "safety"),
  };
}

/** An entry is as good as what stands in it: approved needs two reviewers, one for safety, and nothing from memory. */
export const entryStatus = entryRule(
  "entry-status",
  "An entry's status follows from its values and reviews.",
  ({ entry }) => {
    const status = entry["status"] as Status;
    const statuses = looseValues(entry).map(({ value }) => LADDER.indexOf(value["status"] as Status));
    const best = Math.max(0, ...statuses);
    const set = (limit: Status) => (draft: Record<string, unknown>) => {
      draft["status"] = limit;
    };
    if (status === "approved") {
      const { people, safety } = reviewsOf(entry);
      const why = [
        ...(people < 2 ? ["it needs two reviewers"] : []),
        ...(safety ? [] : ["it needs a reviewer for safety"]),
        ...(statuses.some((one) => one < LADDER.indexOf("contributed"))
          ? ["some of its values are not contributed"]
          : []),
      ];
      if (why.length === 0) return [];
      const limit = LADDER[Math.min(best, 2)]!;
      return [
        {
          path: ["status"],
          message: `The entry is marked approved, but ${why.join(" and ")}.`,
          fix: `Write ${limit} until then.`,
          found: "approved",
          limit,
          repair: set(limit),
        },
      ];
    }
    if (LADDER.indexOf(status) <= best) return [];
    const limit = LADDER[best]!;
    return [
      {
        path: ["status"],
        message: `The entry is marked ${shownAs(status)}, but its best value is ${limit}.`,
        fix: `Write ${limit}.`,
        found: shownAs(status),
        limit,
        repair: set(limit),
      },
    ];
  },
);
