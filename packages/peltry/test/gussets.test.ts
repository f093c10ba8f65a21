import { describe, expect, it } from "vitest";
import { checkPattern, seamLengths, type Pattern } from "@peltry/pattern";
import { makeCostume, readProject, type MadeCostume } from "../src/index";

const LEG = (corrections: string, more = ""): string => `peltry: 1
name: Let in
wearer: { measures: { stature: 1700, hip: 1000 } }
fabrics:
  coat: { name: Coat, material: faux-fur-medium, stretchAlongPercent: 12, stretchAcrossPercent: 30, pieces: [{ id: roll, widthMm: 1500, costPerMetre: 20 }] }
parts:
  - id: leg
    name: Leg
    kind: leg
    pair: true
    triangles: 2500
    fabrics: { coat: coat, haunch: coat }
    seams: { lines: [inner-seam, back-line] }
    ${more}
    corrections:
      ${corrections}
`;
const make = (corrections: string, more?: string): MadeCostume =>
  makeCostume(readProject(LEG(corrections, more), "g.yaml"), () => new Uint8Array());

/** Seams of a gusset: the panel that each side goes to and by how much the two differ. */
function letIn(pattern: Pattern, gusset: string) {
  return pattern.seams
    .filter((seam) => seam.b.panel === gusset)
    .map((seam) => {
      const lengths = seamLengths(pattern, seam)!;
      return { to: seam.a.panel, edge: seam.b.edge, length: lengths.b, off: Math.abs(lengths.a - lengths.b) };
    });
}

describe("a gusset from the try-on", () => {
  it("is sewn to both panels of its seam, on the side where each lies [oracle: lengths; coordinates]", () => {
    const made = make("- { kind: gusset, along: inner-seam, from: calf, to: knee, widthMm: 40 }");
    const sides = letIn(made.pattern, "leg-gusset-1");
    expect(sides).toHaveLength(2);
    expect(Math.max(...sides.map(({ off }) => off))).toBeLessThan(0.2);
    // Looked at from the inner side of a left leg, the front lies to the right.
    const meanZ = (panel: string): number => {
      const { positions } = made.parts[0]!.worn.find((worn) => worn.panel === panel)!.mesh;
      return positions.reduce((sum, value, i) => (i % 3 === 2 ? sum + value : sum), 0) / positions.length;
    };
    const [right, left] = ["gusset-1-a", "gusset-1-b"].map((edge) => sides.find((s) => s.edge === edge)!.to);
    expect(meanZ(right!)).toBeGreaterThan(meanZ(left!));
    // Above and below it the seam goes on.
    expect(made.pattern.seams.filter((seam) => seam.a.panel === right || seam.a.panel === left).length).toBe(
      5,
    );
    expect(checkPattern(made.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
    expect(made.sewing.steps.filter((step) => step.seam?.includes("gusset"))).toHaveLength(2);
    expect(new Set(made.pattern.seams.map((seam) => seam.letter)).size).toBe(made.pattern.seams.length);
    expect(made.parts[0]).toMatchObject({ flips: 0, overlaps: 0 });
  });
  it("turns a line that was none into a seam, and keeps its length through the other corrections [oracle: length]", () => {
    const made = make(
      "- { kind: gusset, along: front-line, from: knee, to: midThigh, widthMm: 30 }\n      - { kind: length, at: lowerThigh, byMm: 30 }",
    );
    const alone = make("- { kind: gusset, along: front-line, from: knee, to: midThigh, widthMm: 30 }");
    const [long, short] = [made, alone].map(({ pattern }) => letIn(pattern, "leg-gusset-1"));
    expect(long).toHaveLength(2);
    expect(Math.max(...long!.map(({ off }) => off))).toBeLessThan(0.2);
    expect(long![0]!.length - short![0]!.length).toBeGreaterThan(20);
    expect(made.corrections.map(({ kind }) => kind)).toEqual(["gusset", "length"]);
  });
  it("is parted where another seam crosses its slit [oracle: lengths]", () => {
    const made = make(
      "- { kind: gusset, along: outer-seam, from: knee, to: upperThigh, widthMm: 30 }",
      "patches: [{ id: haunch, at: midThigh, angleDeg: 90, upMm: 60, downMm: 60, spreadDeg: 40 }]",
    );
    const sides = letIn(made.pattern, "leg-gusset-1");
    expect(sides.length).toBeGreaterThanOrEqual(4);
    expect(Math.max(...sides.map(({ off }) => off))).toBeLessThan(0.2);
    // Each bank is on one side of the gusset only.
    const bank = (side: string): string[] =>
      sides.filter(({ edge }) => edge.includes(side)).map(({ to }) => to);
    expect(bank("-a-").some((panel) => bank("-b-").includes(panel))).toBe(false);
    expect(checkPattern(made.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
  });
});
