import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  catalogue,
  CLOTH_FAMILIES,
  EXPECTED,
  fabricBehaviour,
  FAMILIES,
  familyEntries,
  findEntry,
  material,
  middleOf,
  pileOf,
  PROPERTIES,
  propertyRule,
  resolveValue,
  sourceOf,
  sourceText,
  unknownValues,
  type PropertyId,
} from "../src/index";
import type { Measured } from "../src/entry/types";
import { lintMaterials } from "../src/lint";
import { anyEntry, codeOr, measured, oddName, shuffled, within, withValues } from "./properties-helpers";

const propertyIds = Object.keys(PROPERTIES) as PropertyId[];
const anyProperty = fc.constantFrom(...propertyIds);
const anyCloth = fc.constantFrom(...catalogue.filter(({ family }) => CLOTH_FAMILIES.includes(family)));

const LADDER = ["approved", "contributed", "provisional", "unconfirmed"] as const;

/** A value with a typical figure, a range or both, of any rank. */
const anyMeasured: fc.Arbitrary<Measured> = fc
  .record({
    low: within(0.1, 50),
    wide: within(0, 50),
    at: fc.option(within(0, 1)),
    method: fc.constantFrom("ruler", "literature", "memory"),
    grade: fc.constantFrom("A", "B", "C", "M"),
    status: fc.constantFrom("unconfirmed", "provisional", "contributed", "approved"),
  })
  .map(({ low, wide, at, ...rest }) =>
    measured({ min: low, max: low + wide, ...(at === null ? {} : { typical: low + at * wide }), ...rest }),
  );

describe("values", () => {
  it("middleOf, resolveValue › the figure picked is the first of the best rank, and the one to plan with lies within the spread [oracle: brute force, bounds]", () => {
    fc.assert(
      fc.property(fc.array(anyMeasured, { minLength: 1, maxLength: 6 }), (list) => {
        const found = resolveValue({ values: { thickness: list } }, "thickness")!;
        expect(found.value).toBe(middleOf(found.picked));
        const rank = ({ status, grade }: Measured) =>
          4 * LADDER.indexOf(status) + ["A", "B", "C", "M"].indexOf(grade);
        const best = Math.min(...list.map(rank));
        expect(found.picked).toBe(list.find((value) => rank(value) === best));
        for (const value of list) {
          expect(middleOf(value)).toBeGreaterThanOrEqual(value.min!);
          expect(middleOf(value)).toBeLessThanOrEqual(value.max!);
        }
        expect(found.min).toBeLessThanOrEqual(found.value);
        expect(found.max).toBeGreaterThanOrEqual(found.value);
        expect(found.spread).toBeGreaterThanOrEqual(found.max / found.min);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("middleOf › shifts and turns over with its range: mid(a + c) = mid(a) + c, mid(−a) = −mid(a) [oracle: symmetry]", () => {
    fc.assert(
      fc.property(within(-100, 100), within(-100, 100), within(-100, 100), (a, b, shift) => {
        const [min, max] = [Math.min(a, b), Math.max(a, b)];
        const middle = middleOf(measured({ min, max }));
        expect(middleOf(measured({ min: min + shift, max: max + shift }))).toBeCloseTo(middle + shift, 9);
        expect(middleOf(measured({ min: -max, max: -min }))).toBeCloseTo(-middle, 12);
        expect(middleOf(measured({ min: a }))).toBe(a);
        expect(middleOf(measured({ max: a }))).toBe(a);
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  it("resolveValue › scales with its figures, and the spread of the sources does not [oracle: scaling]", () => {
    fc.assert(
      fc.property(
        fc.array(anyMeasured, { minLength: 1, maxLength: 5 }),
        fc.integer({ min: -8, max: 8 }),
        (list, k) => {
          // Powers of two scale without rounding.
          const factor = 2 ** k;
          const scaled = list.map(({ typical, min, max, ...rest }) => ({
            ...rest,
            min: min! * factor,
            max: max! * factor,
            ...(typical === undefined ? {} : { typical: typical * factor }),
          }));
          const before = resolveValue({ values: { density: list } }, "density")!;
          const after = resolveValue({ values: { density: scaled } }, "density")!;
          for (const key of ["value", "min", "max"] as const) expect(after[key]).toBe(before[key] * factor);
          expect(after.spread).toBe(before.spread);
        },
      ),
      { seed: 3, numRuns: 100 },
    );
  });

  it("resolveValue › `least` is the same as striking the lower values; what is worse changes no pick [oracle: metamorphic]", () => {
    fc.assert(
      fc.property(fc.array(anyMeasured, { maxLength: 6 }), fc.constantFrom(...LADDER), (list, least) => {
        const high = list.filter(({ status }) => LADDER.indexOf(status) <= LADDER.indexOf(least));
        const asked = resolveValue({ values: { thickness: list } }, "thickness", { least });
        const struck = resolveValue({ values: { thickness: high } }, "thickness");
        expect(asked && { ...asked, count: 0 }).toEqual(struck && { ...struck, count: 0 });
        if (asked)
          expect(resolveValue({ values: { thickness: list } }, "thickness")!.picked).toEqual(asked.picked);
      }),
      { seed: 4, numRuns: 200 },
    );
  });

  it("propertyRule › the lint doubts a figure exactly where it leaves the plausible range, and refuses every other unit [oracle: the lint]", () => {
    const base = JSON.parse(JSON.stringify(material("eva-foam"))) as Record<string, unknown>;
    fc.assert(
      fc.property(anyProperty, anyProperty, within(-0.2, 1.2), (id, other, share) => {
        const { unit, plausible, needs } = propertyRule(id);
        const [low, high] = plausible;
        const figure = low + share * (high - low);
        const conditions = Object.fromEntries((needs ?? []).map((need) => [need, 1]));
        const rulesWith = (asUnit: string) => {
          const value = measured({ unit: asUnit, typical: figure, ...(needs ? { conditions } : {}) });
          const text = JSON.stringify({ ...base, values: { [id]: [value] }, status: "unconfirmed" });
          return lintMaterials([{ path: "foam-closed/eva-foam.json", text }]).issues.map(({ code }) => code);
        };
        expect(rulesWith(unit).includes("materials/lint-plausible")).toBe(figure < low || figure > high);
        expect(rulesWith(unit)).not.toContain("materials/lint-shape");
        if (propertyRule(other).unit !== unit)
          expect(rulesWith(propertyRule(other).unit)).toContain("materials/lint-shape");
      }),
      { seed: 5, numRuns: 80 },
    );
  });

  it("unknownValues › learning one figure strikes that one unknown and no other [oracle: metamorphic]", () => {
    fc.assert(
      fc.property(anyEntry, anyProperty, (entry, id) => {
        const before = unknownValues(entry);
        const after = unknownValues(withValues(entry, { [id]: [measured({ typical: 1 })] }));
        expect(after).toEqual(before.filter((one) => one !== id));
        for (const one of before) expect(EXPECTED[entry.family]).toContain(one);
        expect(unknownValues({ ...entry, values: {} })).toEqual(EXPECTED[entry.family]);
      }),
      { seed: 6, numRuns: 200 },
    );
  });
});

describe("catalogue", () => {
  it("familyEntries › the families part the catalogue: each entry in one, none lost [oracle: brute force]", () => {
    fc.assert(
      fc.property(anyEntry, shuffled(FAMILIES), (entry, families) => {
        const holding = families.filter((family) => familyEntries(family).includes(entry));
        expect(holding).toEqual([entry.family]);
        expect(families.flatMap((family) => familyEntries(family)).length).toBe(catalogue.length);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it("findEntry, material › find the entry by its id and nothing by another text, where they agree [oracle: brute force]", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          anyEntry.map(({ id }) => id),
          oddName,
        ),
        (id) => {
          const wanted = catalogue.find((entry) => entry.id === id);
          expect(findEntry(id)).toBe(wanted);
          expect(codeOr(() => material(id))).toEqual(wanted ?? { code: "materials/unknown-material" });
        },
      ),
      { seed: 2, numRuns: 150 },
    );
  });

  it("material › whatever is asked for, an entry or one typed error [oracle: hostile input]", () => {
    fc.assert(
      fc.property(fc.anything({ withNullPrototype: true, withBigInt: true }), (id) => {
        expect(codeOr(() => material(id as string))).toHaveProperty("code", "materials/unknown-material");
        expect(findEntry(id as string)).toBeUndefined();
      }),
      { seed: 3, numRuns: 100 },
    );
  });

  it("material › one slip of the pen names the id that was meant [oracle: metamorphic]", () => {
    fc.assert(
      fc.property(
        anyEntry.filter(({ id }) => id.length > 5),
        fc.nat(),
        fc.constantFrom("drop", "double", "swap"),
        ({ id }, where, slip) => {
          const at = 1 + (where % (id.length - 2));
          const [a, b] = [id[at]!, id[at + 1]!];
          const wrong = { drop: b, double: a + a + b, swap: b + a }[slip];
          const text = id.slice(0, at) + wrong + id.slice(at + 2);
          if (findEntry(text)) return;
          expect(() => material(text)).toThrow(`"${id}"`);
        },
      ),
      { seed: 4, numRuns: 120 },
    );
  });

  it("sourceOf › every value names a source that is found; an own one goes before a shared one [oracle: brute force]", () => {
    fc.assert(
      fc.property(anyEntry, oddName, (entry, name) => {
        const cited = Object.values(entry.values).flatMap((list) => list.map(({ source }) => source));
        for (const id of cited) expect(sourceOf(entry, id).id).toBe(id);
        const own = { id: cited[0] ?? "memory", kind: "measurement", title: "Own bench" } as const;
        expect(sourceOf({ ...entry, sources: [own] }, own.id)).toBe(own);
        expect(codeOr(() => sourceOf(undefined, `${name}?`))).toEqual({ code: "materials/unknown-source" });
      }),
      { seed: 5, numRuns: 150 },
    );
  });

  it("sourceText › holds what is given, in order, and no trace of what is not [oracle: metamorphic]", () => {
    const word = fc.stringMatching(/^[a-z]{3,9}$/);
    const some = fc.option(word, { nil: undefined });
    fc.assert(
      fc.property(word, some, some, some, (title, published, locator, url) => {
        const given = Object.entries({ published, locator, url }).filter(([, part]) => part !== undefined);
        const text = sourceText({ id: "x", kind: "paper", title, ...Object.fromEntries(given) });
        expect(text.match(/[a-z]+/g)).toEqual([title, ...given.map(([, part]) => part)]);
        expect(text.replace(/[a-z]/g, "").length).toBe(
          2 * (given.length - (published ? 1 : 0)) + (published ? 3 : 0),
        );
      }),
      { seed: 6, numRuns: 150 },
    );
  });
});

describe("cloth", () => {
  const percent = within(0, 400);

  it("fabricBehaviour › what is measured counts by its share, more never gives less, and turning the cloth turns the answer [oracle: closed form]", () => {
    fc.assert(
      fc.property(anyCloth, percent, percent, within(0, 1), (cloth, a, b, share) => {
        const ask = (alongPercent: number, acrossPercent: number) =>
          fabricBehaviour(cloth, { usableShare: share, measured: { alongPercent, acrossPercent } });
        const [one, turned] = [ask(a, b), ask(b, a)];
        expect(one.along).toEqual(turned.across);
        expect(one.across).toEqual(turned.along);
        expect(one.along.max).toBeCloseTo((a * share) / 100, 12);
        const [less, more] = a < b ? [one.along, one.across] : [one.across, one.along];
        expect(more.max).toBeGreaterThanOrEqual(less.max);
        expect(more.stiffness).toBeLessThanOrEqual(less.stiffness);
        expect(one.issues).toEqual([]);
        for (const range of [one.along, one.across, one.shear]) {
          expect(range.min).toBeLessThan(0);
          expect(range.max).toBeGreaterThanOrEqual(0);
          expect(range.stiffness).toBeGreaterThan(0);
          expect(range.stiffness).toBeLessThanOrEqual(1);
        }
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("fabricBehaviour › figures outside 0 to 400 %, or a share outside 0 to 1, are one typed error [oracle: hostile input]", () => {
    fc.assert(
      fc.property(anyEntry, fc.double(), fc.double(), (entry, alongPercent, usableShare) => {
        const answer = codeOr(() => fabricBehaviour(entry, { usableShare, measured: { alongPercent } }));
        const fair = alongPercent >= 0 && alongPercent <= 400 && usableShare >= 0 && usableShare <= 1;
        const code = !CLOTH_FAMILIES.includes(entry.family)
          ? "materials/not-a-cloth"
          : fair
            ? undefined
            : "materials/bad-measure";
        expect("code" in answer ? answer.code : undefined).toBe(code);
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  it("pileOf › longer pile is never of a shorter class; cloth without a pile has no length [oracle: monotony]", () => {
    const order = ["short", "medium", "long"];
    fc.assert(
      fc.property(anyEntry, within(0.3, 200), within(0, 100), (entry, length, more) => {
        const of = (mm: number) => pileOf(withValues(entry, { pileLength: [measured({ typical: mm })] }));
        const [shorter, longer] = [of(length), of(length + more)];
        if (!entry.pile) {
          expect(shorter).toEqual({ direction: "none", class: "none", construction: "none", issues: [] });
          return;
        }
        expect(order.indexOf(longer.class)).toBeGreaterThanOrEqual(order.indexOf(shorter.class));
        expect(order).toContain(shorter.class);
        expect(shorter.lengthMm).toEqual({ value: length, min: length, max: length });
        expect(shorter.direction).toBe(entry.pile.direction);
        const without = pileOf(withValues(entry, { pileLength: [] }));
        expect([without.class, without.issues[0]!.code]).toEqual(["unknown", "materials/unknown-value"]);
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});
