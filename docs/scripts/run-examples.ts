import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync, existsSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { join } from "node:path";
import type { ExampleResult } from "./example";

/** Every worked example: a folder NNN-name with `main.ts` that exports `run`. */
export function exampleFolders(): string[] {
  const root = fileURLToPath(new URL("../examples/", import.meta.url));
  return readdirSync(root)
    .filter((name) => /^\d{3}-/.test(name) && existsSync(join(root, name, "main.ts")))
    .sort()
    .map((name) => join(root, name));
}

/** Runs one example: files by name, the figures among them as `figures.json`. */
export async function runExample(folder: string): Promise<Map<string, string | Uint8Array>> {
  const module = (await import(/* @vite-ignore */ pathToFileURL(join(folder, "main.ts")).href)) as {
    run: () => ExampleResult | Promise<ExampleResult>;
  };
  const { figures, files } = await module.run();
  const out = new Map<string, string | Uint8Array>(Object.entries(files));
  out.set("figures.json", `${JSON.stringify(figures, null, 2)}\n`);
  return out;
}

/** What is committed in the example's `out` folder. */
export function committedOutput(folder: string): Map<string, Buffer> {
  const out = join(folder, "out");
  if (!existsSync(out)) return new Map();
  return new Map(
    readdirSync(out)
      .sort()
      .map((name) => [name, readFileSync(join(out, name))]),
  );
}

/** Runs every example and replaces its `out` folder. */
export async function renewExamples(): Promise<void> {
  for (const folder of exampleFolders()) {
    const files = await runExample(folder);
    rmSync(join(folder, "out"), { recursive: true, force: true });
    mkdirSync(join(folder, "out"), { recursive: true });
    for (const [name, text] of files) writeFileSync(join(folder, "out", name), text);
    console.log(`${folder.split("/").pop()}: ${files.size} files`);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await renewExamples();
