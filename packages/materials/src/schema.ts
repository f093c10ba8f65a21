export { MATERIAL_SCHEMA, materialJsonSchema, parseMaterial, readMaterial } from "./schema/material-schema";
export { parseStash, readStash, STASH_SCHEMA, stashJsonSchema } from "./schema/stash-schema";
