import { describe, expect, it } from "vitest";
import { isPeltryError, type Issue } from "@peltry/issues";
import { readProject } from "../src/project/read-project";

const GOOD = `peltry: 1
name: Test hare
fabrics:
  coat:
    name: Slate coat
    material: faux-fur-long
    pieces:
      - { id: roll, widthMm: 1500, lengthMm: 1000 }
parts:
  - id: leg
    name: Hind leg
    kind: leg
    fabrics: { coat: coat }
`;

function issuesOf(text: string): readonly Issue[] {
  try {
    readProject(text, "hare.yaml");
  } catch (error) {
    if (isPeltryError(error)) return error.issues;
    throw error;
  }
  return [];
}

describe("readProject", () => {
  it("reads a small project and knows where each value stands", () => {
    const { project, place } = readProject(GOOD, "hare.yaml");
    expect(project.parts[0]).toMatchObject({ kind: "leg", pair: false });
    expect(place(["fabrics", "coat", "material"])).toMatchObject({ file: "hare.yaml", line: 6, column: 15 });
  });
  it("points at a misspelt key", () => {
    const [issue] = issuesOf(GOOD.replace("widthMm", "widthMM"));
    expect(issue).toMatchObject({ code: "project/invalid", at: { line: 8 } });
    expect(issue!.message).toContain('"widthMM"');
  });
  it("points at the block where a key is missing, and says which", () => {
    const [issue] = issuesOf(GOOD.replace("    name: Slate coat\n", ""));
    expect(issue).toMatchObject({ message: '"name" is missing.', at: { line: 5 } });
  });
  it.each([
    ["a tab", GOOD.replace("    material", "\tmaterial")],
    ["an open bracket", GOOD.replace("lengthMm: 1000 }", "lengthMm: 1000")],
    ["a key twice", GOOD.replace("name: Test hare", "name: Test hare\nname: Other")],
  ])("malformed YAML (%s) ends in one code with a line", (_, text) => {
    const [issue] = issuesOf(text);
    expect(issue!.code).toBe("project/not-yaml");
    expect(issue!.at.line).toBeGreaterThan(0);
    expect(issue!.fix).toBeTruthy();
  });
  it("refuses aliases that multiply", () => {
    const bomb = [
      "a: &a [1,1,1,1,1,1,1,1,1]",
      ..."bcdefgh".split("").map(
        (k, i) =>
          `${k}: &${k} [${Array(9)
            .fill("*" + "abcdefg"[i])
            .join(",")}]`,
      ),
    ].join("\n");
    expect(issuesOf(bomb)[0]!.code).toBe("project/not-yaml");
  });
  it("names an unknown kind of part", () => {
    expect(issuesOf(GOOD.replace("kind: leg", "kind: wing"))[0]!.message).toContain("kind of part");
  });
});
