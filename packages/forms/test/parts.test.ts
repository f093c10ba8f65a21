import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { meshVolume, polylineLength, signedArea, type TriangleMesh } from "@peltry/geometry";
import { checkPattern, panelOutline, type Panel } from "@peltry/pattern";
import {
  makeEars,
  makeHeadband,
  makeHorn,
  makeTail,
  spiralFigures,
  type HornOptions,
  type MadePart,
} from "@peltry/forms";
import { codeOf } from "./build-helpers";

const edge = (part: MadePart, panel: string, id: string): number =>
  polylineLength(panelOf(part, panel).edges.find((one) => one.id === id)!.points);
const panelOf = (part: MadePart, id: string): Panel => part.pattern.panels.find((one) => one.id === id)!;
const area = (part: MadePart, id: string): number => signedArea(panelOutline(panelOf(part, id)));

/** Volume and centre of a closed mesh by signed tetrahedra; an open base is closed by its own middle at the origin. */
function solid(mesh: TriangleMesh): { volume: number; centre: number[] } {
  let volume = 0;
  const centre = [0, 0, 0];
  const p = mesh.positions;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => {
      const v = 3 * mesh.triangles[t + k]!;
      return [p[v]!, p[v + 1]!, p[v + 2]!];
    }) as [number[], number[], number[]];
    const six =
      a[0]! * (b[1]! * c[2]! - b[2]! * c[1]!) -
      a[1]! * (b[0]! * c[2]! - b[2]! * c[0]!) +
      a[2]! * (b[0]! * c[1]! - b[1]! * c[0]!);
    volume += six / 6;
    for (let k = 0; k < 3; k++) centre[k]! += ((six / 6) * (a[k]! + b[k]! + c[k]!)) / 4;
  }
  return { volume, centre: centre.map((x) => x / volume) };
}

const ram: HornOptions = {
  spiral: { whorl: 3, distance: 0.5, translation: 1.2, turns: 1.25, baseDiameter: 60 },
};
const plainFoam: HornOptions = {
  ...ram,
  wire: false,
  base: { thicknessMm: 0.2, tabs: 0 },
  bulk: { kgPerM3: 1000 },
  skin: { kind: "yarn", tex: 5, diameterMm: 30 },
};

describe("makeTail", () => {
  it("of a third of a circle is a cone with a base of a third of its side [oracle: closed form]", () => {
    const tail = makeTail({ length: 300, circleFraction: 1 / 3 });
    expect(edge(tail, "tail", "base")).toBeCloseTo(628.3185, 0);
    expect(edge(tail, "base", "rim-1")).toBeCloseTo(628.3185, 3);
    expect(area(tail, "tail")).toBeCloseTo((Math.PI * 300 ** 2) / 3, -2);
    expect(tail.stuffingVolume).toBeCloseTo((Math.PI * 100 ** 2 * 282.8427125) / 3, 1);
    expect(tail.centreOfMass[1]).toBeGreaterThan(282.84 / 4 - 1e-6);
    expect(tail.centreOfMass[1]).toBeLessThan(282.84 / 3);
  });
  it("parts a cone into upper and underside with the same whole angle [oracle: closed form]", () => {
    const tail = makeTail({
      length: 260,
      baseGirth: 628.318530718,
      underside: { share: 0.4, fabric: "pale" },
    });
    expect(area(tail, "tail") + area(tail, "underside")).toBeCloseTo(81681.409, -2);
    expect(area(tail, "underside") / area(tail, "tail")).toBeCloseTo(0.4 / 0.6, 2);
    expect(panelOf(tail, "underside").fabric).toBe("pale");
  });
  it("gives the flat sides of a bent tube both seam lengths [oracle: closed form ∫ (1 ± κ r) ds]", () => {
    const tail = makeTail({ style: "curved", length: 800, baseGirth: 300, tipGirth: 300, bendDeg: [50, 40] });
    const [r, turn] = [300 / (2 * Math.PI), Math.PI / 2];
    expect(edge(tail, "side-left", "top")).toBeCloseTo(800 - turn * r, 1);
    const under = ["low", "open", "high"].reduce(
      (sum, part) => sum + edge(tail, "side-left", `under-${part}`),
      0,
    );
    expect(under).toBeCloseTo(800 + turn * r, 1);
    expect(tail.stuffingVolume).toBeCloseTo(Math.PI * r * r * 800, -3);
    // The mesh ends in a low dome, whose 1.2 % the stuffing does not count.
    expect(Math.abs(meshVolume(tail.form!.mesh) / tail.stuffingVolume - 1)).toBeLessThan(0.03);
  });
  it("makes a puff of gores that hold the ball's surface [oracle: sphere cap]", () => {
    const puff = makeTail({ style: "puff", length: 160, gores: 8, baseGirth: 200 });
    const sum = Array.from({ length: 8 }, (_, k) => area(puff, `gore-${k + 1}`)).reduce((a, b) => a + b, 0);
    const height = 80 + Math.sqrt(80 ** 2 - (200 / (2 * Math.PI)) ** 2);
    expect(sum / (2 * Math.PI * 80 * height)).toBeCloseTo(1, 2);
    expect(puff.sideStrain).toBeCloseTo(0.0375045, 5);
  });
  it("bends, folds and says so; refuses a size that is none", () => {
    const sharp = makeTail({ style: "curved", length: 300, baseGirth: 450, bendDeg: [300, 0] });
    expect(sharp.issues.map((one) => one.code)).toEqual(["forms/tail-folds"]);
    expect(codeOf(() => makeTail({ length: Number.NaN }))).toBe("forms/bad-part");
    expect(codeOf(() => makeTail({ length: 100, style: "bushy" as never }))).toBe("forms/bad-part");
  });
});

describe("makeEars", () => {
  it("cups by a dart of the angle that the depth asks [oracle: dart 120 mm, 25° takes 51.9455 mm]", () => {
    const depth = 120 * Math.cos((68.5215821589 * Math.PI) / 180);
    const ears = makeEars({ length: 260, width: 110, baseWidth: 60, cupDepth: depth, dartLength: 120 });
    const [dart] = panelOf(ears, "ear").darts;
    expect(dart!.intake).toBeCloseTo(51.9455073451, 6);
    expect(dart!.length).toBe(120);
    const base = edge(ears, "ear", "base-1") + edge(ears, "ear", "base-2");
    expect(base).toBeCloseTo(60, 6);
    expect(ears.fixingEdge).toBe(60);
  });
  it("makes both ears from one, with a lining that meets it edge by edge", () => {
    const ears = makeEars({ length: 220, width: 80, cupDepth: 20, fringe: 12, lean: 15 });
    expect(ears.copies).toBe(2);
    expect(ears.pattern.panels.every((one) => one.mirrored && one.count === 1)).toBe(true);
    expect(edge(ears, "ear", "front")).toBeCloseTo(edge(ears, "ear-lining", "front"), 9);
    expect(panelOf(ears, "ear-lining").markings.map((one) => one.id)).toEqual(["fringe"]);
  });
  it("weighs what its area weighs [oracle: closed form]", () => {
    const ears = makeEars({ length: 120, width: 70, fabricGsm: 500, liningGsm: 200 });
    expect(ears.massG).toBeCloseTo((area(ears, "ear") * 700) / 1e6, 9);
  });
  it("refuses a cup deeper than its dart", () => {
    expect(codeOf(() => makeEars({ length: 100, width: 50, cupDepth: 90 }))).toBe("forms/bad-part");
  });
});

describe("spiralFigures", () => {
  it("has the length, height and end of the published spirals [oracle: closed form and quadrature]", () => {
    const cases = [
      [{ whorl: 2, turns: 1.5, translation: 0 }, 20, 333.494589563, 0, 56.5685424949, 30.4599844203],
      [{ whorl: 3, turns: 1, translation: 0.5 }, 30, 349.647488963, 30, 90, 48.4615384615],
      [{ whorl: 1.6, turns: 2, translation: 1.5 }, 15, 315.651585742, 35.1, 38.4, 20.6769230769],
    ] as const;
    for (const [shell, r0, length, height, end, section] of cases) {
      const figures = spiralFigures({ ...shell, distance: 0.3 }, r0);
      expect(figures.length).toBeCloseTo(length, 6);
      expect(figures.height).toBeCloseTo(height, 9);
      expect(figures.baseDistance).toBeCloseTo(end, 8);
      expect(figures.baseRadius).toBeCloseTo(section, 8);
    }
  });
  it("refuses a spiral that does not grow", () => {
    expect(codeOf(() => spiralFigures({ whorl: 1, distance: 0, translation: 0, turns: 1 }, 10))).toBe(
      "forms/bad-part",
    );
  });
});

describe("makeHorn", () => {
  it("has the closed form's length and volume [oracle: closed form]", () => {
    const horn = makeHorn(ram);
    expect(horn.coreLength / horn.spiral!.length).toBeCloseTo(1, 3);
    expect(horn.volume / horn.spiral!.volume).toBeCloseTo(1, 3);
  });
  it("weighs and balances as its mesh does [oracle: integration over tetrahedra]", () => {
    const horn = makeHorn(plainFoam);
    const { volume, centre } = solid(horn.form!.mesh);
    // 24 chords round a ring hold 0.9886 of the circle; the tip dome is left out of the closed form.
    const share = (24 / (2 * Math.PI)) * Math.sin((2 * Math.PI) / 24);
    expect(volume / share / horn.spiral!.volume).toBeCloseTo(1, 2);
    const off = Math.hypot(...centre.map((x, k) => x - horn.centreOfMass[k]!));
    expect(off).toBeLessThan(1.5);
  });
  it("stands the closed form's centre as far from the base as the mesh's [oracle: two independent ways]", () => {
    const horn = makeHorn(plainFoam);
    const figures = horn.spiral!;
    const end = 2 * Math.PI * 1.25;
    const base = [figures.baseDistance * Math.cos(end), figures.baseDistance * Math.sin(end), figures.height];
    const closed = Math.hypot(...figures.centre.map((x, k) => x - base[k]!));
    expect(Math.hypot(...solid(horn.form!.mesh).centre)).toBeCloseTo(closed, 0);
  });
  it("weighs the cube of its size [oracle: scaling law]", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        fc.double({ min: 1.5, max: 5, noNaN: true }),
        (scale, whorl) => {
          const of = (baseDiameter: number) =>
            makeHorn({
              ...plainFoam,
              spiral: { whorl, distance: 0.4, translation: 0.8, turns: 1, baseDiameter },
            });
          const [one, two] = [of(50), of(50 * scale)];
          const foam = (horn: MadePart): number =>
            horn.needs.find((need) => need.layer === "bulk foam")!.massG;
          expect(foam(two) / foam(one)).toBeCloseTo(scale ** 3, 9);
          expect(two.volume / one.volume).toBeCloseTo(scale ** 3, 9);
        },
      ),
      { seed: 1, numRuns: 12 },
    );
  });
  it("mirrors its moment when made for the right [oracle: symmetry]", () => {
    const given: HornOptions = { ...ram, lean: { outDeg: 25, backDeg: 10 } };
    const [left, right] = [makeHorn(given), makeHorn({ ...given, side: "right" })];
    expect(left.centreOfMass[0]).toBeGreaterThan(0);
    expect(left.centreOfMass[0]).toBeCloseTo(-right.centreOfMass[0], 9);
    expect(left.centreOfMass[1]).toBeCloseTo(right.centreOfMass[1], 9);
    expect(left.centreOfMass[2]).toBeCloseTo(right.centreOfMass[2], 9);
    expect(left.massG).toBeCloseTo(right.massG, 9);
  });
  it("fills its bulk with strips to 5 % of its volume [oracle: volume]", () => {
    const horn = makeHorn({ ...ram, bulk: { sheetMm: 8, kgPerM3: 30 } });
    const strips = horn.pattern.panels.filter((one) => one.id.startsWith("horn-bulk"));
    const sum = strips.reduce((all, one) => all + signedArea(panelOutline(one)) * 8, 0);
    const need = horn.needs.find((one) => one.layer === "bulk foam")!;
    expect(strips.length).toBe(4);
    expect(sum / need.amount).toBeCloseTo(1, 1);
  });
  it("skins with strips that sum to its surface [oracle: area]", () => {
    const horn = makeHorn({ ...ram, skin: { kind: "fabric", strips: 8 } });
    const sum = horn.pattern.panels
      .filter((one) => one.id.startsWith("horn-skin"))
      .reduce((all, one) => all + signedArea(panelOutline(one)), 0);
    expect(sum / horn.spiral!.area).toBeCloseTo(1, 1);
  });
  it("winds yarn as area over diameter [oracle: yarn cover of a frustum]", () => {
    const horn = makeHorn({
      cone: { length: 200, baseDiameter: 60, tipDiameter: 20 },
      skin: { kind: "yarn", diameterMm: 4 },
    });
    const slant = Math.hypot(200, 20);
    expect(horn.yarnLength).toBeCloseTo((Math.PI * 40 * slant) / 4, -1);
  });
  it("adds branches to length and mass, and says where it folds", () => {
    const stem = { length: 300, baseDiameter: 30 };
    const tine = { at: 0.4, length: 100, baseDiameter: 15, angleDeg: 50 };
    const [plain, antler] = [
      makeHorn({ cone: stem }),
      makeHorn({ cone: stem, branches: [tine, { ...tine, at: 0.7 }] }),
    ];
    expect(antler.coreLength).toBeCloseTo(plain.coreLength + 200, 3);
    expect(antler.massG).toBeGreaterThan(plain.massG);
    const tight = makeHorn({
      spiral: { whorl: 60, distance: 0.02, translation: 0, turns: 1, baseDiameter: 90 },
    });
    expect(tight.issues.every((one) => one.code === "forms/horn-folds")).toBe(true);
  });
  it("refuses both shapes at once, neither, and a base of nothing", () => {
    expect(codeOf(() => makeHorn({}))).toBe("forms/bad-part");
    expect(codeOf(() => makeHorn({ ...ram, cone: { length: 100, baseDiameter: 20 } }))).toBe(
      "forms/bad-part",
    );
    expect(codeOf(() => makeHorn({ cone: { length: 100, baseDiameter: Infinity } }))).toBe("forms/bad-part");
  });
});

describe("makeHeadband", () => {
  it("goes round head and wig [oracle: Steiner, L + 2 π d]", () => {
    const band = makeHeadband({ headGirth: 570, wigThickness: 8 });
    expect(band.girth).toBeCloseTo(570 + 16 * Math.PI, 9);
    expect(edge(band, "band", "bottom")).toBeCloseTo(band.girth, 9);
    expect(edge(makeHeadband({ headGirth: 570, strain: 0.25 }), "band", "top")).toBeCloseTo(456, 9);
  });
  it("balances a pair and sums its load [oracle: statics]", () => {
    const band = makeHeadband({
      headGirth: 570,
      carries: [
        {
          name: "horn",
          massG: 100,
          centre: [20, 60, -10],
          aroundDeg: 50,
          height: 20,
          baseDiameter: 50,
          pair: true,
        },
      ],
    });
    expect(band.load.massG).toBeCloseTo(200 + band.massG, 9);
    expect(band.load.centre[0]).toBeCloseTo(0, 9);
    expect(band.load.centre[1]).toBeCloseTo((200 * 80) / band.load.massG, 9);
    expect(band.fixings[0]!.along).toBeCloseTo(-band.fixings[1]!.along, 9);
  });
  it("sets a fixing at the ear a quarter of the way round [oracle: symmetry of the ellipse]", () => {
    const band = makeHeadband({
      headGirth: 600,
      carries: [{ name: "ear", massG: 20, centre: [0, 50, 0], aroundDeg: 90 }],
    });
    expect(band.fixings[0]!.along).toBeCloseTo(150, 6);
  });
  it("says where bases crowd, and refuses a head that is none", () => {
    const crowded = makeHeadband({
      headGirth: 570,
      carries: [{ name: "horn", massG: 50, centre: [0, 40, 0], aroundDeg: 10, baseDiameter: 60, pair: true }],
    });
    expect(crowded.issues.map((one) => one.code)).toEqual(["forms/band-crowded"]);
    expect(codeOf(() => makeHeadband({ headGirth: 50 }))).toBe("forms/bad-part");
  });
});

describe("every part", () => {
  it("gives a pattern without a fault, plain data, and the same each time [oracle: pattern checks]", () => {
    const makers: (() => MadePart)[] = [
      () =>
        makeTail({
          length: 300,
          circleFraction: 1 / 3,
          underside: { share: 0.35, fabric: "pale" },
          band: { girth: 800 },
        }),
      () => makeTail({ length: 60, style: "puff", gores: 5 }),
      () =>
        makeTail({
          length: 900,
          style: "curved",
          baseGirth: 350,
          bendDeg: [80, -40],
          fullest: { at: 0.3, girth: 420 },
        }),
      () => makeTail({ length: 1500, style: "curved", baseGirth: 400, bendDeg: [-120, 200] }),
      () => makeEars({ length: 220, width: 80, cupDepth: 20, fringe: 12, lean: 15 }),
      () => makeEars({ length: 50, width: 60, tip: "round" }),
      () => makeHorn(ram),
      () =>
        makeHorn({
          spiral: { whorl: 1.5, distance: 0.6, translation: -2, turns: 2.5, baseDiameter: 40 },
          skin: { kind: "fabric", strips: 4 },
        }),
      () =>
        makeHorn({
          cone: { length: 90, baseDiameter: 30, bendDeg: 60 },
          branches: [{ at: 0.5, length: 40, baseDiameter: 12, angleDeg: 40 }],
        }),
      () => makeHeadband({ headGirth: 570, overlap: 40 }),
      () => makeHeadband({ headGirth: 570, style: "over" }),
    ];
    for (const make of makers) {
      const part = make();
      expect(checkPattern(part.pattern).map((one) => `${part.name}: ${one.message}`)).toEqual([]);
      expect(structuredClone(part)).toEqual(part);
      expect(JSON.stringify(make())).toBe(JSON.stringify(part));
      expect(part.massRangeG[0]).toBeLessThanOrEqual(part.massG);
      expect(part.massRangeG[1]).toBeGreaterThanOrEqual(part.massG);
    }
  });
});
