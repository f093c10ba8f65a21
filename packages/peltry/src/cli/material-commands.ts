import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import type { Command } from "commander";
import { cautionsOf, material } from "@peltry/materials";
import type { Streams } from "./main";

export function addMaterialCommands(
  program: Command,
  streams: Streams,
  setCode: (code: number) => void,
): void {
  const group = program.command("materials").description("the catalogue of materials");
  void setCode;
  group
    .command("show")
    .description("all that is known of one material")
    .argument("<id>")
    .option("--json", "as JSON")
    .action((id: string, flags: { json?: boolean }) => {
      const entry = material(id);
      streams.out.write(
        flags.json ? `${JSON.stringify(entry, null, 2)}\n` : `${entry.name}\n${entry.summary}\n`,
      );
      void cautionsOf;
    });
  void [existsSync, readdirSync, readFileSync, statSync, join];
}
