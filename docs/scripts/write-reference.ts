import { existsSync, readFileSync, rmSync } from "node:fs";
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
  const entries = packages.flatMap((name) => entriesOf(root, name));
  const files = entries.map((entry) => entry.file);
  const program = ts.createProgram(files, parsed.options);
  const bare = withoutWords(program, files);
  if (bare.length > 0) throw new Error(`Exports without a docstring: ${bare.join(", ")}.`);
  const entryPoints = entries.flatMap(({ displayName, file, readme }): DocumentationEntryPoint[] => {
    const sourceFile = program.getSourceFile(file);
    if (!sourceFile) return [];
    return [
      { displayName, program, sourceFile, ...(existsSync(readme ?? "") ? { readmeFile: readme } : {}) },
    ];
  });
  const project = app.converter.convert(entryPoints);
  app.validate(project);
  if (app.logger.hasErrors()) throw new Error("The reference could not be made.");
  await app.generateOutputs(project);
}

/** What can be imported of a package: itself, with its readme, and its smaller entries. */
function entriesOf(root: string, name: string): { displayName: string; file: string; readme?: string }[] {
  const place = join(root, "packages", name);
  const { exports } = JSON.parse(readFileSync(join(place, "package.json"), "utf8")) as {
    exports?: Record<string, unknown>;
  };
  const smaller = Object.entries(exports ?? {}).filter(
    ([key, target]) => key !== "." && typeof target === "object",
  );
  return [
    { displayName: name, file: join(place, "src", "index.ts"), readme: join(place, "README.md") },
    ...smaller.map(([key]) => ({
      displayName: `${name}/${key.slice(2)}`,
      file: join(place, "src", `${key.slice(2)}.ts`),
    })),
  ];
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
