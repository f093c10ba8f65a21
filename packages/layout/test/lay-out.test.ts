import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createRandom, mirrorOutline, placePoints, signedArea, type Point } from "@peltry/geometry";
import {
  checkLayout,
  chooseLayout,
  isPeltryError,
  layOut,
  seedsFor,
  type FabricPiece,
  type LayoutOptions,
  type LayoutPanel,
} from "../src/index";
import { blob } from "./blob";

const rectangle = (w: number, h: number): Point[] => [
  [0, 0],
  [w, 0],
  [w, h],
  [0, h],
];
/** A panel with neither mirror nor turn symmetry. */
const flag: Point[] = [
  [0, 0],
  [120, 0],
  [90, 60],
  [120, 200],
  [40, 240],
  [0, 150],
];

/** Lays out and holds the result to the independent check. */
function valid(panels: LayoutPanel[], pieces: FabricPiece[], options: LayoutOptions = {}) {
  const result = layOut(panels, pieces, options);
  expect(checkLayout(panels, pieces, result.placements, { ...options, unplaced: result.unplaced })).toEqual(
    [],
  );
  return result;
}

function codeOf(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
}

describe("layOut on rolls", () => {
  it("layOut › shortens a roll without turning pile panels [oracle: independent check]", () => {
    const panels: LayoutPanel[] = [{ id: "flag", outline: flag, count: 4, mirrored: true }];
    const pieces: FabricPiece[] = [{ id: "roll", roll: { width: 500, costPerMetre: 20 } }];
    const result = valid(panels, pieces, { gap: 4, edgeGap: 5, evaluations: 60_000 });
    expect(result.unplaced).toEqual([]);
    expect(result.placements).toHaveLength(8);
    expect(result.placements.every((placement) => placement.rotation === 0)).toBe(true);
    expect(result.placements.filter((placement) => placement.mirrored)).toHaveLength(4);
    expect(result.usedLength * 500 * result.density).toBeCloseTo(8 * signedArea(flag), 3);
    expect(result.cost).toBeCloseTo((result.usedLength / 1000) * 20, 9);
    expect(result.density).toBeGreaterThan(0.6);
  });

  it("layOut › packs flush rectangles as tight as their sum [oracle: arithmetic]", () => {
    // Six 100 × 50 on a roll 300.004 wide fill two rows; sides lie flush, which a box test without the gap would pass.
    for (const gap of [0, 2]) {
      const panels: LayoutPanel[] = [{ id: "r", outline: rectangle(100, 50), count: 6 }];
      const pieces: FabricPiece[] = [{ id: "roll", roll: { width: 300.01 + 2 * gap } }];
      const result = valid(panels, pieces, { gap, evaluations: 80_000 });
      expect(result.placements).toHaveLength(6);
      expect(result.usedLength).toBeGreaterThanOrEqual(100 + gap);
      expect(result.usedLength).toBeLessThan(100 + gap + 0.5);
    }
  });

  it("layOut › keeps a gap that leaves nothing to spare, and gives up a thousandth under it [oracle: arithmetic]", () => {
    // 3 × 65 + 2 × 2.5 = 200 both ways.
    const panels: LayoutPanel[] = [{ id: "r", outline: rectangle(65, 65), count: 9 }];
    for (const outline of [undefined, rectangle(200, 200)]) {
      const size = outline === undefined ? { width: 200, length: 200 } : { outline, napAngle: 90 };
      const exact = valid(panels, [{ id: "c", ...size }], { gap: 2.5, evaluations: 20_000 });
      expect(exact.placements).toHaveLength(9);
    }
    const short = valid(panels, [{ id: "c", width: 199.999, length: 200 }], {
      gap: 2.5,
      evaluations: 20_000,
    });
    expect(short.placements).toHaveLength(6);
  });

  it("layOut › turns free panels to where they need least, between the steps [oracle: closed form]", () => {
    // A strip 300 × 10 on a roll 250 wide: shortest where 300 cos t + 10 sin t = 250, t = 35.48°.
    const t = Math.acos(250 / Math.hypot(300, 10)) + Math.atan2(10, 300);
    const least = 300 * Math.sin(t) + 10 * Math.cos(t);
    const roll: FabricPiece = { id: "r", roll: { width: 250 } };
    const strip = { id: "s", outline: rectangle(300, 10) };
    const free = valid([{ ...strip, rotations: "free" }], [roll], { evaluations: 40_000 });
    expect(free.usedLength).toBeGreaterThanOrEqual(least);
    expect(free.usedLength).toBeLessThan(1.03 * least);
    const stepped = Array.from({ length: 24 }, (_, k) => 15 * k);
    const listed = valid([{ ...strip, rotations: stepped }], [roll], { evaluations: 40_000 });
    expect(listed.usedLength).toBeCloseTo((300 + 10) * Math.SQRT1_2, 1);
    expect(stepped).toContain(listed.placements[0].rotation);
    // 420 × 8 on 300 × 310 fits between 45.9° and 46.5° alone.
    const tight = valid(
      [{ id: "t", outline: rectangle(420, 8), rotations: "free" }],
      [{ id: "c", width: 300, length: 310 }],
      { gap: 1 },
    );
    expect(tight.unplaced).toEqual([]);
  });

  it("layOut › spends one budget on all its stages, and the same bits each time [oracle: itself]", () => {
    const random = createRandom(8);
    const panels = Array.from({ length: 6 }, (_, k): LayoutPanel => ({
      id: `p${k}`,
      outline: blob(random, 9, 140),
      rotations: "free",
    }));
    const run = () => valid(panels, [{ id: "r", roll: { width: 330 } }], { gap: 2, evaluations: 60_000 });
    const first = run();
    expect(first.unplaced).toEqual([]);
    expect(first.evaluations).toBeLessThan(70_000);
    expect(JSON.stringify(run())).toBe(JSON.stringify(first));
  });

  it("layOut › runs a roll along its nap, x or y [oracle: the same job turned]", () => {
    const upright = valid([{ id: "p", outline: rectangle(90, 200) }], [{ id: "r", roll: { width: 100 } }]);
    expect(upright.usedLength).toBeCloseTo(200, 6);
    const lying = valid(
      [{ id: "p", outline: rectangle(200, 90), napAngle: 0 }],
      [{ id: "r", napAngle: 0, roll: { width: 100 } }],
    );
    expect(lying.usedLength).toBeCloseTo(200, 6);
    expect(lying.placements[0]).toMatchObject({ rotation: 0, turn: 0 });
    const turned = valid(
      [{ id: "p", outline: rectangle(90, 200) }],
      [{ id: "r", napAngle: 0, roll: { width: 100 } }],
    );
    expect(turned.placements[0]).toMatchObject({ rotation: 0, turn: 270 });
    expect(turned.usedLength).toBeCloseTo(200, 6);
  });

  it("layOut › never grows worse with more evaluations of the same seed [oracle: itself]", () => {
    const random = createRandom(4);
    const panels = Array.from({ length: 8 }, (_, k): LayoutPanel => ({
      id: `p${k}`,
      outline: blob(random, 9, 180),
      rotations: [0, 180],
    }));
    const lengths = [1, 40_000, 160_000].map((evaluations) => {
      const result = valid(panels, [{ id: "r", roll: { width: 400 } }], { gap: 1, evaluations });
      expect(result.unplaced).toEqual([]);
      return result.usedLength;
    });
    expect(lengths[1]).toBeLessThan(lengths[0]);
    expect(lengths[2]).toBeLessThanOrEqual(lengths[1] * 1.02);
  });
});

describe("layOut on odd pieces", () => {
  const lShape: Point[] = [
    [0, 0],
    [400, 0],
    [400, 150],
    [150, 150],
    [150, 400],
    [0, 400],
  ];

  it("layOut › solves planted cases: pieces cut round a known layout [oracle: the planted layout]", () => {
    const random = createRandom(12);
    const panels: LayoutPanel[] = [];
    const pieces: FabricPiece[] = [];
    for (let b = 0; b < 2; b++) {
      const cells = [
        [0, 0],
        [160, 0],
        [0, 160],
        [160, 160],
      ];
      cells.forEach(([x, y], k) => {
        const outline = placePoints(blob(random, 10, 150), 0, 0, 0);
        panels.push({ id: `p${b}${k}`, outline });
        expect(x + y).toBeGreaterThanOrEqual(0);
      });
      pieces.push({ id: `c${b}`, outline: placePoints(rectangle(330, 330), 0, 500 * b, -40), napAngle: 90 });
    }
    const result = valid(panels, pieces, { gap: 4, evaluations: 200_000 });
    expect(result.unplaced).toEqual([]);
  });

  it("layOut › keeps clear of holes, zones and the bite of an L [oracle: independent check]", () => {
    const piece: FabricPiece = {
      id: "L",
      outline: lShape,
      napAngle: 90,
      holes: [placePoints(rectangle(30, 30), 0, 60, 60)],
      zones: [{ outline: placePoints(rectangle(80, 80), 0, 300, 20), quality: 1, name: "thin" }],
    };
    const panels: LayoutPanel[] = [
      { id: "good", outline: rectangle(100, 60), count: 2 },
      { id: "hidden", outline: rectangle(110, 120), minQuality: 1 },
    ];
    const result = valid(panels, [piece], { gap: 3, edgeGap: 4, evaluations: 100_000 });
    expect(result.unplaced).toEqual([]);
    const bad = layOut(
      [{ id: "big", outline: rectangle(130, 130) }],
      [
        {
          ...piece,
          outline: rectangle(150, 150),
          holes: [],
          zones: [{ outline: placePoints(rectangle(20, 20), 0, 65, 65), quality: 0 }],
        },
      ],
    );
    expect(bad.unplaced[0].code).toBe("layout/bad-cloth");
  });

  it("layOut › mirrors the outline and never turns it instead [oracle: signed geometry]", () => {
    const hook: Point[] = [
      [0, 0],
      [100, 0],
      [100, 30],
      [30, 30],
      [30, 200],
      [0, 200],
    ];
    const result = valid(
      [{ id: "hook", outline: hook, mirrored: true }],
      [{ id: "c", width: 300, length: 400 }],
      { gap: 2 },
    );
    const right = result.placements.find((placement) => placement.mirrored)!;
    const wanted = placePoints(mirrorOutline(hook), 0, right.x, right.y);
    expect(signedArea(right.outline)).toBeCloseTo(signedArea(hook), 6);
    for (const [x, y] of wanted)
      expect(right.outline.some((p) => Math.hypot(p[0] - x, p[1] - y) < 0.002)).toBe(true);
    expect(right.rotation).toBe(0);
  });

  it("layOut › opens panels on the fold [oracle: area]", () => {
    const half: Point[] = [
      [0, 0],
      [80, 0],
      [60, 120],
      [0, 150],
    ];
    for (const onFold of [
      true,
      [
        [0, 150],
        [0, 0],
      ],
      [
        [0, 0],
        [0, 150],
      ],
    ] as const) {
      const result = valid([{ id: "back", outline: half, onFold }], [{ id: "c", width: 200, length: 200 }]);
      expect(signedArea(result.placements[0].outline)).toBeCloseTo(2 * signedArea(half), 6);
      expect(result.placements[0].outline).toHaveLength(6);
    }
  });

  it("layOut › keeps fabrics and bound panels to their pieces [oracle: independent check]", () => {
    const panels: LayoutPanel[] = [
      { id: "fur", outline: flag, fabric: "fur", mirrored: true },
      { id: "felt", outline: rectangle(50, 50), fabric: "felt", rotations: "free", count: 3 },
      { id: "any", outline: rectangle(40, 40), piece: "spare" },
      { id: "lost", outline: rectangle(40, 40), fabric: "silk" },
    ];
    const pieces: FabricPiece[] = [
      { id: "pelt", fabric: "fur", width: 300, length: 300 },
      { id: "sheet", fabric: "felt", width: 200, length: 120 },
      { id: "spare", width: 90, length: 60 },
    ];
    const result = valid(panels, pieces, { gap: 1, evaluations: 60_000 });
    expect(result.unplaced).toHaveLength(0);
    expect(result.placements.find((placement) => placement.panel === "lost")?.piece).toBe("spare");
    const without = layOut(panels.slice(3), pieces.slice(0, 2));
    expect(without.unplaced[0]).toMatchObject({ code: "layout/no-piece", panel: "lost" });
    expect(without.toBuy[0]).toMatchObject({ fabric: "silk", width: 1500, length: 40 });
  });

  it("layOut › uses few pieces, or cheap ones, as asked [oracle: counting]", () => {
    const panels: LayoutPanel[] = [{ id: "p", outline: rectangle(90, 90), count: 4 }];
    const pieces: FabricPiece[] = [
      { id: "big", width: 200, length: 200, cost: 50 },
      ...["s1", "s2", "s3", "s4"].map((id) => ({ id, width: 100, length: 100, cost: 1 })),
    ];
    expect(valid(panels, pieces, { gap: 1, evaluations: 40_000 }).piecesTouched).toEqual(["big"]);
    const cheap = valid(panels, pieces, { gap: 1, evaluations: 40_000, objective: "least-cost" });
    expect(cheap.cost).toBe(4);
    const roll: FabricPiece = { id: "roll", roll: { width: 500, costPerMetre: 10 } };
    const asked: LayoutOptions = { gap: 1, evaluations: 40_000, objective: "least-cost" };
    // 4 × 90 + 3 gaps lie side by side on the roll: 90 mm of it at 10 a metre, against 50 for the piece.
    const cut = valid(panels, [pieces[0], roll], asked);
    expect(cut.piecesTouched).toEqual(["roll"]);
    expect(cut.cost).toBeCloseTo(0.9, 3);
    expect(valid(panels, [{ ...pieces[0], cost: 0 }, roll], asked).cost).toBe(0);
    const scraps = Array.from({ length: 20 }, (_, k): FabricPiece => ({
      id: `s${k}`,
      width: 100 + 12 * k,
      length: 120 + 10 * k,
    }));
    expect(valid(panels, scraps, { gap: 1, evaluations: 40_000 }).piecesTouched).toHaveLength(1);
    const rest = valid(
      panels.map((panel) => ({ ...panel, count: 1 })),
      pieces,
      { objective: "largest-rest" },
    );
    expect(rest.piecesTouched).toEqual(["s1"]);
    expect(rest.largestRest).toMatchObject({ piece: "big", area: 40_000 });
  });
});

describe("layOut, what does not fit", () => {
  it("layOut › names by how much a panel is too wide, and a split [oracle: arithmetic]", () => {
    const result = layOut(
      [{ id: "wide", outline: rectangle(412, 100) }],
      [{ id: "a", width: 400, length: 600 }],
    );
    expect(result.placements).toEqual([]);
    expect(result.unplaced[0]).toMatchObject({ panel: "wide", code: "layout/too-wide" });
    expect(result.unplaced[0].reason).toContain("12 mm too wide");
    expect(result.unplaced[0].maxScale).toBeCloseTo(400 / 412, 2);
    expect(result.unplaced[0].fitsOffNap).toContain(90);
    expect(result.unplaced[0].splits[0]).toMatchObject({ fits: true, seamLength: 100 });
    expect(result.toBuy).toEqual([{ width: 1500, length: 100, panels: ["wide"], fits: true }]);
    expect(result.issues.map((issue) => issue.code)).toEqual(["layout/too-wide"]);
  });

  it("layOut › says when only poor cloth has room, though no border crosses the panel [oracle: drawn case]", () => {
    const piece = {
      id: "a",
      width: 200,
      length: 200,
      zones: [{ outline: rectangle(200, 160), quality: 1 }],
    };
    const lay = (minQuality: number) =>
      valid([{ id: "p", outline: rectangle(150, 150), minQuality }], [piece], { evaluations: 1000 });
    expect(lay(1).placements).toHaveLength(1);
    expect(lay(2).unplaced[0]).toMatchObject({
      code: "layout/bad-cloth",
      maxScale: expect.closeTo(40 / 150, 2),
    });
  });

  it("layOut › finds the largest scale on odd pieces, whichever of them it is [oracle: closed form]", () => {
    // A square in a circle: its diagonal is the diameter. The circle is drawn with 64 corners.
    const disc = (radius: number): Point[] =>
      Array.from({ length: 64 }, (_, k): Point => {
        const t = (2 * Math.PI * k) / 64;
        return [radius * Math.cos(t), radius * Math.sin(t)];
      });
    const pieces = [110, 150, 130].map((radius) => ({
      id: `${radius}`,
      napAngle: 90,
      outline: disc(radius),
    }));
    for (const rotations of [[0], "free"] as const) {
      const panels = [{ id: "square", outline: rectangle(400, 400), rotations }];
      const [left] = layOut(panels, pieces, { evaluations: 1 }).unplaced;
      const largest = 300 / (400 * Math.SQRT2);
      expect(left.maxScale).toBeLessThanOrEqual(largest + 1e-3);
      expect(left.maxScale).toBeGreaterThan(0.98 * largest);
    }
  });

  it("layOut › says when a panel fits only against the pile [oracle: a wedge in a wedge]", () => {
    const wedge: Point[] = [
      [0, 0],
      [300, 0],
      [150, 400],
    ];
    const piece: FabricPiece = {
      id: "w",
      outline: [
        [-5, 405],
        [305, 405],
        [150, -20],
      ],
      napAngle: 90,
    };
    const result = layOut([{ id: "wedge", outline: wedge }], [piece]);
    expect(result.unplaced[0]).toMatchObject({
      code: "layout/against-nap",
      reason: "fits only against the pile",
    });
    expect(
      layOut([{ id: "wedge", outline: wedge, rotations: [0, 180] }], [piece]).placements[0].rotation,
    ).toBe(180);
  });

  it("layOut › places as much as it can and says what to buy [oracle: area, independent check]", () => {
    const panels: LayoutPanel[] = [{ id: "p", outline: rectangle(90, 90), count: 5, fabric: "fur" }];
    const pieces: FabricPiece[] = [{ id: "a", fabric: "fur", width: 200, length: 200 }];
    const result = valid(panels, pieces, { gap: 1, evaluations: 60_000 });
    expect(result.placements).toHaveLength(4);
    expect(result.unplaced[0]).toMatchObject({ code: "layout/no-room", maxScale: 1 });
    expect(result.toBuy).toEqual([{ fabric: "fur", width: 1500, length: 90, panels: ["p"], fits: true }]);
  });

  it("layOut › prefers hidden lines to straight cuts [oracle: drawn case]", () => {
    const panel: LayoutPanel = {
      id: "cape",
      outline: rectangle(500, 300),
      hiddenLines: [
        {
          rank: 2,
          points: [
            [250, 0],
            [250, 300],
          ],
        },
        {
          rank: 1,
          points: [
            [0, 20],
            [500, 20],
          ],
        },
      ],
    };
    const result = layOut([panel], [{ id: "c", width: 280, length: 320 }]);
    const split = result.unplaced[0].splits[0];
    expect(split.fits).toBe(true);
    expect(split.lines.map((line) => line.rank)).toEqual([2]);
    expect(split.parts.map((part) => Math.round(signedArea(part.outline)))).toEqual([260 * 300, 260 * 300]);
  });

  it("layOut › warns of a piece without a nap [oracle: the list of codes]", () => {
    const piece: FabricPiece = { id: "c", outline: rectangle(300, 300) };
    expect(layOut([{ id: "p", outline: flag }], [piece]).issues[0]).toMatchObject({
      code: "layout/no-nap",
      severity: "warning",
      at: { piece: "c" },
    });
    expect(layOut([{ id: "p", outline: flag, rotations: "free" }], [piece]).issues).toEqual([]);
  });

  it("layOut › leaves everything out when the gap eats the piece, without throwing [oracle: arithmetic]", () => {
    const result = layOut([{ id: "p", outline: rectangle(10, 10) }], [{ id: "a", width: 100, length: 100 }], {
      edgeGap: 60,
    });
    expect(result.unplaced[0].code).toBe("layout/too-wide");
    expect(result.unplaced[0].reason).toContain("30 mm too wide and 30 mm too long");
  });
});

describe("layOut as a function", () => {
  const panels: LayoutPanel[] = [{ id: "flag", outline: flag, count: 5, rotations: [0, 180] }];
  const pieces: FabricPiece[] = [
    { id: "a", width: 400, length: 600 },
    { id: "roll", roll: { width: 300 } },
  ];

  it("layOut › gives the same bytes for the same seed and evaluations, and clones [oracle: itself]", () => {
    const run = () => layOut(panels, pieces, { gap: 2, seed: 5, evaluations: 30_000 });
    expect(JSON.stringify(run())).toBe(JSON.stringify(run()));
    expect(structuredClone(run())).toEqual(run());
  });

  it("layOut › changes neither panels nor pieces [oracle: frozen input]", () => {
    const freeze = <T>(value: T): T => {
      if (typeof value === "object" && value !== null) Object.values(Object.freeze(value)).forEach(freeze);
      return value;
    };
    expect(() =>
      layOut(freeze(structuredClone(panels)), freeze(structuredClone(pieces)), { evaluations: 2000 }),
    ).not.toThrow();
  });

  it("layOut › reports rising progress and stops with the best so far [oracle: independent check]", () => {
    const done: number[] = [];
    const signal = { aborted: false };
    const result = valid(panels, [{ id: "roll", roll: { width: 300 } }], {
      evaluations: 1e9,
      signal,
      onProgress: (progress) => {
        done.push(progress.done);
        if (done.length === 3) signal.aborted = true;
      },
    });
    expect(result.cancelled).toBe(true);
    expect(result.unplaced).toEqual([]);
    expect([...done].sort((a, b) => a - b)).toEqual(done);
    const early = valid(panels, pieces, { signal: { aborted: true } });
    expect(early.cancelled).toBe(true);
  });

  it("layOut › ends by a clock when asked [oracle: a counted clock]", () => {
    let now = 0;
    const result = valid(panels, [{ id: "roll", roll: { width: 300 } }], {
      seconds: 5,
      clock: () => (now += 0.5),
    });
    expect(now).toBeLessThan(10);
    expect(result.unplaced).toEqual([]);
  });

  it("layOut › takes any id [oracle: hostile names]", () => {
    const result = valid(
      [{ id: "__proto__", outline: flag }],
      [
        { id: "constructor", roll: { width: 300 } },
        { id: "__proto__", roll: { width: 200 } },
      ],
    );
    expect(result.placements).toHaveLength(1);
    expect(Object.keys(result.usedLengths).sort()).toEqual(["__proto__", "constructor"]);
    expect(result.drawings[0].svg).not.toContain("<script");
  });

  it("layOut › says what is wrong with a broken call [oracle: the list of codes]", () => {
    const piece: FabricPiece = { id: "a", width: 400, length: 600 };
    const p = { id: "p", outline: flag };
    const cases: [string, () => unknown][] = [
      [
        "layout/crossing-outline",
        () =>
          layOut(
            [
              {
                id: "p",
                outline: [
                  [0, 0],
                  [10, 10],
                  [10, 0],
                  [0, 10],
                ],
              },
            ],
            [piece],
          ),
      ],
      [
        "layout/crossing-outline",
        () =>
          layOut(
            [p],
            [
              {
                id: "a",
                outline: [
                  [0, 0],
                  [90, 90],
                  [90, 0],
                  [0, 80],
                ],
              },
            ],
          ),
      ],
      [
        "layout/bad-outline",
        () =>
          layOut(
            [
              {
                id: "p",
                outline: [
                  [0, 0],
                  [1, Number.NaN],
                  [1, 1],
                ],
              },
            ],
            [piece],
          ),
      ],
      [
        "layout/bad-outline",
        () =>
          layOut(
            [
              {
                id: "p",
                outline: [
                  [0, 0],
                  [1, 1],
                ],
              },
            ],
            [piece],
          ),
      ],
      [
        "layout/no-area",
        () =>
          layOut(
            [
              {
                id: "p",
                outline: [
                  [0, 0],
                  [5, 5],
                  [10, 10],
                ],
              },
            ],
            [piece],
          ),
      ],
      ["layout/no-area", () => layOut([], [{ id: "a", width: 0, length: 5 }])],
      ["layout/no-area", () => layOut([], [{ id: "a", roll: { width: -1 } }])],
      ["layout/two-forms", () => layOut([], [{ id: "a", outline: flag, roll: { width: 400 } }])],
      ["layout/two-forms", () => layOut([], [{ ...piece, roll: { width: 400 } }])],
      ["layout/two-forms", () => layOut([], [{ ...piece, outline: flag }])],
      ["layout/bad-cost", () => layOut([], [{ ...piece, cost: Number.NaN }])],
      ["layout/bad-cost", () => layOut([], [{ id: "a", roll: { width: 400, costPerMetre: -1 } }])],
      ["layout/bad-outline", () => layOut([], [{ ...piece, holes: 5 as never }])],
      ["layout/bad-outline", () => layOut([], [{ ...piece, zones: null as never }])],
      ["layout/no-area", () => layOut([], [{ id: "a", roll: null as never }])],
      ["layout/no-area", () => layOut([], [{ id: "a", roll: { width: 400, maxLength: Infinity } }])],
      ["layout/same-id", () => layOut([], [piece, piece])],
      ["layout/no-id", () => layOut([{ id: "", outline: flag }], [piece])],
      ["layout/no-list", () => layOut(null as never, [piece])],
      ["layout/no-list", () => layOut([], { 0: piece } as never)],
      ["layout/bad-quality", () => layOut([{ ...p, minQuality: Number.NaN }], [piece])],
      [
        "layout/bad-quality",
        () => layOut([p], [{ ...piece, zones: [{ outline: flag, quality: Number.NaN }] }]),
      ],
      ["layout/bad-gap", () => layOut([], [piece], { gap: -1 })],
      ["layout/bad-gap", () => layOut([], [piece], { edgeGap: Number.NaN })],
      ["layout/unknown-piece", () => layOut([{ ...p, piece: "b" }], [piece])],
      ["layout/bad-rotations", () => layOut([{ ...p, rotations: [] }], [piece])],
      ["layout/bad-count", () => layOut([{ ...p, count: 0.5 }], [piece])],
      [
        "layout/bad-fold",
        () =>
          layOut(
            [
              {
                ...p,
                onFold: [
                  [0, 0],
                  [90, 60],
                ],
              },
            ],
            [piece],
          ),
      ],
      ["layout/bad-nap", () => layOut([p], [{ ...piece, napAngle: 45 }])],
      ["layout/bad-option", () => layOut([p], [piece], { evaluations: 0 })],
      ["layout/bad-option", () => layOut([p], [piece], { objective: "best" as never })],
    ];
    for (const [code, run] of cases) expect(codeOf(run)).toBe(code);
    expect(layOut([], []).placements).toEqual([]);
  });

  it("chooseLayout › takes the best of several seeds [oracle: comparison]", () => {
    const seeds = seedsFor(1, 4);
    expect(new Set(seeds).size).toBe(4);
    const runs = seeds.map((seed) =>
      layOut(panels, [{ id: "roll", roll: { width: 300 } }], { seed, evaluations: 20_000 }),
    );
    const best = chooseLayout(runs, "shortest-roll")!;
    expect(best.usedLength).toBe(Math.min(...runs.map((run) => run.usedLength)));
    expect(chooseLayout([])).toBeUndefined();
  });
});

describe("layOut, in general", () => {
  it("layOut › is valid for random panels on random pieces [oracle: independent check]", () => {
    const job = fc.record({
      seed: fc.integer({ min: 1, max: 1e6 }),
      gap: fc.constantFrom(0, 1, 5),
      turns: fc.constantFrom([0], [0, 180], [0, 200]),
    });
    fc.assert(
      fc.property(job, ({ seed, gap, turns }) => {
        const random = createRandom(seed);
        const panels = Array.from({ length: 6 }, (_, k): LayoutPanel => ({
          id: `p${k}`,
          outline: blob(random, 3 + Math.floor(random() * 12), 60 + 120 * random()),
          rotations: turns,
          mirrored: random() < 0.3,
        }));
        const pieces: FabricPiece[] = [
          {
            id: "c0",
            outline: blob(random, 9, 500),
            napAngle: 90 + 30 * Math.floor(3 * random()),
            holes: [placePoints(blob(random, 5, 40), 0, 20, 10)],
          },
          { id: "c1", outline: blob(random, 7, 400), napAngle: 0 },
        ];
        const result = valid(panels, pieces, { gap, edgeGap: gap, seed, evaluations: 6_000 });
        expect(result.unplaced.every((entry) => entry.reason.length > 5)).toBe(true);
      }),
      { seed: 1, numRuns: 5 },
    );
  });

  it("layOut › lays the mirror, the shifted and the scaled job as well as the first [oracle: metamorphic]", () => {
    const random = createRandom(31);
    const outlines = Array.from({ length: 7 }, () => blob(random, 8, 160));
    const length = (change: (outline: Point[]) => Point[], width: number): number => {
      const panels = outlines.map((outline, k): LayoutPanel => ({ id: `p${k}`, outline: change(outline) }));
      const result = valid(panels, [{ id: "r", roll: { width } }], { evaluations: 60_000 });
      expect(result.unplaced).toEqual([]);
      return result.usedLength;
    };
    const first = length((outline) => outline, 350);
    expect(length((outline) => placePoints(outline, 0, 1000, -4000), 350)).toBe(first);
    expect(Math.abs(length(mirrorOutline, 350) / first - 1)).toBeLessThan(0.12);
    expect(
      Math.abs(length((outline) => outline.map(([x, y]): Point => [3 * x, 3 * y]), 1050) / (3 * first) - 1),
    ).toBeLessThan(0.12);
  });
});
