import { checkExamples } from "../src/run-examples";

checkExamples(new URL("../../README.md", import.meta.url));
