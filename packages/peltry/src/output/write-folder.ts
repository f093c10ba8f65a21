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
  const parent = dirname(target);
  await mendLastRun(parent, basename(target));
  await refuseForeign(target);
  const fresh = join(parent, `.${basename(target)}.new-${process.pid}-${randomUUID()}`);
  const old = join(parent, `.${basename(target)}.old-${process.pid}-${randomUUID()}`);
  try {
    await makeFolders(fresh);
    for (const [name, content] of files) {
      const path = resolve(fresh, name);
      if (!path.startsWith(fresh + sep))
        fail("output/bad-path", `The output name "${name}" leaves the folder.`);
      await makeFolders(dirname(path));
      await writeFile(path, content);
    }
    await takePlace(fresh, target, old);
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

/**
 * A folder and those above it, one by one from the nearest that exists. Node's own recursive way never ends where the
 * system answers "not found" for a new folder in one that is there, as /proc does.
 */
async function makeFolders(folder: string): Promise<void> {
  const missing: string[] = [];
  for (let path = folder; !existsSync(path); path = dirname(path)) missing.unshift(path);
  for (const path of missing) {
    await mkdir(path).catch((error: NodeJS.ErrnoException) => {
      // Another run may have made it meanwhile.
      if (error.code !== "EEXIST") throw error;
    });
  }
}

/** Another run may put its own folder there between our two renames: then that one is moved away as well. */
async function takePlace(fresh: string, target: string, old: string): Promise<void> {
  for (let attempt = 0; ; attempt++) {
    if (existsSync(target)) {
      await rm(old, { recursive: true, force: true });
      await rename(target, old).catch(() => undefined);
    }
    try {
      return await rename(fresh, target);
    } catch (error) {
      const code = (error as NodeJS.ErrnoException).code;
      if (attempt >= 5 || (code !== "ENOTEMPTY" && code !== "EEXIST")) throw error;
    }
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

/** A run that was killed may have left its folders behind: the old output goes back to its place, the rest goes. */
async function mendLastRun(parent: string, name: string): Promise<void> {
  if (!existsSync(parent)) return;
  const entries = await readdir(parent).catch((): string[] => []);
  const left = entries.filter((entry) => {
    const match = /^\.(.+)\.(?:old|new)-(\d+)-[0-9a-f-]+$/.exec(entry);
    return match?.[1] === name && !isRunning(Number(match[2]));
  });
  for (const entry of left.filter((entry) => entry.includes(".old-"))) {
    if (!existsSync(join(parent, name)))
      await rename(join(parent, entry), join(parent, name)).catch(() => undefined);
  }
  for (const entry of left)
    await rm(join(parent, entry), { recursive: true, force: true }).catch(() => undefined);
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
