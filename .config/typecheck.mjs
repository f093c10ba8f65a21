// Type-checks every workspace against the sources of its siblings; no build needed first.
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";

const only = process.argv.slice(2);
const places = [
  ...readdirSync("packages")
    .sort()
    .map((name) => `packages/${name}`),
  "docs",
  "test-fixtures",
]
  .filter((place) => existsSync(`${place}/tsconfig.json`))
  .filter((place) => only.length === 0 || only.includes(place.replace("packages/", "")));
let failed = 0;
for (const place of places) {
  const run = spawnSync("npx", ["tsc", "-p", `${place}/tsconfig.json`], { stdio: "inherit" });
  if (run.status !== 0) {
    failed += 1;
    console.error(`type check failed: ${place}`);
  }
}
console.log(`${places.length - failed} of ${places.length} workspaces type-check`);
process.exit(failed ? 1 : 0);
