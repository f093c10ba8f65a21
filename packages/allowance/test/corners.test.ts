import { signedArea, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { addAllowance, type AllowanceRules, type CornerResult, type PanelAllowance } from "../src/index";
import { invalidity, leastDistance, uncovered } from "./referee";
import { edge, polygon } from "./shapes";

/** A corner of the given inner angle at the origin: `into` runs in along +x, `out` leaves. */
function wedge(degrees: number): ReturnType<typeof polygon> {
  const t = (degrees * Math.PI) / 180;
  const tip: Point = [-300 * Math.cos(t), 300 * Math.sin(t)];
  const back: Point = degrees < 90 ? [-300, 260] : [-300, 300];
  return [
    edge("into", [
      [-300, 0],
      [0, 0],
    ]),
    edge("out", [[0, 0], tip]),
    edge("rest", [tip, back, [-300, 0]]),
  ];
}
function at(made: PanelAllowance): CornerResult {
  return made.corners.find((one) => one.before === "into")!;
}
const has = (made: PanelAllowance, p: Point): boolean =>
  made.cutLine.some((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) < 2e-4);
const rad = (degrees: number): number => (degrees * Math.PI) / 180;

describe("corners", () => {
  for (const degrees of [40, 70, 90, 110, 140]) {
    it(`squared at ${degrees}°: the strip ends square where its sew line, run on, meets the other cut line [closed form: b / sin θ]`, () => {
      const [a, b] = [12, 9];
      const rules: AllowanceRules = {
        edges: { into: a, out: b, rest: 0 },
        corners: [{ before: "into", treatment: "squared-to-before" }],
      };
      const made = addAllowance(wedge(degrees), rules);
      const reach = b / Math.sin(rad(degrees));
      expect(at(made).used).toBe("squared-to-before");
      expect(has(made, [reach, -a])).toBe(true);
      if (degrees !== 90) expect(has(made, [reach, 0])).toBe(true);
      expect(invalidity(made.cutLine)).toBeUndefined();
      expect(uncovered(wedge(degrees), made)).toEqual([]);
      const after = addAllowance(wedge(degrees), {
        ...rules,
        corners: [{ before: "into", treatment: "squared-to-after" }],
      });
      const far = a / Math.sin(rad(degrees));
      // Run on backwards, the edge out reaches its own square end.
      expect(
        has(after, [
          far * Math.cos(rad(degrees)) + b * Math.sin(rad(degrees)),
          -far * Math.sin(rad(degrees)) + b * Math.cos(rad(degrees)),
        ]),
      ).toBe(true);
      expect(uncovered(wedge(degrees), after)).toEqual([]);
    });
    it(`butt at ${degrees}°: both allowances end square at the sew corner [closed form]`, () => {
      const made = addAllowance(wedge(degrees), { edges: { into: 12, out: 9, rest: 0 }, corner: "butt" });
      expect(has(made, [0, 0])).toBe(true);
      expect(has(made, [0, -12])).toBe(true);
      expect(has(made, [9 * Math.sin(rad(degrees)), 9 * Math.cos(rad(degrees))])).toBe(true);
      // The area taken away against a mitre is the kite between the two square ends.
      const mitred = addAllowance(wedge(degrees), { edges: { into: 12, out: 12, rest: 0 } });
      const butt = addAllowance(wedge(degrees), {
        edges: { into: 12, out: 12, rest: 0 },
        corners: [{ before: "into", treatment: "butt" }],
      });
      expect(signedArea(mitred.cutLine) - signedArea(butt.cutLine)).toBeCloseTo(
        144 / Math.tan(rad(degrees) / 2),
        1,
      );
    });
    it(`rounded at ${degrees}°: the arc never comes nearer than the width [referee: JSTS; closed form of the sector]`, () => {
      const made = addAllowance(wedge(degrees), { width: 20, corner: "rounded" });
      expect(leastDistance(made.cutLine, made.sewLine)).toBeGreaterThan(20 - 1e-3);
      const reach = Math.max(...at(made).points.map((p) => Math.hypot(p[0], p[1])));
      expect(reach).toBeLessThan(20.05);
    });
  }

  it("steps where widths differ on a straight run, without losing any of the wider [closed form]", () => {
    const straight = [
      edge("narrow", [
        [0, 0],
        [50, 0],
      ]),
      edge("wide", [
        [50, 0],
        [100, 0],
      ]),
      edge(
        "rest",
        [
          [100, 0],
          [100, 40],
          [0, 40],
          [0, 0],
        ],
        "raw",
      ),
    ];
    const made = addAllowance(straight, { edges: { narrow: 6, wide: 25 } });
    expect(made.corners[1].used).toBe("stepped");
    expect(has(made, [50, -6])).toBe(true);
    expect(has(made, [50, -25])).toBe(true);
    expect(signedArea(made.cutLine)).toBeCloseTo(100 * 40 + 50 * 6 + 50 * 25, 6);
  });
  it("blends where asked: the step becomes a slope over twice its height, on the narrower side [closed form]", () => {
    const straight = [
      edge("narrow", [
        [0, 0],
        [50, 0],
      ]),
      edge("wide", [
        [50, 0],
        [100, 0],
      ]),
      edge(
        "rest",
        [
          [100, 0],
          [100, 40],
          [0, 40],
          [0, 0],
        ],
        "raw",
      ),
    ];
    const made = addAllowance(straight, { edges: { narrow: 5, wide: 15 }, corner: "blended" });
    expect(made.corners[1].used).toBe("blended");
    expect(has(made, [30, -5])).toBe(true);
    expect(has(made, [50, -15])).toBe(true);
    expect(signedArea(made.cutLine)).toBeCloseTo(100 * 40 + 50 * 5 + 50 * 15 + (10 * 20) / 2, 6);
    expect(uncovered(straight, made)).toEqual([]);
  });

  it("cuts a mitre off past the limit, square to its line, and never under the width [closed form]", () => {
    const made = addAllowance(wedge(20), { edges: { into: 10, out: 10, rest: 0 } });
    expect(at(made).why).toContain("cut off at 4");
    const half = rad(10);
    // The cut lies 40 mm from the corner along the middle line.
    for (const p of at(made).points) expect(p[0] * Math.cos(half) - p[1] * Math.sin(half)).toBeCloseTo(40, 6);
    expect(uncovered(wedge(20), made)).toEqual([]);
  });
  it("asks for less than it can do only with a reason [invariant]", () => {
    for (const degrees of [10, 25, 40, 100, 160, 179]) {
      for (const treatment of [
        "mitred",
        "squared-to-before",
        "turned-back",
        "stepped",
        "rounded",
        "butt",
        "blended",
      ] as const) {
        const made = addAllowance(wedge(degrees), {
          edges: { into: 12, out: 5, rest: 3 },
          corner: treatment,
        });
        for (const one of made.corners) {
          if (one.used !== one.asked && one.used !== "inner" && one.used !== "stepped")
            expect(one.why).toBeTruthy();
        }
        expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
      }
    }
  });

  it("folds both ends of a hem onto the panel, whatever the sides [referee: own folding; 30 shapes]", () => {
    for (let i = 0; i < 30; i++) {
      const [left, right] = [40 + ((i * 37) % 100), 40 + ((i * 53) % 100)];
      const side = (x: number, degrees: number, way: number): Point[] =>
        [0, 20, 60, 90].map((h): Point => [x + (way * h) / Math.tan(rad(degrees)) + (way * h * h) / 900, h]);
      const panel = [
        edge(
          "hem",
          [
            [0, 0],
            [300, 0],
          ],
          "hem",
        ),
        edge("right", side(300, right, -1)),
        edge("top", [side(300, right, -1)[3], side(0, left, 1)[3]]),
        edge("left", side(0, left, 1).reverse()),
      ];
      const made = addAllowance(panel, { width: 8, roles: { hem: 25 } });
      const body = addAllowance(panel, { width: 8, roles: { hem: 0 } });
      expect(invalidity(made.cutLine, made.holes)).toBeUndefined();
      const folded = made.cutLine.filter((p) => p[1] < -0.02).map(([x, y]): Point => [x, -y]);
      expect(folded.length).toBeGreaterThan(1);
      for (const p of folded) {
        const inside = uncoveredPoint(p, body);
        expect(inside, `${left} ${right} ${p.join()}`).toBe(true);
      }
      expect(Math.min(...made.cutLine.map((p) => p[1]))).toBeCloseTo(-25, 3);
    }
  });

  it("mitres the corner of two hems and leaves hems plain when told to [closed form]", () => {
    const sheet = polygon(
      [
        [0, 0],
        [90, 0],
        [90, 60],
        [0, 60],
      ],
      "hem",
    );
    const made = addAllowance(sheet, { width: 20 });
    expect(signedArea(made.cutLine)).toBeCloseTo(130 * 100, 6);
    expect(made.corners.every((one) => one.used === "mitred")).toBe(true);
    const plain = addAllowance(
      [{ ...sheet[0] }, ...sheet.slice(1).map((one) => ({ ...one, role: "seam" as const }))],
      { width: 20, turnHems: false },
    );
    expect(signedArea(plain.cutLine)).toBeCloseTo(130 * 100, 6);
  });
});

function uncoveredPoint(p: Point, made: PanelAllowance): boolean {
  const tiny: Point[] = [p, [p[0] + 1e-6, p[1]], [p[0], p[1] + 1e-6]];
  if (leastDistance(tiny, made.cutLine) < 2e-3) return true;
  let odd = false;
  made.cutLine.forEach(([bx, by], i) => {
    const [ax, ay] = made.cutLine[(i + made.cutLine.length - 1) % made.cutLine.length];
    if (ay > p[1] !== by > p[1] && p[0] < ax + ((bx - ax) * (p[1] - ay)) / (by - ay)) odd = !odd;
  });
  return odd;
}
