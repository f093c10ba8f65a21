import * as z from "zod";
import { projectSchema } from "./schema";

/** The JSON Schema (draft 2020-12) of a project file as a person writes it: what has a default may be left out. */
export function projectJsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(projectSchema, { io: "input" }) as Record<string, unknown>;
  return { $schema, title: "Peltry project file, version 1", ...rest };
}
