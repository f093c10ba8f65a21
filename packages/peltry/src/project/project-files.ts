import { readFileSync, realpathSync, statSync } from "node:fs";
import { dirname, resolve, sep } from "node:path";
import { fail, type Place } from "@peltry/issues";

const LARGEST_INPUT = 1_000_000_000;

/** Reads files that a project names: only inside the project's own folder, links followed, unless allowed. */
export type ProjectFiles = (name: string, at: Place) => Uint8Array;

/**
 * A reader for the files that a project names.
 *
 * @param projectFile - path of the project file
 * @param allowOutside - read files outside its folder as well
 * @throws (the reader) `project/missing-file`, `project/outside-folder`, `project/not-a-file`, `project/file-too-large`
 */
export function createProjectFiles(projectFile: string, allowOutside = false): ProjectFiles {
  const root = realpathSync(dirname(resolve(projectFile)));
  return (name, at) => {
    const wanted = resolve(root, name);
    let real: string;
    try {
      real = realpathSync(wanted);
    } catch {
      fail("project/missing-file", `The file "${name}" is not there.`, at, {
        found: name,
        fix: "Give its path from the project file's folder.",
      });
    }
    if (!allowOutside && real !== root && !real.startsWith(root + sep)) {
      fail("project/outside-folder", `The file "${name}" lies outside the project's folder.`, at, {
        found: name,
        fix: "Copy it beside the project file, or run with --allow-outside.",
      });
    }
    const about = statSync(real);
    if (!about.isFile()) fail("project/not-a-file", `"${name}" is not a file.`, at, { fix: "Name a file." });
    if (about.size > LARGEST_INPUT) {
      fail("project/file-too-large", `"${name}" has ${about.size} bytes.`, at, {
        found: about.size,
        limit: LARGEST_INPUT,
        fix: "Thin the mesh first.",
      });
    }
    return new Uint8Array(readFileSync(real));
  };
}
