import { defineConfig, type Options } from "tsup";

/** The one build recipe of all packages: ESM only, one file an entry, types beside it. */
export function library(entry: string[], extra: Options = {}) {
  return defineConfig({
    entry,
    format: "esm",
    target: "es2022",
    platform: "neutral",
    splitting: true,
    sourcemap: true,
    clean: true,
    // Siblings are resolved through their built output here, not through the source paths of tsconfig.base.json.
    dts: { compilerOptions: { paths: {} } },
    ...extra,
  });
}
