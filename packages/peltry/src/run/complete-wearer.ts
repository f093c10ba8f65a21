import type { Issue } from "@peltry/issues";
import { completeMeasures, type CompletedBody } from "@peltry/measure";
import type { ReadProject } from "../project/read-project";
import { located } from "./located";

/** The wearer's measures, taken and estimated; undefined when the project names no wearer. */
export function completeWearer(
  read: ReadProject,
): { body: CompletedBody; issues: readonly Issue[] } | undefined {
  const wearer = read.project.wearer;
  if (!wearer) return undefined;
  const sex = wearer.estimateFrom === "women" ? "female" : wearer.estimateFrom === "men" ? "male" : undefined;
  const body = located(read, ["wearer", "measures"], () =>
    completeMeasures(wearer.measures, {
      ...(sex ? { sex } : {}),
      ...(wearer.age === undefined ? {} : { age: wearer.age }),
    }),
  );
  return {
    body,
    issues: body.issues.map((issue) => ({
      ...issue,
      at: { ...read.place(["wearer", "measures"]), ...issue.at },
    })),
  };
}
