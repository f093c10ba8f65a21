import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, dirname } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

/**
 * Makes one test of every ```ts block in a Markdown file. A block runs as a module against the sources; a line
 * `expression; //=> value` is compared with the value (a JavaScript literal; numbers to the digits shown; a text that
 * ends in … compares the start of the printed value).
 * Blocks whose fence says ```ts no-run are only shown.
 */
export function checkExamples(file: URL): void {
  const path = fileURLToPath(file);
  const blocks = [...readFileSync(path, "utf8").matchAll(/^```ts\s*\n([\s\S]*?)^```/gm)].map(
    (match) => match[1]!,
  );
  blocks.forEach((block, index) => {
    it(`${basename(dirname(path))}/${basename(path)} example ${index + 1} gives what it says`, async () => {
      // Beside the file, so that imports resolve as they do for its package.
      const folder = `${dirname(path)}/node_modules/.peltry-examples`;
      const target = `${folder}/${basename(path, ".md")}-${process.pid}-${index}.ts`;
      mkdirSync(folder, { recursive: true });
      writeFileSync(target, instrument(block));
      try {
        (globalThis as Record<string, unknown>)["__compare"] = compare;
        await import(/* @vite-ignore */ target);
      } finally {
        rmSync(target, { force: true });
      }
    });
  });
}

function instrument(block: string): string {
  return block
    .split("\n")
    .map((line) => {
      const match = /^(\s*)(.+?);?\s*\/\/=>\s*(.+?)\s*$/.exec(line);
      if (!match) return line;
      const [, indent, code, wanted] = match as unknown as [string, string, string, string];
      const declared = /^(?:const|let)\s+(\w+)\s*=/.exec(code);
      const value = declared ? declared[1]! : `(${code})`;
      return `${declared ? `${indent}${code};` : indent}(globalThis as any).__compare(await ${value}, ${JSON.stringify(wanted)});`;
    })
    .join("\n");
}

function compare(value: unknown, wanted: string): void {
  if (wanted.endsWith("…")) {
    const text = typeof value === "string" ? value : JSON.stringify(value);
    expect(text.startsWith(wanted.slice(0, -1))).toBe(true);
    return;
  }
  const literal: unknown = new Function(`return (${wanted});`)();
  if (typeof value === "number" && typeof literal === "number") {
    const digits = wanted.includes(".") ? wanted.split(".")[1]!.replace(/\D.*$/, "").length : 0;
    expect(value.toFixed(digits)).toBe(literal.toFixed(digits));
  } else {
    expect(value).toEqual(literal);
  }
}
