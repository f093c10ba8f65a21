import { describe, expect, it } from "vitest";
import { signedArea, pointInOutline, polylineLength } from "@peltry/geometry";
import { checkPattern, findPanel, panelOutline } from "@peltry/pattern";
import { makeCostume, readProject } from "../src/index";

const made = (foot: string) =>
  makeCostume(
    readProject(
      `peltry: 1
name: Paw
wearer: { age: 30, measures: { stature: 1720, hip: 1000 } }
fabrics:
  cloth: { name: Cloth, material: wool-felt, pieces: [{ id: a, widthMm: 1500, lengthMm: 1500 }] }
  fur: { name: Fur, material: faux-fur-long, pieces: [{ id: b, widthMm: 500, lengthMm: 500 }] }
parts:
  - id: paw
    name: Paw
    kind: boot-cover
    pair: true
    triangles: 1500
    zipMm: 90
    topGirthMm: 400
    toes: { count: 4 }
    ${foot}
    fabrics: { coat: cloth, wall: cloth, tufts: fur }
`,
      "paw.yaml",
    ),
    () => new Uint8Array(),
  );

describe("fur tufts between the toes", () => {
  const costume = made("tufts: { perGroove: 2, lengthMm: 16, widthMm: 12 }");
  const tuft = findPanel(costume.pattern, "paw-tuft")!;
  it("are panels of their own cloth, pile down, as many as grooves ask [oracle: three grooves of two]", () => {
    expect(tuft).toMatchObject({ fabric: "fur", count: 6, mirrored: true, pile: -90 });
    expect(checkPattern(costume.pattern).filter(({ severity }) => severity === "error")).toEqual([]);
    expect(costume.layout.placements.filter(({ panel }) => panel === "paw-tuft")).toHaveLength(12);
    expect(tuft.notes!.join(" ")).toMatch(/weigh [\d.]+ to [\d.]+ g/);
  });
  it("have an allowance at the root alone [oracle: area of an 8 mm strip along it]", () => {
    const { cutLine } = costume.allowances.get("paw-tuft")!;
    const added = signedArea(cutLine) - signedArea(panelOutline(tuft));
    expect(Math.abs(added - 12 * 8)).toBeLessThan(2);
  });
  it("have their places marked along the grooves, inside the paw and as long as their root", () => {
    const wall = findPanel(costume.pattern, "paw-wall")!;
    const marks = wall.markings.filter(({ id }) => id.includes("-tuft-"));
    expect(marks).toHaveLength(6);
    for (const { points } of marks) {
      expect(points.every((p) => pointInOutline(p, panelOutline(wall)) !== "outside")).toBe(true);
      expect(Math.abs(polylineLength(points) - 12)).toBeLessThan(1);
    }
  });
  it("have no edges to finish and are refused on a hoof", () => {
    expect(
      costume.sewing.steps.filter(({ kind, panel }) => kind === "finish" && panel === "paw-tuft"),
    ).toEqual([]);
    expect(() => made("foot: hoof\n    tufts: {}")).toThrow(/no.*grooves|has none/);
  });
});
