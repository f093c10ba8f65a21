// Writes the published JSON Schemas; a test compares them with the schemas of the code.
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { materialJsonSchema, stashJsonSchema } from "../src/schema";

const folder = fileURLToPath(new URL("../schemas", import.meta.url));
mkdirSync(folder, { recursive: true });
for (const [name, schema] of [
  ["material", materialJsonSchema()],
  ["stash", stashJsonSchema()],
] as const)
  writeFileSync(`${folder}/${name}.schema.json`, `${JSON.stringify(schema, null, 1)}\n`);
