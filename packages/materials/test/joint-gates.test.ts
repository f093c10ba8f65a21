import { describe, expect, it } from "vitest";
import {
  adhesion,
  gluedAdhesives,
  gluedSubstrates,
  glueCell,
  heatBeside,
  heatContact,
  heatLimits,
  isLowSurfaceEnergy,
  isPeltryError,
  material,
  worseRating,
  type JointFace,
  type JointOptions,
  type MaterialEntry,
} from "../src/index";

const side = (glue: string | MaterialEntry, face: JointFace, options: JointOptions = {}) =>
  adhesion(glue, face, face, options).faces[0];
const codes = (answer: {
  readonly issues: readonly { readonly code: string; readonly severity: string }[];
}) => answer.issues.map(({ code, severity }) => `${severity} ${code}`);
const celsius = (min: number, max = min) => [
  {
    ...{ unit: "Cel", method: "memory", source: "memory", grade: "M", status: "unconfirmed" },
    ...{ min, max },
  },
];
/** An entry of the catalogue with figures of our own. */
const altered = (id: string, more: object) => ({ ...material(id), id: "ours", ...more }) as MaterialEntry;
const errorOf = (work: () => unknown) => {
  try {
    work();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "nothing thrown";
};

describe("gates of a joint", () => {
  const glue = altered("hotmelt-eva-low", {
    adhesive: undefined,
    values: { applicationTemperature: celsius(120, 150) },
  });
  const cloth = (softening: number, iron = 300) =>
    altered("cotton-canvas", {
      ...{ substrates: { face: "nothing-here" }, fibres: [] },
      values: { softening: celsius(softening), ironMax: celsius(iron) },
    });

  it("adhesion › the gun's lowest setting against the softening point: 20 degrees over it damages [oracle: invariant]", () => {
    expect(side(glue, cloth(100)).gates).toEqual([{ gate: "heat", code: "HEAT", rating: "damages" }]);
    expect(side(glue, cloth(100.5)).gates[0]).toMatchObject({
      code: "HEAT_TEST",
      rating: "workable-with-care",
    });
    expect(side(glue, cloth(120)).gates[0]).toMatchObject({ code: "HEAT_TEST" });
    expect(side(glue, cloth(120.5)).gates).toEqual([]);
  });

  it("adhesion › a limit for use is no softening point: far over it is still only to be tried [oracle: invariant]", () => {
    expect(side(glue, cloth(400, 60)).gates[0]).toMatchObject({ code: "HEAT_TEST" });
    expect(side(glue, cloth(400, 120)).gates[0]).toMatchObject({ code: "HEAT_TEST" });
    expect(side(glue, cloth(400, 121)).gates).toEqual([]);
  });

  it("adhesion › glue put on below 60 °C passes the heat gate [oracle: invariant]", () => {
    const warm = (least: number) => ({ ...glue, values: { applicationTemperature: celsius(least, 200) } });
    expect(side(warm(59.9) as MaterialEntry, cloth(30)).gates).toEqual([]);
    expect(side(warm(60) as MaterialEntry, cloth(30)).gates).toHaveLength(1);
  });

  it("adhesion › foam of 3 mm is heated through, of 3.01 it is not [oracle: published value: EVA softens at 61–76 °C]", () => {
    const foam = (thicknessMm: number) => side("hotmelt-eva-high", { material: "eva-foam", thicknessMm });
    expect(foam(3).rating).toBe("damages");
    expect(foam(3).reasonCodes[0]).toBe("HEAT");
    expect(foam(3.01).rating).toBe("workable-with-care");
    expect(side("contact-cr-solvent", { material: "eva-foam", thicknessMm: 2 }).gates).toEqual([]);
    expect(
      side(glue, altered("eva-foam", { values: { thickness: [], softening: celsius(119) } })).rating,
    ).toBe("unknown");
  });

  it("adhesion › polyethylene is hard to wet unless it is primed [oracle: published value: 30–31 mN/m]", () => {
    expect(side("spray-contact", "pe-bucket-sheet").gates).toEqual([
      { gate: "surface-energy", code: "LSE", rating: "workable-with-care" },
    ]);
    expect(side("spray-contact", { material: "pe-bucket-sheet", primed: true }).gates).toEqual([]);
    expect(side("spray-contact", "abs-sheet").gates).toEqual([]);
    expect(side("spray-contact", "clear-vinyl").gates.map(({ gate }) => gate)).toEqual(["plasticiser"]);
  });

  it("adhesion › what has to go on stretching is glued in dots, and told so [oracle: invariant]", () => {
    expect(side("fabric-glue", "stretch-knit").reasonCodes).not.toContain("DOTS");
    const dots = side("fabric-glue", "stretch-knit", { stretches: true });
    expect(dots.rating).toBe("workable-with-care");
    expect(dots.reasonCodes).toEqual(["DOTS", "LOCK"]);
    expect(side("contact-cr-solvent", "eva-foam", { stretches: true }).gates).toEqual([]);
  });

  it("adhesion › bending costs stiff and brittle glue a rank, down to avoid [oracle: brute force over the glue table]", () => {
    const below = { recommended: "workable-with-care", "workable-with-care": "avoid" } as const;
    for (const { id } of gluedAdhesives)
      for (const { id: face } of gluedSubstrates) {
        const cell = glueCell(id, face)!;
        const breaks = cell.reasonCodes.some((code) => code === "STIFF" || code === "BRITTLE");
        const [still, bent] = [side(id, face), side(id, face, { flexes: true })];
        expect(
          bent.gates.some(({ gate }) => gate === "flex"),
          `${id} on ${face}`,
        ).toBe(breaks);
        expect(still.gates.some(({ gate }) => gate === "flex")).toBe(false);
        const dropped = below[cell.rating as keyof typeof below] ?? cell.rating;
        if (breaks) expect(bent.gates.find(({ gate }) => gate === "flex")).toMatchObject({ rating: dropped });
        expect(bent.rating).toBe(breaks ? worseRating(still.rating, dropped) : still.rating);
      }
  });

  it("adhesion › thin foam is ruined from its softening point on, thick foam and cloth are tried [oracle: invariant]", () => {
    const foam = (values: object, thicknessMm: number | undefined) =>
      side(glue, {
        material: altered("eva-foam", { substrates: { face: "nothing-here" }, fibres: [], values }),
        thicknessMm,
      }).gates.map(({ code }) => code);
    expect(foam({ polymerSoftening: celsius(120) }, 2)).toEqual(["HEAT"]);
    expect(foam({ polymerSoftening: celsius(120.5) }, 2)).toEqual([]);
    expect(foam({ polymerSoftening: celsius(120) }, 4)).toEqual(["HEAT_TEST"]);
    expect(foam({ glueGunMax: celsius(120) }, 2)).toEqual(["HEAT"]);
    expect(foam({ glueGunMax: celsius(121) }, 2)).toEqual([]);
    expect(foam({}, 2)).toEqual([]);
    expect(foam({ polymerSoftening: celsius(120) }, undefined)).toEqual(["HEAT_TEST"]);
    expect(side(glue, { material: cloth(110), thicknessMm: 1 }).gates.map(({ code }) => code)).toEqual([
      "HEAT_TEST",
    ]);
  });

  it("adhesion › what the table has weighed is not weighed again [oracle: invariant]", () => {
    const soft = (id: string) =>
      ({ ...material("cotton-canvas"), id, fibres: [], values: { softening: celsius(90) } }) as MaterialEntry;
    expect(side("hotmelt-eva-low", soft("cotton-canvas")).gates).toEqual([]);
    expect(side("hotmelt-eva-low", soft("ours")).gates.map(({ code }) => code)).toEqual(["HEAT"]);
    // The cell for this fur speaks of heat itself.
    expect(glueCell("hotmelt-eva-high", "fauxfur-backing")!.reasonCodes).toContain("HEAT_TEST");
    expect(side("hotmelt-eva-high", "faux-fur-long").gates).toEqual([]);
  });

  it("isLowSurfaceEnergy › begins below 35 mN/m [oracle: invariant]", () => {
    expect([34.99, 35].map(isLowSurfaceEnergy)).toEqual([true, false]);
  });
});

describe("what an answer about a joint tells", () => {
  it("adhesion › a load over a person wants stitching, and says which of the two it is [oracle: invariant]", () => {
    const eva = (options: JointOptions) => adhesion("contact-cr-solvent", "eva-foam", "eva-foam", options);
    expect(codes(eva({ overPerson: true }))).toEqual(["warning materials/mechanical-backup"]);
    expect(eva({ overPerson: true }).reasonCodes).toEqual(["MECHANICAL_BACKUP", "GOOD"]);
    expect(eva({ overPerson: true }).reasons[0]).toMatchObject({ code: "MECHANICAL_BACKUP", faces: [] });
    expect(codes(eva({ overPerson: true, mechanical: true }))).toEqual(["note materials/mechanical-backup"]);
    expect(eva({ mechanical: true })).toMatchObject({ mechanicalBackup: false, issues: [] });
  });

  it("adhesion › names the side of each reason, the deciding side first [oracle: invariant]", () => {
    const joint = adhesion("cyanoacrylate", "eva-foam", "cotton-canvas");
    expect(joint.worseFace).toBe(1);
    expect(joint.reasons.map(({ code, faces }) => [code, faces])).toEqual([
      ["EXO_CELL", [1]],
      ["BRITTLE", [0]],
    ]);
    expect(joint.issues[0]).toMatchObject({
      code: "materials/adhesion-damages",
      at: { material: "cotton-canvas" },
    });
  });

  it("adhesion › a reason brings its caution along, once [oracle: invariant]", () => {
    const cautions = (glue: string | MaterialEntry, face: JointFace) =>
      adhesion(glue, face, "wood").cautions.map(({ id }) => id);
    const bare = (id: string) => ({ ...material(id), cautions: [] });
    expect(cautions(bare("cyanoacrylate"), "cotton-canvas")).toEqual(["cyanoacrylate-fibre"]);
    expect(cautions(bare("latex-adhesive"), "cotton-canvas")).toEqual(["latex"]);
    expect(cautions(bare("polyurethane-glue"), "cotton-canvas")).toEqual(["isocyanate"]);
    expect(
      cautions("cyanoacrylate", "cotton-canvas").filter((id) => id === "cyanoacrylate-fibre"),
    ).toHaveLength(1);
  });

  it("adhesion › what nobody has rated claims no source and warns once a material [oracle: invariant]", () => {
    const odd = altered("eva-foam", { substrates: { face: "nothing-here" } });
    const joint = adhesion("contact-cr-solvent", odd, odd);
    expect(joint).toMatchObject({ rating: "unknown", sources: [], reasonCodes: ["UNKNOWN"] });
    expect(joint.source).toContain("nobody");
    expect(codes(joint)).toEqual(["warning materials/adhesion-unknown"]);
    expect(adhesion("contact-cr-solvent", odd, "wood").sources.length).toBeGreaterThan(0);
  });

  it("adhesion › tells what is not known of the glue itself [oracle: invariant]", () => {
    expect(codes(adhesion("fabric-glue", "cotton-canvas", "wood"))).toEqual([
      "note materials/components-unknown",
      "note materials/unknown-value",
    ]);
    expect(codes(adhesion("fabric-glue", "cotton-canvas", "wood", { mechanical: true }))).toEqual([
      "note materials/components-unknown",
    ]);
    expect(codes(adhesion("contact-cr-solvent", "eva-foam", "wood"))).toEqual([]);
  });

  it("adhesion › the two sides of a fur are surfaces of their own [oracle: invariant]", () => {
    expect(side("fabric-glue", "fauxfur-pile")).toMatchObject({ side: "face", rating: "avoid" });
    expect(side("fabric-glue", "fauxfur-backing")).toMatchObject({ side: "back", rating: "recommended" });
    expect(side("fabric-glue", "fauxfur-backing").reasonCodes).not.toContain("PILE");
    expect(side("fabric-glue", { material: "faux-fur-long", side: "back" }).reasonCodes).not.toContain(
      "PILE",
    );
    expect(side("fabric-glue", { material: "cotton-canvas", side: "back" }).substrate).toBe("cotton-canvas");
  });

  it("adhesion › takes a thickness of 0 to 1000 mm [oracle: failing input]", () => {
    for (const thicknessMm of [0, 1000])
      expect(errorOf(() => side("pva", { material: "wood", thicknessMm }))).toBe("nothing thrown");
    for (const thicknessMm of [-0.001, 1000.001, NaN, Infinity])
      expect(errorOf(() => side("pva", { material: "wood", thicknessMm }))).toBe("materials/bad-measure");
  });

  it("adhesion › tapes count as adhesives [oracle: invariant]", () => {
    expect(errorOf(() => adhesion("tape-duct", "wood", "wood"))).toBe("nothing thrown");
    expect(errorOf(() => adhesion("cotton-canvas", "wood", "wood"))).toBe("materials/not-an-adhesive");
  });
});

describe("heat on a side", () => {
  it("heatLimits › lowest first, of the fibres that are on that side [oracle: invariant]", () => {
    const [pile, back] = [
      heatLimits(material("faux-fur-long"), "face"),
      heatLimits(material("faux-fur-long"), "back"),
    ];
    for (const limits of [pile, back])
      expect(limits.map(({ value }) => value)).toEqual(
        limits.map(({ value }) => value).sort((a, b) => a - b),
      );
    expect(pile.map(({ fibre }) => fibre)).not.toContain("polyester");
    expect(new Set(back.map(({ fibre }) => fibre))).toEqual(new Set(["polyester"]));
    expect(back.map(({ property, softens }) => [property, softens])).toEqual([
      ["ironMax", false],
      ["melting", true],
    ]);
  });

  it("heatContact › at a softening point no, within 20 degrees of it try, at a limit for use fine [oracle: invariant]", () => {
    const measured = [{ ...celsius(150)[0], grade: "B" }];
    const soft = altered("cotton-canvas", { fibres: [], values: { softening: measured } });
    const use = altered("cotton-canvas", { fibres: [], values: { ironMax: measured } });
    const answer = (entry: MaterialEntry, temperatureCel: number) =>
      heatContact(entry, { temperatureCel }).answer;
    expect([150, 149.9, 130, 129.9].map((at) => answer(soft, at))).toEqual([
      "no",
      "test on an offcut",
      "test on an offcut",
      "within the limits known",
    ]);
    expect([150.1, 150].map((at) => answer(use, at))).toEqual([
      "test on an offcut",
      "within the limits known",
    ]);
    expect(answer(altered("cotton-canvas", { fibres: [], values: {} }), 20)).toBe("unknown");
    expect(answer(altered("cotton-canvas", { fibres: [], values: { softening: celsius(150) } }), 20)).toBe(
      "test on an offcut",
    );
  });

  it("heatContact › care that forbids ironing forbids the iron alone [oracle: invariant]", () => {
    const entry = altered("cotton-canvas", { care: { iron: "none" } });
    expect(heatContact(entry, { iron: "low" })).toMatchObject({
      answer: "no",
      issues: [{ code: "materials/too-hot" }],
    });
    expect(heatContact(entry, { temperatureCel: 110 }).answer).not.toBe("no");
    expect(heatContact("cotton-canvas", { iron: "low" }).temperatureCel).toBe(110);
    expect(heatContact("cotton-canvas", { iron: "medium" }).temperatureCel).toBe(150);
    expect(heatContact("cotton-canvas", { iron: "high" }).temperatureCel).toBe(200);
    expect(errorOf(() => heatContact("cotton-canvas", { iron: "toString" as "low" }))).toBe(
      "materials/bad-measure",
    );
  });

  it("heatBeside › the worse of face and back, where there is a back [oracle: invariant]", () => {
    for (const temperatureCel of [100, 160, 180, 260]) {
      const fur = material("faux-fur-long");
      const order = ["no", "unknown", "test on an offcut", "within the limits known"];
      const both = (["face", "back"] as const).map((one) => heatContact(fur, { temperatureCel }, one).answer);
      const worse = both.sort((a, b) => order.indexOf(a) - order.indexOf(b))[0];
      expect(heatBeside(fur, { temperatureCel }).answer).toBe(worse);
    }
  });

  it("heatContact › a glue is as hot as its hottest setting; a cold one is refused [oracle: failing input]", () => {
    expect(heatContact("cotton-canvas", { glue: "hotmelt-eva-low" }).temperatureCel).toBe(150);
    expect(heatContact("cotton-canvas", { glue: "hotmelt-eva-low" }).cautions.map(({ id }) => id)).toContain(
      "hot-glue-burn",
    );
    expect(errorOf(() => heatContact("cotton-canvas", { glue: "pva" }))).toBe("materials/not-hot");
  });

  it("heatContact › says which limit decides, whose it is and where it is from [oracle: invariant]", () => {
    const fur = heatContact("faux-fur-long", { temperatureCel: 175 });
    expect(fur).toMatchObject({ answer: "no", limit: { value: 170, softens: true, fibre: "modacrylic" } });
    expect(fur.issues).toHaveLength(1);
    expect(fur.issues[0]).toMatchObject({
      code: "materials/too-hot",
      found: 175,
      limit: 170,
      at: { material: "faux-fur-long" },
    });
    expect(fur.issues[0]!.message).toContain("(modacrylic): changes at 170 °C");
    expect(fur.issues[0]!.source).toBeTruthy();
    const iron = heatContact("faux-fur-long", { temperatureCel: 140 });
    expect(iron).toMatchObject({ answer: "test on an offcut", limit: { value: 116, softens: false } });
    expect(iron.issues[0]).toMatchObject({ code: "materials/heat-test" });
    expect(iron.issues[0]!.message).toContain("is limited at 116 °C");
    expect(iron.issues[0]!.fix).not.toBe(fur.issues[0]!.fix);
    const bare = altered("cotton-canvas", { fibres: [], values: {}, care: undefined });
    expect(heatContact(bare, { temperatureCel: 20 }).issues.map(({ code }) => code)).toEqual([
      "materials/heat-unknown",
    ]);
    const relaxing = altered("cotton-canvas", { fibres: [], values: { polymerSoftening: celsius(70) } });
    expect(heatContact(relaxing, { temperatureCel: 70 }).issues[0]!.message).toContain("relaxes");
    expect(heatContact(relaxing, { temperatureCel: 69 })).toMatchObject({
      answer: "within the limits known",
      issues: [],
    });
  });

  it("heatBeside › a cloth without a backing has one side [oracle: invariant]", () => {
    for (const temperatureCel of [100, 190, 220])
      expect(heatBeside("cotton-canvas", { temperatureCel })).toEqual(
        heatContact("cotton-canvas", { temperatureCel }, "face"),
      );
  });
});
