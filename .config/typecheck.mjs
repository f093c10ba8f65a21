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
// Sources once without Node and DOM names, then with their tests.
const projects = places.flatMap((place) =>
  [`${place}/tsconfig.json`, `${place}/tsconfig.test.json`].filter((file) => existsSync(file)),
);
let failed = 0;
for (const project of projects) {
  const run = spawnSync("npx", ["tsc", "-p", project], { stdio: "inherit" });
  if (run.status !== 0) {
    failed += 1;
    console.error(`type check failed: ${project}`);
  }
}
console.log(`${projects.length - failed} of ${projects.length} projects type-check`);
process.exit(failed ? 1 : 0);
