import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  adhesion,
  catalogue,
  colouring,
  findMaterials,
  glueCell,
  gluedAdhesives,
  gluedSubstrates,
  heatBeside,
  heatContact,
  heatLimits,
  hexToLab,
  isLowSurfaceEnergy,
  material,
  RATINGS,
  reasonCodes,
  reasonText,
  resolveValue,
  worseRating,
  type ColouringAnswer,
  type HotWork,
} from "../src/index";
import {
  anyColour,
  anyEntry,
  codeOr,
  measured,
  oddName,
  shuffled,
  staysTyped,
  within,
  withValues,
} from "./properties-helpers";

const anyRating = fc.constantFrom(...RATINGS);
const glueId = fc.constantFrom(...gluedAdhesives.map(({ id }) => id));
const surfaceId = fc.constantFrom(...gluedSubstrates.map(({ id }) => id));

describe("glue table", () => {
  it("worseRating › is the larger of two ranks: commutative, associative, idempotent [oracle: lattice laws]", () => {
    fc.assert(
      fc.property(anyRating, anyRating, anyRating, (a, b, c) => {
        expect(worseRating(a, b)).toBe(worseRating(b, a));
        expect(worseRating(worseRating(a, b), c)).toBe(worseRating(a, worseRating(b, c)));
        expect(worseRating(a, a)).toBe(a);
        expect(RATINGS.indexOf(worseRating(a, b))).toBe(Math.max(RATINGS.indexOf(a), RATINGS.indexOf(b)));
      }),
      { seed: 1, numRuns: 150 },
    );
  });

  it("worseRating, adhesion › a joint is as good as its worse side, whichever side is named first [oracle: symmetry]", () => {
    fc.assert(
      fc.property(glueId, fc.oneof(surfaceId, anyEntry), fc.oneof(surfaceId, anyEntry), (glue, a, b) => {
        const joint = adhesion(glue, a, b);
        expect(joint.rating).toBe(worseRating(joint.faces[0].rating, joint.faces[1].rating));
        expect(adhesion(glue, b, a).rating).toBe(joint.rating);
        expect(RATINGS.indexOf(joint.rating)).toBeGreaterThanOrEqual(
          RATINGS.indexOf(adhesion(glue, a, a).rating),
        );
      }),
      { seed: 2, numRuns: 150 },
    );
  });

  it("glueCell, reasonCodes, reasonText › a pair is rated only where both stand in the table, and each of its codes has a text [oracle: brute force]", () => {
    fc.assert(
      fc.property(fc.oneof(glueId, oddName), fc.oneof(surfaceId, oddName), (glue, surface) => {
        const cell = glueCell(glue, surface);
        const listed =
          gluedAdhesives.some(({ id }) => id === glue) && gluedSubstrates.some(({ id }) => id === surface);
        if (!listed) expect(cell).toBeUndefined();
        if (!cell) return;
        expect([cell.adhesive, cell.substrate]).toEqual([glue, surface]);
        expect(RATINGS).toContain(cell.rating);
        const texts = reasonCodes();
        for (const code of cell.reasonCodes) {
          expect(Object.keys(texts)).toContain(code);
          expect(reasonText(code)).toBe(texts[code]);
          expect(reasonText(code).length).toBeGreaterThan(code.length);
        }
      }),
      { seed: 3, numRuns: 250 },
    );
  });

  it("reasonText › a text that is no code comes back as it is [oracle: hostile input]", () => {
    const codes = reasonCodes();
    fc.assert(
      fc.property(oddName, (name) => {
        if (!Object.hasOwn(codes, name)) expect(reasonText(name)).toBe(name);
      }),
      { seed: 4, numRuns: 200 },
    );
  });

  it("isLowSurfaceEnergy › is true below one threshold, and just there an unprimed joint meets the gate [oracle: second path, monotony]", () => {
    const surfaces = catalogue.filter((entry) => entry.substrates && entry.plasticised !== true);
    fc.assert(
      fc.property(
        glueId,
        fc.constantFrom(...surfaces),
        within(10, 80),
        within(0, 20),
        (glue, entry, energy, more) => {
          if (isLowSurfaceEnergy(energy + more)) expect(isLowSurfaceEnergy(energy)).toBe(true);
          const waxy = withValues(entry, { surfaceEnergy: [measured({ typical: energy })] });
          const gatesOf = (primed: boolean) =>
            adhesion(glue, { material: waxy, primed }, "wood").faces[0].gates.map(({ gate }) => gate);
          expect(gatesOf(false).includes("surface-energy")).toBe(isLowSurfaceEnergy(energy));
          expect(gatesOf(true)).not.toContain("surface-energy");
        },
      ),
      { seed: 5, numRuns: 150 },
    );
  });
});

describe("heat", () => {
  const side = fc.constantFrom("face", "back");
  const ORDER = ["within the limits known", "test on an offcut", "unknown", "no"];
  const rank = (answer: string) => ORDER.indexOf(answer);

  it("heatLimits › lowest first; the order of the fibres does not matter; a fibre more never lifts the lowest [oracle: permutation, monotony]", () => {
    const fibred = catalogue.filter((entry) => (entry.fibres ?? []).length > 0);
    const withFibres = fc
      .constantFrom(...fibred)
      .chain((entry) => fc.tuple(fc.constant(entry), shuffled(entry.fibres!), side));
    fc.assert(
      fc.property(
        withFibres,
        fc.constantFrom("acrylic", "cotton", "polyester", "wool"),
        ([entry, fibres, at], more) => {
          const limits = heatLimits(entry, at);
          const values = limits.map(({ value }) => value);
          expect(values).toEqual([...values].sort((a, b) => a - b));
          expect(new Set(heatLimits({ ...entry, fibres }, at))).toEqual(new Set(limits));
          const blend = heatLimits({ ...entry, fibres: [...fibres, { part: "whole", fibre: more }] }, at);
          expect(blend.length).toBeGreaterThanOrEqual(limits.length);
          expect(blend[0]?.value ?? Infinity).toBeLessThanOrEqual(limits[0]?.value ?? Infinity);
          for (const { property, value, fibre } of limits)
            if (fibre === undefined) expect(resolveValue(entry, property)!.min).toBe(value);
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });

  it("heatContact › hotter work is never answered better [oracle: monotony]", () => {
    fc.assert(
      fc.property(anyEntry, side, within(-50, 600), within(0, 100), (entry, at, temperatureCel, more) => {
        const cooler = heatContact(entry, { temperatureCel }, at);
        const hotter = heatContact(entry, { temperatureCel: temperatureCel + more }, at);
        expect(rank(hotter.answer)).toBeGreaterThanOrEqual(rank(cooler.answer));
        expect(cooler.issues.length).toBe(cooler.answer === "within the limits known" ? 0 : 1);
        const lowest = heatLimits(entry, at).filter(({ softens }) => softens)[0];
        if (!lowest) return;
        expect(cooler.answer === "no").toBe(temperatureCel >= lowest.value);
        expect(heatContact(entry, { temperatureCel: lowest.value }, at).answer).toBe("no");
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  it("heatContact › dots of an iron and a glue gun are the temperatures they stand for [oracle: ISO 3758:2012, from memory]", () => {
    const dots = { low: 110, medium: 150, high: 200 } as const;
    const hotGlues = findMaterials({ family: "adhesive", values: { applicationTemperature: { min: 61 } } });
    fc.assert(
      fc.property(
        anyEntry,
        fc.constantFrom("low", "medium", "high"),
        fc.constantFrom(...hotGlues),
        (entry, iron, glue) => {
          const byIron = heatContact(entry, { iron });
          const same = heatContact(entry, { temperatureCel: dots[iron] });
          expect(byIron.temperatureCel).toBe(dots[iron]);
          if (entry.care?.iron === "none") expect(byIron.answer).toBe("no");
          else expect(byIron.answer).toBe(same.answer);
          const { max } = resolveValue(glue, "applicationTemperature")!;
          expect(heatContact(entry, { glue: glue.id }).answer).toBe(
            heatContact(entry, { temperatureCel: max }).answer,
          );
        },
      ),
      { seed: 3, numRuns: 150 },
    );
  });

  it("heatBeside › is one of the answers for the two sides, and never the better of a cloth with a backing [oracle: brute force]", () => {
    fc.assert(
      fc.property(anyEntry, within(0, 300), (entry, temperatureCel) => {
        const beside = heatBeside(entry, { temperatureCel });
        const sides = (["face", "back"] as const).map((at) => heatContact(entry, { temperatureCel }, at));
        expect(sides).toContainEqual(beside);
        const careful = ["no", "unknown", "test on an offcut", "within the limits known"];
        const ranks = sides.map(({ answer }) => careful.indexOf(answer));
        if (entry.fibres?.some(({ part }) => part === "backing"))
          expect(careful.indexOf(beside.answer)).toBe(Math.min(...ranks));
        else expect(beside).toEqual(sides[0]);
      }),
      { seed: 4, numRuns: 250 },
    );
  });

  it("heatContact, heatBeside › whatever the work is, an answer or one typed error [oracle: hostile input]", () => {
    const odd = fc.anything({ withNullPrototype: true });
    const work = fc.oneof(
      odd,
      fc.record({ iron: odd }),
      fc.record({ temperatureCel: odd }),
      fc.record({
        glue: fc.oneof(
          odd,
          anyEntry.map(({ id }) => id),
        ),
      }),
    );
    fc.assert(
      fc.property(anyEntry, work, (entry, given) => {
        for (const ask of [heatContact, heatBeside])
          staysTyped(() => {
            expect(ORDER).toContain(ask(entry, given as HotWork).answer);
          }, ["materials/bad-measure", "materials/unknown-material", "materials/not-hot"]);
      }),
      { seed: 5, numRuns: 150 },
    );
  });
});

describe("colouring", () => {
  const colourants = catalogue.filter(({ colour }) => colour !== undefined);
  const anyPaint = fc.constantFrom(...colourants);
  const RANK: readonly ColouringAnswer["rating"][] = [
    "recommended",
    "workable-with-care",
    "unknown",
    "avoid",
  ];
  const rank = ({ rating }: ColouringAnswer) => RANK.indexOf(rating);
  const COVERS: readonly ColouringAnswer["covers"][] = ["yes", "with several coats", "no"];

  it("colouring › a primer never makes it worse, bending never better, and only avoid and unknown raise an issue [oracle: monotony]", () => {
    fc.assert(
      fc.property(anyPaint, anyEntry, fc.boolean(), (paint, ground, flexes) => {
        const bare = colouring(paint, ground, { flexes });
        expect(rank(colouring(paint, ground, { flexes, primed: true }))).toBeLessThanOrEqual(rank(bare));
        expect(rank(colouring(paint, ground, { flexes: true }))).toBeGreaterThanOrEqual(rank(bare));
        expect(bare.issues.length > 0).toBe(["avoid", "unknown"].includes(bare.rating));
        expect(bare.reasons.length).toBeGreaterThan(0);
      }),
      { seed: 1, numRuns: 250 },
    );
  });

  it("colouring › on a lighter ground the same colour covers no worse [oracle: monotony]", () => {
    const known = colourants.filter(({ colour }) => colour!.hiding !== "unknown");
    fc.assert(
      fc.property(
        fc.constantFrom(...known),
        anyEntry,
        anyColour,
        anyColour,
        anyColour,
        (paint, on, colour, a, b) => {
          const [dark, light] = hexToLab(a)[0] < hexToLab(b)[0] ? [a, b] : [b, a];
          const covers = (ground: string) => COVERS.indexOf(colouring(paint, on, { ground, colour }).covers);
          expect(covers(dark)).toBeGreaterThanOrEqual(covers(light));
        },
      ),
      { seed: 2, numRuns: 1500 },
    );
  });

  it("colouring › the better a paint hides, the better it covers [oracle: monotony]", () => {
    fc.assert(
      fc.property(anyPaint, anyColour, anyColour, (paint, ground, colour) => {
        const covers = (["opaque", "semi-opaque", "transparent"] as const).map((hiding) =>
          COVERS.indexOf(
            colouring({ ...paint, colour: { ...paint.colour!, hiding } }, "cotton-twill", { ground, colour })
              .covers,
          ),
        );
        expect(covers).toEqual([...covers].sort((x, y) => x - y));
      }),
      { seed: 3, numRuns: 300 },
    );
  });

  it("colouring › what is no paint, and what is no colour, is one typed error [oracle: hostile input]", () => {
    const codes = ["materials/not-a-colour", "materials/bad-colour", "materials/unknown-material"];
    fc.assert(
      fc.property(fc.oneof(anyEntry, oddName), anyEntry, oddName, (paint, ground, text) => {
        staysTyped(() => colouring(paint, ground, { ground: text, colour: "#ffffff" }), codes);
        if (typeof paint !== "string" && !paint.colour)
          expect(codeOr(() => colouring(paint, ground))).toEqual({ code: "materials/not-a-colour" });
      }),
      { seed: 4, numRuns: 150 },
    );
  });

  it("colouring › a dye does best on the fibre that it fixes to [oracle: monotony]", () => {
    const dyes = colourants.filter(({ family }) => family === "dye");
    const base = material("cotton-twill");
    fc.assert(
      fc.property(
        fc.constantFrom(...dyes),
        fc.subarray(["cotton", "wool", "nylon", "acrylic"], { minLength: 1 }),
        (dye, list) => {
          const of = (fibres: readonly string[]) =>
            rank(colouring(dye, { ...base, fibres: fibres.map((fibre) => ({ part: "whole", fibre })) }));
          const takes = list.filter((fibre) => dye.colour!.fibres?.includes(fibre));
          const wanted =
            takes.length === list.length ? "recommended" : takes.length > 0 ? "workable-with-care" : "avoid";
          expect(of(list)).toBe(RANK.indexOf(wanted));
        },
      ),
      { seed: 5, numRuns: 150 },
    );
  });
});
