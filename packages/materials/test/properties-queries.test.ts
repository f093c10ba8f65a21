import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  catalogue,
  caution,
  cautions,
  cautionsOf,
  checkStash,
  cleaningOf,
  colourDifference,
  FAMILIES,
  findMaterials,
  findSubstitutes,
  hazardsOf,
  hexToLab,
  pieceArea,
  PROPERTIES,
  queryStash,
  regionRules,
  resolveValue,
  type Lab,
  type MaterialEntry,
  type MaterialQuery,
  type PropertyId,
  type Stash,
  type StashItem,
} from "../src/index";
import { anyColour, anyEntry, codeOr, oddName, shuffled, staysTyped, within } from "./properties-helpers";

const idsOf = (entries: readonly { readonly id: string }[]) => entries.map(({ id }) => id);
const someEntries = fc.uniqueArray(anyEntry, { selector: ({ id }) => id, maxLength: 5 });
const roles = [...new Set(catalogue.flatMap((entry) => entry.roles))];

describe("colour", () => {
  /** sRGB of a CIELAB colour: the formulas of IEC 61966-2-1 and CIE 15 the other way round. */
  function labToHex([l, a, b]: Lab): string {
    const fy = (l + 16) / 116;
    const back = (f: number) => (f > 6 / 29 ? f ** 3 : 3 * (6 / 29) ** 2 * (f - 4 / 29));
    const [x, y, z] = [0.95047 * back(fy + a / 500), back(fy), 1.08883 * back(fy - b / 200)];
    return [
      3.2404542 * x - 1.5371385 * y - 0.4985314 * z,
      -0.969266 * x + 1.8760108 * y + 0.041556 * z,
      0.0556434 * x - 0.2040259 * y + 1.0572252 * z,
    ]
      .map((light) => (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055))
      .map((light) =>
        Math.round(255 * light)
          .toString(16)
          .padStart(2, "0"),
      )
      .reduce((text, part) => text + part, "#");
  }

  it("hexToLab › comes back to the same colour by the inverse [oracle: inverse, IEC 61966-2-1 and CIE 15]", () => {
    fc.assert(
      fc.property(anyColour, (hex) => {
        expect(labToHex(hexToLab(hex))).toBe(hex);
        expect(hexToLab(hex.toUpperCase())).toEqual(hexToLab(hex));
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it("hexToLab › whatever it is given, a colour or materials/bad-colour [oracle: hostile input]", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.anything({ withNullPrototype: true }),
          oddName,
          anyColour,
          anyColour.map((hex) => [hex]),
        ),
        (value) => {
          const fair = typeof value === "string" && /^#[0-9a-fA-F]{6}$/.test(value);
          const found = codeOr(() => hexToLab(value as string));
          expect("code" in found ? found.code : "none").toBe(fair ? "none" : "materials/bad-colour");
        },
      ),
      { seed: 2, numRuns: 300 },
    );
  });

  it("colourDifference › is symmetric, and zero for the same colour alone [oracle: symmetry]", () => {
    fc.assert(
      fc.property(anyColour, anyColour, (first, second) => {
        const [a, b] = [hexToLab(first), hexToLab(second)];
        const difference = colourDifference(a, b);
        expect(colourDifference(b, a)).toBeCloseTo(difference, 9);
        expect(colourDifference(a, a)).toBe(0);
        if (first !== second) expect(difference).toBeGreaterThan(0);
      }),
      { seed: 3, numRuns: 250 },
    );
  });

  it("colourDifference › of two greys depends on their lightness alone [oracle: closed form, the formula without chroma]", () => {
    fc.assert(
      fc.property(within(0, 100), within(0, 100), (l1, l2) => {
        const middle = (l1 + l2) / 2 - 50;
        const weight = 1 + (0.015 * middle * middle) / Math.sqrt(20 + middle * middle);
        expect(colourDifference([l1, 0, 0], [l2, 0, 0])).toBeCloseTo(Math.abs(l1 - l2) / weight, 9);
      }),
      { seed: 4, numRuns: 200 },
    );
  });
});

describe("findMaterials", () => {
  const bounds = fc
    .tuple(
      fc.constantFrom("density", "massPerArea", "pileLength", "thickness"),
      within(0, 500),
      within(0, 500),
    )
    .map(([id, a, b]) => ({ [id]: { min: Math.min(a, b), max: Math.max(a, b) } }));
  const query: fc.Arbitrary<MaterialQuery> = fc.record(
    {
      text: fc.constantFrom("fur", "foam", "a", "glue hot", "knit nylon", "wool"),
      family: fc.oneof(fc.constantFrom(...FAMILIES), fc.subarray([...FAMILIES])),
      role: fc.constantFrom(...roles),
      fibre: fc.constantFrom("cotton", "acrylic", "polyester", "nylon"),
      withoutCaution: fc.constantFrom(...idsOf(cautions)),
      deprecated: fc.boolean(),
      values: bounds,
      least: fc.constantFrom("unconfirmed", "provisional", "contributed", "approved"),
    },
    { requiredKeys: [] },
  );

  it("findMaterials › all conditions together find what each finds alone [oracle: brute force, intersection]", () => {
    fc.assert(
      fc.property(query, (wanted) => {
        const deprecated = wanted.deprecated ?? false;
        const least = wanted.least ? { least: wanted.least } : {};
        const { deprecated: _1, least: _2, ...conditions } = wanted;
        const alone = Object.entries(conditions).map(
          ([key, value]) => new Set(idsOf(findMaterials({ [key]: value, deprecated, ...least }))),
        );
        const both = catalogue.filter(
          (entry) => (deprecated || !entry.deprecated) && alone.every((found) => found.has(entry.id)),
        );
        expect(idsOf(findMaterials(wanted)).sort()).toEqual(idsOf(both).sort());
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it("findMaterials › wider bounds never lose an entry, and found is what meets them, the ends counted [oracle: monotony, brute force]", () => {
    const anyProperty = fc.constantFrom(...(Object.keys(PROPERTIES) as PropertyId[]));
    fc.assert(
      fc.property(anyProperty, within(0, 1000), within(0, 500), within(0, 500), (id, min, wide, more) => {
        const narrow = findMaterials({ values: { [id]: { min, max: min + wide } } });
        const wider = findMaterials({ values: { [id]: { min: min - more, max: min + wide + more } } });
        expect(idsOf(wider)).toEqual(expect.arrayContaining(idsOf(narrow)));
        const meets = catalogue.filter((entry) => {
          const found = entry.deprecated ? undefined : resolveValue(entry, id);
          return found && Math.max(found.min, min) <= Math.min(found.max, min + wide);
        });
        expect(idsOf(narrow).sort()).toEqual(idsOf(meets).sort());
      }),
      { seed: 2, numRuns: 150 },
    );
  });

  it("findMaterials › order and case of the words do not matter; the words of a name find it [oracle: permutation]", () => {
    fc.assert(
      fc.property(anyEntry, fc.infiniteStream(fc.boolean()), fc.nat(), (entry, upper, turn) => {
        const words = entry.name.split(/\s+/);
        const turned = [...words.slice(turn % words.length), ...words.slice(0, turn % words.length)]
          .map((word) => (upper.next().value ? word.toUpperCase() : word.toLowerCase()))
          .join("  ");
        const found = idsOf(findMaterials({ text: turned, deprecated: true }));
        expect(found).toContain(entry.id);
        expect(found.sort()).toEqual(idsOf(findMaterials({ text: entry.name, deprecated: true })).sort());
      }),
      { seed: 3, numRuns: 150 },
    );
  });

  it("findMaterials › whatever is asked, entries or materials/bad-query [oracle: hostile input]", () => {
    const odd = fc.anything({ withNullPrototype: true });
    const part = fc.record(
      {
        text: odd,
        family: odd,
        role: odd,
        fibre: odd,
        values: fc.oneof(odd, fc.dictionary(oddName, odd), fc.record({ density: odd })),
        least: odd,
        withoutCaution: odd,
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(fc.oneof(part, odd), (wanted) => {
        staysTyped(() => {
          for (const entry of findMaterials(wanted as MaterialQuery)) expect(catalogue).toContain(entry);
        }, ["materials/bad-query"]);
      }),
      { seed: 4, numRuns: 150 },
    );
  });
});

describe("several materials together", () => {
  const WORST_FIRST = {
    wash: ["unknown", "none", "sponge", "hand", "machine"],
    dry: ["unknown", "flat", "line", "no-tumble", "tumble-low"],
    iron: ["unknown", "none", "low", "medium", "high"],
  } as const;

  it("cleaningOf › is that of the gentlest part, in any order, and a part more never allows more [oracle: brute force]", () => {
    fc.assert(
      fc.property(
        someEntries.chain((list) => fc.tuple(fc.constant(list), shuffled(list))),
        ([list, other]) => {
          const together = cleaningOf(list);
          for (const key of ["wash", "dry", "iron"] as const) {
            const order: readonly string[] = WORST_FIRST[key];
            const ranks = list.map((entry) => order.indexOf(cleaningOf([entry])[key]));
            expect(order.indexOf(together[key])).toBe(Math.min(order.length - 1, ...ranks));
            expect(cleaningOf(other)[key]).toBe(together[key]);
            expect(cleaningOf([...list, ...list])[key]).toBe(together[key]);
            if (together.because[key] !== "")
              expect(cleaningOf([together.because[key]])[key]).toBe(together[key]);
          }
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it("cautionsOf, hazardsOf › the whole has exactly the cautions, codes and substances of its parts, each once, in any order [oracle: union]", () => {
    fc.assert(
      fc.property(
        someEntries.chain((list) => fc.tuple(fc.constant(list), shuffled(list))),
        ([list, other]) => {
          const whole = hazardsOf(list);
          expect(whole.cautions).toEqual(cautionsOf(list));
          expect(cautionsOf([...other, ...list])).toEqual(whole.cautions);
          expect(new Set(whole.cautions)).toEqual(
            new Set(list.flatMap((entry) => entry.cautions.map((id) => caution(id)))),
          );
          const parts = list.map((entry) => hazardsOf([entry]));
          expect(new Set(whole.substances)).toEqual(new Set(parts.flatMap(({ substances }) => substances)));
          expect(new Set(whole.substances).size).toBe(whole.substances.length);
          expect(whole.codes).toEqual(parts.flatMap(({ codes }) => codes));
          expect(new Set(idsOf(hazardsOf(other).rules))).toEqual(
            new Set(parts.flatMap(({ rules }) => idsOf(rules))),
          );
          expect(whole.issues.length).toBe(parts.reduce((sum, { issues }) => sum + issues.length, 0));
        },
      ),
      { seed: 2, numRuns: 120 },
    );
  });

  it("caution › finds its own id, and for anything else names one typed error [oracle: hostile input]", () => {
    fc.assert(
      fc.property(fc.anything({ withNullPrototype: true }), fc.constantFrom(...cautions), (odd, own) => {
        expect(caution(own.id)).toBe(own);
        expect(codeOr(() => caution(odd as string))).toEqual({ code: "materials/unknown-caution" });
      }),
      { seed: 3, numRuns: 150 },
    );
  });

  it("regionRules › strictest first; a region keeps its own and its country's rules; one without rules gets all [oracle: brute force]", () => {
    const region = fc.constantFrom("EU", "US", "US-CA", "CA", "UK", "nowhere", "");
    fc.assert(
      fc.property(someEntries, region, (list, where) => {
        const all = regionRules(list);
        const own = regionRules(list, where);
        const strictness = own.map((rule) => rule.strictness);
        expect(strictness).toEqual([...strictness].sort((a, b) => b - a));
        const named = all.filter((rule) => rule.region === where || rule.region === where.split("-")[0]);
        expect(new Set(own)).toEqual(new Set(named.length > 0 ? named : all));
        const asked = new Set(list.flatMap(({ regionNotes }) => (regionNotes ?? []).map(({ rule }) => rule)));
        expect(new Set(idsOf(all))).toEqual(asked);
      }),
      { seed: 4, numRuns: 150 },
    );
  });
});

const mm = fc.integer({ min: 1, max: 5000 });
const point = fc.tuple(fc.integer({ min: -2000, max: 2000 }), fc.integer({ min: -2000, max: 2000 }));
const outline = fc.array(point, { minLength: 3, maxLength: 9 });

const anyItem: fc.Arbitrary<Omit<StashItem, "id">> = fc.record(
  {
    material: fc.oneof(
      { weight: 6, arbitrary: anyEntry.map(({ id }) => id) },
      { weight: 1, arbitrary: oddName },
    ),
    condition: fc.constantFrom("new", "used", "worn", "stained", "damaged", "unknown"),
    size: fc.record({ alongMm: mm, acrossMm: mm }),
    colour: anyColour,
    measured: fc.record(
      { pileLengthMm: within(0, 100), massPerAreaGsm: within(1, 2000) },
      { requiredKeys: [] },
    ),
  },
  { requiredKeys: ["material", "condition"] },
);
const anyStash: fc.Arbitrary<Stash> = fc
  .array(anyItem, { maxLength: 12 })
  .map((items) => ({ version: 1, items: items.map((item, index) => ({ id: `piece ${index}`, ...item })) }));

describe("stash", () => {
  it("pieceArea › moving, turning over and beginning elsewhere keep it; twice the size is four times the area [oracle: symmetry, scaling]", () => {
    fc.assert(
      fc.property(outline, point, fc.nat(8), fc.integer({ min: 1, max: 5 }), (points, [dx, dy], turn, k) => {
        const area = pieceArea({ outline: points })!;
        const of = (list: [number, number][]) => pieceArea({ outline: list });
        const begin = turn % points.length;
        expect(of(points.map(([x, y]) => [x + dx, y + dy]))).toBeCloseTo(area, 9);
        expect(of(points.map(([x, y]) => [y, x]))).toBeCloseTo(area, 9);
        expect(of([...points.slice(begin), ...points.slice(0, begin)])).toBeCloseTo(area, 9);
        expect(of([...points].reverse())).toBeCloseTo(area, 9);
        expect(of(points.map(([x, y]) => [k * x, k * y]))).toBeCloseTo(k * k * area, 6);
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it("pieceArea › a size is the outline of its rectangle; a triangle is half of one [oracle: closed form]", () => {
    fc.assert(
      fc.property(mm, mm, (alongMm, acrossMm) => {
        const size = pieceArea({ size: { alongMm, acrossMm } })!;
        const corners: [number, number][] = [
          [0, 0],
          [acrossMm, 0],
          [acrossMm, alongMm],
          [0, alongMm],
        ];
        expect(pieceArea({ outline: corners })).toBeCloseTo(size, 9);
        expect(pieceArea({ outline: corners.slice(1) })).toBeCloseTo(size / 2, 9);
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  it("queryStash › exactly the pieces that fit, nearest or largest first; a wider tolerance never loses one [oracle: brute force]", () => {
    fc.assert(
      fc.property(
        anyStash,
        anyColour,
        within(0, 60),
        within(0, 60),
        within(0, 10),
        fc.constantFrom(...roles),
        (stash, colour, colourTolerance, more, minAreaM2, role) => {
          const near = queryStash(stash, { colour, colourTolerance });
          const pieces = (list: typeof near) => list.map(({ item }) => item.id);
          const fits = stash.items.filter(
            (item) =>
              catalogue.some(({ id }) => id === item.material) &&
              item.colour !== undefined &&
              colourDifference(hexToLab(colour), hexToLab(item.colour)) <= colourTolerance,
          );
          expect(new Set(pieces(near))).toEqual(new Set(idsOf(fits)));
          const distances = near.map((piece) => piece.colourDifference!);
          expect(distances).toEqual([...distances].sort((a, b) => a - b));
          const wide = queryStash(stash, { colour, colourTolerance: colourTolerance + more });
          expect(pieces(wide)).toEqual(expect.arrayContaining(pieces(near)));
          const large = queryStash(stash, { minAreaM2, role });
          for (const { areaM2, material } of large) {
            expect(areaM2).toBeGreaterThanOrEqual(minAreaM2);
            expect(material.roles).toContain(role);
          }
          const areas = large.map(({ areaM2 }) => areaM2!);
          expect(areas).toEqual([...areas].sort((a, b) => b - a));
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });

  it("checkStash › one error for each piece of an unknown material, none for the rest, piece by piece [oracle: brute force]", () => {
    fc.assert(
      fc.property(anyStash, (stash) => {
        const issues = checkStash(stash);
        const unknown = stash.items.filter(({ material }) => !catalogue.some(({ id }) => id === material));
        const errors = issues.filter(({ severity }) => severity === "error");
        expect(errors.map(({ at }) => at.piece)).toEqual(idsOf(unknown));
        const alone = stash.items.flatMap((item) => checkStash({ version: 1, items: [item] }));
        expect(issues.map(({ code, message }) => code + message)).toEqual(
          alone.map(({ code, message }) => code + message),
        );
      }),
      { seed: 4, numRuns: 30 },
    );
  });

  it("findSubstitutes › from the catalogue the distance is the same both ways [oracle: symmetry]", () => {
    const current: readonly MaterialEntry[] = catalogue.filter(({ deprecated }) => !deprecated);
    fc.assert(
      fc.property(fc.constantFrom(...current), fc.nat(), (wanted, which) => {
        const found = findSubstitutes(wanted);
        if (found.length === 0) return;
        const one = found[which % found.length]!;
        const back = findSubstitutes(one.material).find(({ material: { id } }) => id === wanted.id)!;
        expect(back.distance).toBeCloseTo(one.distance, 9);
        expect(one.distance).toBeGreaterThanOrEqual(0);
      }),
      { seed: 5, numRuns: 150 },
    );
  });

  it("findSubstitutes › the order of the stash does not matter; a wider tolerance or a smaller need never puts a piece further [oracle: permutation, monotony]", () => {
    fc.assert(
      fc.property(
        anyEntry,
        anyStash.chain((stash) => fc.tuple(fc.constant(stash), shuffled(stash.items))),
        anyColour,
        fc.oneof(fc.constant(0), within(0, 40)),
        within(0, 20),
        within(0, 10),
        (wanted, [stash, items], colour, colourTolerance, more, areaM2) => {
          const options = { stash, colour, colourTolerance, areaM2 };
          const found = findSubstitutes(wanted, options);
          const other = findSubstitutes(wanted, { ...options, stash: { version: 1, items } });
          expect(other.map(({ item }) => item!.id)).toEqual(found.map(({ item }) => item!.id));
          const distances = found.map(({ distance }) => distance);
          for (const distance of distances) expect(Number.isFinite(distance)).toBe(true);
          expect(distances).toEqual([...distances].sort((a, b) => a - b));
          const easier = findSubstitutes(wanted, {
            ...options,
            colourTolerance: colourTolerance + more,
            areaM2: areaM2 / 2,
          });
          for (const { item, distance } of found)
            expect(easier.find((one) => one.item === item)!.distance).toBeLessThanOrEqual(distance);
        },
      ),
      { seed: 6, numRuns: 150 },
    );
  });
});
