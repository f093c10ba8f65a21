import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { join } from "node:path";
import { catalogue, adhesion, gluedAdhesives, gluedSubstrates, unknownValues } from "@peltry/materials";
import { catalogueIndexPage, cautionsPage, entryPage, FAMILY_NAMES } from "@peltry/materials/pages";
import { collectErrorCodes } from "./error-codes";
import { writeReference } from "./write-reference";

const docs = fileURLToPath(new URL("../", import.meta.url));
const root = fileURLToPath(new URL("../../", import.meta.url));

/** Markdown in which `{{` and bare `<` of data are not taken for a template. */
function still(markdown: string): string {
  return markdown.replaceAll("{{", "&#123;&#123;").replace(/<(?![a-z/!])/gi, "&lt;");
}

/** Catalogue, cautions and glue table. */
function writeMaterials(): void {
  const folder = join(docs, "materials");
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const linkTo = (id: string): string => `/materials/${id}`;
  for (const entry of catalogue) {
    const page = entryPage(entry, { linkTo });
    writeFileSync(
      join(folder, `${entry.id}.md`),
      `---\noutline: 2\nprev: false\nnext: false\n---\n\n${still(page)}`,
    );
  }
  const rows = catalogue.map(({ id, name, family, summary, status, synonyms, ...entry }) => ({
    id,
    name,
    family: FAMILY_NAMES[family],
    summary,
    status,
    unknown: unknownValues({
      id,
      name,
      family,
      summary,
      status,
      synonyms,
      ...entry,
    } as (typeof catalogue)[number]).length,
    words: Object.values(synonyms ?? {})
      .flat()
      .join(" "),
  }));
  writeFileSync(join(folder, "catalogue.json"), JSON.stringify(rows));
  const list = still(catalogueIndexPage(linkTo)).replace(/^# .*\n/, "");
  writeFileSync(
    join(folder, "index.md"),
    `---\noutline: 2\naside: false\n---\n\n# The catalogue\n\n${catalogue.length} kinds of material, each figure with its source. No brands. Type to filter; without scripts the same list stands below.\n\n<script setup>\nimport rows from "./catalogue.json";\n</script>\n\n<CatalogueTable :rows="rows">\n\n${list}\n\n</CatalogueTable>\n`,
  );
  writeFileSync(join(folder, "cautions.md"), still(cautionsPage()));
  writeGlue(folder);
}

function writeGlue(folder: string): void {
  const cells = gluedAdhesives.flatMap(({ id }) =>
    gluedSubstrates.map((substrate) => {
      const { rating, reasons } = adhesion(id, substrate.id, substrate.id);
      return { rating, why: reasons.map((reason) => reason.text).join("; ") };
    }),
  );
  const table = {
    adhesives: gluedAdhesives.map(({ id, name }) => ({ id, name })),
    substrates: gluedSubstrates.map(({ id, name }) => ({ id, name })),
    cells,
  };
  writeFileSync(join(folder, "glue.json"), JSON.stringify(table));
  writeFileSync(
    join(folder, "glue.md"),
    `---\naside: false\n---\n\n# Which glue holds what\n\nPick a glue or a surface, or read the whole table. Each answer is the rating of a joint of the surface with itself; a joint of two\nmaterials takes the worse of its sides. General guidance: the label, the technical data sheet and the safety data sheet of the\nproduct in hand come first.\n\n<script setup>\nimport table from "./glue.json";\n</script>\n\n<GlueTable :table="table" />\n`,
  );
}

/** All codes on one page, by package. */
function writeErrors(): void {
  const codes = collectErrorCodes(join(root, "packages"));
  const groups = [...new Set(codes.map(({ code }) => code.split("/")[0]))];
  const cell = (text: string): string =>
    text
      .replaceAll("|", "\\|")
      .replaceAll("{{", "&#123;&#123;")
      .replaceAll("<", "&lt;")
      .replaceAll("\n", " ");
  const parts = groups.map((group) => {
    const rows = codes
      .filter(({ code }) => code.startsWith(`${group}/`))
      .map(
        ({ code, message, fix }) =>
          `| <span id="${code.replace("/", "-")}"></span>\`${code}\` | ${cell(message) || "The message names the place and what was found."} | ${cell(fix) || "As the message says."} |`,
      );
    return `## ${group}\n\n| code | what it says | mend |\n| --- | --- | --- |\n${rows.join("\n")}`;
  });
  writeFileSync(
    join(docs, "use", "errors.md"),
    `---\noutline: 2\n---\n\n# Error codes\n\n${codes.length} codes, read from the sources as this page was built. A broken call or file throws one \`PeltryError\`;\ntrouble with the costume comes back in \`issues\` and never throws. Codes stay the same between versions; match on the code,\nnever on the words. … stands for what was found.\n\n${parts.join("\n\n")}\n`,
  );
}

/** Readmes of the packages as pages, beside the reference. */
function packageNames(): string[] {
  return readdirSync(join(root, "packages"), { withFileTypes: true })
    .filter((item) => item.isDirectory())
    .map(({ name }) => name)
    .filter(
      (name) =>
        readFileSync(join(root, "packages", name, "src", "index.ts"), "utf8").includes("export {") ||
        name === "peltry",
    );
}

/** Writes all pages that come from data and sources. */
export async function generatePages(options: { reference: boolean }): Promise<void> {
  writeMaterials();
  writeErrors();
  if (options.reference) await writeReference(root, packageNames());
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await generatePages({ reference: !process.argv.includes("--no-reference") });
}
