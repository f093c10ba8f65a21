import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

/** A free font with Latin, Greek, Cyrillic and symbols; undefined where it is not installed. */
export function loadFont(): Uint8Array | undefined {
  try {
    const path = createRequire(import.meta.url).resolve("dejavu-fonts-ttf/ttf/DejaVuSans.ttf");
    return new Uint8Array(readFileSync(path));
  } catch {
    return undefined;
  }
}
