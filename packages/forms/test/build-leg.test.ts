import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { meshTopology } from "@peltry/geometry";
import {
  buildLeg,
  createProfile,
  foamVolume,
  girthAt,
  HIND_LEG_PADS,
  thicknessMap,
  type BuildLegOptions,
  type LevelName,
} from "@peltry/forms";
import { brokenSteps, codeOf, sharpestFold, smallestAngles, wearer } from "./build-helpers";

const LEG_LEVELS: readonly (readonly [
  LevelName,
  "ankleNarrow" | "calf" | "knee" | "lowerThigh" | "midThigh" | "upperThigh",
])[] = [
  ["ankle", "ankleNarrow"],
  ["calf", "calf"],
  ["knee", "knee"],
  ["lowerThigh", "lowerThigh"],
  ["midThigh", "midThigh"],
  ["upperThigh", "upperThigh"],
];

describe("createProfile", () => {
  it("goes through its knots and stays between them [oracle: invariant, random knots]", () => {
    const knots = fc.array(fc.tuple(fc.integer({ min: 5, max: 100 }), fc.integer({ min: -200, max: 200 })), {
      minLength: 2,
      maxLength: 8,
    });
    fc.assert(
      fc.property(knots, (steps) => {
        let height = 0;
        const list = steps.map(([step, value]) => [(height += step), value] as const);
        const profile = createProfile(list);
        for (let i = 0; i < list.length; i++) {
          expect(profile(list[i][0])).toBeCloseTo(list[i][1], 9);
          if (i === 0) continue;
          const [low, high] = [Math.min(list[i - 1][1], list[i][1]), Math.max(list[i - 1][1], list[i][1])];
          for (let k = 1; k < 20; k++) {
            const value = profile(list[i - 1][0] + ((list[i][0] - list[i - 1][0]) * k) / 20);
            expect(value).toBeGreaterThan(low - 1e-7 - 1e-4 * (high - low));
            expect(value).toBeLessThan(high + 1e-7 + 1e-4 * (high - low));
          }
        }
      }),
      { seed: 1, numRuns: 100 },
    );
  });
  it("has no jump of curvature at a knot [oracle: finite differences]", () => {
    const profile = createProfile([
      [0, 50],
      [40, 90],
      [100, 110],
      [160, 70],
      [220, 60],
    ]);
    const bend = (x: number, h: number): number =>
      (profile(x + h) - 2 * profile(x) + profile(x - h)) / (h * h);
    for (const knot of [40, 100, 160]) {
      for (const h of [0.1, 0.01])
        expect(Math.abs(bend(knot + 2 * h, h) - bend(knot - 2 * h, h))).toBeLessThan(0.02 * h * 50 + 1e-3);
    }
  });
  it("refuses heights that do not rise", () => {
    expect(
      codeOf(() =>
        createProfile([
          [0, 1],
          [0, 2],
        ]),
      ),
    ).toBe("forms/bad-profile");
    expect(codeOf(() => createProfile([]))).toBe("forms/bad-profile");
    expect(codeOf(() => createProfile([[0, NaN]]))).toBe("forms/bad-profile");
  });
});

describe("buildLeg › girths", () => {
  it.each(["female", "male"] as const)(
    "of the bare %s leg are those of the tape within 1 mm [oracle: the measures given]",
    (sex) => {
      const measures = wearer(sex);
      for (const triangles of [2000, 12000]) {
        const leg = buildLeg({ measures, pads: [], triangles });
        for (const [level, key] of LEG_LEVELS) {
          const height =
            leg.levels.height[level]! + (level === "ankle" ? 0.01 : level === "upperThigh" ? -0.01 : 0);
          expect(Math.abs(girthAt(leg, height).tape - measures[key].value)).toBeLessThan(1);
          expect(Math.abs(girthAt(leg, height, "inner").tape - measures[key].value)).toBeLessThan(1);
        }
      }
    },
  );

  it("of leg and half hip are those of the tape within 1 mm [oracle: the measures given]", () => {
    const measures = wearer();
    const leg = buildLeg({ measures, pads: [], triangles: 20000, top: "waistNatural" });
    for (const [level, key] of [
      ...LEG_LEVELS,
      ["hip", "hip"],
      ["waistNavel", "waistNavel"],
      ["waistNatural", "waistNatural"],
    ] as const) {
      const height =
        leg.levels.height[level]! + (level === "ankle" ? 0.01 : level === "waistNatural" ? -0.01 : 0);
      expect(Math.abs(girthAt(leg, height).tape - measures[key].value)).toBeLessThan(1);
    }
  });

  it("come out at the targets once padded within 1 mm [oracle: the targets given]", () => {
    const targets = [
      { at: { from: "ankle", to: "calf", share: 0.4 } as const, girth: 470 },
      { at: "knee" as const, girth: 450 },
      { at: "midThigh" as const, girth: 740 },
    ];
    for (const pads of [[], HIND_LEG_PADS]) {
      const leg = buildLeg({ measures: wearer(), pads, targetGirths: targets, triangles: 6000 });
      const { ankle, calf, knee, midThigh } = leg.levels.height;
      const heights = [ankle! + 0.4 * (calf! - ankle!), knee!, midThigh!];
      heights.forEach((height, i) =>
        expect(Math.abs(girthAt(leg, height).tape - targets[i].girth)).toBeLessThan(1),
      );
      expect(leg.issues).toEqual([]);
    }
  });

  it("grow by 2π times an even layer [oracle: Steiner, 390 to 620 mm needs 36.6056 mm]", () => {
    const measures = { ...wearer("male"), calf: 390 };
    const leg = buildLeg({
      measures,
      pads: [],
      targetGirths: [{ at: "calf", girth: 620 }],
      triangles: 20000,
    });
    const thickness = thicknessMap(leg);
    const ring = leg.curves.find((curve) => curve.id === "level-calf")!;
    for (const v of ring.path) expect(Math.abs(thickness[v] - 36.6056369111)).toBeLessThan(0.2);
  });

  it("grow by the integral of an uneven layer over the turning of the body [oracle: Cauchy, L + ∫ t dθ]", () => {
    const pad = {
      name: "all round",
      at: "calf",
      angle: 180,
      height: 6,
      up: 100,
      down: 100,
      spread: 180,
    } as const;
    const leg = buildLeg({ measures: wearer(), pads: [pad], triangles: 20000 });
    const thickness = thicknessMap(leg);
    const { path } = leg.curves.find((curve) => curve.id === "level-calf")!;
    const direction = (i: number): number => {
      const [a, b] = [path[i % path.length], path[(i + 1) % path.length]];
      return Math.atan2(leg.inner![3 * b + 2] - leg.inner![3 * a + 2], leg.inner![3 * b] - leg.inner![3 * a]);
    };
    let sum = 0;
    path.forEach((_, i) => {
      const turn = direction(i + path.length - 1) - direction(i);
      sum += thickness[path[i]] * Math.atan2(Math.sin(turn), Math.cos(turn));
    });
    expect(sum).toBeGreaterThan(12);
    expect(Math.abs(girthAt(leg, leg.levels.height.calf!).along - (374 + sum))).toBeLessThan(0.5);
  });

  it("point out a target inside the body [oracle: definition]", () => {
    const leg = buildLeg({
      measures: wearer(),
      pads: [],
      targetGirths: [{ at: "calf", girth: 300 }],
      triangles: 2000,
    });
    expect(leg.issues.map((issue) => issue.code)).toEqual(["forms/target-under-body"]);
    expect(girthAt(leg, leg.levels.height.calf!).tape).toBeCloseTo(374, 0);
  });

  it("follow a side-view outline within 1 mm [oracle: the outline given]", () => {
    const measures = wearer();
    const back = [
      [-60, 110],
      [-150, 200],
      [-90, 330],
      [-75, 450],
      [-120, 700],
    ] as const;
    const leg = buildLeg({ measures, pads: [], silhouette: { back }, triangles: 20000 });
    const outline = createProfile([...back].map(([z, y]) => [y, z] as const));
    const p = leg.mesh.positions;
    const line = leg.curves.find((curve) => curve.id === "back-line")!.path;
    for (const v of line) {
      const y = p[3 * v + 1];
      if (y < 115 || y > 690) continue;
      let hindmost = Infinity;
      for (let k = 0; k < p.length; k += 3)
        if (Math.abs(p[k + 1] - y) < 1e-6) hindmost = Math.min(hindmost, p[k + 2]);
      expect(Math.abs(hindmost - outline(y))).toBeLessThan(1);
    }
  });
});

describe("buildLeg › mesh", () => {
  it.each([
    ["tube", {}],
    ["half hip", { top: "waistNatural" }],
    ["half hip to the navel", { top: "waistNavel" }],
    [
      "tube with a patch",
      { patches: [{ id: "haunch", at: "midThigh", angle: 115, up: 90, down: 130, spread: 60 }] },
    ],
    [
      "tube with a patch over the rim",
      { patches: [{ id: "haunch", at: "midThigh", angle: 115, up: 190, down: 130, spread: 60 }] },
    ],
  ] as [string, Partial<BuildLegOptions>][])(
    "of a %s is one annulus of well-shaped triangles [oracle: Euler number, angles]",
    (_name, more) => {
      for (const triangles of [2000, 9000]) {
        const leg = buildLeg({ measures: wearer(), triangles, ...more });
        const topology = meshTopology(leg.mesh);
        expect(topology.euler).toBe(0);
        expect(topology.componentCount).toBe(1);
        expect(topology.loops.length).toBe(2);
        expect(topology.nonManifoldEdges).toEqual([]);
        expect(topology.inconsistentEdges).toEqual([]);
        expect(topology.unusedVertices).toEqual([]);
        expect(smallestAngles(leg)[0]).toBeGreaterThan(15);
        expect(Math.abs(leg.mesh.triangles.length / 3 / triangles - 1)).toBeLessThan(0.25);
        expect(brokenSteps(leg)).toEqual([]);
        expect(leg.regionOf.length).toBe(leg.mesh.triangles.length / 3);
      }
    },
  );

  it("faces outward and is padded outward [oracle: divergence theorem]", () => {
    for (const top of ["upperThigh", "waistNatural"] as const) {
      const leg = buildLeg({ measures: wearer(), triangles: 4000, top });
      expect(foamVolume(leg).volume).toBeGreaterThan(1e6);
      const bare = buildLeg({ measures: wearer(), triangles: 4000, top, pads: [] });
      expect(foamVolume(bare).volume).toBeLessThan(1);
    }
  });

  it("is smooth: folds between triangles fall with their size [oracle: refinement of a C² surface]", () => {
    for (const top of ["upperThigh", "waistNatural"] as const) {
      const fold = (triangles: number): number =>
        sharpestFold(buildLeg({ measures: wearer(), triangles, top }));
      const [coarse, fine] = [fold(5000), fold(80000)];
      expect(fine).toBeLessThan(0.55 * coarse);
      expect(fine).toBeLessThan(12);
    }
  });

  it("takes 200,000 triangles [oracle: angles]", () => {
    const leg = buildLeg({ measures: wearer(), triangles: 200_000 });
    expect(leg.mesh.triangles.length / 3).toBeGreaterThan(170_000);
    expect(smallestAngles(leg)[0]).toBeGreaterThan(15);
  });

  it("opens along the plane of symmetry only [oracle: definition]", () => {
    const leg = buildLeg({ measures: wearer(), triangles: 6000, top: "waistNatural" });
    const p = leg.mesh.positions;
    expect(leg.symmetry).toEqual({ point: [0, 0, 0], normal: [1, 0, 0] });
    for (const id of ["rim-front-rise", "rim-back-rise"]) {
      const { path } = leg.curves.find((curve) => curve.id === id)!;
      for (const v of path) expect(Math.abs(p[3 * v])).toBeLessThan(1e-6);
      for (let i = 2; i < path.length; i++)
        expect(p[3 * path[i] + 1]).toBeGreaterThan(p[3 * path[i - 1] + 1]);
    }
    for (let k = 0; k < p.length; k += 3) expect(p[k]).toBeGreaterThan(-1e-6);
    const crotch = leg.landmarks.find((mark) => mark.id === "crotch")!.vertex;
    expect(p[3 * crotch + 1]).toBeCloseTo(795, 6);
  });

  it("is the same each time, and plain data [oracle: invariant]", () => {
    const options = { measures: wearer(), triangles: 3000 };
    const [a, b] = [buildLeg(options), buildLeg(options)];
    expect(a.mesh.positions).toEqual(b.mesh.positions);
    expect(structuredClone(a).curves).toEqual(a.curves);
  });
});

describe("buildLeg › posture", () => {
  it("lifts every level by the heel and brings the knee forward [oracle: two-bar geometry]", () => {
    const measures = wearer();
    const plain = buildLeg({ measures, pads: [], triangles: 3000 });
    const raised = buildLeg({ measures, pads: [], triangles: 3000, posture: { heelLift: 40 } });
    expect(raised.levels.height.knee! - plain.levels.height.knee!).toBeCloseTo(40, 9);
    const bent = buildLeg({ measures, pads: [], triangles: 3000, posture: { kneeBend: 20 } });
    // Ankle under the hip: heights follow from the cosine rule on shin and thigh.
    const { ankle, knee, crotch } = plain.levels.height;
    const [shin, thigh] = [knee! - ankle!, crotch! - knee!];
    const span = Math.sqrt(shin ** 2 + thigh ** 2 + 2 * shin * thigh * Math.cos((20 * Math.PI) / 180));
    expect(bent.levels.height.crotch! - bent.levels.height.ankle!).toBeCloseTo(span, 6);
    expect(bent.levels.forward.knee!).toBeGreaterThan(50);
    expect(Math.abs(girthAt(bent, bent.levels.height.calf!).tape - 374)).toBeLessThan(1);
  });
});

describe("buildLeg › patches", () => {
  const patch = {
    id: "haunch",
    name: "pale haunch",
    at: "midThigh",
    angle: 115,
    up: 90,
    down: 130,
    spread: 60,
  } as const;
  it("are bordered by mesh edges on a smooth closed line [oracle: invariant]", () => {
    const leg = buildLeg({ measures: wearer(), triangles: 9000, patches: [patch] });
    const border = leg.curves.filter((curve) => curve.kind === "border");
    expect(border.map((curve) => [curve.id, curve.closed])).toEqual([["border-haunch", true]]);
    const inside = leg.regionOf.reduce((sum, region) => sum + region, 0);
    expect(inside).toBeGreaterThan(200);
    const p = leg.mesh.positions;
    const { path } = border[0];
    // No corner in the border: it turns by less than 40 degrees from one edge to the next.
    path.forEach((v, i) => {
      const [u, w] = [path[(i + path.length - 1) % path.length], path[(i + 1) % path.length]];
      const a = [0, 1, 2].map((k) => p[3 * v + k] - p[3 * u + k]);
      const b = [0, 1, 2].map((k) => p[3 * w + k] - p[3 * v + k]);
      const cosine = (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / (Math.hypot(...a) * Math.hypot(...b));
      expect(cosine).toBeGreaterThan(Math.cos((40 * Math.PI) / 180));
    });
    // Levels and girths hardly notice the carving.
    const plain = buildLeg({ measures: wearer(), triangles: 9000 });
    expect(girthAt(leg, leg.levels.height.midThigh!).tape).toBeCloseTo(
      girthAt(plain, plain.levels.height.midThigh!).tape,
      0,
    );
  });
  it("may run over the rim, and two may lie apart", () => {
    const leg = buildLeg({
      measures: wearer(),
      triangles: 9000,
      patches: [
        { ...patch, up: 200 },
        { id: "hock", at: { level: "calf", offset: -90 }, angle: 180, up: 60, down: 60, spread: 50 },
      ],
    });
    expect(
      leg.curves.filter((curve) => curve.kind === "border").map((curve) => [curve.id, curve.closed]),
    ).toEqual([
      ["border-haunch", false],
      ["border-hock", true],
    ]);
    expect(new Set(leg.regionOf)).toEqual(new Set([0, 1, 2]));
    expect(brokenSteps(leg)).toEqual([]);
  });
});

describe("buildLeg › refuses", () => {
  const measures = wearer();
  it.each([
    ["a missing measure", { measures: { calf: 370 } }, "forms/missing-measure"],
    ["a measure that is no number", { measures: { ...measures, calf: NaN } }, "forms/bad-measure"],
    ["levels that cross", { measures: { ...measures, calfHeight: 600 } }, "forms/levels-cross"],
    ["a knee bent too far", { measures, posture: { kneeBend: 90 } }, "forms/bad-posture"],
    ["a pad of no reach", { measures, pads: [{ ...HIND_LEG_PADS[0], up: 0 }] }, "forms/bad-pad"],
    [
      "a level nobody knows",
      { measures, targetGirths: [{ at: "tail" as LevelName, girth: 500 }] },
      "forms/unknown-level",
    ],
    ["a level that is no number", { measures, bottom: NaN }, "forms/bad-level"],
    ["a lower rim above the thigh", { measures, bottom: 900 }, "forms/bad-level"],
    ["ten triangles", { measures, triangles: 10 }, "forms/bad-size"],
    [
      "a patch of no size",
      { measures, patches: [{ id: "a", at: "knee" as const, angle: 0, up: 0, down: 50, spread: 50 }] },
      "forms/bad-patch",
    ],
    ["work that was cancelled", { measures, signal: { aborted: true } }, "work/cancelled"],
  ] as [string, BuildLegOptions, string][])("%s", (_what, options, code) => {
    expect(codeOf(() => buildLeg(options))).toBe(code);
  });
});
