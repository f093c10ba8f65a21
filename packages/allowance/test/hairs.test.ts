import { describe, expect, it } from "vitest";
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
