// What a publisher would check: exports and types hold, nothing leaks, the house rules of every package.
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { LAYERS } from "./layers.mjs";

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
for (const name of readdirSync("packages").sort()) {
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
  const pack = spawnSync("npm", ["pack", "--silent", "--pack-destination", scratch], {
    cwd: place,
    encoding: "utf8",
  });
  if (pack.status !== 0) {
    say(`does not pack: ${pack.stderr}`);
    continue;
  }
  const tarball = resolve(scratch, pack.stdout.trim().split("\n").pop());
  const lint = spawnSync("npx", ["publint", "--strict", tarball], { encoding: "utf8" });
  if (lint.status !== 0) say(`publint: ${lint.stdout}${lint.stderr}`);
  const types = spawnSync("npx", ["attw", tarball, "--profile", "esm-only", "--format", "ascii"], {
    encoding: "utf8",
  });
  if (types.status !== 0) say(`types: ${types.stdout}${types.stderr}`);
  if (lint.status === 0 && types.status === 0) console.log(`ok ${about.name}`);
}
rmSync(scratch, { recursive: true, force: true });
for (const text of faults) console.error(text);
console.log(`${faults.length} package faults`);
process.exit(faults.length ? 1 : 0);
