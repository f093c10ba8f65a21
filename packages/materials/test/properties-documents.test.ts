import fc from "fast-check";
import { describe, expect, it } from "vitest";
import * as z from "zod";
import {
  adhesion,
  catalogue,
  cautions,
  CONDITIONS,
  FAMILIES,
  familyEntries,
  gluedAdhesives,
  gluedSubstrates,
  isPeltryError,
  PROPERTIES,
  sourceOf,
  type ConditionId,
  type MaterialEntry,
} from "../src/index";
import { draftMaterial, idFromName, type DraftAnswers } from "../src/lint";
import {
  catalogueIndexPage,
  cautionsPage,
  compatibilityHtml,
  compatibilityTable,
  conditionText,
  entryPage,
  FAMILY_NAMES,
  figureText,
  unitText,
} from "../src/pages";
import {
  MATERIAL_SCHEMA,
  materialJsonSchema,
  parseMaterial,
  parseStash,
  readMaterial,
  readStash,
  STASH_SCHEMA,
  stashJsonSchema,
} from "../src/schema";
import { anyColour, anyEntry, codeOr, measured, oddName, staysTyped, within } from "./properties-helpers";

const odd = fc.anything({ withNullPrototype: true });
const copy = <T>(value: T): T => JSON.parse(JSON.stringify(value)) as T;

type Key = string | number;
const pathsOf = (value: unknown, at: Key[] = []): Key[][] =>
  typeof value === "object" && value !== null
    ? Object.entries(value).flatMap(([key, item]) => {
        const path = [...at, Array.isArray(value) ? Number(key) : key];
        return [path, ...pathsOf(item, path)];
      })
    : [];

/** A document with one place of it taken out or replaced by something from outside. */
function damaged<T extends object>(document: T): fc.Arbitrary<T> {
  return fc
    .tuple(fc.constantFrom(...pathsOf(document)), fc.option(fc.oneof(fc.jsonValue({ maxDepth: 2 }), oddName)))
    .map(([path, junk]) => {
      const draft = copy(document);
      const holder = path.slice(0, -1).reduce((at, key) => at[key] as never, draft as Record<Key, unknown>);
      if (junk === null) delete holder[path.at(-1)!];
      else holder[path.at(-1)!] = junk;
      return draft;
    });
}

/** Codes of the issues, or none where it is read. */
function faultsOf(work: () => unknown): readonly string[] {
  try {
    work();
    return [];
  } catch (error) {
    if (isPeltryError(error)) return error.issues.map(({ code, at }) => `${code} ${at.path?.join(".")}`);
    throw error;
  }
}

const anyStash = fc
  .array(
    fc.record(
      {
        material: anyEntry.map(({ id }) => id),
        condition: fc.constantFrom("new", "used", "worn", "stained", "damaged", "unknown"),
        colour: anyColour,
        size: fc.record({ alongMm: within(1, 1e5), acrossMm: within(1, 1e5) }),
        amount: fc.record({ value: within(0, 1e4), unit: fc.constantFrom("g", "ml", "m", "pieces") }),
        measured: fc.record({ thicknessMm: within(0.01, 300) }),
        note: fc.constantFrom("from the attic", "two holes"),
      },
      { requiredKeys: ["material", "condition"] },
    ),
    { minLength: 1, maxLength: 5 },
  )
  .map((items) => ({ version: 1, items: items.map((item, at) => ({ id: `piece ${at}`, ...item })) }));

describe("documents", () => {
  it("parseMaterial, readMaterial › an entry written and read is the same entry [oracle: inverse]", () => {
    fc.assert(
      fc.property(anyEntry, fc.nat(4), (entry, indent) => {
        expect(parseMaterial(entry)).toEqual(entry);
        const text = JSON.stringify({ $schema: "x.json", ...entry }, null, indent);
        expect(copy(readMaterial(text, "entry.json"))).toEqual(copy(entry));
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  it("parseMaterial, readMaterial › a damaged entry has the same faults as data and as text, is refused where zod refuses it, and stays as it was [oracle: zod]", () => {
    fc.assert(
      fc.property(anyEntry.chain(damaged), (draft) => {
        const before = JSON.stringify(draft);
        const faults = faultsOf(() => parseMaterial(draft));
        expect(JSON.stringify(draft)).toBe(before);
        expect(faults.length > 0).toBe(!MATERIAL_SCHEMA.safeParse(draft).success);
        expect(faults.every((fault) => fault.startsWith("materials/bad-entry"))).toBe(true);
        expect(faultsOf(() => readMaterial(before))).toEqual(faults);
      }),
      { seed: 2, numRuns: 120 },
    );
  });

  it("parseStash, readStash › a stash written and read is the same; damaged it has the same faults both ways [oracle: inverse, zod]", () => {
    fc.assert(
      fc.property(
        anyStash.chain((stash) => fc.tuple(fc.constant(stash), damaged(stash))),
        ([stash, draft]) => {
          expect(parseStash(stash)).toEqual(stash);
          expect(copy(readStash(JSON.stringify(stash)))).toEqual(copy(stash));
          const faults = faultsOf(() => parseStash(draft));
          expect(faults.length > 0).toBe(!STASH_SCHEMA.safeParse(draft).success);
          expect(faultsOf(() => readStash(JSON.stringify(draft)))).toEqual(faults);
        },
      ),
      { seed: 3, numRuns: 80 },
    );
  });

  it("readMaterial, readStash, parseMaterial, parseStash › whatever the input, one typed error [oracle: hostile input]", () => {
    const text = fc.oneof(
      fc.string(),
      fc.json(),
      fc.array(fc.nat(0xffff)).map((codes) => String.fromCharCode(...codes)),
      odd,
    );
    const cut = fc.tuple(anyEntry, within(0, 1)).map(([entry, share]) => {
      const whole = JSON.stringify(entry);
      return whole.slice(0, Math.floor(share * (whole.length - 1)));
    });
    fc.assert(
      fc.property(fc.oneof(text, cut), odd, (given, value) => {
        for (const read of [readMaterial, readStash]) {
          const answer = codeOr(() => read(given as string, "x.json"));
          expect(["materials/bad-json", "materials/bad-entry", "materials/bad-stash"]).toContain(
            (answer as { code: string }).code,
          );
        }
        expect(codeOr(() => parseMaterial(value))).toEqual({ code: "materials/bad-entry" });
        expect(codeOr(() => parseStash(value))).toEqual({ code: "materials/bad-stash" });
      }),
      { seed: 4, numRuns: 60 },
    );
  });

  it("materialJsonSchema, stashJsonSchema › the schemas for editors take all that is read, and refuse what zod refuses but for rules between fields [oracle: zod, from the JSON Schema back]", () => {
    const entries = z.fromJSONSchema(materialJsonSchema() as z.core.JSONSchema.JSONSchema);
    const stashes = z.fromJSONSchema(stashJsonSchema() as z.core.JSONSchema.JSONSchema);
    const check = (schema: z.ZodType, own: z.ZodType, draft: unknown) => {
      const found = own.safeParse(draft);
      const between = found.error?.issues.every(({ code }) => code === "custom") ?? true;
      if (between) expect(schema.safeParse(draft).success).toBe(true);
      else expect(schema.safeParse(draft).success).toBe(false);
    };
    fc.assert(
      fc.property(anyEntry.chain(damaged), anyStash.chain(damaged), (entry, stash) => {
        check(entries, MATERIAL_SCHEMA, entry);
        check(stashes, STASH_SCHEMA, stash);
      }),
      { seed: 5, numRuns: 80 },
    );
    expect(materialJsonSchema()).toEqual(materialJsonSchema());
  });
});

describe("drafts", () => {
  const ID = /^[a-z0-9]+(-[a-z0-9]+)*$/;
  const name = fc.oneof(
    fc.string({ unit: fc.constantFrom("a", "Z", "é", "7", " ", "-", "&", "ß"), maxLength: 90, size: "max" }),
    fc.string({ unit: fc.constantFrom("ö", "ﬁ", "猫", "🐇", "x", "."), maxLength: 70 }),
  );

  it("idFromName › is an id of at most 60 signs or nothing, and of an id itself [oracle: idempotence]", () => {
    fc.assert(
      fc.property(name, (text) => {
        const id = idFromName(text);
        if (id !== "") expect(id).toMatch(ID);
        expect(id.length).toBeLessThanOrEqual(60);
        expect(idFromName(id)).toBe(id);
        expect(idFromName(` ${text}- `)).toBe(id);
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it("idFromName › keeps every id of the catalogue, and finds it in capitals, accents and underscores [oracle: inverse]", () => {
    fc.assert(
      fc.property(anyEntry, ({ id }) => {
        expect(idFromName(id)).toBe(id);
        expect(idFromName(id.toUpperCase().replaceAll("-", "_ ").replaceAll("A", "Á"))).toBe(id);
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  it("draftMaterial › what is told is what is read back, figure for figure [oracle: inverse]", () => {
    const property = fc.constantFrom("density", "massPerArea", "thickness", "pileLength");
    const figure = fc.integer({ min: 1, max: 300 });
    fc.assert(
      fc.property(
        name.filter((text) => idFromName(text) !== "" && text.trim().length > 0),
        fc.constantFrom(...FAMILIES),
        fc.uniqueArray(fc.tuple(property, figure, figure), { selector: ([id]) => id, maxLength: 3 }),
        fc.constantFrom("one", "range", "least", "most"),
        (text, family, told, form) => {
          const given = told.map(([id, a, b]) => {
            const [min, max] = [Math.min(a, b), Math.max(a, b)];
            return {
              one: { text: `${id}=${a}`, value: { typical: a } },
              range: { text: `${id} = ${min}..${max}`, value: { min, max } },
              least: { text: `${id}=${min}..`, value: { min } },
              most: { text: `${id}=..${max}`, value: { max } },
            }[form];
          });
          const answers: DraftAnswers = { name: text, family, values: given.map((one) => one.text) };
          const file = draftMaterial(answers);
          const entry = readMaterial(file.text);
          expect([entry.id, entry.name, entry.family]).toEqual([idFromName(text), text.trim(), family]);
          expect(file.path).toBe(`${family}/${entry.id}.json`);
          given.forEach(({ value }, at) => {
            const [read] = entry.values[told[at]![0] as "density"]!;
            const { typical, min, max } = read!;
            expect(copy({ typical, min, max })).toEqual(value);
          });
        },
      ),
      { seed: 3, numRuns: 60 },
    );
  });

  it("draftMaterial › a figure is read whole or refused: never a part of it [oracle: hostile input]", () => {
    const signs = fc.string({ unit: fc.constantFrom(..."0123456789.-–e+ "), minLength: 1, maxLength: 8 });
    const joined = fc.tuple(fc.nat(99), fc.constantFrom("-", "–", "+", " ", "...", "e"), fc.nat(99));
    fc.assert(
      fc.property(
        fc.oneof(
          signs,
          joined.map((parts) => parts.join("")),
        ),
        (figure) => {
          const answer = codeOr(() =>
            draftMaterial({ name: "x", family: "felt", values: [`density=${figure}`] }),
          );
          const number = "-?\\d+(\\.\\d+)?";
          const fair = new RegExp(`^\\s*(${number}|(${number})?\\.\\.${number}|${number}\\.\\.)\\s*$`).test(
            figure,
          );
          expect("code" in answer ? answer.code : "read").toBe(fair ? "read" : "materials/bad-draft");
        },
      ),
      { seed: 4, numRuns: 300 },
    );
  });

  it("draftMaterial › whatever is told, a draft or materials/bad-draft [oracle: hostile input]", () => {
    const texts = fc.oneof(
      fc.array(fc.oneof(oddName, fc.constantFrom("whole:cotton:", "density=3,a=b,__proto__=1"))),
      odd,
    );
    const answers = fc.record(
      {
        name: fc.oneof(name, odd),
        family: fc.oneof(fc.constantFrom(...FAMILIES), odd),
        id: fc.oneof(oddName, odd),
        values: texts,
        fibres: texts,
        roles: texts,
        synonyms: texts,
        face: odd,
        source: fc.oneof(odd, fc.record({ kind: oddName, title: oddName })),
      },
      { requiredKeys: ["name", "family"] },
    );
    fc.assert(
      fc.property(fc.oneof(answers, odd), (told) => {
        staysTyped(() => {
          const { path, text } = draftMaterial(told as DraftAnswers);
          expect(path).toMatch(/^[a-z-]+\/[a-z0-9-]+\.json$/);
          expect(JSON.parse(text)).toHaveProperty("schemaVersion", 1);
        }, ["materials/bad-draft"]);
      }),
      { seed: 5, numRuns: 250 },
    );
  });
});

describe("words of figures", () => {
  const figure = fc.integer({ min: -2000, max: 2000 });

  it("figureText › holds the figures of the value, each once, in the order typical, least, most [oracle: reading back]", () => {
    fc.assert(
      fc.property(figure, figure, fc.subarray(["typical", "min", "max"], { minLength: 1 }), (a, b, keys) => {
        const all = { typical: Math.round((a + b) / 2), min: Math.min(a, b), max: Math.max(a, b) };
        const given = Object.fromEntries(Object.entries(all).filter(([key]) => keys.includes(key)));
        const text = figureText(measured({ unit: "1", ...given }));
        const wanted = [
          ...new Set(
            Object.entries(given).map(([key, value]) => (key === "typical" ? `t${value}` : `${value}`)),
          ),
        ];
        expect(text.match(/-?\d+/g)).toEqual(wanted.map((one) => one.replace("t", "")));
        expect(figureText(measured({ unit: "mm", ...given }))).toBe(`${text} mm`);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("unitText, figureText › a unit is told in one way, and one that is not known as it stands [oracle: hostile input]", () => {
    const units = [...new Set(Object.values(PROPERTIES).map(({ unit }) => unit))];
    const texts = units.map(unitText);
    expect(new Set(texts).size).toBe(units.length);
    fc.assert(
      fc.property(oddName, fc.constantFrom(...units), (name, unit) => {
        if (!(units as string[]).includes(name)) expect(unitText(name)).toBe(name);
        expect(unitText(unitText(unit))).toBe(unitText(unit));
        expect(figureText(measured({ unit, typical: 5 }))).toBe(`5 ${unitText(unit)}`.trim());
      }),
      { seed: 2, numRuns: 150 },
    );
  });

  it("conditionText › says each condition in the order given, with its figure [oracle: reading back]", () => {
    const ids = Object.keys(CONDITIONS).filter((id) => id !== "load") as ConditionId[];
    const word = fc.stringMatching(/^[a-z]{2,8}$/);
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.constantFrom(...ids)),
        fc.array(fc.oneof(fc.nat(99), word), { minLength: 12, maxLength: 12 }),
        (keys, values) => {
          const conditions = Object.fromEntries(keys.map((key, at) => [key, values[at]!]));
          const parts = conditionText(measured({ conditions })).split(", ");
          const wanted = keys.map((_, at) => String(values[at]));
          expect(parts.map((part) => part.split(" ")[0])).toEqual(keys.length === 0 ? [""] : wanted);
          expect(conditionText(measured({ conditions: { load: "hand" } }))).toContain("by hand");
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });
});

describe("pages", () => {
  const marks = fc.string({
    unit: fc.constantFrom(...'ab |`*_<>[](){}#~\\\n"&'),
    minLength: 1,
    maxLength: 24,
  });
  /** Cells of a table row: bars that are escaped do not part them. */
  const cellsOf = (row: string) => row.replaceAll("\\\\", "").split(/(?<!\\)\|/).length - 2;
  const tablesOf = (page: string) =>
    page
      .split("\n\n")
      .map((block) => block.split("\n").filter((line) => line.startsWith("| ")))
      .filter((rows) => rows.length > 0);

  it("entryPage › whatever stands in its texts, the page keeps its parts, its tables their columns, and no mark goes through [oracle: hostile input]", () => {
    fc.assert(
      fc.property(anyEntry, marks, marks, (entry, name, note) => {
        const values = Object.fromEntries(
          Object.entries(entry.values).map(([id, list]) => [id, list.map((value) => ({ ...value, note }))]),
        );
        const strange: MaterialEntry = { ...entry, name, notes: [note], values };
        const [page, plain] = [entryPage(strange), entryPage({ ...entry, notes: ["x"] })];
        const headings = (text: string) => text.split("\n").filter((line) => /^##/.test(line));
        expect(headings(page)).toEqual(headings(plain));
        expect(page.split("\n").length).toBe(plain.split("\n").length);
        for (const rows of tablesOf(page))
          for (const row of rows) expect(cellsOf(row)).toBe(cellsOf(rows[0]!));
        expect(page).not.toMatch(/<|undefined|NaN/);
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  it("entryPage, catalogueIndexPage › every entry is linked once at the address it is given [oracle: counting]", () => {
    const address = fc.stringMatching(/^\/[a-z]{1,8}\/$/);
    fc.assert(
      fc.property(
        address,
        fc.shuffledSubarray([...FAMILIES], { maxLength: 3 }),
        anyEntry,
        (base, families, entry) => {
          const index = catalogueIndexPage((id) => `${base}${id}`);
          expect(index.split(`](${base}`).length - 1).toBe(catalogue.length);
          for (const family of families) {
            const part = index.split("\n## ").find((text) => text.startsWith(`${FAMILY_NAMES[family]}\n`))!;
            const linked = [...part.matchAll(/\]\(\/[a-z]+\/([a-z0-9-]+)\)/g)].map(([, id]) => id);
            expect(linked).toEqual(familyEntries(family).map(({ id }) => id));
          }
          const page = entryPage(entry, { linkTo: (id) => `${base}${id}` });
          for (const parent of entry.parents ?? []) expect(page.split(`](${base}${parent})`).length).toBe(2);
        },
      ),
      { seed: 2, numRuns: 12 },
    );
  });

  it("compatibilityTable, compatibilityHtml › each cell says what adhesion answers for that pair [oracle: second path]", () => {
    const MARK = { recommended: "R", "workable-with-care": "c", unknown: "?", avoid: "–", damages: "X" };
    const rows = compatibilityTable().split("\n").slice(2);
    const htmlRows = compatibilityHtml().split('<tr><th scope="row">').slice(1);
    fc.assert(
      fc.property(fc.nat(gluedAdhesives.length - 1), fc.nat(gluedSubstrates.length - 1), (row, column) => {
        const [glue, surface] = [gluedAdhesives[row]!, gluedSubstrates[column]!];
        const { rating } = adhesion(glue.id, surface.id, surface.id);
        expect(rows[row]!.split(" | ")[column + 1]!.replace(" |", "")).toBe(MARK[rating]);
        const cell = htmlRows[row]!.split("<td ")[column + 1]!;
        expect(cell).toContain(`class="rating-${rating}"`);
        expect(cell).toContain(`title="${rating}: `);
        expect(cell).toMatch(new RegExp(`>[${MARK[rating]}]</td>`));
      }),
      { seed: 3, numRuns: 150 },
    );
  });

  it("cautionsPage › each caution has one section with all that it says, in the order of the list [oracle: reading back]", () => {
    const page = cautionsPage();
    const sections = page.split("\n## ").slice(1);
    fc.assert(
      fc.property(fc.nat(cautions.length - 1), (at) => {
        const { id, lower, stopOn, sources } = cautions[at]!;
        const section = sections[at]!;
        expect(section).toContain(`{#${id}}`);
        expect(section.split("\n").filter((line) => line.startsWith("- ")).length).toBe(lower.length);
        const [, stops] = /Stop on: (.*)\./.exec(section)!;
        expect(stops!.split("; ").length).toBe(stopOn.length);
        const plain = section.replace(/\\(.)/g, "$1");
        for (const source of sources) expect(plain).toContain(sourceOf(undefined, source).title);
      }),
      { seed: 4, numRuns: 60 },
    );
    expect(sections.length).toBe(cautions.length);
  });
});
