import { library } from "../../.config/tsup";

export default library(["src/index.ts", "src/core.ts"]);
