import { existsSync, readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const packages = fileURLToPath(new URL("../../packages/", import.meta.url));

/** Functions that a package's entries export by name: all that begin with a small letter and are no types. */
function exportedFunctions(name: string): string[] {
  const about = JSON.parse(readFileSync(`${packages}${name}/package.json`, "utf8")) as {
    exports: Record<string, { default?: string } | string>;
  };
  const entries = Object.values(about.exports).flatMap((target) =>
    typeof target === "object" && target.default?.endsWith(".js")
      ? [target.default.replace("./dist/", `${packages}${name}/src/`).replace(/\.js$/, ".ts")]
      : [],
  );
  return entries.filter(existsSync).flatMap((entry) => {
    const text = readFileSync(entry, "utf8");
    const listed = [...text.matchAll(/export \{([^}]*)\}/g)].flatMap(([, names]) => names.split(","));
    const own = [...text.matchAll(/export (?:async )?function (\w+)/g)].map(([, one]) => one);
    return [...listed.map((one) => one.trim().replace(/.* as /, "")), ...own].filter((one) =>
      /^[a-z]\w*$/.test(one),
    );
  });
}

/** The test files that state laws over random inputs. */
function lawTexts(): string {
  return readdirSync(packages)
    .flatMap((name) => {
      const folder = `${packages}${name}/test`;
      return existsSync(folder) ? readdirSync(folder).map((file) => `${folder}/${file}`) : [];
    })
    .filter((file) => file.endsWith(".test.ts"))
    .map((file) => readFileSync(file, "utf8"))
    .filter((text) => text.includes('from "fast-check"'))
    .join("\n");
}

describe("laws over random inputs", () => {
  const laws = lawTexts();
  it.each(readdirSync(packages).filter((name) => existsSync(`${packages}${name}/package.json`)))(
    "%s: every exported function is used in a test file with laws over random inputs",
    (name) => {
      const missing = exportedFunctions(name).filter((one) => !new RegExp(`\\b${one}\\b`).test(laws));
      expect(missing).toEqual([]);
    },
  );
});
