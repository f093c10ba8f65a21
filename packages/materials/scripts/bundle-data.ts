import { FAMILIES, type Family } from "../src/entry/families";
import type { MaterialEntry } from "../src/entry/types";
import { packEntry } from "../src/entry/unpack";

/** Name of the constant that a family's module exports: `foam-open` gives `foamOpen`. */
export function familyConstant(family: Family): string {
  return family.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
}

const HEAD = "// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.\n";

/** Texts of all generated modules by their path under `src`. Same data, same bytes. */
export function bundleData(files: readonly { path: string; text: string }[]): Record<string, string> {
  const shared = new Map<string, unknown>();
  const entries: MaterialEntry[] = [];
  for (const { path, text } of files) {
    const [folder, name] = path.split("/") as [string, string];
    const value: unknown = JSON.parse(text);
    if (folder === "shared") shared.set(name.replace(".json", ""), value);
    else entries.push(withoutSchema(value as MaterialEntry));
  }
  const modules: Record<string, string> = {};
  for (const family of FAMILIES) {
    const own = entries.filter((entry) => entry.family === family);
    modules[`${family}.ts`] =
      `${HEAD}import type { MaterialEntry } from "./entry/types";\nimport { unpackEntries } from "./entry/unpack";\n\n` +
      `/** Entries of the family \`${family}\`, by id. */\n// prettier-ignore\n` +
      `export const ${familyConstant(family)}: readonly MaterialEntry[] = /* @__PURE__ */ unpackEntries("${family}", [\n` +
      own.map((entry) => `  ${JSON.stringify(packEntry(entry))},\n`).join("") +
      `]);\n`;
  }
  const families = FAMILIES.filter((family) => entries.some((entry) => entry.family === family));
  modules["generated/all-entries.ts"] =
    HEAD +
    families.map((family) => `import { ${familyConstant(family)} } from "../${family}";\n`).join("") +
    `import type { MaterialEntry } from "../entry/types";\n\n/** Entries of all families, in the order of the families. */\n` +
    `export const ALL_ENTRIES: readonly MaterialEntry[] = [\n` +
    families.map((family) => `  ...${familyConstant(family)},\n`).join("") +
    `];\n`;
  Object.assign(modules, bundleShared(shared));
  return modules;
}

function withoutSchema(entry: MaterialEntry): MaterialEntry {
  const { $schema: _, ...rest } = entry as MaterialEntry & { $schema?: string };
  return rest;
}

function bundleShared(shared: Map<string, unknown>): Record<string, string> {
  const get = (name: string) => shared.get(name);
  const one = (doc: string, name: string, type: string, value: unknown, imports: string) =>
    `${HEAD}${imports}\n/** ${doc} */\n// prettier-ignore\nexport const ${name}: ${type} = ${JSON.stringify(value)};\n`;
  const cautions = get("cautions") as { refer: string; cautions: { id: string }[] };
  const adhesion = get("adhesion") as SharedAdhesion;
  const from = (types: string) => `import type { ${types} } from "../entry/shared-types";\n`;
  return {
    "generated/sources.ts": one(
      "Sources that entries share.",
      "SOURCES",
      "readonly Source[]",
      get("sources"),
      `import type { Source } from "../entry/types";\n`,
    ),
    "generated/fibres.ts": one(
      "What is known of each fibre.",
      "FIBRES",
      "readonly Fibre[]",
      get("fibres"),
      from("Fibre"),
    ),
    "generated/substances.ts": one(
      "Substances with their limits at work, flash points and copied hazard codes.",
      "SUBSTANCES",
      "readonly Substance[]",
      get("substances"),
      from("Substance"),
    ),
    "generated/regions.ts": one(
      "Regions and their rules.",
      "REGIONS",
      "RegionTable",
      get("regions"),
      from("RegionTable"),
    ),
    "generated/cautions.ts":
      HEAD +
      `\n/** Ids of the cautions. */\n// prettier-ignore\nexport const CAUTION_IDS = ${JSON.stringify(cautions.cautions.map(({ id }) => id))} as const;\n\n` +
      `/** One of {@link CAUTION_IDS}. */\nexport type CautionId = (typeof CAUTION_IDS)[number];\n`,
    "generated/caution-texts.ts": one(
      "Cautions, each reviewed once, and whom they defer to.",
      "CAUTIONS",
      "CautionTable",
      cautions,
      from("CautionTable"),
    ),
    "generated/adhesion.ts": one(
      "The glue table: adhesive by substrate.",
      "GLUE_TABLE",
      "GlueTable",
      packAdhesion(adhesion),
      from("GlueTable"),
    ),
  };
}

interface SharedAdhesion {
  note: string;
  adhesives: { id: string; name: string }[];
  substrates: { id: string; name: string }[];
  reasons: Record<string, string>;
  cells: Record<
    string,
    Record<string, { rating: string; codes: string[]; basis: string; sources: string[]; note?: string }>
  >;
}

/** One row an adhesive, one tuple a substrate: the keys would weigh more than the ratings. */
function packAdhesion(table: SharedAdhesion): unknown {
  return {
    note: table.note,
    adhesives: table.adhesives,
    substrates: table.substrates,
    reasons: table.reasons,
    cells: table.adhesives.map(({ id }) =>
      table.substrates.map(({ id: substrate }) => {
        const cell = table.cells[id]?.[substrate];
        if (!cell) return null;
        const packed = [cell.rating, cell.codes.join(" "), cell.basis, cell.sources.join(" ")];
        return cell.note === undefined ? packed : [...packed, cell.note];
      }),
    ),
  };
}
