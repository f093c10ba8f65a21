// Bundles the JSON of `data` into typed modules, one a family, so that a caller can import one family alone.
// `tsx scripts/build-data.ts` writes them; with `--check` it only says which are out of date.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { FAMILIES } from "../src/entry/families";
import { bundleData } from "./bundle-data";
import { readDataFiles } from "./read-data";

const src = fileURLToPath(new URL("../src", import.meta.url));
const modules = bundleData(readDataFiles());
const check = process.argv.includes("--check");
const stale = Object.entries(modules).filter(
  ([path, text]) => !existsSync(`${src}/${path}`) || readFileSync(`${src}/${path}`, "utf8") !== text,
);
if (check) {
  for (const [path] of stale)
    console.error(`src/${path} is out of date: npm run build:data -w packages/materials`);
  process.exitCode = stale.length > 0 ? 1 : 0;
} else {
  mkdirSync(`${src}/generated`, { recursive: true });
  for (const [path, text] of stale) writeFileSync(`${src}/${path}`, text);
  console.log(
    `${stale.length} of ${Object.keys(modules).length} modules written, ${FAMILIES.length} families`,
  );
}
