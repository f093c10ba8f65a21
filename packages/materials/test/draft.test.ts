import { describe, expect, it } from "vitest";
import { draftMaterial, idFromName, lintMaterials } from "../src/lint";
import { readMaterial } from "../src/schema";

describe("draftMaterial", () => {
  it("draftMaterial › name and family alone make a valid draft of every family [oracle: the lint]", () => {
    for (const family of ["felt", "adhesive", "pile-fabric", "dye", "foam-open"] as const) {
      const file = draftMaterial({ name: "Ängström cloth no. 2", family });
      expect(file.path).toBe(`${family}/angstrom-cloth-no-2.json`);
      expect(lintMaterials([file]).issues).toEqual([]);
      expect(readMaterial(file.text).values).toEqual({});
    }
  });

  it("draftMaterial › figures, conditions, grades and statuses follow from the source [oracle: the rules as written]", () => {
    const base = {
      name: "Test knit",
      family: "stretch-knit",
      fibres: ["whole:nylon:70..90", "whole:elastane:10..30"],
    };
    const values = ["massPerArea=180..220", "stretchAcross=60,load=hand", "widthUsable=..1500"];
    const entry = readMaterial(
      draftMaterial({
        ...base,
        values,
        source: { kind: "datasheet", title: "A data sheet", published: "2024" },
      }).text,
    );
    expect(entry.status).toBe("provisional");
    expect(entry.values.massPerArea![0]).toMatchObject({
      min: 180,
      max: 220,
      grade: "B",
      status: "provisional",
      unit: "g/m2",
    });
    expect(entry.values.stretchAcross![0]).toMatchObject({ typical: 60, conditions: { load: "hand" } });
    expect(entry.values.widthUsable![0]).toMatchObject({ max: 1500 });
    const own = readMaterial(draftMaterial({ ...base, values: ["stretchAlong=40"] }).text);
    expect(own.values.stretchAlong![0]).toMatchObject({
      grade: "M",
      status: "unconfirmed",
      method: "memory",
      conditions: { load: "hand" },
    });
    const bench = { kind: "measurement", title: "Own bench", published: "2026" } as const;
    const measured = readMaterial(
      draftMaterial({ ...base, values: ["massPerArea=200"], source: bench }).text,
    );
    expect(measured.values.massPerArea![0]).toMatchObject({ method: "kitchen-scale", grade: "C" });
  });

  it("draftMaterial › adds the cautions that follow from the fibres [oracle: published value: Jacques 2020]", () => {
    expect(
      readMaterial(draftMaterial({ name: "Cord", family: "woven", fibres: ["whole:cotton:100"] }).text)
        .cautions,
    ).toEqual(["cyanoacrylate-fibre"]);
  });

  it("draftMaterial › refuses what it cannot read [oracle: failing input]", () => {
    const make = (more: object) => () => draftMaterial({ name: "X", family: "felt", ...more });
    expect(make({ family: "fur" })).toThrow(/no family/);
    expect(make({ id: "Not An Id" })).toThrow(/not an id/);
    expect(make({ values: ["weight=3"] })).toThrow(/no property/);
    expect(make({ values: ["density"] })).toThrow(/property=figure/);
    expect(make({ values: ["density=many"] })).toThrow(/not a figure/);
    expect(make({ values: ["density=.."] })).toThrow(/not a figure/);
    // Once read as 160 alone.
    expect(make({ values: ["density=160-180"] })).toThrow(/not a figure/);
    expect(make({ source: { kind: "hearsay", title: "A friend" } })).toThrow(/no kind of source/);
    expect(make({ values: ["stretchAlong=3,load"] })).toThrow(/not a condition/);
    expect(make({ fibres: ["cotton"] })).toThrow(/part:fibre:percent/);
    expect(idFromName("  Öl & Wax -- 50%  ")).toBe("ol-wax-50");
    // Once cut after its 60th sign, a hyphen: no id.
    expect(idFromName(`${"a".repeat(59)} b`)).toBe("a".repeat(59));
  });
});
