import { fail } from "@peltry/issues";
import { shown } from "./check-number";
import type { Sex } from "./internal/models";

/**
 * The survey that is meant, or undefined where none is named.
 *
 * @throws measure/bad-sex
 */
export function readSex(sex: unknown): Sex | undefined {
  if (sex === undefined || sex === null) return undefined;
  if (sex === "male" || sex === "female") return sex;
  fail(
    "measure/bad-sex",
    `“${shown(sex)}” names no survey.`,
    { path: ["sex"] },
    { found: shown(sex), limit: "male, female", fix: "Give male or female, or leave it out." },
  );
}
