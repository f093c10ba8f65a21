import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isPeltryError, writePattern } from "../src/index";
import { parsePattern, patternJsonSchema, readPattern } from "../src/schema";
import { twoStrips } from "./fixtures";

describe("the published JSON Schema", () => {
  it("is the one that the code makes [invariant: run npm run schema after a change]", () => {
    const file = readFileSync(new URL("../schemas/pattern.schema.json", import.meta.url), "utf8");
    expect(JSON.parse(file)).toEqual(JSON.parse(JSON.stringify(patternJsonSchema())));
  });
  it("asks for every field that the type asks for, and allows no other [independent reading of the file]", () => {
    const schema = patternJsonSchema() as { required: string[]; additionalProperties: boolean };
    expect(schema.required).toEqual(["format", "version", "name", "panels", "seams"]);
    expect(schema.additionalProperties).toBe(false);
  });
});

describe("writePattern and readPattern", () => {
  it("bring the same pattern back, whatever the numbers and words [invariant, 200 random patterns]", () => {
    const number = fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => (x === 0 ? 0 : x));
    fc.assert(
      fc.property(
        fc.array(fc.tuple(number, number), { minLength: 2 }),
        fc.string(),
        number,
        (points, name, pile) => {
          const pattern = twoStrips();
          const first = pattern.panels[0];
          const changed = {
            ...pattern,
            name,
            panels: [
              { ...first, pile, edges: [{ ...first.edges[0], points, name }, ...first.edges.slice(1)] },
              pattern.panels[1],
            ],
          };
          expect(readPattern(writePattern(changed))).toEqual(changed);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });
  it("writes one line a point and the same bytes each time", () => {
    const text = writePattern(twoStrips());
    expect(text).toContain("[100, 60]");
    expect(text).toBe(writePattern(readPattern(text)));
  });
  it("refuses text that is no JSON, naming the file [failing input]", () => {
    expect(code(() => readPattern("{", "hare.json"))).toBe("pattern/not-json");
  });
  it("names panel and edge of a field that is wrong [failing input]", () => {
    const pattern = JSON.parse(writePattern(twoStrips()));
    pattern.panels[1].edges[2].role = "sewn";
    pattern.colour = "grey";
    try {
      parsePattern(pattern);
      expect.unreachable();
    } catch (error) {
      if (!isPeltryError(error)) throw error;
      expect(error.code).toBe("pattern/bad-form");
      expect(error.issues.map((issue) => issue.at)).toContainEqual({
        path: ["panels", 1, "edges", 2, "role"],
        panel: "right",
        edge: "top",
      });
      expect(error.message).toContain("colour");
    }
  });
  it("does not write what cannot be read back [failing input]", () => {
    const pattern = twoStrips();
    const panels = [{ ...pattern.panels[0], pile: NaN }];
    expect(code(() => writePattern({ ...pattern, panels }))).toBe("pattern/not-a-number");
  });
  it("is not led astray by __proto__ keys [failing input]", () => {
    const text = writePattern(twoStrips()).replace(
      '"name": "two strips"',
      '"name": "x", "__proto__": {"polluted": 1}',
    );
    expect(() => readPattern(text)).toThrow();
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });
});

function code(run: () => unknown): string | undefined {
  try {
    run();
  } catch (error) {
    return isPeltryError(error) ? error.code : String(error);
  }
  return undefined;
}
