import { describe, expect, it } from "vitest";
import { boundingBox, type Point } from "@peltry/geometry";
import { panelOutline } from "@peltry/pattern";
import { makeCostume, readProject, type MadeCostume } from "../src/index";

/** A single cover with a sole of its own and a spot on its outer side. */
const COVER = (more: string): string => `peltry: 1
name: One foot
wearer: { measures: { stature: 1700, hip: 1000 } }
fabrics:
  knit: { name: Knit, material: scuba-knit, stretchAlongPercent: 30, stretchAcrossPercent: 45, pieces: [] }
parts:
  - id: foot
    name: Foot cover
    kind: boot-cover
    triangles: 1200
    foot: plain
    fabrics: { coat: knit, sole: knit }
    spots: [{ id: dot, up: 0.6, aroundDeg: 90, widthMm: 20, fabric: knit }]
    ${more}
`;
/** The outline about the middle of its box. */
function centred(points: readonly Point[]): Point[] {
  const { minX, maxX, minY, maxY } = boundingBox(points);
  return points.map(([x, y]): Point => [x - (minX + maxX) / 2, y - (minY + maxY) / 2]);
}
const make = (more: string): MadeCostume =>
  makeCostume(readProject(COVER(more), "c.yaml"), () => new Uint8Array());

describe("a cover for one foot", () => {
  const [left, right] = [make("side: left"), make("side: right")];

  it("of the right is the one of the left turned over, panel by panel [oracle: mirror image]", () => {
    expect(right.pattern.panels.map((panel) => panel.id)).toEqual(
      left.pattern.panels.map((panel) => panel.id),
    );
    for (const [i, panel] of left.pattern.panels.entries()) {
      const [a, b] = [panel, right.pattern.panels[i]!].map((each) => centred(panelOutline(each))) as [
        Point[],
        Point[],
      ];
      expect(panel.mirrored).toBe(false);
      // Turned over, each point of the one lies on a point of the other.
      const off = a.map(([x, y]) => Math.min(...b.map(([u, v]) => Math.hypot(x + u, y - v))));
      expect(Math.max(...off)).toBeLessThan(1);
    }
  });
  it("has its outer spot on the outer side of either foot [oracle: coordinates]", () => {
    for (const [made, sign] of [
      [left, 1],
      [right, -1],
    ] as const) {
      const cover = made.parts[0]!;
      const { points } = cover.pattern.panels[0]!.markings.find(({ id }) => id === "dot")!;
      const middle = [0, 1].map((k) => points.reduce((sum, p) => sum + p[k]!, 0) / points.length);
      const { flat, mesh } = cover.worn[0]!;
      let best = 0;
      for (let v = 0; v < flat.length / 2; v++) {
        const far = (w: number): number =>
          Math.hypot(flat[2 * w]! - middle[0]!, flat[2 * w + 1]! - middle[1]!);
        if (far(v) < far(best)) best = v;
      }
      expect(Math.sign(mesh.positions[3 * best]!)).toBe(sign);
    }
  });
  it("is the left one where nothing is said", () => {
    expect(make("pair: false").pattern).toEqual(left.pattern);
  });
});
