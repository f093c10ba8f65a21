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
  const bare = withoutWords(program, files);
  if (bare.length > 0) throw new Error(`Exports without a docstring: ${bare.join(", ")}.`);
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

/** Exports that nobody described, as `package name`. What is handed on from a sibling is described there. */
function withoutWords(program: ts.Program, files: readonly string[]): string[] {
  const checker = program.getTypeChecker();
  return files.flatMap((file) => {
    const source = program.getSourceFile(file);
    const symbol = source && checker.getSymbolAtLocation(source);
    if (!symbol) return [];
    return checker
      .getExportsOfModule(symbol)
      .map((one) => (one.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(one) : one))
      .filter((one) => one.getDocumentationComment(checker).length === 0)
      .map((one) => `${file.split("/packages/")[1]?.split("/")[0]} ${one.name}`);
  });
}
