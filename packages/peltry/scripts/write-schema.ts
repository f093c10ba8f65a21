import { writeFileSync } from "node:fs";
import { projectJsonSchema } from "../src/project/project-json-schema";

// Run after a change of src/project/schema.ts: npm run schema -w packages/peltry
writeFileSync(
  new URL("../schemas/project.schema.json", import.meta.url),
  `${JSON.stringify(projectJsonSchema(), null, 2)}\n`,
);
