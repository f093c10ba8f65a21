import { describe, expect, it } from "vitest";
import {
  assertPattern,
  checkPattern,
  edgesFromOutline,
  placeNotches,
  writePattern,
  type Pattern,
  type Point,
} from "../src/index";
import { edge, panel, twoStrips } from "./fixtures";

type Deep<T> = T extends readonly [infer A, infer B]
  ? [A, B]
  : T extends readonly (infer U)[]
    ? Deep<U>[]
    : T extends object
      ? { -readonly [K in keyof T]: Deep<T[K]> }
      : T;

const spoil = (change: (pattern: Deep<Pattern>) => void): Pattern => {
  const pattern = structuredClone(twoStrips()) as Deep<Pattern>;
  change(pattern);
  return pattern as Pattern;
};
const codes = (pattern: Pattern): string[] => checkPattern(pattern).map((issue) => issue.code);

const withDart = (
  shape: { mouth?: number; second?: Point; role?: "dart" | "raw"; tip?: Point; reversedLegs?: boolean } = {},
): Pattern => {
  const [from, to]: [Point, Point] = [[40, 0], shape.second ?? [60, 0]];
  const tip: Point = [50, 40];
  const length = Math.hypot(10, 40);
  return {
    ...twoStrips(),
    seams: [],
    panels: [
      panel(
        "seat",
        [
          edge("b1", "raw", [[0, 0], from]),
          edge("in", shape.role ?? "dart", [from, tip]),
          edge("out", "dart", [tip, to]),
          edge("b2", "raw", [to, [100, 0]]),
          edge("rest", "raw", [
            [100, 0],
            [100, 80],
            [0, 80],
            [0, 0],
          ]),
        ],
        {
          pile: 0,
          darts: [
            {
              id: "d",
              legs: shape.reversedLegs ? ["out", "in"] : ["in", "out"],
              tip: shape.tip ?? tip,
              intake: shape.mouth ?? 20,
              length,
              cut: false,
            },
          ],
        },
      ),
    ],
  };
};

describe("checkPattern", () => {
  it("finds nothing in a sound pattern [invariant]", () => {
    expect(checkPattern(twoStrips())).toEqual([]);
    expect(checkPattern(withDart())).toEqual([]);
    expect(() => assertPattern(twoStrips())).not.toThrow();
  });

  const first = { panel: "left", edge: "bottom" };
  const faults: [string, Pattern, object][] = [
    ["pattern/open-outline", spoil((p) => (p.panels[0].edges[0].points[1] = [90, 0])), first],
    [
      "pattern/not-a-number",
      spoil((p) => (p.panels[0].edges[0].points[1] = [NaN, 0])),
      { ...first, index: 1 },
    ],
    [
      "pattern/not-a-number",
      spoil((p) => (p.panels[0].edges[0].points[1] = [Infinity, 0])),
      { ...first, index: 1 },
    ],
    [
      // Finite, but its square is not.
      "pattern/not-a-number",
      spoil((p) => (p.panels[0].edges[0].points[1] = [1e308, 0])),
      { ...first, index: 1 },
    ],
    ["pattern/short-edge", spoil((p) => p.panels[0].edges[0].points.pop()), first],
    ["pattern/no-edges", spoil((p) => (p.panels[0].edges = [])), { panel: "left" }],
    [
      "pattern/zero-length-edge",
      spoil((p) =>
        p.panels[0].edges.push({
          id: "nil",
          role: "raw",
          points: [
            [0, 0],
            [0, 0],
          ],
        }),
      ),
      { panel: "left", edge: "nil" },
    ],
    [
      "pattern/doubled-point",
      spoil((p) => p.panels[0].edges[0].points.push([100, 0])),
      { ...first, index: 2 },
    ],
    ["pattern/crossing-outline", spoil((p) => p.panels[0].edges[0].points.splice(1, 0, [50, 70])), first],
    ["pattern/touching-outline", spoil((p) => p.panels[0].edges[0].points.splice(1, 0, [50, 60])), first],
    [
      "pattern/clockwise",
      spoil((p) => {
        p.panels[0].edges.reverse();
        for (const one of p.panels[0].edges) one.points.reverse();
      }),
      { panel: "left" },
    ],
    [
      "pattern/no-area",
      spoil(
        (p) =>
          (p.panels[0].edges = [
            {
              id: "line",
              role: "raw",
              points: [
                [0, 0],
                [9, 0],
                [0, 0],
              ],
            },
          ]),
      ),
      { panel: "left", edge: "line" },
    ],
    [
      "pattern/holes-meet",
      spoil((p) => {
        const [x, y] = [20, 20];
        const square = (id: string, by: number): Deep<Pattern>["panels"][number]["edges"] => [
          {
            id,
            role: "raw",
            points: [
              [x + by, y + by],
              [x + by, y + by + 10],
              [x + by + 10, y + by + 10],
              [x + by + 10, y + by],
              [x + by, y + by],
            ],
          },
        ];
        p.panels[0].holes = [square("one", 0), square("two", 5)];
      }),
      { panel: "left", edge: "two" },
    ],
    [
      "pattern/hole-outside",
      spoil(
        (p) =>
          (p.panels[0].holes = [
            [
              {
                id: "h",
                role: "raw",
                points: [
                  [10, 10],
                  [10, 20],
                  [120, 20],
                  [10, 10],
                ],
              },
            ],
          ]),
      ),
      { panel: "left", edge: "h" },
    ],
    [
      "pattern/hole-counter-clockwise",
      spoil(
        (p) =>
          (p.panels[0].holes = [
            [
              {
                id: "h",
                role: "raw",
                points: [
                  [10, 10],
                  [20, 10],
                  [20, 20],
                  [10, 10],
                ],
              },
            ],
          ]),
      ),
      { panel: "left", edge: "h" },
    ],
    ["pattern/doubled-panel-id", spoil((p) => (p.panels[1].id = "left")), { panel: "left" }],
    [
      "pattern/doubled-edge-id",
      spoil((p) => (p.panels[0].edges[2].id = "back")),
      { panel: "left", edge: "back" },
    ],
    ["pattern/doubled-seam-id", spoil((p) => p.seams.push(p.seams[0])), { seam: "s1" }],
    ["pattern/doubled-letter", spoil((p) => p.seams.push({ ...p.seams[0], id: "s2" })), { seam: "s2" }],
    ["pattern/empty-id", spoil((p) => (p.panels[0].edges[0].id = "")), { panel: "left", edge: "" }],
    [
      "pattern/missing-seam-partner",
      spoil((p) => (p.seams[0].b.edge = "nowhere")),
      { panel: "right", edge: "nowhere", seam: "s1" },
    ],
    [
      "pattern/missing-seam-partner",
      spoil((p) => (p.seams = [])),
      { panel: "left", edge: "side", seam: "s1" },
    ],
    [
      "pattern/missing-seam-partner",
      spoil((p) => delete p.panels[0].edges[1].seam),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/one-sided-seam",
      spoil((p) => delete p.panels[0].edges[1].seam),
      { panel: "left", edge: "side", seam: "s1" },
    ],
    ["pattern/seam-to-itself", spoil((p) => (p.seams[0].b = p.seams[0].a)), { seam: "s1" }],
    [
      "pattern/role-with-seam",
      spoil((p) => (p.panels[0].edges[1].role = "hem")),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/seam-lengths-differ",
      spoil((p) => {
        p.panels[0].edges[1].points[1] = [100, 62];
        p.panels[0].edges[2].points[0] = [100, 62];
      }),
      { panel: "left", edge: "side", seam: "s1" },
    ],
    ["pattern/bad-ease", spoil((p) => (p.seams[0].ease = { side: "a", fraction: 3 })), { seam: "s1" }],
    [
      "pattern/match-point-off-edge",
      spoil((p) => (p.seams[0].matchPoints[0].b = 61)),
      { panel: "right", edge: "side" },
    ],
    [
      "pattern/match-points-cross",
      spoil((p) => p.seams[0].matchPoints.push({ id: "m2", a: 30, b: 50 })),
      { seam: "s1" },
    ],
    [
      "pattern/notch-off-edge",
      spoil((p) => (p.panels[0].edges[1].notches![0].at = 61)),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/notch-off-match",
      spoil((p) => (p.panels[0].edges[1].notches![0].at = 21)),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/unmatched-notch",
      spoil((p) => (p.panels[0].edges[1].notches![0].match = "x")),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/unmatched-notch",
      spoil((p) => (p.panels[1].edges[1].notches = [])),
      { panel: "left", edge: "side" },
    ],
    [
      "pattern/unmatched-notch",
      spoil((p) => (p.panels[1].edges[1].notches![0].kind = "double")),
      { panel: "left", edge: "side" },
    ],
    ["pattern/bad-count", spoil((p) => (p.panels[0].count = 0)), { panel: "left" }],
    ["pattern/not-a-number", spoil((p) => (p.panels[0].grain = NaN)), { panel: "left", path: ["grain"] }],
    [
      "pattern/unknown-fabric",
      spoil((p) => (p.panels[0].fabric = "silk")),
      { panel: "left", material: "silk" },
    ],
    ["pattern/pile-missing", spoil((p) => delete p.panels[0].pile), { panel: "left", material: "fur" }],
    [
      "pattern/fold-not-straight",
      spoil((p) => {
        p.panels[0].edges[3].role = "fold";
        p.panels[0].edges[3].points.splice(1, 0, [-1, 30]);
      }),
      { panel: "left", edge: "back" },
    ],
    [
      "pattern/dart-leg-missing",
      spoil((p) =>
        p.panels[0].darts.push({ id: "d", legs: ["x", "y"], tip: [0, 0], intake: 1, length: 1, cut: true }),
      ),
      { panel: "left", edge: "x" },
    ],
    ["pattern/dart-legs-apart", withDart({ reversedLegs: true }), { panel: "seat", edge: "out" }],
    ["pattern/dart-leg-role", withDart({ role: "raw" }), { panel: "seat" }],
    ["pattern/dart-tip-off", withDart({ tip: [50, 45] }), { panel: "seat" }],
    ["pattern/dart-legs-unequal", withDart({ second: [65, 0], mouth: 25 }), { panel: "seat" }],
    ["pattern/dart-intake-off", withDart({ mouth: 18 }), { panel: "seat" }],
    [
      "pattern/loose-dart-leg",
      { ...withDart(), panels: [{ ...withDart().panels[0], darts: [] }] },
      { panel: "seat", edge: "in" },
    ],
    [
      "pattern/marking-outside",
      spoil((p) => p.panels[0].markings.push({ id: "k", kind: "drill", points: [[101, 5]] })),
      { panel: "left" },
    ],
    [
      "pattern/marking-points",
      spoil((p) => p.panels[0].markings.push({ id: "k", kind: "area", points: [[1, 5]] })),
      { panel: "left" },
    ],
    [
      "pattern/marking-fabric",
      spoil((p) =>
        p.panels[0].markings.push({
          id: "k",
          kind: "area",
          method: "let-in",
          points: [
            [1, 5],
            [9, 5],
            [9, 9],
          ],
        }),
      ),
      { panel: "left" },
    ],
    [
      "pattern/empty-text",
      spoil((p) => p.panels[0].markings.push({ id: "k", kind: "text", points: [[1, 5]] })),
      { panel: "left" },
    ],
    ["pattern/no-panels", { ...twoStrips(), panels: [], seams: [] }, {}],
  ];
  for (const [code, pattern, at] of faults) {
    it(`finds ${code} at ${JSON.stringify(at)} and says how to mend it [failing input]`, () => {
      const found = checkPattern(pattern).filter((issue) => issue.code === code);
      const here = found.find((issue) =>
        Object.entries(at).every(([k, v]) => JSON.stringify(issue.at[k as "panel"]) === JSON.stringify(v)),
      );
      expect(here, `${JSON.stringify(found)} among ${codes(pattern).join()}`).toBeDefined();
      expect(here?.message).toMatch(/^[A-Z0-9].*[.)]$/s);
      expect(here?.fix).toBeTruthy();
    });
  }

  it("lets declared ease stand and tells a wrong figure [closed form: 60 (1 − f) = 57]", () => {
    const eased = (fraction: number): Pattern =>
      spoil((p) => {
        for (const [e, i] of [
          [1, 1],
          [2, 0],
          [2, 1],
          [3, 0],
        ])
          p.panels[0].edges[e].points[i][1] = 57;
        p.seams[0].matchPoints = [];
        for (const one of p.panels) delete one.edges[1].notches;
        p.seams[0].ease = { side: "b", fraction };
      });
    expect(codes(eased(3 / 60))).toEqual([]);
    expect(codes(eased(0.1))).toEqual(["pattern/seam-lengths-differ"]);
  });

  it("tells what has not the form of a pattern, with the path to it [invariant]", () => {
    for (const [given, path] of [
      [null, []],
      [5, []],
      [{ name: "x", seams: [] }, ["panels"]],
      [spoil((p) => (p.panels[0].edges[1].points = 5 as never)), ["panels", 0, "edges", 1, "points"]],
      [spoil((p) => (p.panels[0].edges[1].points[0] = 7 as never)), ["panels", 0, "edges", 1, "points", 0]],
      [spoil((p) => (p.seams[0].a = null as never)), ["seams", 0, "a"]],
      [spoil((p) => (p.panels[1].darts = undefined as never)), ["panels", 1, "darts"]],
    ] as const) {
      const [first] = checkPattern(given as never);
      expect([first.code, first.at.path]).toEqual(["pattern/bad-form", path]);
      expect(() => placeNotches(given as never)).toThrow("belongs there");
      expect(() => writePattern(given as never)).toThrow("belongs there");
    }
    expect(() => edgesFromOutline(null as never)).toThrow("takes three points");
  });

  it("throws every error at once when asserted", () => {
    const broken = spoil((p) => {
      p.panels[0].count = 0;
      p.panels[1].count = -1;
    });
    expect(() => assertPattern(broken)).toThrow(/cut 0 times[^]*cut -1 times/);
  });
});
