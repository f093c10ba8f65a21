import { describe } from "vitest";
import { checkExamples } from "../../../test-fixtures/src/run-examples";

describe("README", () => {
  checkExamples(new URL("../README.md", import.meta.url));
});
