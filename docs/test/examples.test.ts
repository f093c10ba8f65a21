import { describe, expect, it } from "vitest";
import { committedOutput, exampleFolders, runExample } from "../scripts/run-examples";

describe("worked examples give what their pages show", () => {
  for (const folder of exampleFolders()) {
    it(`${folder.split("/").pop()} › runs again to the same numbers and pictures`, async () => {
      const now = await runExample(folder);
      const shown = committedOutput(folder);
      expect([...now.keys()].sort()).toEqual([...shown.keys()]);
      for (const [name, content] of now) {
        expect(
          Buffer.from(content).equals(shown.get(name)!),
          `${name} differs: run npm run examples -w docs`,
        ).toBe(true);
      }
    });
  }
});
