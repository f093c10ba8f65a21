// Packs every package, installs the tarballs into blank projects and runs those. No network: what the packages depend on is
// linked from this workspace. Wants a build first.
import { spawn, spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { builtinModules } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const root = resolve(here, "../..");
const scratch = mkdtempSync(join(tmpdir(), "peltry-consumers-"));
const modules = join(scratch, "node_modules");
const tools = join(root, "node_modules");
const results = [];
const packages = readdirSync(join(root, "packages"))
  .filter((name) => existsSync(join(root, "packages", name, "dist/index.js")))
  .map((name) => ({
    name,
    place: join(root, "packages", name),
    about: readJson(join(root, "packages", name, "package.json")),
  }));

try {
  await Promise.all(packages.map(install));
  for (const project of ["node-esm", "node-require", "typescript", "browser", "worker"])
    cpSync(join(here, project), join(scratch, project), { recursive: true });
  writeFileSync(join(scratch, "package.json"), '{ "private": true }\n');
  await Promise.all([
    check("Node ESM", () => run("node", ["node-esm/main.mjs"])),
    check("require of ESM", () =>
      run("node", ["--no-warnings", "node-require/main.cjs", ...packages.map(({ about }) => about.name)]),
    ),
    check("worker", () => run("node", ["worker/main.mjs"])),
    check("command line from its tarball", () =>
      run("node", [join(modules, "peltry/dist/cli.js"), "--version"]),
    ),
    ...["NodeNext", "Bundler"].map((kind) => check(`TypeScript ${kind}`, () => compile(kind))),
    check("Vite browser bundle", () =>
      run("node", [join(tools, "vite/bin/vite.js"), "build", "browser", "--logLevel", "error"]),
    ),
    ...packages
      .filter(({ name }) => name !== "peltry")
      .map(({ about }) => check(`browser bundle of ${about.name}`, () => bundle(about))),
  ]);
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
const failed = results.filter(({ fault }) => fault);
for (const { name, fault } of failed) console.error(`${name}: ${fault}`);
console.log(`${results.length - failed.length} passed, ${failed.length} failed`);
process.exit(failed.length ? 1 : 0);

async function check(name, work) {
  try {
    await work();
    results.push({ name });
    console.log(`ok ${name}`);
  } catch (error) {
    results.push({ name, fault: error.message });
  }
}

/** Unpacks the tarball as npm would, and links the third-party packages that it asks for, and only those. */
async function install({ place, about }) {
  const pack = spawnSync("npm", ["pack", "--silent", "--ignore-scripts", "--pack-destination", scratch], {
    cwd: place,
    encoding: "utf8",
  });
  if (pack.status !== 0) throw new Error(`${about.name} does not pack: ${pack.stderr}`);
  const target = join(modules, about.name);
  mkdirSync(target, { recursive: true });
  await run("tar", ["-xzf", pack.stdout.trim().split("\n").pop(), "-C", target, "--strip-components=1"]);
  for (const dependency of Object.keys(about.dependencies ?? {})) {
    if (dependency.startsWith("@peltry/")) continue;
    const from = [join(place, "node_modules", dependency), join(tools, dependency)].find(existsSync);
    if (!from) throw new Error(`${about.name} asks for ${dependency}, which is not installed here`);
    const link = join(target, "node_modules", dependency);
    mkdirSync(dirname(link), { recursive: true });
    symlinkSync(from, link);
  }
}

function compile(kind) {
  const config = {
    compilerOptions: {
      ...{ target: "ES2022", lib: ["ES2022", "DOM"], types: [], strict: true, noEmit: true },
      // The declarations themselves are checked too.
      ...{ skipLibCheck: false, exactOptionalPropertyTypes: true },
      module: kind === "NodeNext" ? "NodeNext" : "ESNext",
      moduleResolution: kind,
    },
    files: ["typescript/main.ts"],
  };
  writeFileSync(join(scratch, "typescript/package.json"), '{ "type": "module" }\n');
  writeFileSync(join(scratch, `tsconfig.${kind}.json`), JSON.stringify(config));
  return run("node", [join(tools, "typescript/bin/tsc"), "-p", `tsconfig.${kind}.json`]);
}

/** Bundles every code entry for the browser; a Node built-in would not resolve, and is looked for by name as well. */
async function bundle(about) {
  const entries = Object.entries(about.exports).filter(([, target]) => typeof target === "object");
  const { outputFiles } = await build({
    stdin: {
      contents: entries
        .map(([key], i) => `export * as entry${i} from "${about.name}${key.slice(1)}";`)
        .join("\n"),
      resolveDir: scratch,
    },
    ...{ bundle: true, format: "esm", platform: "browser", write: false, logLevel: "silent" },
  });
  const text = outputFiles[0].text;
  const builtin = builtinModules.find(
    (name) => text.includes(`"node:${name}"`) || text.includes(`from "${name}"`),
  );
  if (builtin) throw new Error(`the bundle asks for ${builtin}`);
}

function run(command, args) {
  return new Promise((done, fail) => {
    const child = spawn(command, args, { cwd: scratch });
    let output = "";
    for (const stream of [child.stdout, child.stderr]) stream.on("data", (chunk) => (output += chunk));
    child.on("error", fail);
    child.on("close", (code) => (code === 0 ? done() : fail(new Error(output.slice(0, 4000)))));
  });
}

function readJson(path) {
  return JSON.parse(readFileSync(path, "utf8"));
}
