import {
  distance,
  mirrorOutline,
  perimeter,
  pointInOutline,
  polylineLength,
  signedArea,
  stationAt,
  type Point,
} from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  addDart,
  addLining,
  assertEdgesForm,
  assertPanelForm,
  assertPattern,
  assertPatternForm,
  checkOutline,
  checkPanelOutline,
  checkPattern,
  curvaturePeaks,
  cutQuantity,
  dartDrill,
  dartShape,
  edgesFromOutline,
  edgesOutline,
  facingPanel,
  findEdge,
  findPanel,
  letInMarkings,
  markingMethod,
  mirrorPanel,
  mirrorPanelAbout,
  panelArrows,
  panelEdges,
  panelOutline,
  placeNotches,
  reverseEdge,
  roundDartTip,
  seamLengths,
  seamLetter,
  trueDart,
  turnPanel,
  unfoldPanel,
  unfoldPattern,
  writePattern,
  type Edge,
  type Panel,
  type Pattern,
} from "../src/index";
import { edge, panel, twoStrips } from "./fixtures";

const RUNS = { seed: 1, numRuns: 100 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const errors = (pattern: Pattern) => checkPattern(pattern).filter((issue) => issue.severity === "error");
const codeOf = (run: () => unknown): string => {
  try {
    run();
    return "none";
  } catch (error) {
    return isPeltryError(error) ? error.code : `untyped: ${String(error)}`;
  }
};

/** A star round the middle: simple whatever its numbers. */
const star = fc.array(number(40, 100), { minLength: 5, maxLength: 14 }).map((radii) =>
  radii.map((r, i): Point => {
    const angle = (2 * Math.PI * i) / radii.length;
    return [r * Math.cos(angle), r * Math.sin(angle)];
  }),
);
/** A panel with every kind of thing in it. */
const furnished = fc.tuple(star, number(-179, 180), number(0.1, 0.9)).map(([outline, pile, at]): Panel => {
  const edges = edgesFromOutline(outline, { cornerDegrees: 5 }).map((one): Edge => ({
    ...one,
    notches: [{ at: at * polylineLength(one.points), kind: "single" }],
  }));
  const spot: Point[] = [
    [10, 10],
    [-10, 10],
    [-10, -10],
    [10, -10],
  ];
  return panel("p", edges, {
    ...{ pile, stretch: 20, grain: 110 },
    markings: [{ id: "spot", kind: "area", points: spot, fabric: "white", method: "let-in", pile: 30 }],
  });
});
/** The panel and its mirror image, sewn along their first edges. */
const pair = furnished.map((one): Pattern => {
  const sewn = {
    ...one,
    edges: one.edges.map((e, i): Edge => (i === 0 ? { ...e, role: "seam", seam: "s" } : e)),
  };
  const other = { ...mirrorPanel(sewn), id: "q" };
  const id = sewn.edges[0].id;
  return {
    ...{ format: "peltry-pattern", version: 1, name: "pair", panels: [sewn, other] },
    seams: [
      {
        ...{ id: "s", letter: "A", reversed: true, matchPoints: [] },
        a: { panel: "p", edge: id },
        b: { panel: "q", edge: id },
      },
    ],
    fabrics: [
      { id: "fur", name: "grey fur", pileMm: 20 },
      { id: "white", name: "white fur", pileMm: 20 },
    ],
  };
});

describe("properties of outlines and edges", () => {
  it("edgesFromOutline and edgesOutline undo each other, whatever counts as a corner [inverse]", () => {
    fc.assert(
      fc.property(star, number(1, 179), (outline, cornerDegrees) => {
        const edges = edgesFromOutline(outline, { cornerDegrees });
        const back = edgesOutline(edges);
        const from = outline.findIndex((p) => p === back[0]);
        expect(back).toEqual([...outline.slice(from), ...outline.slice(0, from)]);
        expect(checkOutline(edges, "p").filter((issue) => issue.severity === "error")).toEqual([]);
      }),
      RUNS,
    );
  });
  it("findEdge and findPanel find every edge and panel by its id, and nothing else [oracle: the list]", () => {
    fc.assert(
      fc.property(pair, (pattern) => {
        for (const one of pattern.panels) {
          expect(findPanel(pattern, one.id)).toBe(one);
          for (const e of panelEdges(one)) expect(findEdge(one, e.id)).toBe(e);
          expect(findEdge(one, "no such edge")).toBeUndefined();
        }
        expect(findPanel(pattern, "no such panel")).toBeUndefined();
      }),
      RUNS,
    );
  });
  it("seam letters are all different, shorter ones first, each after the one before [order]", () => {
    fc.assert(
      fc.property(fc.nat(20000), fc.nat(20000), (i, j) => {
        const [a, b] = [seamLetter(i), seamLetter(j)];
        const before = a.length === b.length ? a < b : a.length < b.length;
        expect(before).toBe(i < j);
        expect(a).toMatch(/^[A-Z]+$/);
      }),
      RUNS,
    );
  });
  it("a clockwise outline is told, its reversal is not [metamorphic]", () => {
    fc.assert(
      fc.property(star, (outline) => {
        const right = panel("p", edgesFromOutline(outline));
        const wrong = panel("p", edgesFromOutline([...outline].reverse()));
        expect(checkPanelOutline(right).map((issue) => issue.code)).not.toContain("pattern/clockwise");
        expect(checkPanelOutline(wrong).map((issue) => issue.code)).toContain("pattern/clockwise");
      }),
      RUNS,
    );
  });
  it("a circle bends nowhere most, and a straight line nowhere; a mirrored line bends in the same places [symmetry]", () => {
    fc.assert(
      fc.property(fc.array(number(-80, 80), { minLength: 4, maxLength: 10 }), (heights) => {
        const line = heights.map((y, i): Point => [60 * i, y]);
        const peaks = curvaturePeaks(line);
        expect(curvaturePeaks(line.map(([x, y]): Point => [x, -y]))).toEqual(peaks);
        const total = polylineLength(line);
        for (const at of peaks) expect(at >= 0 && at <= total).toBe(true);
        expect(curvaturePeaks(line.map(([x]): Point => [x, 0]))).toEqual([]);
      }),
      RUNS,
    );
  });
});

describe("properties of whole patterns", () => {
  it("whatever is given, the form checks accept it or throw pattern/bad-form, and checkPattern never throws [totality]", () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.anything(), fc.record({ panels: fc.anything(), seams: fc.anything() })),
        (value) => {
          for (const check of [assertPatternForm, assertPanelForm, assertPattern, assertEdgesForm] as const)
            expect(["none", "pattern/bad-form"]).toContain(codeOf(() => check(value as Pattern & Edge[])));
          expect(checkPattern(value as Pattern).length).toBeGreaterThan(0);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
  it("a pattern with a field struck out or replaced is told of or still has the form [mutation]", () => {
    const paths = [
      ["panels"],
      ["seams"],
      ["panels", 0, "edges"],
      ["panels", 0, "edges", 0, "points"],
      ["seams", 0, "a"],
    ];
    fc.assert(
      fc.property(fc.constantFrom(...paths), fc.anything(), (path, value) => {
        const pattern = structuredClone(twoStrips()) as never;
        let at: Record<string | number, never> = pattern;
        for (const key of path.slice(0, -1)) at = at[key];
        at[path[path.length - 1]] = value as never;
        expect(codeOf(() => assertPattern(pattern))).toMatch(/^(none|pattern\/)/);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
  it("a panel sewn to its mirror image has no faults, however it is turned; both sides are equally long [metamorphic]", () => {
    fc.assert(
      fc.property(pair, number(-180, 180), number(-500, 500), (pattern, angle, shift) => {
        expect(errors(pattern)).toEqual([]);
        const lengths = seamLengths(pattern, pattern.seams[0])!;
        expect(lengths.a).toBeCloseTo(lengths.b, 9);
        const turned = {
          ...pattern,
          panels: pattern.panels.map((one) => turnPanel(one, angle, shift, -shift)),
        };
        expect(errors(turned)).toEqual([]);
        expect(writePattern(turned)).not.toBe("");
      }),
      RUNS,
    );
  });
  it("notches of a seam pair up, keep their distances, and are not placed twice [idempotence]", () => {
    fc.assert(
      fc.property(pair, number(10, 60), (pattern, leastGap) => {
        const rules = { leastSeam: 20, clearEnds: 5, leastGap };
        const once = placeNotches(pattern, rules);
        expect(errors(once)).toEqual([]);
        const at = once.seams[0].matchPoints.map((point) => point.a);
        const length = seamLengths(once, once.seams[0])!.a;
        at.forEach((a, i) => {
          expect(a >= 5 - 1e-3 && a <= length - 5 + 1e-3).toBe(true);
          if (i > 0) expect(a - at[i - 1]).toBeGreaterThanOrEqual(leastGap - 1e-3);
        });
        expect(placeNotches(once, rules)).toEqual(once);
      }),
      RUNS,
    );
  });
  it("a let-in spot leaves a hole that its inset fills: nothing of the cloth's area is lost [conservation]", () => {
    fc.assert(
      fc.property(pair, (pattern) => {
        const { pattern: made, issues } = letInMarkings(pattern);
        expect(errors(made)).toEqual([]);
        const area = (one: Panel): number =>
          [one.edges, ...(one.holes ?? [])].reduce((sum, ring) => sum + signedArea(edgesOutline(ring)), 0);
        const sum = (one: Pattern): number => one.panels.reduce((all, each) => all + area(each), 0);
        expect(sum(made)).toBeCloseTo(sum(pattern), 6);
        expect(made.panels.length + issues.length).toBe(4);
      }),
      RUNS,
    );
  });
  it("a lining has the sew lines of its outside and as many seams, without faults [copy]", () => {
    fc.assert(
      fc.property(pair, (pattern) => {
        const lined = addLining(pattern, { fabric: "white" });
        expect(errors(lined)).toEqual([]);
        expect(lined.seams.length).toBe(2 * pattern.seams.length);
        for (const one of pattern.panels)
          expect(panelOutline(findPanel(lined, `${one.id}-lining`)!)).toEqual(panelOutline(one));
      }),
      RUNS,
    );
  });
});

describe("properties of panels that move", () => {
  it("mirroring twice and turning there and back give the panel again [inverse]", () => {
    fc.assert(
      fc.property(furnished, number(-180, 180), number(-300, 300), (one, angle, shift) => {
        closeTo(mirrorPanel(mirrorPanel(one)), one);
        const [a, b]: Point[] = [
          [shift, 3],
          [-7, 40],
        ];
        closeTo(mirrorPanelAbout(mirrorPanelAbout(one, a, b), a, b), one);
        closeTo(turnPanel(turnPanel(one, angle), -angle), one);
      }),
      RUNS,
    );
  });
  it("mirrored about any line the area, girth and notch places stay, and the pile mirrors with the cloth [invariant]", () => {
    fc.assert(
      fc.property(furnished, number(-300, 300), (one, x) => {
        const other = mirrorPanelAbout(one, [x, 0], [x + 1, 5]);
        expect(signedArea(panelOutline(other))).toBeCloseTo(signedArea(panelOutline(one)), 6);
        expect(perimeter(panelOutline(other))).toBeCloseTo(perimeter(panelOutline(one)), 6);
        for (const old of one.edges) {
          const mirrored = findEdge(other, old.id)!;
          const place = (e: Edge): number => e.notches![0].at;
          expect(place(mirrored)).toBeCloseTo(polylineLength(old.points) - place(old), 6);
        }
        expect(panelOutline(mirrorPanel(one)).length).toBe(mirrorOutline(panelOutline(one)).length);
      }),
      RUNS,
    );
  });
  it("reverseEdge keeps every notch on its place in the plane, and undoes itself [inverse]", () => {
    fc.assert(
      fc.property(furnished, (one) => {
        for (const e of one.edges) {
          const back = reverseEdge(e);
          const place = (x: Edge): Point => stationAt(x.points, x.notches![0].at).point;
          expect(distance(place(back), place(e))).toBeLessThan(1e-9);
          expect(reverseEdge(back).points).toEqual(e.points);
        }
      }),
      RUNS,
    );
  });
  it("arrows point the way of pile, grain and stretch, from inside to inside [invariant]", () => {
    fc.assert(
      fc.property(furnished, (one) => {
        const arrows = panelArrows(one);
        expect(arrows.map((arrow) => arrow.kind)).toEqual(["pile", "grain", "stretch"]);
        for (const { kind, from, to } of arrows) {
          const angle = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI;
          expect(Math.cos(((angle - one[kind]!) * Math.PI) / 180)).toBeCloseTo(1, 9);
          for (const p of [from, to]) expect(pointInOutline(p, panelOutline(one))).not.toBe("outside");
        }
      }),
      RUNS,
    );
  });
  it("a panel cut on the fold opens to twice its area, symmetric, and counts one piece [closed form]", () => {
    fc.assert(
      fc.property(fc.array(number(20, 90), { minLength: 3, maxLength: 8 }), (widths) => {
        const rim = widths.map((w, i): Point => [w, 30 * i]);
        const top: Point = [0, 30 * (widths.length - 1)];
        const half = panel("half", [
          edge("bottom", "raw", [[0, 0], rim[0]]),
          edge("rim", "raw", rim),
          edge("top", "raw", [rim[rim.length - 1], top]),
          edge("fold", "fold", [top, [0, 0]]),
        ]);
        const whole = unfoldPanel(half);
        expect(signedArea(panelOutline(whole))).toBeCloseTo(2 * signedArea(panelOutline(half)), 6);
        const xs = panelOutline(whole).map(([x]) => x);
        expect(Math.min(...xs)).toBeCloseTo(-Math.max(...xs), 9);
        expect(cutQuantity(half).onFold).toBe(true);
        expect(cutQuantity(whole)).toEqual({ plain: 1, mirrored: 0, total: 1, onFold: false });
        const pattern: Pattern = {
          format: "peltry-pattern",
          version: 1,
          name: "h",
          panels: [half],
          seams: [],
        };
        expect(unfoldPattern(pattern).panels).toEqual([whole]);
      }),
      RUNS,
    );
  });
});

describe("properties of darts, facings and spots", () => {
  const strip = (): Panel =>
    panel("strip", [
      edge("bottom", "raw", [
        [0, 0],
        [300, 0],
      ]),
      edge("right", "raw", [
        [300, 0],
        [300, 200],
      ]),
      edge("top", "raw", [
        [300, 200],
        [0, 200],
      ]),
      edge("left", "raw", [
        [0, 200],
        [0, 0],
      ]),
    ]);
  const dart = fc.record({
    id: fc.constant("d"),
    at: number(60, 240),
    intake: number(4, 60),
    length: number(50, 150),
  });
  it("a dart measures what was asked: legs, mouth 2 L sin(α / 2), drill hole on its middle line [closed form]", () => {
    fc.assert(
      fc.property(dart, number(0, 60), (asked, short) => {
        const laid = addDart(strip(), "bottom", asked);
        const shape = dartShape(laid, "d");
        expect(shape.legs[0]).toBeCloseTo(asked.length, 6);
        expect(shape.legs[1]).toBeCloseTo(asked.length, 6);
        expect(2 * asked.length * Math.sin((shape.angle * Math.PI) / 360)).toBeCloseTo(asked.intake, 6);
        const hole = dartDrill(laid, "d", short);
        const [{ tip }] = laid.darts;
        const depth = Math.sqrt(asked.length ** 2 - asked.intake ** 2 / 4);
        expect(distance(hole, tip)).toBeCloseTo(Math.min(short, depth / 2), 6);
        expect(hole[0]).toBeCloseTo(asked.at, 6);
      }),
      RUNS,
    );
  });
  it("trueDart makes legs of any tip equally long, and leaves equal ones alone [idempotence]", () => {
    fc.assert(
      fc.property(dart, number(-20, 20), (asked, aside) => {
        const laid = addDart(strip(), "bottom", asked);
        const tip: Point = [laid.darts[0].tip[0] + aside, laid.darts[0].tip[1]];
        const bent: Panel = {
          ...laid,
          darts: [{ ...laid.darts[0], tip }],
          edges: laid.edges.map((e) =>
            e.role === "dart"
              ? { ...e, points: e.points.map((p) => (p === laid.darts[0].tip ? tip : p)) }
              : e,
          ),
        };
        const trued = trueDart(bent, "d");
        const [a, b] = dartShape(trued, "d").legs;
        expect(a).toBeCloseTo(b, 9);
        closeTo(trueDart(trued, "d"), trued);
      }),
      RUNS,
    );
  });
  it("a rounded end touches both legs: no point of it is nearer to the middle of the arc than the radius [closed form]", () => {
    fc.assert(
      fc.property(dart, number(0.05, 0.8), (asked, share) => {
        const laid = addDart(strip(), "bottom", asked);
        const half = Math.asin(asked.intake / 2 / asked.length);
        const radius = share * asked.length * Math.tan(half);
        const round = roundDartTip(laid, "d", radius);
        const { tip } = laid.darts[0];
        const middle: Point = [tip[0], tip[1] - radius / Math.sin(half)];
        const legs = round.edges.filter((e) => e.role === "dart").flatMap((e) => [...e.points]);
        const near = Math.min(...legs.map((p) => distance(p, middle)));
        expect(near).toBeCloseTo(radius, 6);
        expect(distance(round.darts[0].tip, middle)).toBeCloseTo(radius, 6);
      }),
      RUNS,
    );
  });
  it("a facing of a straight edge has that edge's length times its depth [closed form]", () => {
    fc.assert(
      fc.property(number(5, 150), (depth) => {
        const facing = facingPanel(strip(), ["bottom"], { id: "f", depth });
        expect(signedArea(panelOutline(facing))).toBeCloseTo(300 * depth, 4);
        expect(facing.edges[0].points).toEqual(strip().edges[0].points);
      }),
      RUNS,
    );
  });
  it("markingMethod buries no spot: applied only where the base is smooth or no longer than the spot [rule]", () => {
    fc.assert(
      fc.property(number(0, 80), number(0, 80), (base, spot) => {
        const { method } = markingMethod(base, spot);
        if (method === "applied") expect(base <= 3 || spot >= base).toBe(true);
        if (method === "shaved") expect(spot).toBeLessThan(base);
        // A spot as long as its base is never cut into a shaved hollow.
        expect(markingMethod(base, base).method).not.toBe("shaved");
      }),
      RUNS,
    );
  });
});

/** The same panel to a thousandth of a hair. */
function closeTo(one: Panel, other: Panel): void {
  expect(one.edges.map((e) => e.id)).toEqual(other.edges.map((e) => e.id));
  const points = (p: Panel): Point[] => [
    ...panelEdges(p).flatMap((e) => [...e.points]),
    ...p.markings.flatMap((m) => [...m.points]),
    ...p.darts.map((d) => d.tip),
  ];
  const wanted = points(other);
  points(one).forEach((p, i) => expect(distance(p, wanted[i])).toBeLessThan(1e-6));
  for (const key of ["pile", "stretch", "grain"] as const) {
    if (other[key] === undefined) expect(one[key]).toBeUndefined();
    else expect(Math.cos(((one[key]! - other[key]) * Math.PI) / 180)).toBeCloseTo(1, 9);
  }
}
