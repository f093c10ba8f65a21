import { writeFileSync } from "node:fs";
import { patternJsonSchema } from "../src/schema";

// Run after a change of src/schema.ts: npm run schema
writeFileSync(
  new URL("../schemas/pattern.schema.json", import.meta.url),
  `${JSON.stringify(patternJsonSchema(), null, 2)}\n`,
);
