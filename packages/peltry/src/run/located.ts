import { isPeltryError, PeltryError, type Place } from "@peltry/issues";
import type { ReadProject } from "../project/read-project";

/**
 * Runs a step of a lower package; its errors gain the place in the project file where the value stands.
 *
 * @param path - the value that the step works on; an issue's own path is appended when it names a key below
 */
export function located<T>(read: ReadProject, path: readonly (string | number)[], step: () => T): T {
  try {
    return step();
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    throw new PeltryError(
      error.issues.map((issue) => {
        // A step inside has already said where it stands.
        if (issue.at.file !== undefined) return issue;
        const place: Place = read.place([...path, ...(issue.at.path ?? [])]);
        return { ...issue, at: { ...issue.at, ...place } };
      }),
    );
  }
}
