import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { meshTopology, pathLength, polylineLength } from "@peltry/geometry";
import { tubePressure, wornStrain } from "@peltry/measure";
import {
  applyCorrections,
  bodyLevels,
  buildBootCover,
  buildSleeve,
  foamSlabs,
  foamVolume,
  girthAt,
  LEVEL_NAMES,
  measureGirths,
  mirrorForm,
  padForm,
  thicknessMap,
  type BuildBootCoverOptions,
  type BuildSleeveOptions,
  type Correction,
  type FoamSlabOptions,
  type Form,
  type FormPad,
  type MeasureValues,
  type Posture,
} from "@peltry/forms";
import { brokenSteps } from "./build-helpers";
import { tube } from "./mesh-bytes";
import { codeOf, limb, near, numbersOf, odd, plainForm, sizes, within } from "./properties-helpers";

describe("bodyLevels", () => {
  /** Heights of an invented leg and hip, mm, each above the last. */
  const heights: fc.Arbitrary<MeasureValues> = fc
    .tuple(within(0.8, 1.3), fc.array(within(-8, 8), { minLength: 8, maxLength: 8 }))
    .map(([size, off]) => {
      const [
        ankleBoneHeight,
        calfHeight,
        kneeHeight,
        glutealFoldHeight,
        insideLeg,
        hipHeight,
        waistNavelHeight,
        waistNaturalHeight,
      ] = [70, 340, 490, 770, 810, 880, 1000, 1060].map((mm, i) => size * (mm + off[i]));
      return {
        ankleBoneHeight,
        calfHeight,
        kneeHeight,
        glutealFoldHeight,
        insideLeg,
        hipHeight,
        waistNavelHeight,
        waistNaturalHeight,
      };
    });

  it("bodyLevels › standing straight each level is above the last and nothing leans; a lifted heel lifts all by as much [oracle: invariant, shift]", () => {
    fc.assert(
      fc.property(heights, within(0, 200), (measures, heelLift) => {
        const plain = bodyLevels(measures, {}, true);
        const lifted = bodyLevels(measures, { heelLift }, true);
        const list = LEVEL_NAMES.map((name) => plain.height[name]!);
        expect(list).toEqual([...list].sort((a, b) => a - b));
        LEVEL_NAMES.forEach((name, i) => {
          expect(plain.forward[name]).toBe(0);
          expect(lifted.height[name]).toBeCloseTo(list[i] + heelLift, 9);
        });
        near(plain.height.crotch!, measures.insideLeg as number);
        const leg = bodyLevels(measures, {}, false);
        for (const [name, height] of Object.entries(leg.height))
          expect(height).toBe(plain.height[name as "knee"]);
        expect(Object.keys(leg.height).length).toBe(7);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("bodyLevels › a bent leg keeps the length of thigh and shin, and its ankle under its hip [oracle: rigid links]", () => {
    fc.assert(
      fc.property(heights, within(0, 40), within(0, 100), (measures, kneeBend, heelLift) => {
        const [straight, bent] = [{}, { kneeBend, heelLift }].map((posture) =>
          bodyLevels(measures, posture, true),
        );
        const link = ({ height, forward }: typeof bent, a: "ankle" | "knee", b: "knee" | "crotch"): number =>
          Math.hypot(height[b]! - height[a]!, forward[b]! - forward[a]!);
        near(link(bent, "ankle", "knee"), link(straight, "ankle", "knee"));
        near(link(bent, "knee", "crotch"), link(straight, "knee", "crotch"));
        expect(bent.forward.ankle).toBeCloseTo(0, 9);
        expect(bent.forward.crotch).toBeCloseTo(0, 9);
        expect(bent.height.crotch! - heelLift).toBeLessThanOrEqual(straight.height.crotch! + 1e-9);
        // Above the leg nothing bends.
        near(
          bent.height.waistNatural! - bent.height.crotch!,
          straight.height.waistNatural! - straight.height.crotch!,
        );
        // The bend itself, from the two leans.
        const lean = (a: "ankle" | "knee", b: "knee" | "crotch"): number =>
          Math.atan2(bent.forward[b]! - bent.forward[a]!, bent.height[b]! - bent.height[a]!);
        expect(((lean("ankle", "knee") - lean("knee", "crotch")) * 180) / Math.PI).toBeCloseTo(kneeBend, 6);
      }),
      { seed: 2, numRuns: 100 },
    );
  });

  it("bodyLevels › whatever the measures and posture, levels in order or one typed error [oracle: hostile input]", () => {
    const part = fc.constantFrom("kneeHeight", "insideLeg", "calfHeight", "hipHeight", "ankleBoneHeight");
    fc.assert(
      fc.property(heights, part, odd, odd, fc.boolean(), (measures, key, value, bend, wrong) => {
        const given = { ...measures, [key]: value };
        const posture = wrong ? { kneeBend: bend } : {};
        codeOf(() => {
          const { height } = bodyLevels(given as MeasureValues, posture as Posture, true);
          expect(Object.values(height).every(Number.isFinite)).toBe(true);
        });
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

describe("padForm", () => {
  const form = limb(80, 400, 24, 20);
  const pad: fc.Arbitrary<FormPad> = fc.record({
    name: fc.constant("lump"),
    at: fc.tuple(within(-100, 100), within(0, 400), within(-100, 100)),
    height: within(0, 80),
    reach: within(5, 300),
  });

  it("padForm › a lone pad is as thick as told in its middle, nothing beyond its reach, and the old surface lies inside [oracle: closed form]", () => {
    fc.assert(
      fc.property(
        fc.nat(form.mesh.positions.length / 3 - 1),
        within(0, 80),
        within(5, 300),
        (vertex, height, reach) => {
          const before = numbersOf(form.mesh);
          const p = form.mesh.positions;
          const middle = [...p.slice(3 * vertex, 3 * vertex + 3)] as [number, number, number];
          const padded = padForm(form, [{ name: "lump", at: middle, height, reach }]);
          const thickness = thicknessMap(padded);
          expect(thickness[vertex]).toBeCloseTo(height, 9);
          expect([...padded.inner!]).toEqual([...p]);
          thickness.forEach((mm, v) => {
            const away = Math.hypot(...middle.map((x, k) => x - p[3 * v + k]));
            expect(mm).toBeLessThanOrEqual(height + 1e-9);
            if (away >= reach) expect(mm).toBe(0);
          });
          expect(numbersOf(form.mesh)).toEqual(before);
        },
      ),
      { seed: 1, numRuns: 10 },
    );
  });

  it("padForm › pads in any order add up, and none changes nothing [oracle: additivity, permutation]", () => {
    fc.assert(
      fc.property(pad, pad, (a, b) => {
        const both = padForm(form, [a, b]);
        expect(
          thicknessMap(padForm(form, [b, a])).every((mm, v) => Math.abs(mm - thicknessMap(both)[v]) < 1e-9),
        ).toBe(true);
        const [one, other, sum] = [padForm(form, [a]), padForm(form, [b]), both].map(thicknessMap);
        sum.forEach((mm, v) => expect(mm).toBeCloseTo(one[v] + other[v], 9));
        expect(numbersOf(padForm(form, []).mesh)).toEqual(numbersOf(form.mesh));
      }),
      { seed: 2, numRuns: 6 },
    );
  });

  it("padForm › whatever the pads, a form of finite points or one typed error [oracle: hostile input]", () => {
    const some = fc.oneof(
      odd,
      fc.record({
        name: odd,
        at: fc.oneof(odd, fc.tuple(odd, within(0, 9), within(0, 9))),
        height: fc.oneof(odd, within(0, 9)),
        reach: fc.oneof(odd, within(5, 99)),
      }),
    );
    fc.assert(
      fc.property(fc.oneof(odd, fc.array(some, { maxLength: 3 })), (pads) => {
        codeOf(() =>
          expect(padForm(form, pads as FormPad[]).mesh.positions.every(Number.isFinite)).toBe(true),
        );
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

/** A round limb under an even layer of padding. */
const padded = (radius: number, thickness: number, height: number): Form => ({
  ...plainForm(tube(radius + thickness, height, 36, 18)),
  inner: tube(radius, height, 36, 18).positions,
});

describe("foamSlabs", () => {
  it("foamSlabs › the sheets hold the foam that lies between, weigh it by its density, and go once round the limb [oracle: volume of a ring, brute force]", () => {
    fc.assert(
      fc.property(
        within(60, 120),
        within(8, 45),
        within(300, 500),
        within(10, 25),
        within(15, 60),
        (radius, thickness, height, sheetThickness, density) => {
          const form = padded(radius, thickness, height);
          const { slabs, layers, straps } = foamSlabs(form, { sheetThickness, density });
          const volume = slabs.reduce((sum, slab) => sum + slab.volume, 0);
          // A sheet that is sanded thinner is laid out as wide as it was before.
          near(volume, foamVolume(form).volume, 0.01 + sheetThickness / (2 * radius));
          for (const slab of slabs) {
            const thick = Math.min(sheetThickness, thickness - slab.layer * sheetThickness);
            near(slab.volume, slab.area * thick, 0.02);
          }
          for (const slab of slabs) near(slab.mass, (slab.volume * density) / 1e6);
          expect(layers).toBe(Math.ceil((thickness - 3) / sheetThickness - 1e-9));
          expect(Math.max(...slabs.map(({ layer }) => layer)) + 1).toBe(layers);
          // Each layer is a sleeve as long as the girth at its middle.
          for (const slab of slabs) {
            const middle = radius + Math.min(thickness, (slab.layer + 0.5) * sheetThickness);
            near(slab.area, 2 * Math.PI * middle * height, 0.03);
          }
          for (const { girth, cutLength } of straps) {
            near(girth, girthAt(form, height / 2, "inner").tape, 1e-6);
            near(cutLength * 1.1, girth);
          }
        },
      ),
      { seed: 1, numRuns: 2 },
    );
  });

  it("foamSlabs › options that are none are one typed error [oracle: hostile input]", () => {
    const form = padded(80, 20, 300);
    const isDensity = (value: unknown) => typeof value === "number" && value > 0 && value < 3000;
    fc.assert(
      fc.property(fc.constantFrom("sheetThickness", "density", "least"), odd, (key, value) => {
        const code = codeOf(() => {
          const options = { sheetThickness: 25, [key]: value } as FoamSlabOptions;
          for (const { volume, mass } of foamSlabs(form, options).slabs)
            expect(volume > 0 && mass >= 0).toBe(true);
        });
        const given = value !== undefined && value !== null;
        if (key === "density") expect(code).toBe(!given || isDensity(value) ? "none" : "forms/bad-density");
        if (key === "sheetThickness" && typeof value !== "number") expect(code).toBe("forms/bad-sheet");
        if (key === "least" && given && typeof value !== "number") expect(code).toBe("forms/bad-part");
      }),
      { seed: 2, numRuns: 24 },
    );
    expect(codeOf(() => foamSlabs(limb(80, 300), { sheetThickness: 10 }))).toBe("forms/no-inner");
  });
});

describe("buildSleeve", () => {
  it("buildSleeve › is worn at the strain it was cut for at every level, with the pressure of its tension, and its flat piece is as wide [oracle: inverse, Laplace]", () => {
    fc.assert(
      fc.property(
        within(50, 150),
        within(200, 500),
        within(0, 0.8),
        within(0.1, 2),
        within(0.5, 2),
        (radius, height, strain, tension, k) => {
          const over = limb(radius, height, 40, 10);
          const sleeve = buildSleeve({ over, strain, stretch: 0.5, tension, triangles: 600 });
          for (const { girth, cutGirth, pressure, height: y } of sleeve.levels) {
            expect(wornStrain(cutGirth, girth)).toBeCloseTo(strain, 9);
            near(girth, girthAt(over, y).tape, 1e-9);
            near(pressure!, tubePressure(tension, girth).mmHg, 1e-9);
          }
          const [bottom, , top] = sleeve.panel.edges;
          near(polylineLength(bottom.points), sleeve.levels[0].cutGirth);
          near(polylineLength(top.points), sleeve.levels.at(-1)!.cutGirth);
          const [loop] = measureGirths(sleeve.mesh, height / 2);
          near(loop.contourMm, sleeve.levels[0].cutGirth, 1e-3);
          expect(sleeve.issues.some(({ code }) => code === "forms/sleeve-overstretched")).toBe(strain > 0.5);
          const large = buildSleeve({
            over: limb(k * radius, k * height, 40, 10),
            strain,
            from: k,
            to: k * (height - 1),
            triangles: 600,
          });
          near(large.levels[0].cutGirth, k * sleeve.levels[0].cutGirth, 1e-9);
          expect(brokenSteps(sleeve)).toEqual([]);
        },
      ),
      { seed: 1, numRuns: 8 },
    );
  });

  it("buildSleeve › whatever the options, a sleeve or one typed error [oracle: hostile input]", () => {
    const over = limb(80, 300);
    const options = fc.record(
      {
        from: odd,
        to: odd,
        strain: odd,
        stretch: odd,
        tension: odd,
        heelGirth: odd,
        triangles: fc.oneof(odd, fc.constant(500)),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(options, (given) => {
        codeOf(() => {
          const { mesh, levels } = buildSleeve({ over, ...given } as BuildSleeveOptions);
          expect(mesh.positions.every(Number.isFinite) && levels.every(({ cutGirth }) => cutGirth > 0)).toBe(
            true,
          );
        });
      }),
      { seed: 2, numRuns: 120 },
    );
  });
});

describe("applyCorrections", () => {
  const form: Form = {
    ...limb(80, 600, 24, 40),
    curves: [
      {
        id: "front",
        name: "Front",
        kind: "drawn",
        path: Array.from({ length: 41 }, (_, row) => 24 * row),
        closed: false,
      },
    ],
  };
  const height = within(150, 450);

  it("applyCorrections › a girth grows by what was asked, and taken back it is what it was; the form given stays [oracle: inverse]", () => {
    fc.assert(
      fc.property(height, within(-150, 250), within(40, 140), (at, by, reach) => {
        const before = numbersOf(form.mesh);
        const done = applyCorrections(form, [{ kind: "girth", at, by, reach }]);
        near(girthAt(done.form, at).tape, girthAt(form, at).tape + by, 1e-6);
        const [{ before: from, after }] = done.reports;
        expect(after - from).toBeCloseTo(by, 4);
        const back = applyCorrections(done.form, [{ kind: "girth", at, by: -by, reach }]);
        near(girthAt(back.form, at).tape, girthAt(form, at).tape, 1e-6);
        // Beyond its reach nothing moves.
        form.mesh.positions.forEach((x, k) => {
          if (Math.abs(form.mesh.positions[k - (k % 3) + 1] - at) >= reach)
            expect(done.form.mesh.positions[k]).toBe(x);
        });
        expect(numbersOf(form.mesh)).toEqual(before);
      }),
      { seed: 1, numRuns: 8 },
    );
  });

  it("applyCorrections › a length grows by what was asked, all round or along its line; none at all changes nothing [oracle: measured before and after]", () => {
    fc.assert(
      fc.property(height, within(-40, 90), fc.boolean(), (at, by, oneSided) => {
        const { form: out } = applyCorrections(form, [
          { kind: "length", at, by, reach: 200, ...(oneSided ? { along: "front" } : {}) },
        ]);
        const along = (f: Form): number => pathLength(f.mesh.positions, f.curves[0].path);
        expect(along(out) - along(form)).toBeCloseTo(by, 3);
        const ys = (f: Form): number[] => [...f.mesh.positions].filter((_, k) => k % 3 === 1);
        expect(Math.max(...ys(out)) - Math.min(...ys(out))).toBeCloseTo(600 + by, 3);
        expect(numbersOf(applyCorrections(form, []).form.mesh)).toEqual(numbersOf(form.mesh));
      }),
      { seed: 2, numRuns: 20 },
    );
  });

  it("applyCorrections › two that do not reach each other commute [oracle: permutation]", () => {
    fc.assert(
      fc.property(within(-100, 100), within(-100, 100), (low, high) => {
        const list: Correction[] = [
          { kind: "girth", at: 150, by: low, reach: 100 },
          { kind: "girth", at: 450, by: high, reach: 100 },
        ];
        const [one, other] = [list, [...list].reverse()].map((order) => applyCorrections(form, order).form);
        one.mesh.positions.forEach((x, k) => expect(other.mesh.positions[k]).toBeCloseTo(x, 9));
      }),
      { seed: 3, numRuns: 5 },
    );
  });

  it("applyCorrections › a gusset is as wide as asked, its sides as long as the slit it is let into; one that cannot be is refused [oracle: two half circles are π/2 times as long as wide]", () => {
    fc.assert(
      fc.property(within(50, 250), within(60, 300), within(5, 200), (from, span, width) => {
        const work = () =>
          applyCorrections(form, [{ kind: "gusset", along: "front", from, to: from + span, width }]);
        // Rows of the mesh lie 15 mm apart.
        const length = 15 * (Math.floor((from + span) / 15) - Math.ceil(from / 15));
        if (length < (Math.PI / 2) * width) {
          expect(codeOf(work)).toBe("forms/bad-correction");
          return;
        }
        const { gussets, slits, form: out } = work();
        const slit = out.curves.find(({ id }) => id === slits[0].curve)!;
        near(pathLength(out.mesh.positions, slit.path), length);
        for (const { points } of gussets[0].edges) near(polylineLength(points), length, 5e-3);
        const xs = gussets[0].edges.flatMap(({ points }) => points.map(([x]) => x));
        near(Math.max(...xs) - Math.min(...xs), width, 1e-9);
        expect(brokenSteps(out)).toEqual([]);
      }),
      { seed: 4, numRuns: 40 },
    );
  });

  it("applyCorrections › whatever is asked, a form of finite points or one typed error [oracle: hostile input]", () => {
    const some = fc.oneof(
      odd,
      fc.record(
        {
          kind: fc.constantFrom("girth", "length", "gusset", "x"),
          at: fc.oneof(odd, height, fc.record({ level: odd })),
          by: fc.oneof(odd, within(-600, 600)),
          reach: fc.oneof(odd, within(20, 300)),
          along: fc.oneof(odd, fc.constant("front")),
          from: odd,
          to: odd,
          width: odd,
        },
        { requiredKeys: ["kind", "at", "by"] },
      ),
    );
    fc.assert(
      fc.property(fc.oneof(odd, fc.array(some, { maxLength: 2 })), (list) => {
        codeOf(() => {
          const { form: out } = applyCorrections(form, list as Correction[]);
          expect(out.mesh.positions.every(Number.isFinite)).toBe(true);
        });
      }),
      { seed: 5, numRuns: 200 },
    );
  });
});

describe("buildBootCover", () => {
  const measures: fc.Arbitrary<MeasureValues> = within(0.85, 1.15).map((k) => ({
    footLength: 255 * k,
    footBreadth: 98 * k,
    ankleNarrow: 220 * k,
    heelAnkle: 330 * k,
    ballGirth: 245 * k,
  }));
  const style = fc.constantFrom("plain", "paw", "hoof");
  const build = (options: BuildBootCoverOptions) => buildBootCover({ triangles: 900, ...options });

  it("buildBootCover › the right cover is the left one turned over; its rim has the girth asked for, its curves are mesh edges [oracle: symmetry, tape]", () => {
    fc.assert(
      fc.property(measures, style, within(380, 460), within(0, 60), (given, look, girth, heelHeight) => {
        const options = { measures: given, style: look, top: { girth, height: 200 }, heelHeight } as const;
        const [left, right] = [build(options), build({ ...options, side: "right" })];
        expect(numbersOf(mirrorForm(right).mesh)).toEqual(numbersOf(left.mesh));
        expect([right.entry, right.ball]).toEqual([left.entry, left.ball]);
        expect(brokenSteps(left)).toEqual([]);
        expect(meshTopology(left.mesh)).toMatchObject({ nonManifoldEdges: [], inconsistentEdges: [] });
        const rim = left.curves.find(({ id }) => id === "rim-ankle")!;
        near(pathLength(left.mesh.positions, [...rim.path, rim.path[0]]), girth, 0.01);
        expect(sizes(left.mesh).area).toBeGreaterThan(0);
        expect(left.mesh.positions.every((x, k) => k % 3 !== 1 || x > 0)).toBe(true);
      }),
      { seed: 1, numRuns: 6 },
    );
  });

  it("buildBootCover › a longer vent or a softer rim never makes it harder to get in [oracle: monotony]", () => {
    fc.assert(
      fc.property(measures, within(0, 0.6), within(0, 60), within(0, 60), (given, stretch, vent, more) => {
        const plain = build({ measures: given, entry: { stretch, vent } });
        const longer = build({ measures: given, entry: { stretch, vent: vent + more } });
        const softer = build({ measures: given, entry: { stretch: stretch + more / 100, vent } });
        for (const easier of [longer, softer])
          expect(easier.entry.ventLength).toBeLessThanOrEqual(plain.entry.ventLength);
        // A vent as long as what is missing is enough.
        const mended = build({
          measures: given,
          entry: { stretch, vent: vent + plain.entry.ventLength * (1 + 1e-12) },
        });
        expect(mended.entry.fits).toBe(true);
        expect(numbersOf(longer.mesh)).toEqual(numbersOf(plain.mesh));
      }),
      { seed: 2, numRuns: 5 },
    );
  });

  it("buildBootCover › one option that is none is one typed error, or a cover of finite points [oracle: hostile input]", () => {
    const key = fc.constantFrom(
      "measures",
      "outline",
      "shoe",
      "heelHeight",
      "top",
      "style",
      "wallHeight",
      "toes",
      "cleft",
      "clearance",
      "entry",
      "triangles",
      "side",
      "seams",
    );
    fc.assert(
      fc.property(
        measures,
        key,
        fc.oneof(
          odd,
          fc.record({ girth: odd, height: odd, count: odd, depth: odd, stretch: odd, vent: odd }),
        ),
        (given, what, value) => {
          codeOf(() => {
            const cover = build({ measures: given, style: "paw", [what]: value });
            expect(cover.mesh.positions.every(Number.isFinite)).toBe(true);
          });
        },
      ),
      { seed: 3, numRuns: 70 },
    );
  });
});
