import { distance, pointInOutline, signedArea, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import {
  addDart,
  addLining,
  checkPattern,
  cutQuantity,
  dartDrill,
  dartShape,
  edgesFromOutline,
  edgesOutline,
  facingPanel,
  isPeltryError,
  letInMarkings,
  markingMethod,
  mirrorPanel,
  panelArrows,
  placeNotches,
  panelOutline,
  roundDartTip,
  trueDart,
  turnPanel,
  unfoldPanel,
  unfoldPattern,
  type Panel,
  type Pattern,
} from "../src/index";
import { edge, panel, twoStrips } from "./fixtures";

const sheet = (more: Partial<Panel> = {}): Panel =>
  panel(
    "seat",
    [
      edge("waist", "opening", [
        [200, 150],
        [0, 150],
      ]),
      edge("left", "raw", [
        [0, 150],
        [0, 0],
      ]),
      edge("hem", "hem", [
        [0, 0],
        [200, 0],
      ]),
      edge("right", "raw", [
        [200, 0],
        [200, 150],
      ]),
    ],
    more,
  );
const asPattern = (...panels: Panel[]): Pattern => ({
  ...twoStrips(),
  fabrics: undefined,
  panels,
  seams: [],
});
function code(run: () => unknown): string | undefined {
  try {
    run();
  } catch (error) {
    return isPeltryError(error) ? error.code : String(error);
  }
  return undefined;
}

describe("darts", () => {
  it("addDart opens 2 L sin(α / 2) and takes half of intake times depth from the area [closed form: L 120, 25° gives 51.9455]", () => {
    const made = addDart(sheet(), "waist", { id: "d", at: 100, intake: 51.9455, length: 120 });
    const shape = dartShape(made, "d");
    expect(shape.angle).toBeCloseTo(25, 4);
    expect(shape.legs[0]).toBeCloseTo(120, 9);
    expect(shape.legs[1]).toBeCloseTo(120, 9);
    expect(shape.axis[1]).toBeCloseTo(1, 9);
    const depth = 120 * Math.cos((12.5 * Math.PI) / 180);
    expect(signedArea(panelOutline(sheet())) - signedArea(panelOutline(made))).toBeCloseTo(
      (51.9455 * depth) / 2,
      3,
    );
    expect(checkPattern(asPattern(made))).toEqual([]);
  });
  it("addDart refuses what does not fit [failing input]", () => {
    expect(code(() => addDart(sheet(), "waist", { id: "d", at: 5, intake: 30, length: 90 }))).toBe(
      "pattern/bad-dart",
    );
    expect(code(() => addDart(sheet(), "nowhere", { id: "d", at: 5, intake: 3, length: 90 }))).toBe(
      "pattern/bad-dart",
    );
    expect(
      code(() => addDart(twoStrips().panels[0], "side", { id: "d", at: 30, intake: 9, length: 20 })),
    ).toBe("pattern/dart-in-seam");
    expect(code(() => dartShape(sheet(), "d"))).toBe("pattern/dart-leg-missing");
  });
  it("dartDrill lies short of the tip on the middle line, and never past half of a small dart [closed form]", () => {
    // Mouth at y = 150, depth √(90² − 15²).
    const made = addDart(sheet(), "waist", { id: "d", at: 100, intake: 30, length: 90 });
    const tip = 150 - Math.sqrt(90 ** 2 - 15 ** 2);
    const at = (short?: number): Point => dartDrill(made, "d", short);
    expect(at()[0]).toBeCloseTo(100, 9);
    expect(at()[1]).toBeCloseTo(tip + 10, 9);
    expect(at(0)[1]).toBeCloseTo(tip, 9);
    expect(at(500)[1]).toBeCloseTo((tip + 150) / 2, 9);
    expect(code(() => at(-1))).toBe("pattern/bad-dart");
    expect(code(() => at(Number.NaN))).toBe("pattern/bad-dart");
    expect(code(() => dartDrill(made, "e"))).toBe("pattern/dart-leg-missing");
  });
  it("trueDart makes the legs equal and the panel sound again [invariant]", () => {
    const even = addDart(sheet(), "waist", { id: "d", at: 100, intake: 30, length: 90 });
    const skew: Panel = {
      ...even,
      edges: even.edges.map((one) => ({
        ...one,
        points: one.points.map((p): Point => (p[0] === 115 && p[1] === 150 ? [117, 156] : p)),
      })),
    };
    expect(checkPattern(asPattern(skew)).map((issue) => issue.code)).toContain("pattern/dart-legs-unequal");
    const trued = trueDart(skew, "d");
    const { legs } = dartShape(trued, "d");
    expect(legs[0]).toBeCloseTo(legs[1], 9);
    expect(checkPattern(asPattern(trued)).filter((issue) => issue.severity === "error")).toEqual([]);
    expect(code(() => trueDart(sheet(), "d"))).toBe("pattern/dart-leg-missing");
  });
  it("roundDartTip lays an arc that touches both legs [closed form: tip moves up by r / sin(α / 2) − r]", () => {
    const sharp = addDart(sheet(), "waist", { id: "d", at: 100, intake: 40, length: 90 });
    const round = roundDartTip(sharp, "d", 6);
    const half = Math.asin(20 / 90);
    expect(distance(round.darts[0].tip, sharp.darts[0].tip)).toBeCloseTo(6 / Math.sin(half) - 6, 9);
    const legs = dartShape(round, "d").legs;
    expect(legs[0]).toBeCloseTo(legs[1], 9);
    expect(legs[0]).toBeCloseTo(90 - 6 / Math.tan(half) + 6 * (Math.PI / 2 - half), 1);
    const centre: Point = [round.darts[0].tip[0], round.darts[0].tip[1] + 6];
    for (const leg of round.edges.filter((one) => one.role === "dart")) {
      for (const p of leg.points.slice(1, -1)) expect(distance(p, centre)).toBeCloseTo(6, 9);
    }
    expect(checkPattern(asPattern(round))).toEqual([]);
    expect(code(() => roundDartTip(sharp, "d", 60))).toBe("pattern/bad-dart");
  });
});

describe("turned and opened panels", () => {
  const rich = (): Panel => ({
    ...addDart(
      sheet({
        pile: -80,
        grain: 10,
        stretch: 100,
        markings: [{ id: "k", kind: "drill", points: [[20, 30]], pile: 15 }],
      }),
      "hem",
      {
        id: "d",
        at: 60,
        intake: 20,
        length: 50,
      },
    ),
  });
  it("mirrorPanel twice gives the panel back; once keeps area and winding and turns directions [invariant]", () => {
    const once = mirrorPanel(rich());
    expect(signedArea(panelOutline(once))).toBeCloseTo(signedArea(panelOutline(rich())), 9);
    expect([once.pile, once.grain, once.stretch]).toEqual([-100, 170, 80]);
    expect(once.markings[0]).toMatchObject({ points: [[-20, 30]], pile: 165 });
    expect(checkPattern(asPattern(once))).toEqual([]);
    expect(mirrorPanel(once)).toEqual(rich());
  });
  it("mirrorPanel keeps each notch at its place on the cloth [closed form]", () => {
    const strip = twoStrips().panels[0];
    const side = mirrorPanel(strip).edges.find((one) => one.id === "side")!;
    expect(side.notches).toEqual([{ at: 40, kind: "single", match: "m1" }]);
    expect(side.points).toEqual([
      [-100, 60],
      [-100, 0],
    ]);
  });
  it("turnPanel turns points and directions alike [metamorphic]", () => {
    const turned = turnPanel(rich(), 90, 5, 0);
    expect(turned.pile).toBe(10);
    expect(turned.markings[0].points[0][0]).toBeCloseTo(-25, 9);
    expect(signedArea(panelOutline(turned))).toBeCloseTo(signedArea(panelOutline(rich())), 6);
  });
  it("unfoldPanel doubles the area about the fold and stays sound [closed form]", () => {
    const half = panel(
      "back",
      [
        edge("fold", "fold", [
          [0, 100],
          [0, 0],
        ]),
        edge("hem", "hem", [
          [0, 0],
          [70, 0],
        ]),
        edge("side", "raw", [
          [70, 0],
          [90, 100],
        ]),
        edge("neck", "raw", [
          [90, 100],
          [40, 90],
          [0, 100],
        ]),
      ],
      { markings: [{ id: "k", kind: "drill", points: [[20, 30]] }] },
    );
    const whole = unfoldPanel(half);
    expect(signedArea(panelOutline(whole))).toBeCloseTo(2 * signedArea(panelOutline(half)), 9);
    expect(whole.edges.map((one) => one.id)).toEqual([
      "hem",
      "side",
      "neck",
      "neck-mirrored",
      "side-mirrored",
      "hem-mirrored",
    ]);
    expect(whole.markings.map((one) => one.points[0])).toEqual([
      [20, 30],
      [-20, 30],
    ]);
    expect(checkPattern(asPattern(whole))).toEqual([]);
    expect(cutQuantity(half)).toEqual({ plain: 1, mirrored: 0, total: 1, onFold: true });
    expect(cutQuantity({ ...whole, count: 2, mirrored: true })).toEqual({
      plain: 2,
      mirrored: 2,
      total: 4,
      onFold: false,
    });
    expect(code(() => unfoldPanel(whole))).toBe("pattern/no-fold");
  });
});

describe("unfoldPattern", () => {
  /** Half a back on the fold, sewn to a side of both hands, that to a gusset of both hands, and to a belly on the fold. */
  function halves(): Pattern {
    const rectangle = (id: string, w: number, roles: [string, string][], more: Partial<Panel>): Panel => {
      const corners: Point[] = [
        [0, 0],
        [w, 0],
        [w, 240],
        [0, 240],
        [0, 0],
      ];
      const edges = roles.map(([role, seam], i) =>
        edge(`e${i}`, role as "seam", [corners[i], corners[i + 1]], seam ? { seam } : {}),
      );
      return panel(id, edges, { pile: -90, ...more });
    };
    const seam = (id: string, letter: string, a: string, b: string): Pattern["seams"][number] => ({
      ...{ id, letter, reversed: true, matchPoints: [] },
      a: { panel: a, edge: "e1" },
      b: { panel: b, edge: "e3" },
    });
    const both = { mirrored: true };
    return placeNotches({
      ...{ format: "peltry-pattern", version: 1, name: "body" },
      panels: [
        rectangle(
          "back",
          70,
          [
            ["hem", ""],
            ["seam", "s1"],
            ["raw", ""],
            ["fold", ""],
          ],
          { markings: [{ id: "k", kind: "drill", points: [[20, 30]] }] },
        ),
        rectangle(
          "side",
          40,
          [
            ["hem", ""],
            ["seam", "s2"],
            ["raw", ""],
            ["seam", "s1"],
          ],
          both,
        ),
        rectangle(
          "gusset",
          30,
          [
            ["hem", ""],
            ["seam", "s3"],
            ["raw", ""],
            ["seam", "s2"],
          ],
          both,
        ),
        rectangle(
          "belly",
          60,
          [
            ["hem", ""],
            ["fold", ""],
            ["raw", ""],
            ["seam", "s3"],
          ],
          {},
        ),
        rectangle(
          "tail",
          20,
          [
            ["raw", ""],
            ["raw", ""],
            ["raw", ""],
            ["raw", ""],
          ],
          both,
        ),
      ],
      seams: [
        seam("s1", "A", "back", "side"),
        seam("s2", "B", "side", "gusset"),
        seam("s3", "C", "gusset", "belly"),
      ],
    });
  }
  const area = ({ panels }: Pattern): number =>
    panels.reduce((sum, one) => {
      const folds = one.edges.filter(({ role }) => role === "fold").length;
      return sum + signedArea(panelOutline(one)) * (folds + 1) * one.count * (one.mirrored ? 2 : 1);
    }, 0);

  it("opens halves, parts hands and keeps every seam, notch and mm² of cloth [closed form, invariant]", () => {
    const given = halves();
    const before = JSON.stringify(given);
    const whole = unfoldPattern(given);
    expect(JSON.stringify(given)).toBe(before);
    expect(checkPattern(given)).toEqual([]);
    expect(checkPattern(whole)).toEqual([]);
    expect(area(whole)).toBeCloseTo(area(given), 6);
    expect(whole.panels.map(({ id }) => id)).toEqual([
      ...["back", "side", "side-mirrored", "gusset", "gusset-mirrored", "belly", "tail"],
    ]);
    expect(whole.seams.map(({ id, letter }) => id + letter)).toEqual([
      ...["s1A", "s2B", "s3C", "s1-mirroredD", "s2-mirroredE", "s3-mirroredF"],
    ]);
    const notches = (one: Pattern): number =>
      one.panels.flatMap(({ edges }) => edges).flatMap((e) => e.notches ?? []).length;
    expect(notches(whole)).toBe(2 * notches(given));
    expect(whole.panels.find(({ id }) => id === "tail")).toBe(given.panels[4]);
    // Opened already: nothing more to open.
    expect(unfoldPattern(whole)).toEqual(whole);
  });
  it("opens only the panels named, and leaves a new edge without a partner to be told of [failing input]", () => {
    const some = unfoldPattern(halves(), { panels: ["back"] });
    expect(some.panels.find(({ id }) => id === "belly")!.edges).toHaveLength(4);
    expect(checkPattern(some).map(({ code, at }) => [code, at.panel, at.edge])).toEqual([
      ["pattern/missing-seam-partner", "gusset-mirrored", "e1"],
    ]);
    expect(code(() => unfoldPattern(halves(), { panels: ["tail"] }))).toBe("pattern/no-fold");
    expect(code(() => unfoldPattern(halves(), { panels: ["wing"] }))).toBe("pattern/no-panel");
    expect(code(() => unfoldPattern(null as never))).toBe("pattern/bad-form");
  });
});

describe("plain JavaScript", () => {
  it("options that are none are told, never a TypeError [failing input]", () => {
    const body = asPattern(sheet());
    for (const run of [
      () => placeNotches(body, null as never),
      () => placeNotches(body, { leastGap: Number.NaN }),
      () => unfoldPattern(body, 5 as never),
      () => addLining(body, null as never),
      () => facingPanel(sheet(), ["waist"], null as never),
      () => edgesFromOutline([], null as never),
    ])
      expect(code(run)).toBe("pattern/bad-options");
    for (const dart of [null, undefined, 5, {}])
      expect(code(() => addDart(sheet(), "waist", dart as never))).toBe("pattern/bad-dart");
    expect(code(() => addDart(null as never, "waist", null as never))).toBe("pattern/bad-form");
  });
});

describe("markings of another fabric", () => {
  it("markingMethod answers for every pair of heights, with a reason [invariant]", () => {
    for (let base = 0; base <= 80; base += 4) {
      for (let spot = 0; spot <= 80; spot += 4) expect(markingMethod(base, spot).reason).toMatch(/mm/);
    }
    expect(markingMethod(0, 20).method).toBe("applied");
    expect(markingMethod(8, 25).method).toBe("applied");
    expect(markingMethod(40, 40).method).toBe("let-in");
    expect(markingMethod(40, 30).method).toBe("let-in");
    expect(markingMethod(40, 5).method).toBe("shaved");
    expect(code(() => markingMethod(NaN, 3))).toBe("pattern/bad-pile");
  });
  const spot = (points: Point[]): Panel =>
    sheet({
      pile: -90,
      markings: [{ id: "spot", kind: "area", points, fabric: "white", method: "let-in", pile: -80 }],
    });
  const ring = Array.from({ length: 40 }, (_, i): Point => [
    100 + 30 * Math.cos((i * Math.PI) / 20),
    70 + 20 * Math.sin((i * Math.PI) / 20),
  ]);
  it("letInMarkings cuts a hole and fills it with a panel of equal outline [closed form; checked by checkPattern]", () => {
    for (const outline of [
      ring,
      [...ring].reverse(),
      [
        [60, 40],
        [120, 40],
        [120, 90],
        [60, 90],
      ] as Point[],
    ]) {
      const { pattern, issues } = letInMarkings(asPattern(spot(outline)));
      expect(issues).toEqual([]);
      const [base, inset] = pattern.panels;
      expect(inset).toMatchObject({ fabric: "white", pile: -80 });
      expect(signedArea(panelOutline(inset))).toBeCloseTo(Math.abs(signedArea(outline)), 9);
      expect(signedArea(edgesOutline(base.holes![0]))).toBeCloseTo(-Math.abs(signedArea(outline)), 9);
      expect(pattern.seams).toHaveLength(inset.edges.length);
      expect(checkPattern(pattern)).toEqual([]);
    }
  });
  it("leaves a marking at the very edge alone and says so [failing input]", () => {
    const { pattern, issues } = letInMarkings(
      asPattern(
        spot([
          [2, 40],
          [60, 40],
          [60, 90],
        ]),
      ),
    );
    expect(issues).toMatchObject([{ code: "pattern/let-in-at-edge", at: { panel: "seat" }, found: 2 }]);
    expect(pattern.panels).toHaveLength(1);
  });
});

describe("copies", () => {
  it("addLining copies panels, seams and notches, and stays sound [checked by checkPattern]", () => {
    const made = addLining(twoStrips(), { fabric: "fur" });
    expect(made.panels.map((one) => one.id)).toEqual(["left", "right", "left-lining", "right-lining"]);
    expect(made.seams.map((one) => one.letter)).toEqual(["A", "B"]);
    expect(made.panels[2].edges[1].notches).toEqual(made.panels[0].edges[1].notches);
    expect(checkPattern(made)).toEqual([]);
  });
  it("addLining of one panel leaves its seam open [invariant; failing input]", () => {
    const made = addLining({ ...twoStrips(), fabrics: undefined }, { fabric: "satin", panels: ["left"] });
    expect(made.panels[2].edges[1]).toMatchObject({ role: "opening", notches: [{ at: 20, kind: "single" }] });
    expect(made.panels[2].pile).toBeUndefined();
    expect(checkPattern(made)).toEqual([]);
    expect(code(() => addLining(twoStrips(), { fabric: "x", panels: ["nobody"] }))).toBe("pattern/no-panel");
  });
  it("facingPanel is a band of even depth [closed form: 200 by 30, and a ring's sector]", () => {
    const band = facingPanel(sheet(), ["waist"], { id: "waistband", depth: 30 });
    expect(signedArea(panelOutline(band))).toBeCloseTo(200 * 30, 6);
    expect(checkPattern(asPattern(band))).toEqual([]);
    const arc = Array.from({ length: 91 }, (_, i): Point => {
      const t = (i * Math.PI) / 180;
      return [100 * Math.cos(t), 100 * Math.sin(t)];
    });
    const quarter = panel("quarter", [
      edge("rim", "opening", arc),
      edge("up", "raw", [
        [0, 100],
        [0, 0],
      ]),
      edge("along", "raw", [
        [0, 0],
        [100, 0],
      ]),
    ]);
    const sector = facingPanel(quarter, ["rim"], { id: "f", depth: 25 });
    expect(signedArea(panelOutline(sector))).toBeCloseTo((Math.PI / 4) * (100 ** 2 - 75 ** 2), -1);
    expect(code(() => facingPanel(quarter, ["rim"], { id: "f", depth: 120 }))).toBe(
      "pattern/facing-too-deep",
    );
    expect(code(() => facingPanel(sheet(), ["waist", "hem"], { id: "f", depth: 20 }))).toBe(
      "pattern/facing-run",
    );
  });
});

describe("panelArrows and edgesFromOutline", () => {
  it("panelArrows lie inside the cloth and point the right way [invariant]", () => {
    const bent = panel(
      "bent",
      edgesFromOutline([
        [0, 0],
        [200, 0],
        [200, 40],
        [40, 40],
        [40, 200],
        [0, 200],
      ]),
      { pile: -90, grain: 0, stretch: 45 },
    );
    const arrows = panelArrows(bent);
    expect(arrows.map((one) => one.kind)).toEqual(["pile", "grain", "stretch"]);
    for (const { kind, from, to, bothWays } of arrows) {
      expect((Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI).toBeCloseTo(bent[kind]!, 6);
      expect(bothWays).toBe(kind !== "pile");
      for (let t = 0; t <= 1; t += 0.1) {
        const p: Point = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
        expect(pointInOutline(p, panelOutline(bent))).not.toBe("outside");
      }
    }
    expect(panelArrows(sheet())).toEqual([]);
  });
  it("edgesFromOutline cuts at corners only and gives the outline back [invariant; failing input]", () => {
    const outline: Point[] = [
      [0, 0],
      [50, -2],
      [100, 0],
      [100, 80],
      [0, 80],
    ];
    const edges = edgesFromOutline(outline, { role: "seam", prefix: "e" });
    expect(edges.map((one) => [one.id, one.points.length])).toEqual([
      ["e1", 3],
      ["e2", 2],
      ["e3", 2],
      ["e4", 2],
    ]);
    expect(edgesOutline(edges)).toEqual(outline);
    const round = Array.from({ length: 30 }, (_, i): Point => [
      Math.cos((i * Math.PI) / 15),
      Math.sin((i * Math.PI) / 15),
    ]);
    expect(edgesFromOutline(round)).toHaveLength(1);
    expect(edgesOutline(edgesFromOutline(round))).toEqual(round);
    expect(
      code(() =>
        edgesFromOutline([
          [0, 0],
          [1, 1],
        ]),
      ),
    ).toBe("pattern/no-area");
    expect(
      code(() =>
        edgesFromOutline([
          [0, 0],
          [1, NaN],
          [3, 3],
        ]),
      ),
    ).toBe("pattern/not-a-number");
  });
});
