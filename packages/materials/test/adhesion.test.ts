import { describe, expect, it } from "vitest";
import {
  adhesion,
  glueCell,
  gluedAdhesives,
  gluedSubstrates,
  isLowSurfaceEnergy,
  isPeltryError,
  material,
  RATINGS,
  reasonCodes,
  worseRating,
} from "../src/index";

const pairs = gluedAdhesives.flatMap((a) => gluedSubstrates.map((s) => [a.id, s.id] as const));
const rating = (...args: Parameters<typeof adhesion>) => adhesion(...args).rating;

describe("glue table", () => {
  it("glueCell › rates all 17 × 22 pairs with known codes and sources [oracle: invariant]", () => {
    expect(gluedAdhesives).toHaveLength(17);
    expect(gluedSubstrates).toHaveLength(22);
    const known = new Set(Object.keys(reasonCodes()));
    for (const [a, s] of pairs) {
      const cell = glueCell(a, s)!;
      expect(RATINGS).toContain(cell.rating);
      expect(cell.reasonCodes.length).toBeGreaterThan(0);
      for (const code of cell.reasonCodes) expect(known.has(code), code).toBe(true);
    }
    expect(glueCell("pva", "moon-dust")).toBeUndefined();
  });

  it("glueCell › recommends nothing that melts, dissolves, burns or does not wet [oracle: invariant]", () => {
    for (const [a, s] of pairs) {
      const cell = glueCell(a, s)!;
      if (cell.rating !== "recommended") continue;
      for (const code of ["HEAT", "SOLV", "EXO_CELL", "LSE"]) expect(cell.reasonCodes).not.toContain(code);
    }
  });

  it("adhesion › cyanoacrylate on cotton damages [oracle: published value: Jacques 2020, 91 °C peak]", () => {
    const joint = adhesion("cyanoacrylate", "cotton-canvas", "cotton-canvas");
    expect(joint.rating).toBe("damages");
    expect(joint.reasonCodes).toContain("EXO_CELL");
    expect(joint.source).toContain("Jacques");
    expect(joint.cautions.map(({ id }) => id)).toContain("cyanoacrylate-fibre");
  });

  it("adhesion › solvent glues and hot glue attack polystyrene [oracle: published value: contact adhesive TDS]", () => {
    for (const glue of [
      "cyanoacrylate",
      "cyanoacrylate-tough",
      "contact-cr-solvent",
      "spray-contact",
      "hotmelt-eva-high",
      "fusible-web",
    ])
      expect(rating(glue, "polystyrene-foam", "wood"), glue).toBe("damages");
  });
});

describe("joint", () => {
  it("adhesion › the worse side decides, whichever way round [oracle: brute force over all pairs]", () => {
    for (const { id: glue } of gluedAdhesives)
      for (const { id: a } of gluedSubstrates)
        for (const { id: b } of gluedSubstrates) {
          const joint = adhesion(glue, a, b);
          expect(joint.rating).toBe(adhesion(glue, b, a).rating);
          expect(joint.rating).toBe(worseRating(joint.faces[0].rating, joint.faces[1].rating));
          expect(joint.faces[joint.worseFace].rating).toBe(joint.rating);
        }
  });

  it("adhesion › solvent cement between canvas and polystyrene damages [oracle: published value: contact adhesive TDS]", () => {
    const joint = adhesion("contact-cr-solvent", "cotton-canvas", "polystyrene-foam");
    expect(joint.rating).toBe("damages");
    expect(joint.worseFace).toBe(1);
  });

  it("adhesion › never rates a pair better than the table does [oracle: brute force over all pairs]", () => {
    for (const [a, s] of pairs)
      expect(RATINGS.indexOf(rating(a, s, s))).toBeGreaterThanOrEqual(
        RATINGS.indexOf(glueCell(a, s)!.rating),
      );
  });

  it("adhesion › a fur without a side is glued by its back and says so [oracle: invariant]", () => {
    const joint = adhesion("fabric-glue", "faux-fur-long", "cotton-canvas");
    expect(joint.faces[0].substrate).toBe("fauxfur-backing");
    expect(joint.reasonCodes).toContain("PILE");
    expect(rating("fabric-glue", { material: "faux-fur-long", side: "face" }, "cotton-canvas")).toBe("avoid");
  });

  it("adhesion › thin foam under hot glue damages, thicker is workable [oracle: published value: EVA softens at 61–76 °C]", () => {
    expect(rating("hotmelt-eva-high", { material: "eva-foam", thicknessMm: 3 }, "wood")).toBe("damages");
    expect(rating("hotmelt-eva-high", { material: "eva-foam", thicknessMm: 10 }, "wood")).toBe(
      "workable-with-care",
    );
  });

  it("adhesion › a joint that flexes drops stiff and brittle glue one rank [oracle: invariant]", () => {
    expect(rating("hotmelt-eva-high", "fauxfur-backing", "fauxfur-backing")).toBe("workable-with-care");
    expect(rating("hotmelt-eva-high", "fauxfur-backing", "fauxfur-backing", { flexes: true })).toBe("avoid");
    expect(rating("contact-cr-solvent", "eva-foam", "eva-foam", { flexes: true })).toBe("recommended");
  });

  it("adhesion › plasticised vinyl takes three glues with care and no other [oracle: brute force over all adhesives]", () => {
    const taken = gluedAdhesives
      .map(({ id }) => id)
      .filter((id) => rating(id, "pvc-leatherette", "pvc-leatherette") === "workable-with-care");
    expect(taken.sort()).toEqual(["cyanoacrylate-tough", "polyurethane-glue", "tape-acrylic"]);
  });

  it("adhesion › glue alone never carries weight over a person [oracle: brute force over all pairs]", () => {
    for (const [a, s] of pairs) {
      const joint = adhesion(a, s, s, { overPerson: true });
      expect(["avoid", "damages"]).toContain(joint.rating);
      expect(joint.mechanicalBackup).toBe(true);
      expect(joint.issues.map(({ code }) => code)).toContain("materials/mechanical-backup");
    }
    expect(rating("contact-cr-solvent", "eva-foam", "eva-foam", { overPerson: true, mechanical: true })).toBe(
      "recommended",
    );
  });

  it("adhesion › an unrated pair is unknown and warns [oracle: invariant]", () => {
    const odd = { ...material("eva-foam"), id: "odd", substrates: { face: "nothing-here" } };
    const joint = adhesion("contact-cr-solvent", odd, "eva-foam");
    expect(joint.rating).toBe("unknown");
    expect(
      joint.issues.some(
        ({ code, severity }) => code === "materials/adhesion-unknown" && severity === "warning",
      ),
    ).toBe(true);
  });

  it("isLowSurfaceEnergy › PP and PE are, PET is not [oracle: published value: surface energies of polymers]", () => {
    expect([30, 30.5, 42.5].map(isLowSurfaceEnergy)).toEqual([true, true, false]);
  });

  it("adhesion › refuses unknown ids with the nearest ones, and things that are no glue [oracle: failing input]", () => {
    const codeOf = (work: () => unknown) => {
      try {
        work();
      } catch (error) {
        if (isPeltryError(error)) return `${error.code} ${error.issues[0]!.fix ?? ""}`;
      }
      return "nothing thrown";
    };
    expect(codeOf(() => adhesion("hot glue", "wood", "wood"))).toContain("hotmelt-eva");
    expect(codeOf(() => adhesion("pva", "cotton-canvs", "wood"))).toContain("cotton-canvas");
    expect(codeOf(() => adhesion("wood", "wood", "wood"))).toContain("materials/not-an-adhesive");
  });
});
