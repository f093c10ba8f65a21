import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { EXIT } from "../src/cli/main";
import { run } from "./run-cli";
import { tempFolder } from "./temp-folder";

/** A project that works; small so that the test is quick. */
const GOOD = `peltry: 1
name: Test hare
wearer:
  measures: { stature: 1700, hip: 1000, insideLeg: 790 }
fabrics:
  coat:
    name: Coat
    material: faux-fur-medium
    pieces:
      - { id: cloth, widthMm: 1500, lengthMm: 1500 }
parts:
  - id: leg
    name: Leg
    kind: leg
    triangles: 900
    fabrics: { coat: coat }
    seams: { lines: [inner-seam, back-line] }
`;

/** Runs make on a project text in a folder of its own. */
async function make(text: string, more: Record<string, string | Uint8Array> = {}) {
  const base = tempFolder();
  for (const [name, content] of Object.entries(more)) writeFileSync(join(base, name), content);
  writeFileSync(join(base, "p.yaml"), text);
  const out = join(base, "out");
  return { ...(await run(["make", join(base, "p.yaml"), "--out", out, "--quiet"])), out, base };
}

const BAD: readonly (readonly [string, string, RegExp, number])[] = [
  ["no measures at all", GOOD.replace(/wearer:\n.*\n/, ""), /run\/no-wearer/, 0],
  ["an unclear measure", GOOD.replace("hip: 1000", "waist: 700"), /waistNatural.*measure\/unclear-key/s, 4],
  ["an unknown measure", GOOD.replace("hip: 1000", "hipp: 1000"), /measure\/unknown-key/, 4],
  ["an unknown unit", GOOD.replace("hip: 1000", 'hip: "100 parsec"'), /measure\/unknown-unit/, 4],
  [
    "an unknown material",
    GOOD.replace("faux-fur-medium", "faux-fur-medum"),
    /faux-fur-medium.*materials\/unknown-material/s,
    8,
  ],
  ["an unknown fabric", GOOD.replace("{ coat: coat }", "{ coat: cote }"), /run\/unknown-fabric/, 16],
  [
    "a region without fabric",
    GOOD.replace(
      "fabrics: { coat: coat }",
      "fabrics: { coat: coat }\n    patches: [{ id: spot, at: knee, angleDeg: 0, upMm: 60, downMm: 60, spreadDeg: 40 }]",
    ),
    /spot.*run\/region-without-fabric/s,
    16,
  ],
  ["an unknown line", GOOD.replace("back-line", "bak-line"), /back-line.*run\/unknown-line/s, 17],
  ["malformed YAML", GOOD.replace("  coat:", "  coat: ["), /project\/not-yaml/, 0],
  ["a child's age", GOOD.replace("measures:", "age: 12\n  measures:"), /measure\/under-17/, 0],
];

describe("peltry make with a broken project", () => {
  it.each(BAD)("%s: one clear error, exit 1, nothing written", async (_, text, message, line) => {
    const { code, err, out } = await make(text);
    expect(err).toMatch(message);
    if (line > 0) expect(err).toContain(`p.yaml:${line}:`);
    expect(code).toBe(EXIT.fault);
    expect(existsSync(out)).toBe(false);
  });
  it("contradictory measures come back as something to look at, not as a crash", async () => {
    const { code, text } = await make(GOOD.replace("hip: 1000", "hip: 1000, upperThigh: 400, calf: 520"));
    expect([EXIT.done, EXIT.trouble]).toContain(code);
    expect(text).toMatch(/calf/i);
  });
  it("without any fabric it says what to buy", async () => {
    const { code, text, out } = await make(
      GOOD.replace("    pieces:\n      - { id: cloth, widthMm: 1500, lengthMm: 1500 }\n", "    pieces: []\n"),
    );
    expect(code).toBe(EXIT.trouble);
    expect(text).toMatch(/found no place/);
    expect(readdirSync(out)).toContain("workbook.html");
  });
  it("a panel larger than every piece is named with the reason", async () => {
    const { code, text } = await make(
      GOOD.replace("widthMm: 1500, lengthMm: 1500", "widthMm: 200, lengthMm: 200"),
    );
    expect(code).toBe(EXIT.trouble);
    expect(text).toMatch(/leg-coat-1 is not placed: \d+ mm too wide/);
  });
  it("a tube that no line opens gets an opening, and says so", async () => {
    const { text, out, code } = await make(GOOD.replace("[inner-seam, back-line]", "[]"));
    expect(code).not.toBe(EXIT.fault);
    expect(text).toMatch(/Panels +1,/);
    expect(JSON.stringify(JSON.parse(readFileSync(join(out, "workbook.json"), "utf8")).issues)).toContain(
      "run/tube-opened",
    );
  });
  it("explains itself when misused", async () => {
    expect((await run(["mak"])).code).toBe(EXIT.usage);
    expect((await run(["make"])).code).toBe(EXIT.usage);
    expect((await run(["--help"])).code).toBe(EXIT.done);
    expect((await run(["make", "no-such.yaml"])).err).toMatch(/project\/missing-file/);
  });
});
