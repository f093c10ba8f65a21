// Writes the draft of a new entry: asks a few questions, or takes them as flags.
//   npm run material:new
//   npm run material:new -- --family felt --name "Felt, recycled" --value massPerArea=180..220 --source "Shop page" --kind trade-page
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { parseArgs } from "node:util";
import { fail, isPeltryError, issueText } from "@peltry/issues";
import { CLOTH_FAMILIES, EXPECTED, FAMILIES, propertyRule, type Family } from "../src/index";
import { draftMaterial, idFromName, lintMaterials, type DraftAnswers } from "../src/lint";
import { findMaterials } from "../src/query/find-materials";
import { gluedSubstrates } from "../src/joint/glue-table";
import { DATA } from "./read-data";

const many = { type: "string", multiple: true } as const;
const one = { type: "string" } as const;
const { values: flags } = parseArgs({
  options: {
    name: one,
    family: one,
    id: one,
    summary: one,
    face: one,
    back: one,
    method: one,
    role: many,
    synonym: many,
    parent: many,
    fibre: many,
    value: many,
    source: one,
    url: one,
    kind: one,
    published: one,
    retrieved: one,
    force: { type: "boolean" },
    help: { type: "boolean" },
  },
});

const HELP = `npm run material:new -- [flags]   (without --name and --family it asks)
  --family F --name "…" --summary "…" --role R --synonym "…" --parent ID
  --fibre part:fibre:percent            pile:acrylic:100, whole:cotton
  --value property=figure[,condition]   massPerArea=180..220   stretchAcross=40,load=hand
  --source "title" --url U --kind trade-page|datasheet|measurement|… --published D --retrieved D
  --face ROW --back ROW                 rows of the glue table
  --force                               write over a file that is there`;

try {
  if (flags.help) console.log(HELP);
  else write(flags.name !== undefined && flags.family !== undefined ? answersOf() : await ask());
} catch (error) {
  if (!isPeltryError(error)) throw error;
  console.error(error.message);
  process.exitCode = 1;
}

function answersOf(): DraftAnswers {
  const { name, family, id, summary, face, back, method, role, synonym, parent, fibre, value } = flags;
  return {
    name: name!,
    family: family!,
    ...(id ? { id } : {}),
    ...(summary ? { summary } : {}),
    ...(face ? { face } : {}),
    ...(back ? { back } : {}),
    ...(method ? { method: method as never } : {}),
    roles: role ?? [],
    synonyms: synonym ?? [],
    parents: parent ?? [],
    fibres: fibre ?? [],
    values: value ?? [],
    ...(flags.source
      ? { source: sourceOf(flags.source, flags.url, flags.kind, flags.published, flags.retrieved) }
      : {}),
  };
}

function sourceOf(title: string, url?: string, kind = "trade-page", published?: string, retrieved?: string) {
  const today = new Date().toISOString().slice(0, 10);
  return {
    kind: kind as never,
    title,
    ...(url ? { url } : {}),
    ...(published ? { published } : {}),
    ...(retrieved || !published ? { retrieved: retrieved ?? today } : {}),
  };
}

async function ask(): Promise<DraftAnswers> {
  const terminal = createInterface({ input: process.stdin, output: process.stdout });
  // An iterator keeps lines that arrive before they are asked for, as from a pipe; after the end all answers are empty.
  const lines = terminal[Symbol.asyncIterator]();
  const line = async (question: string) => {
    process.stdout.write(`${question} `);
    return String((await lines.next()).value ?? "").trim();
  };
  try {
    console.log("Enter leaves an answer out: unknown stays unknown.\n");
    const family = await chooseFamily(line);
    const name = await line("Name, generic, no brand:");
    const suggested = idFromName(name);
    const id = (await line(`Id [${suggested}]:`)) || suggested;
    const summary = await line("One sentence, what it is and what for:");
    const known = [...new Set(findMaterials({ family }).flatMap(({ roles }) => roles))].sort();
    const roles = listOf(await line(`Can stand in as (${known.join(", ")}):`));
    const fibres =
      CLOTH_FAMILIES.includes(family) || family === "filling" || family === "yarn"
        ? listOf(
            await line("Fibres, part:fibre:percent (pile:acrylic, backing:polyester, whole:cotton:100):"),
          )
        : [];
    const face = await line(`Glues like (${gluedSubstrates.map(({ id: row }) => row).join(", ")}):`);
    console.log("\nFigures: 33, or a range 180..220");
    const figures: string[] = [];
    for (const property of EXPECTED[family]) {
      const { label, unit, needs } = propertyRule(property);
      const hint = needs
        ? `, then ${needs.map((need) => (need === "loadNPerCm" ? "load=hand" : `${need}=…`)).join(",")}`
        : "";
      const answer = await line(`${label}, ${unit}${hint}:`);
      if (answer !== "") figures.push(`${property}=${answer}`);
    }
    const title =
      figures.length > 0 ? await line("Where do the figures come from (title; Enter: from memory):") : "";
    const kind = title
      ? (await line("Kind (trade-page, datasheet, measurement, paper, standard, handbook) [trade-page]:")) ||
        "trade-page"
      : "";
    const url = title ? await line("Address:") : "";
    return {
      family,
      name,
      id,
      summary,
      roles,
      fibres,
      values: figures,
      ...(face ? { face } : {}),
      ...(title ? { source: sourceOf(title, url, kind) } : {}),
    };
  } finally {
    terminal.close();
  }
}

async function chooseFamily(line: (question: string) => Promise<string>): Promise<Family> {
  console.log(FAMILIES.map((family, index) => `${String(index + 1).padStart(2)} ${family}`).join("\n"));
  for (;;) {
    const answer = await line("Family, number or name:");
    const found = FAMILIES.find((family, index) => family === answer || String(index + 1) === answer);
    if (found) return found;
    if (answer === "")
      return fail("materials/bad-draft", "No family was chosen.", {}, { fix: "Give its number or name." });
    console.log("One of the list.");
  }
}

function listOf(answer: string): string[] {
  return answer
    .split(/[,;]/)
    .map((item) => item.trim())
    .filter(Boolean);
}

function write(answers: DraftAnswers): void {
  const file = draftMaterial(answers);
  const path = `${DATA}/${file.path}`;
  if (existsSync(path) && !flags.force) {
    console.error(`data/${file.path} is already there. Choose another --id, or --force.`);
    process.exitCode = 1;
    return;
  }
  mkdirSync(path.slice(0, path.lastIndexOf("/")), { recursive: true });
  writeFileSync(path, file.text);
  console.log(`\nWrote packages/materials/data/${file.path}`);
  const { issues } = lintMaterials([file]);
  for (const issue of issues) console.log(`${issue.severity}: ${issueText(issue)}`);
  console.log(issues.length === 0 ? "The lint has nothing to say." : `${issues.length} to look at.`);
  console.log(
    "Next: npm run build:data -w packages/materials && npx vitest run --config .config/vitest.config.ts packages/materials",
  );
}
