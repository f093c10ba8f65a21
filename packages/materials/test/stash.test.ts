import { describe, expect, it } from "vitest";
import { checkStash, findSubstitutes, isPeltryError, pieceArea, queryStash, type Stash } from "../src/index";
import { parseStash, readStash } from "../src/schema";

const stash: Stash = parseStash({
  version: 1,
  items: [
    {
      id: "winter coat",
      material: "faux-fur-medium",
      size: { alongMm: 900, acrossMm: 1400 },
      colour: "#8a7a66",
      condition: "used",
    },
    {
      id: "white end",
      material: "faux-fur-long",
      outline: [
        [0, 0],
        [400, 0],
        [400, 300],
        [0, 300],
      ],
      colour: "#f4f1ea",
      condition: "new",
    },
    { id: "old collar", material: "faux-fur-medium", colour: "#8b7b68", condition: "worn" },
    {
      id: "hall curtain",
      material: "velveteen",
      size: { alongMm: 2000, acrossMm: 1200 },
      colour: "#5a1e1e",
      condition: "used",
    },
    {
      id: "foam cushion",
      material: "pu-foam-seat",
      size: { alongMm: 500, acrossMm: 500 },
      condition: "unknown",
    },
  ],
});

describe("stash", () => {
  it("pieceArea › rectangle and outline, whichever way round [oracle: closed form]", () => {
    expect(pieceArea(stash.items[0]!)).toBeCloseTo(1.26, 12);
    expect(pieceArea(stash.items[1]!)).toBeCloseTo(0.12, 12);
    expect(pieceArea({ outline: [...stash.items[1]!.outline!].reverse() })).toBeCloseTo(0.12, 12);
    expect(pieceArea({})).toBeUndefined();
  });

  it("queryStash › role, colour, area, condition [oracle: brute force by hand]", () => {
    const names = (query: Parameters<typeof queryStash>[1]) =>
      queryStash(stash, query).map(({ item }) => item.id);
    expect(names({ role: "outer-pile" })).toEqual(["winter coat", "white end", "old collar"]);
    expect(names({ colour: "#8a7a66" })).toEqual(["winter coat", "old collar"]);
    expect(names({ minAreaM2: 1 })).toEqual(["hall curtain", "winter coat"]);
    expect(names({ condition: ["new"] })).toEqual(["white end"]);
    expect(names({ text: "nothing at all" })).toEqual([]);
  });

  it("findSubstitutes › same material first, then by stretch, pile, mass; notes what differs [oracle: invariant]", () => {
    const found = findSubstitutes("faux-fur-medium", { stash, colour: "#8a7a66", areaM2: 0.5 });
    expect(found[0]!.item!.id).toBe("winter coat");
    expect(found[0]!.distance).toBeCloseTo(0, 9);
    expect(found.find(({ item }) => item!.id === "old collar")!.differences.join()).toContain("worn");
    expect(found.map(({ item }) => item!.id)).not.toContain("foam cushion");
    const distances = found.map(({ distance }) => distance);
    expect([...distances].sort((a, b) => a - b)).toEqual(distances);
  });

  it("findSubstitutes › from the catalogue, never itself; a role narrows it [oracle: invariant]", () => {
    const found = findSubstitutes("pu-foam-seat", { role: "padding" });
    expect(found.map(({ material }) => material.id)).not.toContain("pu-foam-seat");
    expect(found[0]!.material.family).toBe("foam-open");
    for (const { material } of found) expect(material.roles).toContain("padding");
  });

  it("findSubstitutes › a tolerance of nothing keeps the distances finite; one that is no number is refused [oracle: failing input]", () => {
    const of = (colourTolerance: number) =>
      findSubstitutes("faux-fur-medium", { stash, colour: "#8a7a66", colourTolerance });
    expect(of(0)[0]!.distance).toBe(0);
    for (const { distance } of of(0)) expect(Number.isFinite(distance)).toBe(true);
    for (const odd of [NaN, -1]) expect(() => of(odd)).toThrow(/colourTolerance/);
  });

  it("parseStash › refuses double names, both size and outline, bad colours; checkStash names unknown materials [oracle: failing input]", () => {
    const bad = (items: unknown[]) => () => parseStash({ version: 1, items }, "stash.json");
    const piece = { id: "a", material: "minky", condition: "new" };
    expect(bad([piece, piece])).toThrow(/used twice/);
    expect(
      bad([
        {
          ...piece,
          size: { alongMm: 1, acrossMm: 1 },
          outline: [
            [0, 0],
            [1, 0],
            [0, 1],
          ],
        },
      ]),
    ).toThrow(/not both/);
    expect(bad([{ ...piece, colour: "red" }])).toThrow();
    expect(() => readStash('{"version": 2}', "s.json")).toThrow(/s\.json:1/);
    const issues = checkStash({ version: 1, items: [{ ...piece, condition: "new", material: "minki" }] });
    expect(issues[0]).toMatchObject({
      code: "materials/unknown-material",
      fix: expect.stringContaining("minky"),
    });
    expect(checkStash(stash).map(({ code }) => code)).toEqual(["materials/size-unknown"]);
    try {
      bad([{}])();
    } catch (error) {
      expect(isPeltryError(error)).toBe(true);
    }
  });
});
