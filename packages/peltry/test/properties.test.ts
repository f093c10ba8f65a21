import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { isPeltryError } from "@peltry/issues";
import { checkPattern } from "@peltry/pattern";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  createProjectFiles,
  makeCostume,
  OUTPUT_MARK,
  projectTemplate,
  readProject,
  summarise,
  writeFolder,
  writeOutputs,
} from "../src/index";
import { tempFolder } from "./temp-folder";

const RUNS = { seed: 1, numRuns: 150 };
const codeOf = async (run: () => unknown): Promise<string> => {
  try {
    await run();
    return "none";
  } catch (error) {
    return isPeltryError(error) ? error.code : `untyped: ${String(error)}`;
  }
};

const EARS = (lengthMm: number, widthMm: number, cupDepthMm: number): string => `peltry: 1
name: Ears
wearer: { measures: { stature: 1700, hip: 1000 } }
fabrics:
  coat: { name: Coat, material: faux-fur-short, pieces: [{ id: a, widthMm: 1500, lengthMm: 1500 }] }
  smooth: { name: Fleece, material: polar-fleece, pieces: [{ id: b, widthMm: 1500, lengthMm: 1500 }] }
parts:
  - id: ears
    name: Ears
    kind: ears
    lengthMm: ${lengthMm}
    widthMm: ${widthMm}
    cupDepthMm: ${cupDepthMm}
    fabrics: { coat: coat, lining: smooth }
`;

describe("properties of project files", () => {
  it("the template with lines struck out or keys misspelt is read, or refused with line and mend [mutation]", async () => {
    const lines = projectTemplate().split("\n");
    await fc.assert(
      fc.asyncProperty(
        fc.nat(lines.length - 1),
        fc.constantFrom("strike", "misspell", "indent"),
        fc.stringMatching(/^[a-z:\-[\]{}&*!|>%@"0-9 ]{0,6}$/),
        async (at, how, word) => {
          const changed = [...lines];
          if (how === "strike") changed.splice(at, 1);
          else if (how === "misspell") changed[at] = changed[at].replace(/[a-zA-Z]+:/, `${word}:`);
          else changed[at] = `  ${changed[at]}${word}`;
          let told: unknown;
          try {
            expect(readProject(changed.join("\n"), "p.yaml").project.peltry).toBe(1);
          } catch (error) {
            told = error;
          }
          if (told === undefined) return;
          if (!isPeltryError(told)) throw told;
          for (const issue of told.issues) {
            expect(issue.code).toMatch(/^project\//);
            expect(issue.at).toMatchObject({ file: "p.yaml" });
            expect(issue.fix ?? "").not.toBe("");
          }
        },
      ),
      RUNS,
    );
  });
  it("a project reads nothing outside its folder, whatever path it names [containment]", async () => {
    const outside = tempFolder();
    writeFileSync(join(outside, "secret"), "secret");
    const folder = join(outside, "project");
    mkdirSync(join(folder, "in"), { recursive: true });
    writeFileSync(join(folder, "in", "mesh"), "inside");
    const files = createProjectFiles(join(folder, "project.yaml"));
    const step = fc.constantFrom("..", ".", "in", "mesh", "secret", "project", "", "no such", outside);
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 6 }), async (steps) => {
        const name = steps.join("/");
        let text: string | undefined;
        const code = await codeOf(() => (text = new TextDecoder().decode(files(name, {}))));
        expect(code).toMatch(/^(none|project\/(missing-file|outside-folder|not-a-file))$/);
        if (code === "none") expect(text).toBe("inside");
      }),
      RUNS,
    );
  });
  it("a folder is written whole with just the files given, or not at all; nothing lands beside it [all or nothing]", async () => {
    const root = tempFolder();
    const target = join(root, "out");
    const step = fc.constantFrom("a", "b", "c.svg", "deep", "..", ".", "ä ö");
    const name = fc.array(step, { minLength: 1, maxLength: 3 }).map((steps) => steps.join("/"));
    await fc.assert(
      fc.asyncProperty(fc.uniqueArray(name, { maxLength: 5 }), fc.string(), async (names, content) => {
        const before = existsSync(target) ? listing(target) : {};
        const files = new Map<string, string>(names.map((one) => [one, content + one]));
        files.set(OUTPUT_MARK, "{}");
        const code = await codeOf(() => writeFolder(target, files));
        expect(code).toMatch(/^(none|output\/)/);
        if (code === "none") {
          const written = listing(target);
          expect(Object.keys(written).length).toBeLessThanOrEqual(files.size);
          for (const text of Object.values(written)) expect([...files.values()]).toContain(text);
        } else {
          expect(existsSync(target) ? listing(target) : {}).toEqual(before);
        }
        expect(readdirSync(root).filter((one) => one !== "out")).toEqual([]);
      }),
      { seed: 1, numRuns: 60 },
    );
  });
});

describe("properties of whole runs", () => {
  it("ears of any size come out without faults, twice as the same bytes, and the summary counts what was made [determinism]", async () => {
    const size = fc.tuple(
      fc.integer({ min: 60, max: 400 }),
      fc.integer({ min: 30, max: 200 }),
      fc.integer({ min: 1, max: 25 }),
    );
    await fc.assert(
      fc.asyncProperty(size, async ([length, width, cup]) => {
        const once = async () => {
          const read = readProject(EARS(length, width, cup), "ears.yaml");
          const costume = await makeCostume(read, () => new Uint8Array());
          return { costume, outputs: await writeOutputs(costume, undefined) };
        };
        const code = await codeOf(once);
        // A cup deeper than the ear is wide cannot be made; it must be said so.
        if (code !== "none") {
          expect(code).toMatch(/^forms\//);
          return;
        }
        const [first, second] = [await once(), await once()];
        expect([...second.outputs.files]).toEqual([...first.outputs.files]);
        const { costume, outputs } = first;
        expect(checkPattern(costume.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
        const summary = summarise(costume, outputs, "out");
        expect(summary.panels).toBe(costume.pattern.panels.length);
        expect(summary.pieces + 0).toBe(costume.layout.placements.length + summary.unplaced);
        expect(summary.files).toEqual([...outputs.files.keys()].sort());
        expect(summary).toMatchObject({ flips: 0, overlaps: 0, folder: "out" });
      }),
      { seed: 1, numRuns: 3 },
    );
  });
});

/** Every file below a folder with its text. */
function listing(folder: string): Record<string, string> {
  return Object.fromEntries(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((one) => one.isFile())
      .map((one) => [
        join(dirname(join(one.parentPath, one.name)), one.name).slice(folder.length),
        readFileSync(join(one.parentPath, one.name), "utf8"),
      ]),
  );
}
