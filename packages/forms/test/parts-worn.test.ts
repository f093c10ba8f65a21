import { describe, expect, it } from "vitest";
import { meshTopology } from "@peltry/geometry";
import { panelOutline } from "@peltry/pattern";
import { signedArea } from "@peltry/geometry";
import {
  makeEars,
  makeHeadband,
  makeHood,
  makeHorn,
  makeTail,
  type MadePart,
  type WornPiece,
} from "@peltry/forms";

const parts: Record<string, MadePart> = {
  cone: makeTail({ length: 400, circleFraction: 1 / 3, underside: { share: 0.3, fabric: "pale" } }),
  curved: makeTail({ style: "curved", length: 900, baseGirth: 360, tipGirth: 60, bendDeg: [60, -40] }),
  puff: makeTail({ style: "puff", length: 160, gores: 6 }),
  "cupped ear": makeEars({ length: 280, width: 110, cupDepth: 30, lean: 15 }),
  "flat ear": makeEars({ length: 120, width: 70 }),
  "bent horn": makeHorn({ cone: { length: 120, baseDiameter: 44, bendDeg: 50 } }),
  "right horn": makeHorn({ cone: { length: 120, baseDiameter: 44, bendDeg: 50 }, side: "right" }),
  spiral: makeHorn({ spiral: { whorl: 2, distance: 0.3, translation: 0.8, turns: 1.2, baseDiameter: 60 } }),
  "band around": makeHeadband({ headGirth: 560, strain: 0.05 }),
  hood: makeHood({ headGirth: 570, wigThickness: 8 }),
  "band over": makeHeadband({ headGirth: 560, style: "over" }),
};

const flatArea = ({ mesh, flat }: WornPiece, t: number): number => {
  const [a, b, c] = [0, 1, 2].map((k) => 2 * mesh.triangles[3 * t + k]) as [number, number, number];
  return (
    ((flat[b] - flat[a]) * (flat[c + 1] - flat[a + 1]) - (flat[c] - flat[a]) * (flat[b + 1] - flat[a + 1])) /
    2
  );
};

/** Largest change of a side between the flat and the worn piece, as a fraction. */
function worstSide({ mesh, flat }: WornPiece): number {
  let worst = 0;
  for (let h = 0; h < mesh.triangles.length; h++) {
    const [a, b] = [mesh.triangles[h], mesh.triangles[h % 3 === 2 ? h - 2 : h + 1]];
    const long = Math.hypot(flat[2 * b] - flat[2 * a], flat[2 * b + 1] - flat[2 * a + 1]);
    const p = mesh.positions;
    const worn = Math.hypot(p[3 * b] - p[3 * a], p[3 * b + 1] - p[3 * a + 1], p[3 * b + 2] - p[3 * a + 2]);
    worst = Math.max(worst, Math.abs(worn / long - 1));
  }
  return worst;
}

describe("panels on the finished part", () => {
  it.each(Object.entries(parts))(
    "%s: whole, right side out, and as large as the panel [invariant]",
    (_, part) => {
      expect(part.worn.length).toBeGreaterThan(0);
      for (const worn of part.worn) {
        const panel = part.pattern.panels.find((one) => one.id === worn.panel)!;
        let sum = 0;
        for (let t = 0; t < worn.mesh.triangles.length / 3; t++) {
          expect(flatArea(worn, t)).toBeGreaterThan(0);
          sum += flatArea(worn, t);
        }
        const wanted = signedArea(panelOutline(panel));
        expect(Math.abs(sum / wanted - 1)).toBeLessThan(0.01);
        expect(meshTopology(worn.mesh).loops).toHaveLength(1);
      }
    },
  );

  it.each(["cone", "cupped ear", "flat ear", "band over", "hood"])(
    "%s unrolls: no side changes its length [oracle: developable surface, chords of the mesh apart]",
    (name) => {
      for (const worn of parts[name].worn) expect(worstSide(worn)).toBeLessThan(0.004);
    },
  );

  it("a stretched band grows by its strain and no more [oracle: closed form]", () => {
    const [band] = parts["band around"].worn;
    expect(worstSide(band)).toBeGreaterThan(0.048);
    expect(worstSide(band)).toBeLessThan(0.0505);
  });

  it("a puff of six gores has sides longer than the meridian by what a gore must [oracle: 6.537 % over the whole ball]", () => {
    const ball = makeTail({ style: "puff", length: 160, gores: 6, baseGirth: 20 });
    const [{ mesh, flat }] = ball.worn;
    let [long, worn] = [0, 0];
    // Left edge: every ninth vertex, then the pole.
    const side = [...Array.from({ length: 24 }, (_, r) => 9 * r), 9 * 24];
    for (let k = 1; k < side.length; k++) {
      const [a, b] = [side[k - 1], side[k]];
      long += Math.hypot(flat[2 * b] - flat[2 * a], flat[2 * b + 1] - flat[2 * a + 1]);
      worn += Math.hypot(...[0, 1, 2].map((i) => mesh.positions[3 * b + i] - mesh.positions[3 * a + i]));
    }
    expect(long / worn).toBeCloseTo(1.06537, 2);
  });

  it("gores and the closing disc follow each other in one sense, so that letters meet [invariant]", () => {
    const { panels, seams } = parts["puff"].pattern;
    const disc = panels.find((one) => one.id === "base")!;
    const order = disc.edges.map((edge) => seams.find((seam) => seam.id === edge.seam)!.a.panel);
    const at = order.indexOf("gore-1");
    expect([...order.slice(at), ...order.slice(0, at)]).toEqual([
      "gore-1",
      "gore-6",
      "gore-5",
      "gore-4",
      "gore-3",
      "gore-2",
    ]);
  });
});
