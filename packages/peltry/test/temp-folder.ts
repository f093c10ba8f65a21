import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll } from "vitest";

const made: string[] = [];

/** A folder of its own, gone when the tests of the file have ended. */
export function tempFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "peltry-test-"));
  made.push(folder);
  return folder;
}

afterAll(() => {
  for (const folder of made) rmSync(folder, { recursive: true, force: true });
});
