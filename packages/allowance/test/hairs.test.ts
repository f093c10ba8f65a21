import { describe, expect, it } from "vitest";
import { addAllowance } from "@peltry/allowance";
import { distanceToSegment } from "@peltry/geometry";
import { withoutHairs } from "../src/internal/simple";

describe("hairs of rounding on a cut line", () => {
  const square = [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
  ] as const;
  it("are cut off, however many points they have [oracle: the outline without them]", () => {
    const hairy = [
      ...square.slice(0, 2),
      [100, 50],
      [101, 50.0001],
      [102, 50.0003],
      [102, 50.0004],
      [101, 50.0004],
      [100.0001, 50.0005],
      ...square.slice(2),
    ] as [number, number][];
    expect(withoutHairs(hairy)).toEqual([...square.slice(0, 2), [100, 50], ...square.slice(2)]);
  });
  it("are told from slim points of cloth, and an outline without any stays", () => {
    const slim = [...square.slice(0, 2), [100, 50], [110, 50.02], [100, 50.04], ...square.slice(2)] as [
      number,
      number,
    ][];
    expect(withoutHairs(slim)).toEqual(slim);
    expect(withoutHairs(square)).toEqual(square);
  });
  it("at the start of the list go as well", () => {
    const turned = [
      [105, 50],
      [100, 50.0005],
      [100, 100],
      [0, 100],
      [0, 0],
      [100, 0],
      [100, 50],
    ] as [number, number][];
    expect(withoutHairs(turned)).toEqual([
      [100, 100],
      [0, 100],
      [0, 0],
      [100, 0],
      [100, 50],
    ]);
  });
});

describe("an edge parted in the middle of a straight line", () => {
  it("steps from one width to the other without a slit between them [oracle: corner points]", () => {
    const edges = [
      {
        id: "low",
        role: "hem" as const,
        points: [
          [0, 0],
          [100, 0],
        ] as const,
      },
      {
        id: "a",
        role: "seam" as const,
        points: [
          [100, 0],
          [100 + 1 / 3, 100 / 3],
        ] as const,
      },
      // Straight on but for the last digit.
      {
        id: "b",
        role: "opening" as const,
        points: [
          [100 + 1 / 3, 100 / 3],
          [101, 100 + 1e-11],
        ] as const,
      },
      {
        id: "top",
        role: "hem" as const,
        points: [
          [101, 100 + 1e-11],
          [0, 100],
        ] as const,
      },
      {
        id: "left",
        role: "seam" as const,
        points: [
          [0, 100],
          [0, 0],
        ] as const,
      },
    ];
    const panel = {
      id: "p",
      name: "P",
      fabric: "f",
      edges,
      darts: [],
      markings: [],
      count: 1,
      mirrored: false,
    };
    const { cutLine, corners } = addAllowance(panel, { roles: { seam: 8, opening: 32, hem: 10 } });
    expect(corners.find(({ before }) => before === "a")!.used).toBe("stepped");
    // No point of the cut line lies on the sew line.
    expect(
      Math.min(...cutLine.map(([x, y]) => distanceToSegment([x, y], [100, 0], [101, 100]))),
    ).toBeGreaterThan(7.9);
  });
});
