import { existsSync, rmSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";
import { Application, type DocumentationEntryPoint } from "typedoc";

/**
 * The reference of all packages as Markdown in docs/api, from their docstrings.
 *
 * One program for all packages: the packages strategy of typedoc makes one each and takes five times as long.
 */
export async function writeReference(root: string, packages: readonly string[]): Promise<void> {
  const out = join(root, "docs", "api");
  rmSync(out, { recursive: true, force: true });
  const app = await Application.bootstrapWithPlugins({
    options: join(root, "docs", "typedoc.json"),
    tsconfig: join(root, "docs", "tsconfig.reference.json"),
  });
  const { config } = ts.readConfigFile(join(root, "docs", "tsconfig.reference.json"), ts.sys.readFile);
  const parsed = ts.parseJsonConfigFileContent(config, ts.sys, join(root, "docs"));
  const files = packages.map((name) => join(root, "packages", name, "src", "index.ts"));
  const program = ts.createProgram(files, parsed.options);
  const entryPoints = files.flatMap((file, i): DocumentationEntryPoint[] => {
    const sourceFile = program.getSourceFile(file);
    if (!sourceFile) return [];
    const readme = join(root, "packages", packages[i], "README.md");
    return [
      {
        displayName: packages[i],
        program,
        sourceFile,
        ...(existsSync(readme) ? { readmeFile: readme } : {}),
      },
    ];
  });
  const project = app.converter.convert(entryPoints);
  app.validate(project);
  if (app.logger.hasErrors()) throw new Error("The reference could not be made.");
  await app.generateOutputs(project);
}
