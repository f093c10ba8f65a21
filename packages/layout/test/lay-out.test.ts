import { describe, expect, it } from "vitest";
import { signedArea, type Point } from "@peltry/geometry";
import {
  checkLayout,
  isPeltryError,
  layOut,
  type FabricPiece,
  type LayoutOptions,
  type LayoutPanel,
} from "../src/index";

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

function valid(panels: LayoutPanel[], pieces: FabricPiece[], options: LayoutOptions) {
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

describe("layOut", () => {
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

  it("layOut › gives the same bytes for the same seed and evaluations [oracle: itself]", () => {
    const panels: LayoutPanel[] = [{ id: "flag", outline: flag, count: 5, rotations: [0, 180] }];
    const pieces: FabricPiece[] = [
      { id: "a", width: 400, length: 600 },
      { id: "roll", roll: { width: 300 } },
    ];
    const run = () => JSON.stringify(layOut(panels, pieces, { gap: 2, seed: 5, evaluations: 30_000 }));
    expect(run()).toBe(run());
  });

  it("layOut › says what is wrong with a broken call [oracle: the list of codes]", () => {
    const piece: FabricPiece = { id: "a", width: 400, length: 600 };
    const crossing: Point[] = [
      [0, 0],
      [10, 10],
      [10, 0],
      [0, 10],
    ];
    expect(codeOf(() => layOut([{ id: "p", outline: crossing }], [piece]))).toBe("layout/crossing-outline");
    expect(
      codeOf(() =>
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
      ),
    ).toBe("layout/bad-outline");
    expect(codeOf(() => layOut([], [{ id: "a", width: 0, length: 5 }]))).toBe("layout/no-area");
    expect(codeOf(() => layOut([], [piece, piece]))).toBe("layout/same-id");
    expect(codeOf(() => layOut([], [piece], { gap: -1 }))).toBe("layout/bad-gap");
    expect(codeOf(() => layOut([{ id: "p", outline: flag, piece: "b" }], [piece]))).toBe(
      "layout/unknown-piece",
    );
  });

  it("layOut › names what does not fit, by how much [oracle: arithmetic]", () => {
    const result = layOut(
      [{ id: "wide", outline: rectangle(412, 100) }],
      [{ id: "a", width: 400, length: 600 }],
    );
    expect(result.placements).toEqual([]);
    expect(result.unplaced[0]).toMatchObject({ panel: "wide", code: "layout/too-wide" });
    expect(result.unplaced[0].reason).toContain("12 mm too wide");
    expect(result.unplaced[0].maxScale).toBeCloseTo(400 / 412, 2);
    expect(result.unplaced[0].fitsOffNap).toContain(90);
    expect(result.unplaced[0].splits[0].fits).toBe(true);
    expect(result.toBuy).toEqual([{ width: 1500, length: 100, panels: ["wide"], fits: true }]);
  });
});
