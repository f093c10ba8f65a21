import { describe, expect, it } from "vitest";
import fc from "fast-check";
import {
  baseMoment,
  checkWear,
  headMoment,
  isPeltryError,
  type Finding,
  type HeadLoad,
  type WearCase,
} from "@peltry/wear";

/** The number before a unit in a mend, as a maker reads it. */
function told({ fix }: Finding, pattern: RegExp): number {
  const found = pattern.exec(fix ?? "");
  if (!found) throw new Error(`no ${String(pattern)} in “${fix}”`);
  return Number(found[1]);
}

const random = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const one = (
  costume: WearCase,
  subject: Finding["subject"],
  unit?: string,
  what?: RegExp,
): Finding | undefined =>
  checkWear(costume).find(
    (each) =>
      each.subject === subject &&
      (unit === undefined || each.unit === unit) &&
      (what === undefined || what.test(each.what)),
  );

/** One check: a case for each size, where its finding is, and the case after doing what the finding says. */
interface Walk {
  readonly name: string;
  readonly sizes: fc.Arbitrary<number>;
  readonly costume: (size: number) => WearCase;
  readonly finding: readonly [Finding["subject"], string?, RegExp?];
  readonly mended: (size: number, finding: Finding) => WearCase;
}

const horns = (massG: number, forward = 90): readonly HeadLoad[] => [
  { name: "horns", massG, fromPivot: [0, 0, forward] },
];
const band = (massG: number, widthMm: number): WearCase => ({
  head: { loads: [{ name: "horns", massG, centre: [0, 260, 40] }], band: { girthMm: 600, widthMm } },
});
const base = (massG: number, diameterMm: number): WearCase => ({
  head: { loads: horns(100), bases: [{ name: "horn", massG, centre: [20, 110, 10], diameterMm }] },
});
const heat = (wbgtC: number): WearCase => ({ heat: { wbgtC, cover: "legs", activity: "moderate" } });
const press = (tension: number, bandWidth: number): WearCase => ({
  pressure: [{ tension, girth: 300, bandWidth }],
});
const cord = (freeEndMm: number, loopMm: number): WearCase => ({
  children: { age: 9, cords: [{ name: "tie", zone: "waist", freeEndMm, loopMm }], smallParts: [] },
});
const pose = (kneeFront: number, kneeGirth: number): WearCase => ({
  movement: {
    kneeGirth,
    hip: 1000,
    hipBreadth: 350,
    stretch: { along: 0.1, across: 0.5 },
    ease: { kneeFront },
    covers: ["knee front"],
  },
});

const WALKS: readonly Walk[] = [
  {
    name: "a lighter load ends the moment's caution or stop",
    sizes: random(20, 3000),
    costume: (mass) => ({ head: { loads: horns(mass) } }),
    finding: ["head load", "N cm", /upright/],
    mended: (mass, finding) => ({
      head: { loads: horns(mass - told(finding, /(?:.*under 80|under 80).*?lighter by (\d+) g/)) },
    }),
  },
  {
    name: "a nearer load ends the moment's caution or stop",
    sizes: random(20, 400),
    costume: (forward) => ({ head: { loads: horns(900, forward) } }),
    finding: ["head load", "N cm", /upright/],
    mended: (forward, finding) => ({
      head: { loads: horns(900, forward - told(finding, /under 80.*?centre (\d+) mm nearer/)) },
    }),
  },
  {
    name: "less mass ends “heavy for a headband”",
    sizes: random(100, 2000),
    costume: (mass) => ({ head: { loads: horns(mass, 1) } }),
    finding: ["head load", "g"],
    mended: (mass, finding) => ({ head: { loads: horns(mass - told(finding, /Lighter by (\d+) g/), 1) } }),
  },
  {
    name: "a load nearer the middle ends the pull to one side",
    sizes: random(-200, 200),
    costume: (side) => ({ head: { loads: [{ name: "ear", massG: 400, fromPivot: [side, 0, 0] }] } }),
    finding: ["balance"],
    mended: (side, finding) => ({
      head: {
        loads: [
          {
            name: "ear",
            massG: 400,
            fromPivot: [Math.sign(side) * (Math.abs(side) - told(finding, /by (\d+) mm toward/)), 0, 0],
          },
        ],
      },
    }),
  },
  {
    name: "a wider band does not slide",
    sizes: random(1, 60),
    costume: (width) => band(450, width),
    finding: ["band", "kPa", /band (slides|has)|friction/],
    mended: (width, finding) => band(450, width + told(finding, /band (\d+) mm wider/)),
  },
  {
    name: "less mass lets the band stay",
    sizes: random(100, 2000),
    costume: (mass) => band(mass, 20),
    finding: ["band", "kPa", /friction/],
    mended: (mass, finding) => band(mass * (1 - told(finding, /(\d+) % less mass/) / 100), 20),
  },
  {
    name: "a wider base does not tip",
    sizes: random(10, 80),
    costume: (across) => base(250, across),
    finding: ["band", "kPa", /horn/],
    mended: (across, finding) => base(250, across + told(finding, /base (\d+) mm wider/)),
  },
  {
    name: "a lighter horn does not tip on its base",
    sizes: random(10, 800),
    costume: (mass) => base(mass, 50),
    finding: ["band", "kPa", /horn/],
    mended: (mass, finding) => base(mass * (1 - told(finding, /(\d+) % less mass/) / 100), 50),
  },
  {
    name: "a band of enough width does not cut in",
    sizes: random(1, 30),
    costume: (width) => band(50, width),
    finding: ["band", "mm"],
    mended: (width, finding) => band(50, width + told(finding, /Make it (\d+) mm/)),
  },
  {
    name: "a bow bent open clamps less",
    sizes: random(0, 60),
    costume: (clampN) => ({ head: { loads: horns(90), band: { girthMm: 600, widthMm: 30, clampN } } }),
    finding: ["band", "N"],
    mended: (clampN, finding) => ({
      head: {
        loads: horns(90),
        band: { girthMm: 600, widthMm: 30, clampN: clampN - told(finding, /squeezes (\d+) N less/) },
      },
    }),
  },
  {
    name: "cooler air lets half the hour be worked",
    sizes: random(10, 45),
    costume: heat,
    finding: ["heat"],
    mended: (wbgtC, finding) => heat(wbgtC - told(finding, /^([\d.]+) °C cooler/)),
  },
  {
    name: "a lower window shows the floor",
    sizes: random(5, 70),
    costume: (lowestDeg) => ({ sight: { eyeHeightMm: 1620, lowestDeg } }),
    finding: ["sight", "mm"],
    mended: (lowestDeg, finding) => ({
      sight: { eyeHeightMm: 1620, lowestDeg: lowestDeg + told(finding, /\((\d+)° more/) },
    }),
  },
  {
    name: "a wider window shows the sides",
    sizes: random(20, 200),
    costume: (widthDeg) => ({ sight: { eyeHeightMm: 1620, lowestDeg: 70, widthDeg } }),
    finding: ["sight", "°"],
    mended: (widthDeg, finding) => ({
      sight: { eyeHeightMm: 1620, lowestDeg: 70, widthDeg: widthDeg + told(finding, /by (\d+)°/) },
    }),
  },
  ...(
    [
      ["heelHeightMm", /heel stands/, /Lower it by (\d+) mm/, -1, 0, 200],
      ["heelWidthMm", /base under/, /base (\d+) mm wider/, 1, 5, 90],
      ["overhangMm", /reach/, /overhang by (\d+) mm/, -1, 0, 120],
      ["footLengthMm", /stair/i, /Shorten it by (\d+) mm/, -1, 150, 500],
      ["friction", /friction/, /with ([\d.]+) more/, 1, 0.05, 0.9],
    ] as const
  ).map(([key, what, pattern, sign, low, high]): Walk => ({
    name: `footing: ${key}`,
    sizes: random(low, high),
    costume: (size) => ({ footing: { [key]: size } }),
    finding: ["footing", undefined, what],
    mended: (size, finding) => ({ footing: { [key]: size + sign * told(finding, pattern) } }),
  })),
  {
    name: "more ease lets the knee bend",
    sizes: random(250, 900),
    costume: (girth) => pose(0, girth),
    finding: ["movement"],
    mended: (girth, finding) => pose(told(finding, /^(\d+) mm more ease/), girth),
  },
  ...[15, 40].map((width): Walk => ({
    name: `less tension lets a band of ${width} mm be worn all day`,
    sizes: random(0.1, 4),
    costume: (tension) => press(tension, width),
    finding: ["pressure"],
    mended: (tension, finding) => press(tension * (1 - told(finding, /^(\d+) % less/) / 100), width),
  })),
  {
    name: "shorter cords and loops hang within the rule",
    sizes: random(0, 400),
    costume: (size) => cord(size, size / 2),
    finding: ["children"],
    mended: (size, { fix = "" }) =>
      cord(
        size - Number(/Free end (\d+) mm/.exec(fix)?.[1] ?? 0),
        size / 2 - Number(/Loop (\d+) mm/.exec(fix)?.[1] ?? 0),
      ),
  },
  {
    name: "a longer part does not fit the cylinder",
    sizes: random(1, 60),
    costume: (size) => ({
      children: { age: 2, cords: [], smallParts: [{ name: "eye", sizeMm: [10, 12, size] }] },
    }),
    finding: ["children"],
    mended: (size, finding) => ({
      children: {
        age: 2,
        cords: [],
        smallParts: [
          { name: "eye", sizeMm: [10, 12, Math.max(12, size) + told(finding, /^(\d+) mm longer/)] },
        ],
      },
    }),
  },
  {
    name: "a cloth that spreads flame slower needs no mark",
    sizes: random(0, 80),
    costume: (spreadMmPerS) => ({ flame: { spreadMmPerS } }),
    finding: ["flame", "mm/s"],
    mended: (spread, finding) => ({
      flame: { spreadMmPerS: spread - told(finding, /flame (\d+) mm\/s slower/) },
    }),
  },
  {
    name: "a raised cloth that takes longer reaches class 1",
    sizes: random(0.5, 10),
    costume: (burnTimeS) => ({ flame: { burnTimeS } }),
    finding: ["flame", "s"],
    mended: (time, finding) => ({
      flame: { burnTimeS: time + told(finding, /([\d.]+) s longer reaches class 1/) },
    }),
  },
  {
    name: "a plain cloth that takes longer leaves class 3",
    sizes: random(0.5, 10),
    costume: (burnTimeS) => ({ flame: { burnTimeS, surface: "plain" } }),
    finding: ["flame", "s"],
    mended: (time, finding) => ({
      flame: { burnTimeS: time + told(finding, /([\d.]+) s longer leaves class 3/), surface: "plain" },
    }),
  },
  {
    name: "a cooler part is below the limit for touch",
    sizes: random(10, 200),
    costume: (surfaceC) => ({ flame: { hotParts: [{ name: "fan", surfaceC }] } }),
    finding: ["flame", "°C"],
    mended: (surfaceC, finding) => ({
      flame: { hotParts: [{ name: "fan", surfaceC: surfaceC - told(finding, /^(\d+) °C cooler/) }] },
    }),
  },
  {
    name: "closings moved to the front",
    sizes: fc.integer({ min: 0, max: 9 }),
    costume: (closuresAtBack) => ({ dressing: { closuresAtBack, escapeSeconds: 20, onMinutes: 5 } }),
    finding: ["dressing"],
    mended: (count, finding) => ({
      dressing: { closuresAtBack: count - told(finding, /Move (\d+)/), escapeSeconds: 20, onMinutes: 5 },
    }),
  },
  {
    name: "quicker out of it",
    sizes: random(0, 400),
    costume: (escapeSeconds) => ({ dressing: { escapeSeconds } }),
    finding: ["dressing", "s"],
    mended: (time, finding) => ({ dressing: { escapeSeconds: time - told(finding, /^(\d+) s quicker/) } }),
  },
  {
    name: "quicker into it",
    sizes: random(0, 90),
    costume: (onMinutes) => ({ dressing: { onMinutes } }),
    finding: ["dressing", "min"],
    mended: (time, finding) => ({ dressing: { onMinutes: time - told(finding, /^(\d+) min less/) } }),
  },
  {
    name: "a shorter toilet break",
    sizes: random(0, 60),
    costume: (minutes) => ({ toilet: { minutes } }),
    finding: ["toilet"],
    mended: (time, finding) => ({ toilet: { minutes: time - told(finding, /^(\d+) min less/) } }),
  },
];

describe("what a finding says would be enough", () => {
  for (const walk of WALKS)
    it(`${walk.name} [property: the check run again after the change]`, () => {
      let mended = 0;
      fc.assert(
        fc.property(walk.sizes, (size) => {
          const before = one(walk.costume(size), ...walk.finding);
          expect(before).toBeDefined();
          expect(before!.source.length).toBeGreaterThan(3);
          if (before!.level === "note") return;
          expect(before!.figure).toBeDefined();
          expect(before!.limit).toBeDefined();
          mended++;
          expect(one(walk.mended(size, before!), ...walk.finding)?.level ?? "note").toBe("note");
        }),
        { seed: 9, numRuns: 60 },
      );
      expect(mended).toBeGreaterThan(0);
    });
  it("lighter activity is only promised where the table then allows it [property]", () => {
    fc.assert(
      fc.property(random(5, 40), fc.constantFrom("moderate", "heavy", "very heavy"), (wbgtC, activity) => {
        const found = one({ heat: { wbgtC, cover: "legs", activity: activity as "heavy" } }, "heat")!;
        const way = /(light|moderate|heavy) activity would/i.exec(found.fix!)?.[1]!.toLowerCase();
        if (way)
          expect(one({ heat: { wbgtC, cover: "legs", activity: way as "heavy" } }, "heat")!.level).toBe(
            "note",
          );
        if (activity === "very heavy") expect(found.fix).toMatch(/never lets more than half/);
      }),
      { seed: 3, numRuns: 80 },
    );
  });
});

describe("bases on the band", () => {
  it("is 7.35 N cm for 150 g, 100 mm over its base [oracle: m g h sin 30°]", () => {
    expect(baseMoment({ name: "horn", massG: 150, centre: [0, 100, 0] })).toBeCloseTo(7.3549875, 7);
  });
  it("needs 4 M / π r³ to stay flat [oracle: kern of a circle, d/8]", () => {
    // 7.355 N cm on a base of 60 mm: 3.468 kPa.
    const found = one(
      {
        head: {
          loads: horns(10),
          bases: [{ name: "horn", massG: 150, centre: [0, 100, 0], diameterMm: 60 }],
        },
      },
      "band",
      "kPa",
    )!;
    expect(found.figure).toBeCloseTo(((4 * 73.549875) / (Math.PI * 27_000)) * 1000, 1);
  });
  it("turns with a mirrored base as the base does [oracle: symmetry]", () => {
    fc.assert(
      fc.property(
        random(1, 900),
        random(-200, 200),
        random(-200, 200),
        random(-200, 200),
        (massG, x, y, z) => {
          const horn = { name: "horn", massG };
          expect(baseMoment({ ...horn, centre: [-x, y, z] })).toBeCloseTo(
            baseMoment({ ...horn, centre: [x, y, z] }),
            9,
          );
        },
      ),
      { seed: 1, numRuns: 50 },
    );
  });
});

describe("inputs at and past the edge", () => {
  const outcome = (work: () => unknown): string => {
    try {
      work();
      return "answered";
    } catch (error) {
      if (isPeltryError(error)) return error.code.replace(/^measure/, "wear");
      throw error;
    }
  };
  const base: WearCase = {
    head: {
      loads: [{ name: "horns", massG: 300, centre: [0, 80, 45] }],
      bases: [{ name: "horn", massG: 150, centre: [10, 80, 0], diameterMm: 60 }],
      pivot: [0, -70, -15],
      band: { girthMm: 620, widthMm: 25, clampN: 5, friction: 0.3 },
    },
    heat: {
      airC: 24,
      humidityPercent: 60,
      globeC: 24,
      wbgtC: 20,
      wetBulbC: 18,
      cover: "legs",
      activity: "moderate",
    },
    sight: { eyeHeightMm: 1600, lowestDeg: 30, widthDeg: 100 },
    footing: {
      heelHeightMm: 80,
      heelWidthMm: 30,
      overhangMm: 40,
      footLengthMm: 330,
      treadMm: 280,
      friction: 0.4,
    },
    movement: { kneeGirth: 520, hip: 1000, hipBreadth: 350, stretch: { along: 0.1, across: 0.1 } },
    pressure: [{ tension: 2, girth: 225, bandWidth: 20, layers: 1 }],
    children: {
      age: 5,
      cords: [{ name: "tie", zone: "waist", freeEndMm: 100, loopMm: 20 }],
      smallParts: [{ name: "eye", sizeMm: [10, 10, 10] }],
    },
    flame: { spreadMmPerS: 20, burnTimeS: 5, hotParts: [{ name: "fan", surfaceC: 50 }] },
    dressing: { closuresAtBack: 1, escapeSeconds: 90, onMinutes: 40, offMinutes: 10 },
    toilet: { minutes: 15 },
  };
  /** Each place of a number in the costume. */
  const places = (value: unknown, path: (string | number)[] = []): (string | number)[][] =>
    typeof value === "number"
      ? [path]
      : typeof value === "object" && value !== null
        ? Object.entries(value).flatMap(([key, each]) => places(each, [...path, key]))
        : [];
  const withValue = (path: readonly (string | number)[], value: unknown): WearCase => {
    const copy = structuredClone(base);
    let at = copy as unknown as Record<string, unknown>;
    for (const key of path.slice(0, -1)) at = at[key] as Record<string, unknown>;
    at[path[path.length - 1]!] = value;
    return copy;
  };

  it("refuses by name whatever is no number, and answers or refuses zero, negative and huge [property: every number]", () => {
    const all = places(base);
    expect(all.length).toBeGreaterThan(45);
    for (const path of all) {
      for (const wrong of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, "12"])
        expect([path.join("."), String(wrong), outcome(() => checkWear(withValue(path, wrong)))]).toEqual([
          path.join("."),
          String(wrong),
          "wear/bad-number",
        ]);
      for (const edge of [0, -0, -1, 1e-9, 1e6, 1e308])
        expect(["answered", "wear/bad-number"]).toContain(outcome(() => checkWear(withValue(path, edge))));
    }
  });
  it("refuses by name whatever is no object or list where one belongs [property: every branch]", () => {
    const branches = (value: unknown, path: (string | number)[] = []): (string | number)[][] =>
      typeof value === "object" && value !== null
        ? [
            ...(path.length ? [path] : []),
            ...Object.entries(value).flatMap(([k, each]) => branches(each, [...path, k])),
          ]
        : [];
    for (const path of branches(base))
      for (const wrong of [7, "text", true])
        expect([path.join("."), outcome(() => checkWear(withValue(path, wrong)))[0]]).toEqual([
          path.join("."),
          "w",
        ]);
  });
  it("says outside the formula, and not “was not told”, for air and humidity that it does not hold for", () => {
    for (const [airC, humidityPercent] of [
      [55, 40],
      [-30, 40],
      [25, 100],
      [30, 2],
    ] as const) {
      const found = one({ heat: { airC, humidityPercent, cover: "legs" } }, "heat")!;
      expect(found.what).toMatch(/outside the wet-bulb formula/);
      expect(found.what).not.toMatch(/not told/);
      expect(found.source).toMatch(/Stull/);
    }
    expect(one({ heat: { airC: 50, humidityPercent: 99, cover: "body" } }, "heat")!.level).toBe("stop");
  });
  it("mirrored horns mirror the moment in every pose [oracle: symmetry]", () => {
    fc.assert(
      fc.property(
        random(1, 900),
        random(-150, 150),
        random(-50, 300),
        random(-200, 200),
        (massG, x, y, z) => {
          const [a, b] = [x, -x].map((side) => headMoment([{ name: "horn", massG, centre: [side, y, z] }]));
          expect(a!.sideNcm).toBeCloseTo(-b!.sideNcm, 9);
          expect(a!.forwardNcm).toBe(b!.forwardNcm);
          expect(a!.noddingNcm).toBe(b!.noddingNcm);
        },
      ),
      { seed: 2, numRuns: 60 },
    );
  });
  it("air of 30 °C and 50 % in the shade is a WBGT near 24.6 °C [oracle: 0.7 × 22.3 + 0.3 × 30; wet bulb by Stull]", () => {
    const found = one({ heat: { airC: 30, humidityPercent: 50, cover: "cloth" } }, "heat")!;
    expect(found.figure).toBeCloseTo(24.6, 1);
    expect(found.level).toBe("note");
    expect(one({ heat: { wbgtC: 30, cover: "cloth", activity: "moderate" } }, "heat")!.level).toBe("stop");
  });
});
