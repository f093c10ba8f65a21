// What a package costs an app in the browser, and what may not slip into it.
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const LIMITS = JSON.parse(readFileSync(new URL("size-limits.json", import.meta.url), "utf8"));
/** Entries of a single family of materials: small, many, and alike. */
const FAMILY_LIMIT = { limit: 20_000, without: ["zod", "mathjs"] };

/** Faults of every code entry of a package; a Node built-in fails the bundle, which is made for a browser. */
export async function checkSizes(place, about) {
  const entries = Object.entries(about.exports).filter(([, target]) => typeof target === "object");
  const faults = await Promise.all(
    entries.map(async ([key, target]) => {
      const name = about.name + key.slice(1);
      const rule = LIMITS[name] ?? (about.name === "@peltry/materials" ? FAMILY_LIMIT : undefined);
      if (!rule) return [`${name} has no entry in .config/size-limits.json`];
      const { bytes, held } = await measure(resolve(place, target.default));
      const banned = held.filter((one) => rule.without.includes(one) || rule.without.includes("*"));
      return [
        ...(bytes > rule.limit ? [`${name} has ${bytes} bytes gzipped, allowed ${rule.limit}`] : []),
        ...banned.map((one) => `${name} holds ${one}`),
      ];
    }),
  );
  return faults.flat();
}

async function measure(file) {
  const { outputFiles, metafile } = await build({
    stdin: { contents: `export * from ${JSON.stringify(file)};`, resolveDir: process.cwd() },
    ...{ bundle: true, minify: true, format: "esm", platform: "browser", logLevel: "silent" },
    ...{ write: false, metafile: true },
  });
  const [output] = Object.values(metafile.outputs);
  // Only what ends up in the bundle counts, not what was looked at.
  const kept = Object.entries(output.inputs).filter(([, { bytesInOutput }]) => bytesInOutput > 0);
  const held = kept.flatMap(([path]) => /.*node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? []);
  return { bytes: gzipSync(outputFiles[0].contents, { level: 9 }).length, held: [...new Set(held)] };
}
