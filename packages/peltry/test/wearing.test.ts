import { describe, expect, it } from "vitest";
import { addAllowance } from "@peltry/allowance";
import { makeHood } from "@peltry/forms";
import { makeCostume, readProject, summarise, type MadeCostume } from "../src/index";
import { materialCautions } from "../src/workbook/material-cautions";

/** A band with two horns: quick, and all of it can be reckoned by hand. */
const BAND = `peltry: 1
name: Horns
fabrics:
  felt: { name: Felt, material: wool-felt, seamAllowanceMm: 5, pieces: [{ id: a, widthMm: 900, lengthMm: 900 }] }
  foam: { name: Foam, material: pu-foam-open, pieces: [{ id: b, widthMm: 600, lengthMm: 600 }] }
parts:
  - id: horn
    name: Horn
    kind: horn
    baseDiameterMm: 50
    lengthMm: 200
    fabrics: { skin: felt, bulk: foam, base: foam }
  - id: band
    name: Band
    kind: headband
    headGirthMm: 560
    widthMm: 40
    carries: [{ part: horn, aroundDeg: 30, heightMm: 20 }]
    fabrics: { band: felt, lining: felt }
`;
const DAY = (day: string): string => `${BAND}wearing: ${day}\n`;
const make = (text: string): MadeCostume => makeCostume(readProject(text, "h.yaml"), () => new Uint8Array());
const found = (made: MadeCostume, subject: string) => made.wear.filter((one) => one.subject === subject);

describe("wear checks of a whole project", () => {
  it("turns the head by what the band carries [oracle: Σ m g z about a pivot 15 mm behind the band's middle]", () => {
    const made = make(BAND);
    const { load } = made.parts[1]!.built as unknown as { load: { massG: number; centre: number[] } };
    const wanted = (load.massG * 9.80665 * (load.centre[2]! + 15)) / 1e4;
    expect(found(made, "head load")[0]!.figure).toBeCloseTo(wanted, 1);
    expect(found(made, "balance")[0]!.figure).toBe(0);
  });
  it("counts a hood among what the head bears [oracle: sum of the masses]", () => {
    const made = make(
      BAND + "  - { id: hood, name: Hood, kind: hood, headGirthMm: 560, fabrics: { coat: felt } }\n",
    );
    const without = make(BAND);
    const moment = (costume: MadeCostume): number => Number(found(costume, "head load")[0]!.figure);
    const { built } = made.parts[2]!;
    const { centreOnHead } = built as unknown as { centreOnHead: number[] };
    const more = (built!.massG * 9.80665 * (centreOnHead[2]! + 15)) / 1e4;
    expect(moment(made) - moment(without)).toBeCloseTo(more, 0);
    expect(made.pattern.panels.filter((panel) => panel.id.startsWith("hood-"))).toHaveLength(3);
  });
  it("finds no bay on a hood's sides, whichever edge their outlines begin with [invariant: left mirrors right]", () => {
    for (const headGirth of [520, 570, 600])
      for (const panel of makeHood({ headGirth }).pattern.panels)
        expect(addAllowance(panel, { cloth: "pile" }).merges).toEqual([]);
  });
  it("takes what a half mask lets see, unless the day says otherwise [oracle: eye height over the tangent]", () => {
    const mask = `peltry: 1
name: Mask
wearer: { age: 30, measures: { stature: 1700, hip: 1000 } }
fabrics:
  felt: { name: Felt, material: wool-felt, seamAllowanceMm: 5, pieces: [{ id: a, widthMm: 900, lengthMm: 900 }] }
parts:
  - { id: mask, name: Mask, kind: half-mask, headGirthMm: 570, eyeReliefMm: 20, window: { heightMm: 40 }, fabrics: { coat: felt, lining: felt } }
`;
    const floor = (text: string) => found(make(text), "sight")[0]!;
    // Window 40 mm high, 20 mm before the eye: 45° down, so the floor is as far away as the eye is high.
    expect(floor(mask)).toMatchObject({ level: "caution", figure: 1700 - 115 });
    expect(floor(mask + "wearing: { lowestSeenDeg: 60 }\n").figure).toBe(Math.round(1585 / Math.sqrt(3)));
    const made = make(mask);
    expect(made.pattern.panels).toHaveLength(6);
    expect(made.issues.filter((issue) => issue.severity !== "note")).toEqual([]);
    // Behind windows the view is narrow: that is printed; no band holds it, so nothing is asked of one.
    expect(materialCautions(made).map(({ title }) => title)).toContain("Narrow view");
    expect(found(made, "band")).toEqual([]);
    // The head bears it as it bears a hood.
    expect(found(made, "head load")[0]!.unit).toBe("N cm");
  });
  it("asks for what it was not told instead of guessing", () => {
    const made = make(BAND);
    expect(found(made, "heat")[0]!.what).toMatch(/^Cannot judge/);
    expect(found(made, "movement")[0]!.what).toBe("Nothing lies over hip and knee.");
  });
  it("makes a stop of a day that the heat table forbids, and puts it among the things to mend", () => {
    const made = make(DAY('{ wbgtC: 33, activity: heavy, cover: "body and head" }'));
    expect(found(made, "heat")[0]!.level).toBe("stop");
    const { trouble, wear } = summarise(made, undefined, undefined);
    expect(wear.stops).toBe(1);
    expect(trouble.map((issue) => issue.code)).toContain("run/not-to-be-worn-like-this");
  });
  it("never says safe, and always closes with the caution", () => {
    const made = make(DAY("{ airC: 18, activity: light, dressing: { helper: true, outSeconds: 30 } }"));
    expect(made.wear.map((one) => `${one.what} ${one.fix ?? ""}`).join(" ")).not.toMatch(/\bsafe/i);
    expect(made.wear.at(-1)!.what).toMatch(/local codes and licensed practice come first/);
  });
  it.each([
    ["an unknown activity", "{ activity: lazy }", /wearing\.activity/],
    ["a key that is none", "{ temperature: 20 }", /"temperature" is not a key/],
    ["a width that no eye has", "{ widthSeenDeg: 900 }", /widthSeenDeg/],
  ])("points at %s", (_, day, message) => {
    expect(() => readProject(DAY(day), "h.yaml")).toThrow(message);
  });
});

describe("thread, time and order of work", () => {
  it("adds up the thread of every seam by its stitch's ratio [oracle: 2 + 2 T / p for a lockstitch]", () => {
    const made = make(
      BAND.replace(/ {2}- id: horn[^]*?(?= {2}- id: band)/, "").replace(/ {4}carries.*\n/, ""),
    );
    const [lock] = made.making.thread.byStitch;
    expect(lock!.stitch).toBe("301");
    // Both rings are closed and one long side is sewn by machine; the last side closes the hollow by hand.
    const length = 560 + 2 * 40;
    expect(lock!.seamMm).toBeCloseTo(length, 6);
    const thickness = (lock!.threadMm[0] / 1.1 / length - 2) * (3 / 2);
    expect(thickness).toBeGreaterThan(1);
    expect(thickness).toBeLessThanOrEqual(8);
    expect(lock!.threadMm[1] / lock!.threadMm[0]).toBeCloseTo(1.15 / 1.1, 9);
  });
  it("counts both of a pair: twice the thread of one [metamorphic]", () => {
    const seams = (text: string): number =>
      make(text).making.thread.byStitch.reduce((sum, each) => sum + each.seamMm, 0);
    const without = BAND.replace(/ {2}- id: band[^]*$/, "");
    const single = without.replace("kind: horn", "kind: horn\n    pair: false");
    expect(seams(without)).toBeCloseTo(2 * seams(single), 6);
  });
  it("lays all hours out over evenings, and prices by their ranges [invariant]", () => {
    const made = make(
      `${BAND}work: { eveningHours: 3, prices: [{ name: Wire, amount: 4, price: [0.5, 1] }] }\n`,
    );
    const { work, evenings } = made.making;
    const planned = evenings.flatMap((each) => each.tasks).reduce((sum, task) => sum + task.hours, 0);
    expect(planned).toBeCloseTo((work.hours[0] + work.hours[1]) / 2, 6);
    expect(work.cost).toEqual([2, 4]);
  });
});
