// The built command line where things go wrong: no right to write, killed, stopped, twice at once, odd names,
// hostile project files. node test-fixtures/stress/run.mjs [kills]. Wants a build first.
import { spawn, spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const CLI = fileURLToPath(new URL("../../packages/peltry/dist/cli.js", import.meta.url));
const KILLS = Number(process.argv[2] ?? 5);
const scratch = mkdtempSync(join(tmpdir(), "peltry-stress-"));
const results = [];
const project = join(scratch, "Моя зайчиха №1", "my hare.yaml");

try {
  mkdirSync(join(project, ".."));
  const written = await peltry(["init", project]);
  record("init into a path with spaces and non-Latin letters", written.code === 0);
  const out = join(scratch, "out put");
  const start = performance.now();
  const made = await peltry(["make", project, "--out", out, "-q"]);
  const took = performance.now() - start;
  record("make", made.code === 0 || made.code === 3, made);
  const first = fingerprint(out);

  const both = await Promise.all([1, 2].map(() => peltry(["make", project, "--out", out, "-q"])));
  record(
    "two runs at once leave one whole output, the same bytes",
    both.every(({ code }) => code === made.code) && fingerprint(out) === first,
    both[0],
  );
  await hostileFiles();
  await noRoom();
  await smallDisk(first, made.code);

  let stopped = 0;
  for (let i = 0; i < KILLS; i++) {
    // Random moments, the same each time; the later ones fall into the writing.
    const moment = took * (0.3 + 0.75 * ((i * 0.618034) % 1));
    const { code } = await peltry(["make", project, "--out", out, "-q"], {
      signal: "SIGKILL",
      after: moment,
    });
    if (code !== made.code) stopped++;
    if (existsSync(out) && fingerprint(out) !== first)
      record(`kill -9 after ${Math.round(moment)} ms`, false);
  }
  const mended = await peltry(["make", project, "--out", out, "-q"]);
  const left = readdirSync(scratch).filter((name) => /\.(new|old)-/.test(name));
  record(
    `${stopped} of ${KILLS} runs killed: old output or new, nothing left behind`,
    mended.code === made.code && fingerprint(out) === first && left.length === 0,
  );

  const break_ = await peltry(["make", project, "--out", join(scratch, "never"), "-q"], {
    signal: "SIGINT",
    after: took * 0.6,
  });
  record(
    "SIGINT ends with 130 and writes nothing",
    break_.code === 130 && !existsSync(join(scratch, "never")),
    break_,
  );
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
const failed = results.filter((passed) => !passed).length;
console.log(`${results.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);

async function hostileFiles() {
  const bomb = [
    "a: &a [x, x, x, x, x, x, x, x]",
    ..."bcdefghij"
      .split("")
      .map((key, i) => `${key}: &${key} [${Array(8).fill(`*${"abcdefghi"[i]}`).join(", ")}]`),
  ];
  const outside = join(scratch, "outside.ply");
  writeFileSync(outside, "ply\n");
  symlinkSync(outside, join(project, "..", "link.ply"));
  const scan = (file) =>
    `peltry: 1\nname: S\nfabrics: { coat: { name: Coat, material: faux-fur-long, pieces: [] } }\nparts:\n  - { id: s, name: S, kind: scan, file: ${file}, colours: { coat: "#687482" }, fabrics: { coat: coat } }\n`;
  for (const [name, text, code] of [
    ["a YAML bomb", bomb.join("\n"), "project/not-yaml"],
    [
      "1 MB of keys",
      `peltry: 1\n${Array.from({ length: 40_000 }, (_, i) => `key-number-${i}: value-${i}`).join("\n")}\n`,
      "project/invalid",
    ],
    ["a file above the project's folder", scan("../outside.ply"), "project/outside-folder"],
    ["a link that leaves the folder", scan("link.ply"), "project/outside-folder"],
    ["a folder for a file", scan("."), "project/not-a-file"],
    ["a key that names a prototype", "peltry: 1\n__proto__: { name: x }\nname: A\n", "project/invalid"],
  ]) {
    const file = join(project, "..", "bad.yaml");
    writeFileSync(file, text);
    const answer = await peltry(["check", file, "-q"]);
    record(`refuses ${name}`, answer.code === 1 && answer.text.includes(`[${code}]`), answer);
  }
}

/** Places where nothing can be written. */
async function noRoom() {
  const file = join(scratch, "a file");
  writeFileSync(file, "mine");
  const foreign = await peltry(["make", project, "--out", file, "-q"]);
  record(
    "leaves a file alone that is in the way",
    foreign.code === 4 && readFileSync(file, "utf8") === "mine",
    foreign,
  );
  const blocked = await peltry(["make", project, "--out", join(file, "below"), "-q"]);
  record(
    "says so when the folder cannot be made",
    blocked.code === 4 && blocked.text.includes("[output/"),
    blocked,
  );
  const nowhere = await peltry(["make", project, "--out", "/proc/peltry", "-q"]);
  record(
    "says so when nobody may write there",
    process.platform !== "linux" || (nowhere.code === 4 && nowhere.text.includes("[output/cannot-write]")),
    nowhere,
  );
}

/** Disks of our own that are read-only or too small; only Linux lets root mount them. */
async function smallDisk(first, done) {
  const size = readdirSync(join(scratch, "out put"), { recursive: true })
    .map((name) => statSync(join(scratch, "out put", name)))
    .reduce((sum, about) => sum + (about.isFile() ? about.size : 0), 0);
  const disk = join(scratch, "disk");
  mkdirSync(disk);
  const mount = (options) =>
    spawnSync("mount", ["-t", "tmpfs", "-o", options, "peltry-stress", disk]).status === 0;
  const into = join(disk, "out");
  for (const [name, options, before] of [
    ["a read-only disk", "ro", false],
    ["a disk of 64 kB", "size=64k", false],
    // Room for the old output and half of the new.
    ["a disk that fills up beside the old output", `size=${Math.ceil((1.5 * size) / 1024)}k`, true],
  ]) {
    if (!mount(options)) return console.log(`skipped ${name}: no right to mount`);
    try {
      if (before) cpSync(join(scratch, "out put"), into, { recursive: true });
      const answer = await peltry(["make", project, "--out", into, "-q"]);
      const kept = before ? fingerprint(into) === first : !existsSync(into);
      const litter = readdirSync(disk).filter((entry) => entry !== "out");
      record(
        `${name}: says so, keeps what was there, leaves no litter`,
        answer.code === 4 && answer.text.includes("[output/cannot-write]") && kept && litter.length === 0,
        answer,
      );
    } finally {
      spawnSync("umount", [disk]);
    }
  }
  if (!mount(`size=${Math.ceil((2.5 * size) / 1024)}k`)) return;
  try {
    for (const time of ["first", "second"]) {
      const answer = await peltry(["make", project, "--out", into, "-q"]);
      record(
        `a disk that just has room, ${time} time`,
        answer.code === done && fingerprint(into) === first,
        answer,
      );
    }
  } finally {
    spawnSync("umount", [disk]);
  }
}

function record(name, passed, answer) {
  results.push(passed);
  console.log(`${passed ? "ok" : "FAILED"} ${name}`);
  if (!passed && answer) console.log(`  exit ${answer.code}: ${answer.text.slice(0, 600)}`);
}

/** Names, sizes and bytes of a folder as one text. */
function fingerprint(folder) {
  return readdirSync(folder, { recursive: true })
    .filter((name) => statSync(join(folder, name)).isFile())
    .sort()
    .map((name) => `${name} ${readFileSync(join(folder, name), "base64")}`)
    .join("\n");
}

function peltry(args, kill) {
  return new Promise((resolve) => {
    const child = spawn("node", [CLI, ...args]);
    let text = "";
    for (const stream of [child.stdout, child.stderr]) stream.on("data", (chunk) => (text += chunk));
    const timer = kill && setTimeout(() => child.kill(kill.signal), kill.after);
    child.on("close", (code) => {
      clearTimeout(timer);
      resolve({ code, text });
    });
  });
}
