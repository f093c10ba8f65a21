import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import { lstat, mkdir, readdir, rename, rm, writeFile } from "node:fs/promises";
import { basename, dirname, join, resolve, sep } from "node:path";
import { fail, isPeltryError } from "@peltry/issues";

/** The name of the file that tells that a folder is ours and may be replaced. */
export const OUTPUT_MARK = "peltry-output.json";

/**
 * Writes a folder whole or not at all: everything goes to a folder beside it first, which then takes its place.
 * A folder that was not made by this function is never replaced.
 *
 * @param files - path inside the folder → content; must hold {@link OUTPUT_MARK}
 * @throws `output/not-ours`, `output/bad-path`, `output/cannot-write`
 */
export async function writeFolder(
  folder: string,
  files: ReadonlyMap<string, Uint8Array | string>,
): Promise<void> {
  const target = resolve(folder);
  await refuseForeign(target);
  const parent = dirname(target);
  const fresh = join(parent, `.${basename(target)}.new-${randomUUID()}`);
  const old = join(parent, `.${basename(target)}.old-${randomUUID()}`);
  try {
    await mkdir(fresh, { recursive: true });
    for (const [name, content] of files) {
      const path = resolve(fresh, name);
      if (!path.startsWith(fresh + sep))
        fail("output/bad-path", `The output name "${name}" leaves the folder.`);
      await mkdir(dirname(path), { recursive: true });
      await writeFile(path, content);
    }
    if (existsSync(target)) await rename(target, old);
    await rename(fresh, target);
  } catch (error) {
    if (existsSync(old) && !existsSync(target)) await rename(old, target).catch(() => undefined);
    await rm(fresh, { recursive: true, force: true }).catch(() => undefined);
    if (isPeltryError(error)) throw error;
    const reason = (error as NodeJS.ErrnoException).code ?? String(error);
    fail(
      "output/cannot-write",
      `The folder cannot be written (${reason}).`,
      { file: folder },
      {
        fix: "Choose another folder with --out, or free space and check who may write here.",
      },
    );
  } finally {
    await rm(old, { recursive: true, force: true }).catch(() => undefined);
  }
}

async function refuseForeign(target: string): Promise<void> {
  if (!existsSync(target)) return;
  const about = await lstat(target);
  const ours =
    about.isDirectory() && ((await readdir(target)).length === 0 || existsSync(join(target, OUTPUT_MARK)));
  if (!ours) {
    fail(
      "output/not-ours",
      `"${target}" exists and was not made by peltry, so it is left alone.`,
      { file: target },
      {
        fix: "Choose another folder with --out, or move that one away.",
      },
    );
  }
}
