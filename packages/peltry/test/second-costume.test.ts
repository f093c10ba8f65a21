import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { pointInOutline, polylineLength } from "@peltry/geometry";
import { checkPattern, findEdge, findPanel, panelOutline } from "@peltry/pattern";
import { createProjectFiles, makeCostume, readProject, type MadePart } from "../src/index";

const folder = new URL("../../../docs/examples/115-fen-warden/", import.meta.url);
const text = readFileSync(new URL("fen-warden.yaml", folder), "utf8")
  // Coarse forms: the test is about the way through, not about smooth outlines.
  .replace("    kind: leg\n", "    kind: leg\n    triangles: 1500\n")
  .replace("    kind: boot-cover\n", "    kind: boot-cover\n    triangles: 1500\n");

describe("a costume that is no hare: smooth skin, long tail, spiral horns", () => {
  const made = makeCostume(
    readProject(text, "fen-warden.yaml"),
    createProjectFiles(new URL("fen-warden.yaml", folder).pathname),
  );

  it("goes all the way to a placed pattern without a fault [oracle: pattern checks]", () => {
    expect(checkPattern(made.pattern).filter((issue) => issue.severity === "error")).toEqual([]);
    expect(made.issues.filter((issue) => issue.severity === "error")).toEqual([]);
    expect(made.layout.unplaced).toEqual([]);
    expect(made.parts.every((part) => part.flips === 0 && part.overlaps === 0)).toBe(true);
    expect(made.pattern.panels.every((panel) => panel.pile === undefined)).toBe(true);
  });
  it("speaks of no fur where there is none", () => {
    const flame = made.wear.filter(({ subject }) => subject === "flame").map(({ what }) => what);
    expect(flame.join(" ")).toMatch(/Polyester/);
    expect(JSON.stringify(made.wear)).not.toMatch(/\bfur\b|acrylic pile/i);
  });
  it("sews the sole to the edge of its cover, all the way round [oracle: lengths of the two outlines]", () => {
    const sole = findPanel(made.pattern, "foot-sole")!;
    expect(sole.edges.every((edge) => edge.role === "seam")).toBe(true);
    for (const edge of sole.edges) {
      const seam = made.pattern.seams.find((each) => each.id === edge.seam)!;
      const other = findEdge(findPanel(made.pattern, seam.a.panel)!, seam.a.edge)!;
      expect(Math.abs(polylineLength(other.points) - polylineLength(edge.points))).toBeLessThan(0.2);
      expect(seam.ease).toBeUndefined();
    }
  });
  it("draws a groove between each two toes, inside the paw [oracle: three toes have two grooves]", () => {
    const paw = findPanel(made.pattern, "foot-wall")!;
    const grooves = paw.markings.filter(({ id }) => id.startsWith("groove-"));
    expect(grooves).toHaveLength(2);
    for (const { points } of grooves)
      expect(points.every((p) => pointInOutline(p, panelOutline(paw)) === "inside")).toBe(true);
    expect(paw.notes!.join(" ")).toMatch(/Toe grooves/);
  });
  it("gives the cuff the girth of the leg there, and the stated ease [oracle: measured on the forms another way]", () => {
    const [leg, foot] = made.parts;
    const heights = foot!.worn.flatMap(({ mesh }) => [...mesh.positions].filter((_, i) => i % 3 === 1));
    const top = Math.max(...heights);
    const ease = roughGirth(foot!, top, 1) - roughGirth(leg!, top, 8);
    expect(ease).toBeGreaterThan(8);
    expect(ease).toBeLessThan(25);
  });
});

describe("a cover that the shod heel does not pass", () => {
  it("is told of once, with the vent that is enough [oracle: girths of foot and rim]", () => {
    const made = makeCostume(
      readProject(
        `peltry: 1
name: Cover
wearer: { age: 30, measures: { stature: 1720, hip: 1000 } }
fabrics: { cloth: { name: Cloth, material: wool-felt, pieces: [{ id: a, widthMm: 1500, lengthMm: 1500 }] } }
parts: [{ id: paw, name: Paw, kind: boot-cover, triangles: 1500, fabrics: { coat: cloth, wall: cloth } }]
`,
        "cover.yaml",
      ),
      () => new Uint8Array(),
    );
    const told = made.issues.filter(({ message }) => message.startsWith("The ankle rim"));
    expect(told).toHaveLength(1);
    const [reached, needed] = [...told[0]!.message.matchAll(/(\d+) mm/g)].map((found) => Number(found[1]));
    const vent = Number(/vent of (\d+) mm/.exec(`${told[0]!.message} ${told[0]!.fix ?? ""}`)![1]);
    expect(2 * vent).toBeGreaterThanOrEqual(needed! - reached! - 2);
  });
});

/** Points near a height, averaged over sectors of 15° round their middle and joined: a rough girth, mm. */
function roughGirth(part: MadePart, height: number, near: number): number {
  const ring: [number, number][] = [];
  for (const { mesh } of part.worn)
    for (let i = 0; i < mesh.positions.length; i += 3)
      if (Math.abs(mesh.positions[i + 1]! - height) < near)
        ring.push([mesh.positions[i]!, mesh.positions[i + 2]!]);
  const mean = (list: typeof ring): [number, number] => [
    list.reduce((sum, q) => sum + q[0], 0) / list.length,
    list.reduce((sum, q) => sum + q[1], 0) / list.length,
  ];
  const middle = mean(ring);
  const sector = (q: [number, number]): number =>
    Math.floor((Math.atan2(q[1] - middle[1], q[0] - middle[0]) + Math.PI) / (Math.PI / 12));
  const means = Array.from({ length: 24 }, (_, k) => ring.filter((q) => sector(q) === k))
    .filter((list) => list.length > 0)
    .map(mean);
  return polylineLength([...means, means[0]!]);
}
