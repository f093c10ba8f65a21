import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Command } from "commander";
import { issueText, PeltryError } from "@peltry/issues";
import {
  cautionsOf,
  findMaterials,
  material,
  sourceOf,
  sourceText,
  unknownValues,
  type MaterialEntry,
} from "@peltry/materials";
import { lintMaterials, type LintFile } from "@peltry/materials/lint";
import type { Streams } from "./main";

/** `peltry materials find|show|lint`. */
export function addMaterialCommands(
  program: Command,
  streams: Streams,
  setCode: (code: number) => void,
): void {
  const group = program.command("materials").description("the catalogue of materials");
  group
    .command("find")
    .description("entries whose name, synonyms or summary hold the words")
    .argument("[words...]")
    .option("--json", "as JSON")
    .action((words: string[], flags: { json?: boolean }) => {
      const found = findMaterials(words.join(" "));
      if (flags.json)
        streams.out.write(
          `${JSON.stringify(
            found.map(({ id, name, family, summary }) => ({ id, name, family, summary })),
            null,
            2,
          )}\n`,
        );
      else if (found.length === 0) streams.out.write("Nothing found. Fewer words find more.\n");
      else
        for (const entry of found)
          streams.out.write(`${entry.id.padEnd(28)} ${entry.name} (${entry.family})\n`);
    });
  group
    .command("show")
    .description("all that is known of one material, with its sources")
    .argument("<id>")
    .option("--json", "as JSON")
    .action((id: string, flags: { json?: boolean }) => {
      const entry = material(id);
      streams.out.write(flags.json ? `${JSON.stringify(entry, null, 2)}\n` : entryText(entry));
    });
  group
    .command("lint")
    .description("check entries: one message a fault, with file, line and the mend")
    .argument("[path...]", "files or folders of entries (default: the folder that you are in)")
    .option("--fix", "mend what can be mended")
    .option("--json", "as JSON")
    .action((paths: string[], flags: { fix?: boolean; json?: boolean }) => {
      const files = (paths.length > 0 ? paths : ["."]).flatMap(entryFiles);
      const result = lintMaterials(files, { fix: flags.fix === true });
      for (const file of result.fixed) writeFileSync(file.path, file.text);
      if (flags.json) streams.out.write(`${JSON.stringify(result.issues, null, 2)}\n`);
      else {
        for (const issue of result.issues)
          streams.out.write(`${issue.severity}: ${issueText(issue)} [${issue.code}]\n`);
        const mended = result.fixed.length ? `, ${result.fixed.length} mended` : "";
        streams.out.write(`${result.files} files, ${result.issues.length} remarks${mended}\n`);
      }
      setCode(result.issues.some((issue) => issue.severity === "error") ? 1 : 0);
    });
}

function entryFiles(path: string): LintFile[] {
  if (!existsSync(path)) {
    throw new PeltryError({
      code: "project/missing-file",
      severity: "error",
      message: "There is no such file or folder.",
      at: { file: path },
      fix: "Check the path.",
    });
  }
  if (!statSync(path).isDirectory()) return [{ path, text: readFileSync(path, "utf8") }];
  return readdirSync(path)
    .sort()
    .flatMap((name) => {
      const inside = join(path, name);
      return statSync(inside).isDirectory() || (name.endsWith(".json") && name !== "package.json")
        ? entryFiles(inside)
        : [];
    });
}

function entryText(entry: MaterialEntry): string {
  const lines = [
    entry.name,
    entry.summary,
    "",
    `family      ${entry.family}`,
    `status      ${entry.status}`,
    `roles       ${entry.roles.join(", ")}`,
  ];
  for (const [property, values] of Object.entries(entry.values)) {
    for (const value of values ?? []) {
      const range =
        value.min !== undefined || value.max !== undefined
          ? ` (${value.min ?? "?"} to ${value.max ?? "?"})`
          : "";
      const where = Object.entries(value.conditions ?? {})
        .map(([key, held]) => `${key} ${held}`)
        .join(", ");
      lines.push(
        `${property.padEnd(24)} ${value.typical ?? ""}${range} ${value.unit}${where ? `, ${where}` : ""}  [${value.grade}, ${value.status}: ${sourceText(sourceOf(entry, value.source))}]`,
      );
    }
  }
  const unknown = unknownValues(entry);
  if (unknown.length > 0) lines.push("", `not known: ${unknown.join(", ")}`);
  for (const note of entry.notes ?? []) lines.push("", note);
  for (const caution of cautionsOf([entry]))
    lines.push(
      "",
      `${caution.title}: ${caution.what} ${caution.lower.join(" ")} Stop on: ${caution.stopOn.join("; ")}.`,
    );
  return `${lines.join("\n")}\n`;
}
