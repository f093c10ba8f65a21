import { describe, expect, it } from "vitest";
import { meshTopology, signedArea, type Point3 } from "@peltry/geometry";
import {
  buildBootCover,
  buildLeg,
  girthAt,
  makeEars,
  makeHeadband,
  makeHood,
  makeHorn,
  makeTail,
  mirrorForm,
  type Form,
  type MadePart,
} from "@peltry/forms";
import { codeOf, wearer } from "./build-helpers";

const measures = wearer();

const cross = (a: Point3, b: Point3): Point3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const dot = (a: Point3, b: Point3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Mean place of a curve. */
function middle(form: Form, id: string): Point3 {
  const { path } = form.curves.find((curve) => curve.id === id)!;
  return [0, 1, 2].map(
    (axis) => path.reduce((sum, v) => sum + form.mesh.positions[3 * v + axis], 0) / path.length,
  ) as unknown as Point3;
}

/** +1 where the outer side lies to the wearer's left: up × forward in right-handed space. Forward is read off the form. */
function sideOf(form: Form): number {
  const [inner, outer, front, back] = ["inner-seam", "outer-seam", "front-line", "back-line"].map((id) =>
    middle(form, id),
  );
  const forward: Point3 = [front[0] - back[0], 0, front[2] - back[2]];
  return Math.sign(dot(cross([0, 1, 0], forward), [outer[0] - inner[0], 0, outer[2] - inner[2]]));
}

/** Share of triangles that look away from the upright line through the middle of the form. */
function facesOut(form: Form): number {
  const { positions: p, triangles } = form.mesh;
  const at = (v: number): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
  const mean = [0, 2].map(
    (axis) => (3 / p.length) * p.reduce((sum, x, k) => (k % 3 === axis ? sum + x : sum), 0),
  );
  let out = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [at(triangles[t]), at(triangles[t + 1]), at(triangles[t + 2])];
    const normal = cross([b[0] - a[0], b[1] - a[1], b[2] - a[2]], [c[0] - a[0], c[1] - a[1], c[2] - a[2]]);
    if (dot(normal, [a[0] - mean[0], 0, a[2] - mean[1]]) > 0) out++;
  }
  return (3 * out) / triangles.length;
}

describe("left and right", () => {
  const makers = {
    leg: (side?: "left" | "right") => buildLeg({ measures, side, triangles: 2000 }),
    "leg with half the hip": (side?: "left" | "right") =>
      buildLeg({ measures, side, triangles: 3000, top: "waistNatural" }),
    "boot cover": (side?: "left" | "right") => buildBootCover({ measures, side, triangles: 2000 }),
  };

  it.each(Object.entries(makers))(
    "%s: the outer side is where it says [oracle: right-handed space]",
    (_, make) => {
      expect(sideOf(make())).toBe(1);
      expect(sideOf(make("left"))).toBe(1);
      expect(sideOf(make("right"))).toBe(-1);
    },
  );

  it.each(Object.entries(makers))("%s: the right one is the left one turned over [invariant]", (_, make) => {
    const [left, right] = [make("left"), make("right")];
    expect(mirrorForm(mirrorForm(left))).toEqual(left);
    for (let v = 0; v < left.mesh.positions.length; v += 3) {
      expect(right.mesh.positions[v]).toBe(0 - left.mesh.positions[v]);
      expect(right.mesh.positions[v + 1]).toBe(left.mesh.positions[v + 1]);
      expect(right.mesh.positions[v + 2]).toBe(left.mesh.positions[v + 2]);
    }
    // Still seen from outside.
    for (const form of [left, right]) expect(facesOut(form)).toBeGreaterThan(0.9);
    expect(meshTopology(right.mesh).inconsistentEdges).toEqual([]);
    expect(girthAt(right, 145).tape).toBeCloseTo(girthAt(left, 145).tape, 9);
  });

  it.each(["left", "right"] as const)(
    "the sole of a %s cover is the foot from below, edge by edge on the rim [oracle: view from below]",
    (side) => {
      const boot = buildBootCover({ measures, side, style: "paw", triangles: 3000 });
      // Toe up and looking up: the right of the page is view × up = y × z = x.
      const p = boot.mesh.positions;
      expect(boot.sole.edges.map((edge) => edge.id)).toEqual(boot.soleRims.map((rim) => rim.edge));
      boot.sole.edges.forEach(({ points }, i) => {
        const { path } = boot.soleRims[i];
        expect(points.length).toBe(path.length);
        points.forEach(([x, y], k) => {
          expect(x).toBeCloseTo(p[3 * path[k]], 9);
          expect(y).toBeCloseTo(p[3 * path[k] + 2], 9);
        });
      });
      expect(signedArea(boot.sole.edges.flatMap((edge) => edge.points.slice(0, -1)))).toBeGreaterThan(0);
      const outer = boot.sole.edges
        .filter((edge) => edge.id.includes("outer"))
        .flatMap((edge) => edge.points);
      const inner = boot.sole.edges
        .filter((edge) => edge.id.includes("inner"))
        .flatMap((edge) => edge.points);
      const mean = (list: readonly (readonly [number, number])[]): number =>
        list.reduce((sum, [x]) => sum + x, 0) / list.length;
      expect(Math.sign(mean(outer) - mean(inner))).toBe(side === "left" ? 1 : -1);
    },
  );

  it("parts of the head and the tail lie on the side that they are called by [oracle: right-handed space]", () => {
    const meanX = (part: MadePart, panel: string): number => {
      const { positions } = part.worn.find((worn) => worn.panel === panel)!.mesh;
      return positions.reduce((sum, value, k) => (k % 3 === 0 ? sum + value : sum), 0);
    };
    const hood = makeHood({ headGirth: 570 });
    const tail = makeTail({ style: "curved", length: 900, baseGirth: 360, tipGirth: 60, bendDeg: [60, -40] });
    for (const part of [hood, tail]) {
      expect(meanX(part, "side-left")).toBeGreaterThan(0);
      expect(meanX(part, "side-right")).toBeLessThan(0);
    }
    // One of a pair is made for the left: it leans outward, and so does its centre of mass.
    const ears = makeEars({ length: 300, width: 100, lean: 40, cupDepth: 20 });
    expect(meanX(ears, "ear")).toBeGreaterThan(0);
    expect(ears.centreOfMass[0]).toBeGreaterThan(0);
    const horn = makeHorn({ cone: { length: 120, baseDiameter: 40 }, lean: { outDeg: 20 } });
    expect(horn.centreOfMass[0]).toBeGreaterThan(0);
    const band = makeHeadband({
      headGirth: 570,
      carries: [{ name: "horn", massG: 100, centre: horn.centreOfMass, aroundDeg: 40, pair: true }],
    });
    expect(band.fixings.find(({ name }) => name === "horn, left")!.at[0]).toBeGreaterThan(0);
    expect(band.fixings.find(({ name }) => name === "horn, right")!.at[0]).toBeLessThan(0);
  });

  it("refuses a side that is none", () => {
    expect(codeOf(() => buildLeg({ measures, side: "outer" as "left" }))).toBe("forms/bad-part");
    expect(codeOf(() => buildBootCover({ measures, side: "both" as "left" }))).toBe("forms/bad-part");
  });
});
