import type { Grade, Status } from "../../entry/types";
import { entryRule, looseMiddle, looseValues, type LooseValue } from "../context";
import { draftAt, shownAs } from "../loose";
import { highestStatus, LADDER, type LadderValue } from "../status-ladder";
import { reviewsOf } from "./entry-status";

/** A value has no higher status than its sources, and for approved its reviewers, allow. */
export const statusLadder = entryRule(
  "status-ladder",
  "A value's status follows from its sources.",
  ({ entry }) => {
    const values = looseValues(entry);
    const { people } = reviewsOf(entry);
    return values.flatMap((own) => {
      const { property, path, value } = own;
      const read = ladderValue(own);
      if (!read || read.grade === "M") return [];
      const others = values
        .filter((other) => other !== own && other.property === property)
        .flatMap((other) => ladderValue(other) ?? []);
      const reached = highestStatus(read, others);
      const limit: Status = reached === "contributed" && people >= 2 ? "approved" : reached;
      if (LADDER.indexOf(value["status"] as Status) <= LADDER.indexOf(limit)) return [];
      return [
        {
          path: [...path, "status"],
          message: `${property} is marked ${shownAs(value["status"])}, but its sources allow ${limit}.`,
          fix:
            limit === "contributed"
              ? "Approved needs two reviewers in reviews; write contributed until then."
              : `Write ${limit}, or add a better or second source.`,
          found: shownAs(value["status"]),
          limit,
          repair: (draft: Record<string, unknown>) => {
            const target = draftAt(draft, path);
            if (target) target["status"] = limit;
          },
        },
      ];
    });
  },
);

function ladderValue({ value }: LooseValue): LadderValue | undefined {
  const middle = looseMiddle(value);
  const grade = value["grade"];
  if (middle === undefined || !["A", "B", "C", "M"].includes(grade as string)) return undefined;
  return { grade: grade as Grade, source: shownAs(value["source"]), middle };
}
