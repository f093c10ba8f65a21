import { library } from "../../.config/tsup";
import { FAMILIES } from "./src/entry/families";

export default library([
  "src/index.ts",
  "src/schema.ts",
  "src/lint.ts",
  "src/pages.ts",
  ...FAMILIES.map((family) => `src/${family}.ts`),
]);
