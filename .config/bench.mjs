// npm run bench: the benches of all packages as one table, kept as JSON. npm run bench -- --only flatten,layout runs some;
// --out FILE says where the JSON goes; --against FILE prints each ratio beside that of an earlier run.
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const root = fileURLToPath(new URL("..", import.meta.url));
const { values } = parseArgs({
  options: { only: { type: "string" }, out: { type: "string" }, against: { type: "string" } },
});
const out = values.out ?? join(root, "node_modules/.cache/peltry-bench.json");
const before = values.against ? JSON.parse(readFileSync(values.against, "utf8")) : undefined;
const { LAYERS } = await import("./layers.mjs");
const names = Object.keys(LAYERS).filter((name) => {
  const { scripts } = JSON.parse(readFileSync(join(root, "packages", name, "package.json"), "utf8"));
  return scripts?.bench && (!values.only || values.only.split(",").includes(name));
});

const folder = mkdtempSync(join(tmpdir(), "peltry-bench-"));
const rowsFile = join(folder, "rows.jsonl");
writeFileSync(rowsFile, "");
let failed = 0;
for (const name of names) {
  console.log(`\n== ${name}`);
  const { status } = spawnSync("npm", ["run", "--silent", "bench", "-w", `packages/${name}`], {
    cwd: root,
    stdio: "inherit",
    env: { ...process.env, PELTRY_BENCH_ROWS: rowsFile },
  });
  if (status !== 0) failed++;
}
const results = readFileSync(rowsFile, "utf8")
  .split("\n")
  .filter(Boolean)
  .map((line) => JSON.parse(line));
rmSync(folder, { recursive: true, force: true });
mkdirSync(dirname(out), { recursive: true });
writeFileSync(out, `${JSON.stringify({ node: process.version, results }, null, 2)}\n`);

const key = (name, { job, size }) => `${name}: ${job}${size === undefined ? "" : `, ${size}`}`;
const old = new Map(
  (before?.results ?? []).flatMap(({ package: name, rows }) => rows.map((row) => [key(name, row), row])),
);
console.log(`\n| job | CPU ms | against its peer |${before ? " before | change |" : ""}`);
console.log(`| --- | ---: | ---: |${before ? " ---: | ---: |" : ""}`);
for (const { package: name, rows } of results) {
  for (const row of rows) {
    const ratio = share(row);
    const earlier = old.get(key(name, row));
    const was = earlier && share(earlier);
    const change = ratio && was ? `${((100 * ratio) / was - 100).toFixed(0)} %` : "";
    console.log(
      `| ${key(name, row)} | ${row.cpuMs.toPrecision(3)} | ${ratio?.toPrecision(3) ?? ""} |${before ? ` ${was?.toPrecision(3) ?? ""} | ${change} |` : ""}`,
    );
  }
}
console.log(`\nKept in ${out}. Ratios travel between machines, times do not.`);
process.exitCode = failed ? 1 : 0;

function share({ cpuMs, peerMs }) {
  return peerMs ? cpuMs / peerMs : undefined;
}
