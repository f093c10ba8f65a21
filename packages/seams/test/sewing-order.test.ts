import { describe, expect, it } from "vitest";
import type { Edge, Panel, Pattern, Seam } from "@peltry/pattern";
import { sewingOrder } from "../src/index";

const CORNERS = [
  [0, 0],
  [400, 0],
  [400, 300],
  [0, 300],
] as const;

/** A rectangle of 400 × 300 with edges e0 to e3. */
const rectangle = (id: string, role: Edge["role"]): Panel => ({
  id,
  name: id,
  fabric: "coat",
  edges: CORNERS.map((from, i): Edge => ({ id: `e${i}`, role, points: [from, CORNERS[(i + 1) % 4]] })),
  darts: [],
  markings: [],
  count: 1,
  mirrored: false,
});

/** Two rectangles, the first `sides` edges of which are sewn to each other. */
function pillow(sides: number, hand?: boolean): Pattern {
  const seams = Array.from({ length: sides }, (_, i): Seam => ({
    id: `s${i}`,
    letter: "ABCD"[i],
    a: { panel: "front", edge: `e${i}` },
    b: { panel: "back", edge: `e${i}` },
    reversed: true,
    matchPoints: [],
    ...(hand === undefined ? {} : { hand }),
  }));
  const panels = [rectangle("front", "seam"), rectangle("back", "seam")];
  return { format: "peltry-pattern", version: 1, name: "pillow", panels, seams };
}

describe("orders that no machine can sew", () => {
  it("finds that the last seam of a hollow is closed from outside [closed form: no edge is left open]", () => {
    const { steps, issues } = sewingOrder(pillow(4));
    expect(steps.map(({ kind }) => kind)).toEqual(["join", "close", "close", "close"]);
    expect(steps.map(({ hand }) => hand)).toEqual([false, false, false, true]);
    // The short sides first, so that a long one is left to turn the work through.
    expect(steps.map(({ lengthMm }) => lengthMm)).toEqual([300, 300, 400, 400]);
    expect(steps[3].reason).toContain("last opening");
    expect(issues).toMatchObject([{ code: "seams/sew-by-hand", at: { seam: steps[3].seam } }]);
  });

  it("sews all by machine while one side stays open", () => {
    const { steps, issues } = sewingOrder(pillow(3));
    expect(steps.some(({ hand }) => hand)).toBe(false);
    expect(issues).toEqual([]);
  });

  it("says which seam names an edge that is not there [failing input]", () => {
    const pattern = pillow(3);
    const [first, ...rest] = pattern.seams;
    const broken = { ...pattern, seams: [{ ...first, a: { panel: "front", edge: "gone" } }, ...rest] };
    expect(sewingOrder(broken).issues).toMatchObject([{ code: "seams/missing-edge", at: { seam: "s0" } }]);
  });
});
