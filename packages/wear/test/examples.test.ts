import { checkExamples } from "../../../test-fixtures/src/run-examples";

checkExamples(new URL("../README.md", import.meta.url));
