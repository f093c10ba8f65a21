// What a publisher would check: exports and types hold, nothing leaks, the house rules of every package.
import { execFile, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { promisify } from "node:util";
import { LAYERS } from "./layers.mjs";
import { checkSizes } from "./size.mjs";

const execute = promisify(execFile);
/** Runs a tool; gives its output when it finds fault. */
const complaint = (command, args, cwd) =>
  execute(command, args, { cwd, maxBuffer: 1e8 }).then(
    () => undefined,
    (error) => `${error.stdout}${error.stderr}`,
  );

const faults = [];
const fault = (text) => faults.push(text);

const lock = readFileSync("package-lock.json", "utf8");
if (/"resolved": "http/.test(lock)) fault("package-lock.json names a registry host");

const allowed =
  /^(\..*|package\.json|package-lock\.json|turbo\.json|tsconfig\.base\.json|README\.md|DEVELOPERS\.md|LICENSE.*|packages|docs|test-fixtures)$/;
const tracked = spawnSync("git", ["ls-files"], { encoding: "utf8", maxBuffer: 1e8 }).stdout.split("\n");
for (const top of new Set(tracked.filter(Boolean).map((path) => path.split("/")[0]))) {
  if (!allowed.test(top)) fault(`the top level holds ${top}`);
}

const scratch = mkdtempSync(join(tmpdir(), "peltry-pack-"));
const work = [];
const only = process.argv.slice(2);
for (const name of readdirSync("packages").sort()) {
  if (only.length > 0 && !only.includes(name)) continue;
  const place = `packages/${name}`;
  const about = JSON.parse(readFileSync(`${place}/package.json`, "utf8"));
  const say = (text) => fault(`${about.name}: ${text}`);
  if (!(name in LAYERS)) say("is missing from .config/layers.mjs");
  for (const file of ["README.md", "LICENSE", "src/index.ts"])
    if (!existsSync(`${place}/${file}`)) say(`has no ${file}`);
  if (about.type !== "module" || about.sideEffects !== false) say("must be ESM with sideEffects: false");
  if (Object.keys(about.exports ?? {}).some((key) => key.includes("*"))) say("has a wildcard export");
  if (["install", "preinstall", "postinstall", "prepare"].some((key) => about.scripts?.[key]))
    say("has an install script");
  for (const dependency of Object.keys(about.dependencies ?? {})) {
    const sibling = dependency.startsWith("@peltry/") ? dependency.slice(8) : undefined;
    if (sibling && !LAYERS[name]?.includes(sibling)) say(`may not depend on ${dependency}`);
  }
  if (!existsSync(`.changeset/${name}-first.md`) && !existsSync(`${place}/CHANGELOG.md`))
    say("has neither a changelog nor a changeset");
  const readme = existsSync(`${place}/README.md`) ? readFileSync(`${place}/README.md`, "utf8") : "";
  for (const dependency of Object.keys(about.dependencies ?? {}))
    if (!dependency.startsWith("@peltry/") && !readme.includes(dependency))
      say(`the README does not say why it needs ${dependency}`);
  work.push(() => checkPacked(name, place, about, say));
}
// Three at a time: each starts tools that take a processor of their own.
await Promise.all(
  [0, 1, 2].map(async () => {
    for (let next = work.shift(); next; next = work.shift()) await next();
  }),
);
rmSync(scratch, { recursive: true, force: true });
for (const text of faults) console.error(text);
console.log(`${faults.length} package faults`);
process.exit(faults.length ? 1 : 0);

/** What the tarball holds, as others will get it. */
async function checkPacked(name, place, about, say) {
  const folder = mkdtempSync(join(scratch, `${name}-`));
  const failed = await complaint(
    "npm",
    ["pack", "--silent", "--ignore-scripts", "--pack-destination", folder],
    place,
  );
  if (failed !== undefined) return say(`does not pack: ${failed}`);
  const tarball = resolve(folder, readdirSync(folder)[0]);
  const [lint, types, sizes] = await Promise.all([
    complaint("node", ["node_modules/publint/src/cli.js", "--strict", tarball]),
    complaint("node", [
      ...["node_modules/@arethetypeswrong/cli/dist/index.js", tarball],
      ...["--profile", "esm-only", "--format", "ascii"],
    ]),
    name === "peltry"
      ? []
      : checkSizes(place, about).catch((error) => [`does not bundle for a browser: ${error.message}`]),
  ]);
  if (lint !== undefined) say(`publint: ${lint}`);
  if (types !== undefined) say(`types: ${types}`);
  sizes.forEach(say);
  if (lint === undefined && types === undefined && sizes.length === 0) console.log(`ok ${about.name}`);
}
