import { readdirSync, readFileSync, statSync } from "node:fs";
import { fileURLToPath } from "node:url";

/** Root of the data, as a path. */
export const DATA = fileURLToPath(new URL("../data", import.meta.url));

/** Every JSON file under `data`, as path from there and text, in a stable order. */
export function readDataFiles(root = DATA): { path: string; text: string }[] {
  const files: { path: string; text: string }[] = [];
  for (const folder of readdirSync(root).sort()) {
    if (!statSync(`${root}/${folder}`).isDirectory()) continue;
    for (const name of readdirSync(`${root}/${folder}`).sort()) {
      if (name.endsWith(".json"))
        files.push({ path: `${folder}/${name}`, text: readFileSync(`${root}/${folder}/${name}`, "utf8") });
    }
  }
  return files;
}
