import { describe, expect, it } from "vitest";
import {
  adhesion,
  catalogue,
  cleaningOf,
  colouring,
  fabricBehaviour,
  findSubstitutes,
  gluedAdhesives,
  hazardsOf,
  heatBeside,
  isPeltryError,
  massAndWarmth,
  pileOf,
  RATINGS,
} from "../src/index";

const glues = gluedAdhesives.map(({ id }) => id);
const paints = catalogue.filter(({ colour }) => colour !== undefined);

describe("every entry", () => {
  it("adhesion › answers for every glue on every entry; what has no row is unknown or worse [oracle: brute force]", () => {
    for (const glue of glues)
      for (const entry of catalogue) {
        const joint = adhesion(glue, entry, "wood");
        expect(RATINGS).toContain(joint.rating);
        if (!entry.substrates) expect(["unknown", "avoid", "damages"]).toContain(joint.rating);
        expect(joint.source.length).toBeGreaterThan(5);
      }
  });

  it("adhesion › a particular entry never does better than the row it names [oracle: metamorphic]", () => {
    for (const glue of glues)
      for (const entry of catalogue.filter(({ substrates }) => substrates !== undefined)) {
        const row = entry.substrates!.back ?? entry.substrates!.face;
        const general = adhesion(glue, row, row).rating;
        expect(
          RATINGS.indexOf(adhesion(glue, entry, entry).rating),
          `${glue} ${entry.id}`,
        ).toBeGreaterThanOrEqual(RATINGS.indexOf(general));
      }
  });

  it("heatBeside, colouring, cleaningOf, hazardsOf, massAndWarmth, pileOf, findSubstitutes › answer for every entry [oracle: brute force]", () => {
    for (const entry of catalogue) {
      const hot = heatBeside(entry, { glue: "hotmelt-eva-low" });
      if (hot.answer !== "within the limits known") expect(hot.issues.length).toBeGreaterThan(0);
      for (const paint of paints) expect(colouring(paint, entry).reasons.length).toBeGreaterThan(0);
      expect(cleaningOf([entry]).because.wash).toBeDefined();
      expect(hazardsOf([entry]).defersTo).toContain("label");
      const { massG, insulation, issues } = massAndWarmth(entry, { areaM2: 1, thicknessMm: 5 });
      if (!massG || !insulation) expect(issues.length).toBeGreaterThan(0);
      expect(pileOf(entry).direction).toBeDefined();
      for (const { distance } of findSubstitutes(entry)) expect(distance).toBeGreaterThanOrEqual(0);
    }
  });

  it("all questions › refuse what is no entry with one error, never another [oracle: failing input]", () => {
    const odd: unknown[] = [undefined, null, 3, {}, [], "", "__proto__", { id: "x" }, { material: null }];
    const asked: ((value: never) => unknown)[] = [
      (value) => adhesion("pva", value, "wood"),
      (value) => adhesion(value, "wood", "wood"),
      (value) => fabricBehaviour(value),
      (value) => heatBeside(value, { iron: "low" }),
      (value) => colouring(value, "wood"),
      (value) => cleaningOf([value]),
      (value) => hazardsOf([value]),
      (value) => massAndWarmth(value, { areaM2: 1 }),
      (value) => pileOf(value),
      (value) => findSubstitutes(value),
    ];
    for (const ask of asked)
      for (const value of odd) {
        let caught: unknown;
        try {
          ask(value as never);
        } catch (error) {
          caught = error;
        }
        expect(isPeltryError(caught), `${String(ask)} ${JSON.stringify(value)}`).toBe(true);
      }
    expect(() => adhesion("pva", { material: "wood", thicknessMm: NaN }, "wood")).toThrow(/thicknessMm/);
  });
});
