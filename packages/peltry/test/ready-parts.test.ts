import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { checkPattern } from "@peltry/pattern";
import { createProjectFiles, makeCostume, readProject } from "../src/index";
import { EXIT } from "../src/cli/main";
import { run } from "./run-cli";
import { tempFolder } from "./temp-folder";

/** Head and tail only: nothing to flatten, so that the test is quick. */
const HEAD = `peltry: 1
name: Head and tail
wearer:
  measures: { stature: 1700, hip: 1000 }
fabrics:
  coat:
    name: Coat
    material: faux-fur-long
    pieces: [{ id: a, widthMm: 1500, lengthMm: 1000 }]
  smooth:
    name: Fleece
    material: polar-fleece
    pieces: [{ id: b, widthMm: 1500, lengthMm: 1000 }]
  foam:
    name: Foam
    material: pu-foam-open
    pieces: [{ id: c, widthMm: 600, lengthMm: 600 }]
parts:
  - id: tail
    name: Tail
    kind: tail
    style: cone
    lengthMm: 300
    circleShare: 0.33333333
    undersideShare: 0.4
    band: {}
    fabrics: { coat: coat, underside: smooth, band: smooth }
  - id: band
    name: Band
    kind: headband
    fabrics: { band: smooth, lining: smooth }
    carries:
      - { part: horn, aroundDeg: 20 }
      - { part: ears, aroundDeg: 70 }
  - id: ears
    name: Ears
    kind: ears
    lengthMm: 200
    widthMm: 80
    cupDepthMm: 20
    fabrics: { coat: coat, lining: smooth }
  - id: horn
    name: Horn
    kind: horn
    baseDiameterMm: 40
    lengthMm: 120
    bendDeg: 30
    fabrics: { skin: smooth, bulk: foam, base: foam }
`;

const read = (text: string) =>
  makeCostume(readProject(text, "head.yaml"), createProjectFiles("package.json"));

async function fault(text: string) {
  const base = tempFolder();
  writeFileSync(join(base, "p.yaml"), text);
  const out = join(base, "out");
  return { ...(await run(["make", join(base, "p.yaml"), "--out", out, "--quiet"])), out };
}

describe("tail, ears, horns and headband in a project", () => {
  const made = read(HEAD);
  const panel = (id: string) => made.pattern.panels.find((each) => each.id === id)!;
  const part = (id: string) => made.parts.find((each) => each.part.id === id)!;

  it("become panels of the project's fabrics, in the file's order, without a fault [oracle: pattern checks]", () => {
    expect(checkPattern(made.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
    expect(made.parts.map((each) => each.part.id)).toEqual(["tail", "band", "ears", "horn"]);
    expect(new Set(made.pattern.panels.map((each) => each.fabric))).toEqual(
      new Set(["coat", "smooth", "foam"]),
    );
    expect(made.layout.unplaced).toEqual([]);
    expect(made.issues.filter((issue) => issue.severity === "error")).toEqual([]);
  });
  it("makes both of a pair from one, and one of what is no pair", () => {
    expect(panel("ears-ear")).toMatchObject({ mirrored: true, count: 1 });
    expect(panel("horn-base-disc")).toMatchObject({ mirrored: true });
    expect(panel("tail-tail")).toMatchObject({ mirrored: false });
    const single = read(HEAD.replace("    kind: horn\n", "    kind: horn\n    pair: false\n"));
    expect(single.pattern.panels.find((each) => each.id === "horn-base-disc")!.mirrored).toBe(false);
  });
  it("gives pile to cloth with a pile and a grain to cloth without", () => {
    expect(panel("ears-ear").pile).toBe(90);
    expect(panel("horn-horn-bulk-1").pile).toBeUndefined();
  });
  it("cuts foam and board as drawn, cloth with its allowance [invariant]", () => {
    const width = (id: string): number =>
      Math.max(...made.allowances.get(id)!.widths.map((each) => each.width));
    expect(width("horn-horn-bulk-1")).toBe(0);
    expect(width("horn-base-disc")).toBe(0);
    expect(width("tail-tail")).toBeGreaterThan(5);
  });
  it("weighs on the band what the parts weigh [invariant: both of each pair, and the band]", () => {
    const band = part("band").built as unknown as { load: { massG: number }; massG: number };
    const pairs = 2 * (part("ears").built!.massG + part("horn").built!.massG);
    expect(band.load.massG).toBeCloseTo(pairs + band.massG, 9);
  });
  it("takes the catalogue's spread for what a cloth weighs", () => {
    expect(part("tail").built!.needs.find((need) => need.layer === "skin")!.source).toMatch(
      /500 to 1200 g\/m², catalogue entry faux-fur-long/,
    );
  });

  // Each with the text on the line that the message must point at.
  it.each([
    [
      "a lining left out",
      ["{ coat: coat, lining: smooth }", "{ coat: coat }"],
      /"lining" is missing/,
      "fabrics: { coat: coat }",
    ],
    ["a fabric that is not there", ["skin: smooth", "skin: velour"], /run\/unknown-fabric/, "skin: velour"],
    [
      "an underside without a fabric",
      ["underside: smooth, ", ""],
      /"underside", which has no fabric.*run\/region-without-fabric/s,
      "{ coat: coat, band",
    ],
    ["a part that is none", ["part: horn,", "part: antler,"], /antler.*run\/unknown-part/s, "part: antler"],
    ["a band round nobody", [/wearer:\n.*\n/, ""], /waistNatural.*run\/no-wearer/s, ""],
    ["a horn without length", ["    lengthMm: 120\n", ""], /length is 0.*forms\/bad-part/s, "- id: horn"],
    ["an unknown stuffing", ["band: {}", "stuffing: feathers"], /feathers.*unknown-material/s, "feathers"],
    ["a length without sense", ["lengthMm: 200", 'lengthMm: "9 elbows"'], /unknown-unit/, "- id: ears"],
    [
      "a pair of headbands",
      ["kind: headband", "kind: headband\n    pair: true"],
      /parts\.1\.pair/,
      "pair: true",
    ],
    [
      "foam over a leg",
      [/ {2}- id: tail[^]*$/, "  - { id: leg, name: Leg, kind: leg, fabrics: { coat: foam } }\n"],
      /run\/not-a-cloth/,
      "- { id: leg",
    ],
  ] as const)("%s: one clear error with its line, nothing written", async (_, [from, to], message, mark) => {
    const text = HEAD.replace(from, to);
    const { code, err, out } = await fault(text);
    expect(err).toMatch(message);
    const line = text.split("\n").findIndex((each) => each.includes(mark)) + 1;
    if (mark) expect(err).toContain(`p.yaml:${line}:`);
    expect(code).toBe(EXIT.fault);
    expect(existsSync(out)).toBe(false);
  });

  it("writes the same bytes twice, every panel and a GLB a part [invariant]", async () => {
    const [one, two] = [await fault(HEAD), await fault(HEAD)];
    expect(one.code).toBe(EXIT.done);
    for (const name of [
      "pattern.json",
      "workbook.html",
      "form-horn.glb",
      "panels/ears-ear.svg",
      "pattern-A4.pdf",
    ])
      expect(readFileSync(join(one.out, name)).equals(readFileSync(join(two.out, name)))).toBe(true);
  });
});
