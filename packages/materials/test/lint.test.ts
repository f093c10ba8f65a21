import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Issue } from "../src/index";
import {
  formatEntry,
  highestStatus,
  isCasNumber,
  LINT_RULES,
  lintMaterials,
  readJson,
  bannedWords,
} from "../src/lint";
import { readDataFiles } from "../scripts/read-data";

const files = readDataFiles();
const entries = files.filter(({ path }) => !path.startsWith("shared/"));
const textOf = (id: string) => entries.find(({ path }) => path.endsWith(`/${id}.json`))!;

// eslint-disable-next-line @typescript-eslint/no-explicit-any -- drafts are changed in every wrong way.
type Draft = Record<string, any>;

/** Issues of one entry after a change, by rule. */
function lintChanged(id: string, change: (draft: Draft) => void, fix = false) {
  const file = textOf(id);
  const draft = JSON.parse(file.text) as Draft;
  change(draft);
  return lintMaterials([{ path: file.path, text: JSON.stringify(draft, null, 2) }], { fix });
}

const rulesOf = (issues: readonly Issue[]) => issues.map(({ code }) => code.replace("materials/lint-", ""));

/** A change and the rule that has to find it. */
const CASES: [rule: string, id: string, change: (draft: Draft) => void][] = [
  ["shape", "eva-foam", (d) => (d.colour_ = "red")],
  ["shape", "eva-foam", (d) => delete d.name],
  ["shape", "four-way-knit", (d) => delete d.values.stretchAcross[0].conditions],
  ["shape", "four-way-knit", (d) => (d.values.stretch = d.values.stretchAcross)],
  ["shape", "faux-fur", (d) => (d.values.massPerArea[0].unit = "oz/yd2")],
  ["shape", "xpe-foam-33", (d) => delete d.values.compressionSet[0].conditions.hours],
  ["shape", "eva-foam", (d) => delete d.values.density[0].source],
  ["shape", "eva-foam", (d) => delete d.values.density[0].method],
  ["file-name", "eva-foam", (d) => (d.id = "eva-foam-2")],
  ["file-name", "eva-foam", (d) => (d.family = "foam-open")],
  ["known-ids", "faux-fur-long", (d) => (d.parents = ["faux-furr"])],
  ["known-ids", "faux-fur-long", (d) => (d.values.pileLength[0].source = "nowhere")],
  ["known-ids", "faux-fur-long", (d) => (d.fibres[0].fibre = "acrilic")],
  ["known-ids", "faux-fur-long", (d) => (d.substrates.back = "fauxfur-back")],
  ["parents", "faux-fur", (d) => (d.parents = ["faux-fur-long"])],
  ["parents", "faux-fur", (d) => (d.parents = ["faux-fur"])],
  ["parents", "faux-fur-long", (d) => (d.parents = ["eva-foam"])],
  ["range-order", "eva-foam", (d) => Object.assign(d.values.density[0], { min: 200, max: 45 })],
  ["plausible", "faux-fur", (d) => Object.assign(d.values.massPerArea[0], { min: 13560, max: 40680 })],
  ["unit-slip", "pu-foam-seat", (d) => Object.assign(d.values.density[0], { min: 380, max: 450 })],
  ["unit-slip", "faux-fur-medium", (d) => (d.values.massPerArea[0].typical = 11.2)],
  ["unit-slip", "polar-fleece", (d) => Object.assign(d.values.massPerArea[1], { min: 2000, max: 2500 })],
  ["memory-status", "eva-foam", (d) => (d.values.density[0].status = "approved")],
  ["memory-status", "eva-foam", (d) => (d.values.density[0].status = "provisional")],
  ["status-ladder", "polar-fleece", (d) => (d.values.massPerArea[0].status = "contributed")],
  ["status-ladder", "xpe-foam-33", (d) => (d.values.density[0].status = "approved")],
  ["entry-status", "xpe-foam-33", (d) => (d.status = "approved")],
  ["entry-status", "eva-foam", (d) => (d.status = "contributed")],
  ["sourced", "xpe-foam-33", (d) => (d.values.density[0].grade = "A")],
  [
    "sourced",
    "eva-foam-footwear",
    (d) =>
      (d.values.polymerSoftening = [
        {
          unit: "Cel",
          min: 61,
          max: 76,
          method: "memory",
          source: "memory",
          grade: "M",
          status: "unconfirmed",
        },
      ]),
  ],
  ["method", "xpe-foam-33", (d) => delete d.values.density[0].standard],
  ["method", "xpe-foam-33", (d) => (d.values.tearStrength[0].method = "memory")],
  ["own-sources", "eva-foam", (d) => (d.sources = [{ id: "shop", kind: "trade-page", title: "A shop" }])],
  [
    "fibre-sums",
    "minky",
    (d) => (d.fibres = [{ part: "whole", fibre: "polyester", percentMin: 70, percentMax: 80 }]),
  ],
  [
    "fibre-sums",
    "minky",
    (d) => d.fibres.push({ part: "whole", fibre: "cotton", percentMin: 20, percentMax: 20 }),
  ],
  ["cas-number", "contact-cr-solvent", (d) => (d.components[4].cas = "108-88-4")],
  ["hazards-copied", "cyanoacrylate", (d) => (d.hazards.source = "memory")],
  ["hazards-copied", "cyanoacrylate", (d) => d.hazards.hStatements.push("H399")],
  ["required-cautions", "cyanoacrylate", (d) => (d.cautions = ["cyanoacrylate-fibre"])],
  [
    "required-cautions",
    "contact-cr-solvent",
    (d) => (d.cautions = ["solvent-vapour", "flammable", "ptbp-rosin"]),
  ],
  ["allergens", "faux-fur", (d) => (d.allergens.latex = "none")],
  ["words", "eva-foam", (d) => (d.summary = "Perfectly safe foam.")],
  ["words", "eva-foam", (d) => (d.notes = ["A non-toxic, fireproof foam."])],
];

describe("lintMaterials", () => {
  it("lintMaterials › finds nothing in the shipped catalogue [oracle: invariant]", () => {
    const { issues, files: count } = lintMaterials(files);
    expect(issues.map((issue) => `${issue.at.file}:${issue.at.line} ${issue.message}`)).toEqual([]);
    expect(count).toBe(files.length);
  });

  it.each(CASES)(
    "lintMaterials › %s is found in a changed %s [oracle: failing input]",
    (rule, id, change) => {
      const { issues } = lintChanged(id, change);
      const own = issues.filter(({ code }) => code === `materials/lint-${rule}`);
      expect(own.length, JSON.stringify(issues, null, 1)).toBeGreaterThan(0);
      for (const issue of own) {
        expect(issue.at.file).toContain(`${id}.json`);
        expect(issue.at.line).toBeGreaterThan(0);
        expect(issue.at.path).toBeDefined();
        expect(issue.fix).toBeTruthy();
      }
    },
  );

  it("LINT_RULES › every rule but those on pairs of files has a case above [oracle: invariant]", () => {
    const covered = new Set([...CASES.map(([rule]) => rule), "unique-id", "glue-gate"]);
    expect(LINT_RULES.map(({ id }) => id).filter((id) => !covered.has(id))).toEqual([]);
  });

  it("lintMaterials › unique-id: names the other file [oracle: failing input]", () => {
    const { text } = textOf("eva-foam");
    const { issues } = lintMaterials([
      { path: "foam-closed/eva-foam.json", text },
      { path: "copy/foam-closed/eva-foam.json", text },
    ]);
    expect(rulesOf(issues)).toEqual(["unique-id"]);
  });

  it("lintMaterials › glue-gate: a fibre that hot glue destroys in a row that allows it [oracle: failing input]", () => {
    const { issues } = lintChanged("cotton-twill", (d) => {
      d.fibres = [{ part: "whole", fibre: "polyester" }];
      d.values.melting = [
        { unit: "Cel", typical: 100, method: "memory", source: "memory", grade: "M", status: "unconfirmed" },
      ];
    });
    expect(rulesOf(issues)).toContain("glue-gate");
  });

  it("lintMaterials › the message names the line of the value [oracle: independent count of lines]", () => {
    const file = textOf("xpe-foam-33");
    const text = file.text.replace('"unit": "kPa", "typical": 455', '"unit": "MPa", "typical": 455');
    const broken = text === file.text ? file.text.replace('"typical": 455', '"typical": "455"') : text;
    const line = broken.split("\n").findIndex((row) => row.includes("455")) + 1;
    const { issues } = lintMaterials([{ path: file.path, text: broken }]);
    expect(issues.some(({ at }) => at.line === line || at.line === line - 1)).toBe(true);
  });

  it("lintMaterials › fix mends what can be mended, and mending twice changes nothing [oracle: metamorphic]", () => {
    const change = (d: Draft) => {
      d.id = "other";
      d.cautions = [];
      d.values.density[0].status = "approved";
      Object.assign(d.values.density[0], { min: 200, max: 45 });
    };
    const before = lintChanged("eva-foam", change);
    expect(before.issues.length).toBeGreaterThan(2);
    const { issues, fixed } = lintChanged("eva-foam", change, true);
    expect(issues).toEqual([]);
    expect(fixed).toHaveLength(1);
    const again = lintMaterials(fixed, { fix: true });
    expect(again.fixed).toEqual([]);
    expect(JSON.parse(fixed[0]!.text)).toMatchObject({
      id: "eva-foam",
      values: { density: [{ min: 45, max: 200, status: "unconfirmed" }] },
    });
  });

  it("lintMaterials › a circle over three files is told [oracle: failing input]", () => {
    const make = (id: string, parent: string) => {
      const draft = JSON.parse(textOf("eva-foam").text) as Draft;
      return { path: `foam-closed/${id}.json`, text: JSON.stringify({ ...draft, id, parents: [parent] }) };
    };
    const { issues } = lintMaterials([make("a1", "b1"), make("b1", "c1"), make("c1", "a1")]);
    expect(rulesOf(issues)).toEqual(["parents", "parents", "parents"]);
    expect(issues[0]!.message).toContain("a1 → b1 → c1 → a1");
  });

  it("lintMaterials › the glue table: missing cells, unknown codes, cyanoacrylate on cotton [oracle: published value: Jacques 2020]", () => {
    const file = files.find(({ path }) => path === "shared/adhesion.json")!;
    const table = JSON.parse(file.text) as Draft;
    table.cells["cyanoacrylate"]["cotton-canvas"].rating = "workable-with-care";
    delete table.cells["pva"]["wood"];
    table.cells["pva"]["leather"].codes = ["NOPE"];
    const { issues } = lintMaterials([{ path: file.path, text: JSON.stringify(table) }]);
    expect(issues).toHaveLength(3);
    expect(issues.map(({ message }) => message).join("\n")).toMatch(/91 °C[\s\S]*|not rated[\s\S]*|NOPE/);
  });

  it("lintMaterials › 10,000 random mutations never crash it, and each fault has a path [oracle: property, seeded]", () => {
    const junk: unknown[] = [
      null,
      true,
      -1,
      1e308,
      0,
      "",
      "safe",
      [],
      {},
      [[]],
      "__proto__",
      { $ref: "#" },
      "\u0000",
      3.7,
    ];
    const paths = (value: unknown, at: (string | number)[] = []): (string | number)[][] =>
      typeof value === "object" && value !== null
        ? [
            at,
            ...Object.entries(value).flatMap(([key, item]) =>
              paths(item, [...at, Array.isArray(value) ? Number(key) : key]),
            ),
          ]
        : [at];
    const all = entries.map((file) => {
      const value = JSON.parse(file.text) as Draft;
      return { file, value, paths: paths(value).slice(1) };
    });
    fc.assert(
      fc.property(fc.nat(), fc.nat(), fc.nat(), fc.nat(3), (which, where, what, how) => {
        const { file, value, paths: ways } = all[which % all.length]!;
        const draft = structuredClone(value);
        const way = ways[where % ways.length]!;
        const holder = way.slice(0, -1).reduce<Draft>((at, key) => at[key], draft);
        const key = way.at(-1)!;
        if (how === 0) delete holder[key];
        else if (how === 1) holder[key] = junk[what % junk.length];
        else if (how === 2) holder[`x${what % 7}`] = junk[what % junk.length];
        else if (typeof holder[key] === "number") holder[key] *= [10, 0.1, 33.9057, -1][what % 4]!;
        else holder[key] = [holder[key]];
        const { issues } = lintMaterials([{ path: file.path, text: JSON.stringify(draft) }], {
          fix: what % 4 === 0,
        });
        return issues.every((issue) => issue.at.path !== undefined && issue.at.file === file.path);
      }),
      { seed: 7, numRuns: 10_000 },
    );
  });

  it("lintMaterials › broken text gives one fault with line and column [oracle: failing input]", () => {
    const { issues } = lintMaterials([{ path: "felt/x.json", text: '{\n  "id": "x",\n  "name": \n}' }]);
    expect(issues).toHaveLength(1);
    expect(issues[0]).toMatchObject({
      code: "materials/bad-json",
      at: { file: "felt/x.json", line: 4, column: 1 },
    });
    for (const text of ["", "[", "null", '{"a":1}}', "{".repeat(99), '"', "\uFEFF{}"])
      for (const fix of [false, true])
        expect(lintMaterials([{ path: "felt/x.json", text }], { fix }).issues.length).toBeGreaterThan(0);
  });
});

describe("parts of the lint", () => {
  it("readJson › equals JSON.parse [oracle: independent computation]", () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = JSON.stringify(value);
        expect(JSON.stringify(readJson(text).value)).toBe(text);
      }),
      { seed: 3, numRuns: 500 },
    );
    for (const { text } of files)
      expect(JSON.stringify(readJson(text).value)).toBe(JSON.stringify(JSON.parse(text)));
    expect(() => readJson("{'a': 1}")).toThrow(/double quotes/);
  });

  it("formatEntry › every file is written the way it writes them, and keeps its data [oracle: metamorphic]", () => {
    for (const { path, text } of files) expect(formatEntry(JSON.parse(text)), path).toBe(text);
  });

  it("isCasNumber › the sixteen substances of the tables, and one with a wrong digit [oracle: published value: CAS registry]", () => {
    const numbers =
      "108-88-3 110-54-3 110-82-7 67-64-1 141-78-6 78-93-3 7085-85-0 137-05-3 101-68-8 9016-87-9 7440-02-0 1675-54-3 112-24-3 9010-98-4 26471-62-5 822-06-0";
    for (const cas of numbers.split(" ")) expect(isCasNumber(cas), cas).toBe(true);
    for (const cas of ["108-88-4", "108883", "", "1-1-1"]) expect(isCasNumber(cas), cas).toBe(false);
  });

  it("highestStatus › the rungs of the ladder [oracle: the rules as written]", () => {
    const value = (grade: "A" | "B" | "C" | "M", source: string, middle: number) => ({
      grade,
      source,
      middle,
    });
    const shop = value("C", "s1", 100);
    expect(highestStatus(value("M", "memory", 100), [value("A", "x", 100)])).toBe("unconfirmed");
    expect(highestStatus(shop, [])).toBe("unconfirmed");
    expect(highestStatus(shop, [value("C", "s2", 115)])).toBe("provisional");
    expect(highestStatus(shop, [value("C", "s2", 130)])).toBe("unconfirmed");
    expect(highestStatus(shop, [value("C", "s1", 100)])).toBe("unconfirmed");
    expect(highestStatus(value("B", "d1", 100), [])).toBe("provisional");
    expect(highestStatus(value("B", "d1", 100), [value("B", "d2", 500)])).toBe("contributed");
    expect(highestStatus(value("A", "r", 1), [])).toBe("contributed");
  });

  it("bannedWords › finds promises and leaves the name of a document [oracle: failing input]", () => {
    expect(bannedWords("Safe, non-toxic and compliant; Fireproof!")).toEqual([
      "Safe",
      "non-toxic",
      "compliant",
      "Fireproof",
    ]);
    expect(bannedWords("Read the safety data sheet. It is unsafe.")).toEqual([]);
  });
});
