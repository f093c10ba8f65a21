import fc from "fast-check";
import { perimeter, signedArea, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { addAllowance, isPeltryError, type AllowanceRules, type CornerTreatment } from "../src/index";
import { invalidity, leastDistance, uncovered } from "./referee";
import { circle, edge, inEdges, polygon, randomStar } from "./shapes";

const corner = (result: ReturnType<typeof addAllowance>, before: string, after: string) =>
  result.corners.find((one) => one.before === before && one.after === after)!;

describe("addAllowance", () => {
  it("puts a mitre at a / sin(θ / 2) [closed form: a = 10 gives 14.142, 20, 38.637]", () => {
    for (const [angle, reach] of [
      [90, 14.142],
      [60, 20],
      [30, 38.637],
      [120, 11.547],
    ]) {
      const t = (angle * Math.PI) / 180;
      const wedge = polygon([
        [0, 0],
        [200, 0],
        [200 * Math.cos(t), 200 * Math.sin(t)],
      ]);
      const made = addAllowance(wedge, { width: 10 });
      const tip = corner(made, "e2", "e0");
      expect(tip.angle).toBeCloseTo(angle, 9);
      expect(tip.used).toBe("mitred");
      expect(tip.ratio * 10).toBeCloseTo(10 / Math.sin(t / 2), 9);
      expect(tip.ratio * 10).toBeCloseTo(reach, 3);
      expect(
        Math.min(...made.cutLine.map((p) => Math.hypot(p[0] - tip.points[0][0], p[1] - tip.points[0][1]))),
      ).toBeLessThan(2e-4);
    }
  });

  it("grows a rectangle by its own widths [closed form]", () => {
    const made = addAllowance(
      polygon([
        [0, 0],
        [120, 0],
        [120, 80],
        [0, 80],
      ]),
      { edges: { e0: 5, e1: 10, e2: 15, e3: 20 } },
    );
    expect(signedArea(made.cutLine)).toBeCloseTo((120 + 30) * (80 + 20), 3);
    expect(perimeter(made.cutLine)).toBeCloseTo(2 * (150 + 100), 3);
    expect(made.cutLine).toHaveLength(4);
  });

  it("grows a circle and a rounded rectangle as Steiner says [closed form: L + 2πd, A + Ld + πd²]", () => {
    const n = 720;
    const round = addAllowance(inEdges(circle(100, n), 3), { width: 25, corner: "rounded" });
    // A regular n-gon grown by d with mitres is the n-gon of radius grown by d / cos(π / n).
    expect(perimeter(round.cutLine)).toBeCloseTo(
      2 * n * Math.tan(Math.PI / n) * (100 * Math.cos(Math.PI / n) + 25),
      3,
    );
    expect(perimeter(round.cutLine)).toBeCloseTo(2 * Math.PI * 125, 1);
    const sheet = addAllowance(
      polygon([
        [0, 0],
        [120, 0],
        [120, 80],
        [0, 80],
      ]),
      { width: 25, corner: "rounded" },
    );
    expect(perimeter(sheet.cutLine)).toBeGreaterThan(557.0796);
    expect(perimeter(sheet.cutLine)).toBeLessThan(557.0796 + 0.3);
    expect(signedArea(sheet.cutLine)).toBeGreaterThan(21563.4954);
    expect(signedArea(sheet.cutLine)).toBeLessThan(21563.4954 * 1.001);
  });

  it("grows a five-pointed star [closed form: convex tips at a / sin 18°, hollows at a / sin 54°]", () => {
    const inner = 100 * (Math.cos((72 * Math.PI) / 180) / Math.cos((36 * Math.PI) / 180));
    const star = Array.from({ length: 10 }, (_, i): Point => {
      const [r, t] = [i % 2 ? inner : 100, (Math.PI * i) / 5];
      return [r * Math.cos(t), r * Math.sin(t)];
    });
    const made = addAllowance(polygon(star), { width: 4 });
    const radii = made.cutLine.map((p) => Math.hypot(...(p as [number, number]))).sort((a, b) => a - b);
    expect(radii).toHaveLength(10);
    expect(radii[9]).toBeCloseTo(100 + 4 / Math.sin(Math.PI / 10), 3);
    expect(radii[0]).toBeCloseTo(inner + 4 / Math.sin((3 * Math.PI) / 10), 3);
  });

  it("turns a hem back so that it lies on the panel [closed form: 75°, 30 mm gives 16.08 mm from the straight run-on]", () => {
    const lean = 200 / Math.tan((75 * Math.PI) / 180);
    const panel = [
      edge(
        "hem",
        [
          [0, 0],
          [150, 0],
        ],
        "hem",
      ),
      edge("right", [
        [150, 0],
        [150, 200],
      ]),
      edge("top", [
        [150, 200],
        [lean, 200],
      ]),
      edge("side", [
        [lean, 200],
        [0, 0],
      ]),
    ];
    const made = addAllowance(panel, { roles: { seam: 0, hem: 30 } });
    const low = made.cutLine.filter((p) => Math.abs(p[1] + 30) < 1e-3);
    const runOn = -30 / Math.tan((75 * Math.PI) / 180);
    const end = Math.min(...low.map((p) => p[0]));
    expect(end - runOn).toBeCloseTo(16.08, 2);
    expect(end - runOn).toBeCloseTo(60 / Math.tan((75 * Math.PI) / 180), 3);
    expect(corner(made, "side", "hem").used).toBe("turned-back");
    // Folded up, no point of the hem leaves the panel with its side allowance.
    const wide = addAllowance(panel, { roles: { seam: 12, hem: 30 } });
    const body = addAllowance(panel, { roles: { seam: 12, hem: 0 } });
    const folded = wide.cutLine.filter((p) => p[1] < -1e-3).map(([x, y]): Point => [x, -y]);
    expect(folded.length).toBeGreaterThan(1);
    for (const p of folded)
      expect(leastDistance([p, p, p], body.cutLine) < 1e-3 || inside(p, body.cutLine)).toBe(true);
  });

  const widths = fc.double({ min: 0, max: 60, noNaN: true });
  const treatments = fc.constantFrom<CornerTreatment>(
    "mitred",
    "rounded",
    "squared-to-before",
    "squared-to-after",
    "stepped",
  );
  it("never crosses itself and leaves out no part of any strip, whatever the outline [referee: JSTS, 150 random outlines]", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e6 }),
        fc.integer({ min: 3, max: 60 }),
        fc.integer({ min: 1, max: 12 }),
        fc.array(widths, { minLength: 12, maxLength: 12 }),
        treatments,
        (seed, count, parts, sizes, corner) => {
          const edges = inEdges(randomStar(seed, count), Math.min(parts, count));
          const rules: AllowanceRules = {
            edges: Object.fromEntries(edges.map((one, i) => [one.id, sizes[i]])),
            corner,
          };
          const made = addAllowance(edges, rules);
          expect(signedArea(made.cutLine)).toBeGreaterThan(0);
          expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
          expect(uncovered(edges, made)).toEqual([]);
        },
      ),
      { seed: 1, numRuns: 150 },
    );
  });
  it("keeps one width from the sew line all round [referee: JSTS, 80 random outlines]", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e6 }),
        fc.integer({ min: 3, max: 80 }),
        fc.double({ min: 0.1, max: 60, noNaN: true }),
        fc.constantFrom<CornerTreatment>("mitred", "rounded", "stepped"),
        (seed, count, width, corner) => {
          const edges = polygon(randomStar(seed, count));
          const made = addAllowance(edges, { width, corner });
          expect(leastDistance(made.cutLine, made.sewLine)).toBeGreaterThan(width - 0.01);
          for (const hole of made.holes)
            expect(leastDistance(hole, made.sewLine)).toBeGreaterThan(width - 0.01);
        },
      ),
      { seed: 2, numRuns: 80 },
    );
  });

  it("merges across a bay that is narrower than two allowances and says so [closed form]", () => {
    const bay = polygon([
      [0, 0],
      [100, 0],
      [100, 80],
      [55, 80],
      [55, 30],
      [45, 30],
      [45, 80],
      [0, 80],
    ]);
    const made = addAllowance(bay, { width: 10 });
    expect(signedArea(made.cutLine)).toBeCloseTo(120 * 100, 6);
    expect(made.issues.map((issue) => issue.code)).toEqual(["allowance/bay-merged"]);
    expect(made.merges[0].length).toBeGreaterThan(109);
    expect(addAllowance(bay, { width: 4 }).issues).toEqual([]);
  });
  it("leaves an inner cut line where only the mouth of a bay closes [referee: JSTS]", () => {
    const outline: Point[] = [
      [0, 0],
      [120, 0],
      [120, 90],
      [66, 90],
      [66, 84],
      [100, 84],
      [100, 30],
      [20, 30],
      [20, 84],
      [54, 84],
      [54, 90],
      [0, 90],
    ];
    const made = addAllowance(polygon(outline), { width: 8 });
    expect(made.holes).toHaveLength(1);
    expect(signedArea(made.holes[0])).toBeCloseTo(-64 * 38, 0);
    expect(made.issues.map((issue) => issue.code)).toEqual([
      "allowance/bay-merged",
      "allowance/pocket-closed",
    ]);
    expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
  });

  it("keeps a fold straight and bare, so that the opened panel is whole [invariant]", () => {
    for (const top of [60, 100, 140]) {
      const half = [
        edge(
          "hem",
          [
            [0, 0],
            [80, 0],
          ],
          "hem",
        ),
        edge("side", [
          [80, 0],
          [80, 100],
        ]),
        edge("neck", [
          [80, 100],
          [0, top],
        ]),
        edge(
          "fold",
          [
            [0, top],
            [0, 0],
          ],
          "fold",
        ),
      ];
      const made = addAllowance(half, { width: 12, roles: { hem: 30 } });
      expect(Math.min(...made.cutLine.map((p) => p[0]))).toBe(0);
      const neckAtFold = Math.max(...made.cutLine.filter((p) => p[0] === 0).map((p) => p[1]));
      const slope = Math.hypot(80, 100 - top) / 80;
      expect(neckAtFold).toBeCloseTo(top + 12 * slope, 3);
    }
  });

  it("lays the mouth of a folded dart so that its raw edge lies on its neighbour's [closed form: the hat's height]", () => {
    // Legs 50 long, 30° apart, mouth edges square to the legs: after folding the cut edge runs at 10 mm throughout.
    const half = (15 * Math.PI) / 180;
    const leg = (side: number): Point => [50 * Math.sin(half * side), 50 * Math.cos(half * side)];
    const beyond = (side: number): Point => {
      const [x, y] = leg(side);
      return [x + side * 60 * Math.cos(half), y - side * 60 * Math.sin(half * side)];
    };
    const edges = [
      edge("low", [beyond(-1), [beyond(-1)[0], -80], [beyond(1)[0], -80], beyond(1)], "raw"),
      edge("m2", [beyond(1), leg(1)]),
      edge("in", [leg(1), [0, 0]], "dart"),
      edge("out", [[0, 0], leg(-1)], "dart"),
      edge("m1", [leg(-1), beyond(-1)]),
    ];
    const panel = {
      id: "back",
      name: "back",
      fabric: "fur",
      edges,
      markings: [],
      count: 1,
      mirrored: false,
      darts: [
        {
          id: "d",
          legs: ["in", "out"] as const,
          tip: [0, 0] as Point,
          intake: 100 * Math.sin(half),
          length: 50,
          cut: false,
        },
      ],
    };
    const made = addAllowance(panel, { width: 10 });
    const peak = Math.max(...made.cutLine.filter((p) => Math.abs(p[0]) < 0.05).map((p) => p[1]));
    expect(peak).toBeCloseTo(60 / Math.cos(half), 1);
    expect(made.foldedDarts).toHaveLength(1);
    expect(made.foldedDarts[0].peak[1]).toBeCloseTo(60 / Math.cos(half), 1);
    expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
    expect(made.holes).toEqual([]);
    expect(made.issues).toEqual([]);
  });

  it("mends what can be mended and says so [invariant]", () => {
    const square: Point[] = [
      [0, 0],
      [50, 0],
      [50, 50],
      [0, 50],
    ];
    const right = addAllowance(polygon(square), { width: 8 });
    const wrongWay = addAllowance(polygon([...square].reverse()), { width: 8 });
    expect(signedArea(wrongWay.cutLine)).toBeCloseTo(signedArea(right.cutLine), 6);
    expect(wrongWay.issues.map((issue) => issue.code)).toEqual(["allowance/repaired-winding"]);
    const doubled = addAllowance(
      [
        edge("all", [
          [0, 0],
          [50, 0],
          [50, 0],
          [50, 50],
          [0, 50],
          [0, 0],
        ]),
      ],
      8,
    );
    expect(doubled.issues.map((issue) => issue.code)).toEqual(["allowance/repaired-doubled-points"]);
  });

  const refused: [string, () => unknown][] = [
    [
      "pattern/not-a-number",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [NaN, 0],
            [5, 5],
          ]),
          5,
        ),
    ],
    [
      "pattern/open-outline",
      () =>
        addAllowance(
          [
            edge("a", [
              [0, 0],
              [50, 0],
            ]),
            edge("b", [
              [50, 0],
              [50, 50],
              [0, 2],
            ]),
          ],
          5,
        ),
    ],
    [
      "pattern/crossing-outline",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 50],
            [50, 0],
            [0, 50],
          ]),
          5,
        ),
    ],
    [
      "pattern/zero-length-edge",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 0],
            [50, 50],
          ]),
          5,
        ),
    ],
    ["pattern/no-edges", () => addAllowance([], 5)],
    [
      // Found by the fuzz run: it computed for ever.
      "allowance/bad-width",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 50],
          ]),
          1e308,
        ),
    ],
    [
      "allowance/bad-width",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 50],
          ]),
          { edges: { e1: -3 } },
        ),
    ],
    [
      "allowance/bad-width",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 50],
          ]),
          NaN,
        ),
    ],
    [
      "allowance/bad-mitre-limit",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 50],
          ]),
          { mitreLimit: 0.5 },
        ),
    ],
    [
      "allowance/bad-rule",
      () =>
        addAllowance(
          polygon([
            [0, 0],
            [50, 0],
            [50, 50],
          ]),
          { pileMm: -1 },
        ),
    ],
  ];
  for (const [code, run] of refused) {
    it(`refuses with ${code} [failing input]`, () => {
      try {
        run();
        expect.unreachable();
      } catch (error) {
        if (!isPeltryError(error)) throw error;
        expect(error.code).toBe(code);
        expect(error.issues[0].fix).toBeTruthy();
      }
    });
  }
});

function inside(p: Point, outline: readonly Point[]): boolean {
  let odd = false;
  outline.forEach(([bx, by], i) => {
    const [ax, ay] = outline[(i + outline.length - 1) % outline.length];
    if (ay > p[1] !== by > p[1] && p[0] < ax + ((bx - ax) * (p[1] - ay)) / (by - ay)) odd = !odd;
  });
  return odd;
}
