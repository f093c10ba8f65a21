import { describe, expect, it } from "vitest";
import { meshTopology, pathLength, polylineLength, signedArea, type Point } from "@peltry/geometry";
import {
  applyCorrections,
  buildBootCover,
  buildLeg,
  buildSleeve,
  foamSlabs,
  foamVolume,
  girthAt,
  padForm,
  plainSole,
  thicknessMap,
  type Form,
} from "@peltry/forms";
import { foldedTriangles } from "../src/build/unroll-sheet";
import { brokenSteps, codeOf, smallestAngles, wearer } from "./build-helpers";

/** An upright round tube with a round body inside: radius by height, mm. */
function tube(
  radius: (y: number) => number,
  inner?: (y: number) => number,
  height = 300,
  columns = 96,
  rows = 60,
): Form {
  const ring = (r: (y: number) => number): Float64Array => {
    const out = new Float64Array(3 * columns * (rows + 1));
    for (let j = 0; j <= rows; j++) {
      for (let c = 0; c < columns; c++) {
        const [y, turn] = [(height * j) / rows, (2 * Math.PI * c) / columns];
        out.set([-r(y) * Math.cos(turn), y, r(y) * Math.sin(turn)], 3 * (j * columns + c));
      }
    }
    return out;
  };
  const triangles: number[] = [];
  for (let j = 0; j < rows; j++) {
    for (let c = 0; c < columns; c++) {
      const [a, b] = [j * columns + c, j * columns + ((c + 1) % columns)];
      triangles.push(a, b, b + columns, a, b + columns, a + columns);
    }
  }
  return {
    name: "tube",
    mesh: { positions: ring(radius), triangles: Uint32Array.from(triangles) },
    regions: [{ id: "coat", name: "coat" }],
    regionOf: new Int32Array(triangles.length / 3),
    curves: [
      {
        id: "front-line",
        name: "Front",
        kind: "drawn",
        path: Array.from({ length: rows + 1 }, (_, j) => j * columns + columns / 4),
        closed: false,
      },
    ],
    landmarks: [{ id: "middle", vertex: (rows / 2) * columns + columns / 4 }],
    ...(inner ? { inner: ring(inner) } : {}),
  };
}

const chord = (n: number): number => (n / Math.PI) * Math.sin(Math.PI / n);

describe("girthAt", () => {
  it("of a cone is 2πr by height [oracle: closed form]", () => {
    const cone = tube((y) => 50 + 0.2 * y);
    for (const y of [12.3, 150, 287.6]) {
      expect(girthAt(cone, y).tape).toBeCloseTo(2 * Math.PI * (50 + 0.2 * y) * chord(96), 2);
      expect(girthAt(cone, y).along).toBeCloseTo(girthAt(cone, y).tape, 2);
    }
  });
  it("goes round both halves of half a form [oracle: closed form]", () => {
    const whole = tube(() => 80);
    const keep: number[] = [];
    for (let t = 0; t < whole.mesh.triangles.length; t += 3) {
      const xs = [0, 1, 2].map((k) => whole.mesh.positions[3 * whole.mesh.triangles[t + k]]);
      if (xs.every((x) => x > -1e-9)) keep.push(...whole.mesh.triangles.slice(t, t + 3));
    }
    const half: Form = {
      ...whole,
      mesh: { ...whole.mesh, triangles: Uint32Array.from(keep) },
      symmetry: { point: [0, 0, 0], normal: [1, 0, 0] },
    };
    const girth = girthAt(half, 133.3);
    expect(girth.tape).toBeCloseTo(girthAt(whole, 133.3).tape, 6);
    expect(girth.along).toBeCloseTo(girth.tape / 2, 6);
  });
  it("refuses a level off the form, and a body that is not there", () => {
    expect(
      codeOf(() =>
        girthAt(
          tube(() => 50),
          900,
        ),
      ),
    ).toBe("forms/no-section");
    expect(
      codeOf(() =>
        girthAt(
          tube(() => 50),
          100,
          "inner",
        ),
      ),
    ).toBe("forms/no-inner");
  });
});

describe("foamVolume", () => {
  it("of a round shell is π (R² − r²) h [oracle: closed form]", () => {
    const shell = tube(
      () => 85,
      () => 60,
    );
    // A ring of n chords has this share of the circle's area.
    const share = (96 / (2 * Math.PI)) * Math.sin((2 * Math.PI) / 96);
    const { volume, mass, litres } = foamVolume(shell, 25);
    expect(volume).toBeCloseTo(Math.PI * (85 ** 2 - 60 ** 2) * 300 * share, 2);
    expect(litres).toBeCloseTo(volume / 1e6, 12);
    expect(mass).toBeCloseTo((volume / 1e6) * 25, 6);
    expect(thicknessMap(shell)[17]).toBeCloseTo(25, 9);
  });
  it("refuses a form without a body and foam without mass", () => {
    expect(codeOf(() => foamVolume(tube(() => 85)))).toBe("forms/no-inner");
    expect(
      codeOf(() =>
        foamVolume(
          tube(
            () => 85,
            () => 60,
          ),
          0,
        ),
      ),
    ).toBe("forms/bad-density");
    expect(codeOf(() => thicknessMap(tube(() => 85)))).toBe("forms/no-inner");
  });
});

describe("foamSlabs", () => {
  it("of an even layer is one strip at the centre line [oracle: L + πd]", () => {
    const { slabs, layers, straps, issues } = foamSlabs(
      tube(
        () => 85,
        () => 60,
      ),
      { sheetThickness: 25 },
    );
    expect(layers).toBe(1);
    expect(slabs.length).toBe(1);
    const points = slabs[0].panel.edges[0].points;
    const width = Math.max(...points.map((p) => p[0])) - Math.min(...points.map((p) => p[0]));
    expect(Math.abs(width - (2 * Math.PI * 60 + Math.PI * 25))).toBeLessThan(1);
    expect(Math.abs(slabs[0].area - 2 * Math.PI * 72.5 * 300)).toBeLessThan(0.005 * slabs[0].area);
    expect(slabs[0].strain).toBeLessThan(0.01);
    expect(straps.length).toBe(2);
    expect(straps[0].cutLength).toBeCloseTo((2 * Math.PI * 60 * chord(96)) / 1.1, 0);
    expect(issues).toEqual([]);
  });

  it("of a leg hold the volume of the padding [oracle: foamVolume]", () => {
    const leg = buildLeg({ measures: wearer(), triangles: 5000 });
    for (const sheetThickness of [20, 40]) {
      const { slabs, layers } = foamSlabs(leg, { sheetThickness, density: 25 });
      const most = thicknessMap(leg).reduce((a, b) => Math.max(a, b));
      expect(layers).toBe(Math.ceil((most - 3) / sheetThickness));
      const volume = slabs.reduce((sum, slab) => sum + slab.volume, 0);
      expect(Math.abs(volume / foamVolume(leg).volume - 1)).toBeLessThan(0.08);
      for (const { panel, area } of slabs) {
        expect(signedArea(panel.edges[0].points.slice(0, -1))).toBeGreaterThan(0.85 * area);
        expect(panel).toMatchObject({ layer: "padding", count: 1, mirrored: true });
      }
    }
  }, 60_000);

  it("refuses a sheet of no thickness", () => {
    expect(
      codeOf(() =>
        foamSlabs(
          tube(
            () => 85,
            () => 60,
          ),
          { sheetThickness: 0 },
        ),
      ),
    ).toBe("forms/bad-sheet");
    expect(
      codeOf(() =>
        foamSlabs(
          tube(() => 85),
          { sheetThickness: 20 },
        ),
      ),
    ).toBe("forms/no-inner");
  });
});

describe("padForm", () => {
  it("carries the middle out by its height and nothing beyond the reach [oracle: definition]", () => {
    const form = tube(() => 80);
    const padded = padForm(form, [{ name: "lump", at: "middle", height: 30, reach: 60 }]);
    const thickness = thicknessMap(padded);
    const v = form.landmarks[0].vertex;
    expect(thickness[v]).toBeCloseTo(30, 9);
    // Straight out: on a round tube the radius grows by the height.
    expect(padded.mesh.positions[3 * v + 2]).toBeCloseTo(110, 6);
    for (let k = 0; k < thickness.length; k++) {
      const far = Math.hypot(
        ...[0, 1, 2].map((d) => form.mesh.positions[3 * k + d] - form.mesh.positions[3 * v + d]),
      );
      if (far > 60) expect(thickness[k]).toBe(0);
    }
    expect(padded.inner).toEqual(form.mesh.positions);
  });
  it("takes a point as well, and refuses what it cannot place", () => {
    const form = tube(() => 80);
    const v = form.landmarks[0].vertex;
    const at = [0, 150, 82] as const;
    expect(thicknessMap(padForm(form, [{ name: "a", at, height: 10, reach: 40 }]))[v]).toBeCloseTo(10, 9);
    expect(codeOf(() => padForm(form, [{ name: "a", at: "tail", height: 10, reach: 40 }]))).toBe(
      "forms/unknown-landmark",
    );
    expect(codeOf(() => padForm(form, [{ name: "a", at: [NaN, 0, 0], height: 10, reach: 40 }]))).toBe(
      "forms/bad-pad",
    );
    expect(codeOf(() => padForm(form, [{ name: "a", at, height: NaN, reach: 40 }]))).toBe("forms/bad-pad");
  });
});

describe("applyCorrections", () => {
  const leg = buildLeg({ measures: wearer(), triangles: 4000, top: "waistNatural" });
  it("gives the calf exactly 15 mm more and leaves the knee alone [oracle: the correction]", () => {
    const { form, reports } = applyCorrections(leg, [{ kind: "girth", at: "calf", by: 15, reach: 90 }]);
    const { calf, knee } = leg.levels.height;
    expect(girthAt(form, calf!).tape - girthAt(leg, calf!).tape).toBeCloseTo(15, 4);
    expect(girthAt(form, knee!).tape).toBeCloseTo(girthAt(leg, knee!).tape, 9);
    expect(reports[0].after - reports[0].before).toBeCloseTo(15, 4);
    expect(form.mesh.triangles).toBe(leg.mesh.triangles);
  });
  it("lengthens the back rise by exactly 40 mm and the front not at all [oracle: the correction]", () => {
    const { form, reports } = applyCorrections(leg, [
      { kind: "length", at: { from: "hip", to: "waistNatural", share: 0.5 }, by: 40, along: "rim-back-rise" },
    ]);
    const length = (of: Form, id: string): number =>
      pathLength(of.mesh.positions, of.curves.find((curve) => curve.id === id)!.path);
    expect(length(form, "rim-back-rise") - length(leg, "rim-back-rise")).toBeCloseTo(40, 4);
    expect(Math.abs(length(form, "rim-front-rise") - length(leg, "rim-front-rise"))).toBeLessThan(1);
    expect(reports[0].what).toBe("length of rim-back-rise");
    expect(smallestAngles(form)[0]).toBeGreaterThan(12);
  });
  it("lengthens a plain tube all round [oracle: closed form]", () => {
    const form = applyCorrections(
      tube(() => 70),
      [{ kind: "length", at: 150, by: 25 }],
    ).form;
    expect(Math.max(...form.mesh.positions.filter((_, k) => k % 3 === 1))).toBeCloseTo(325, 6);
    expect(girthAt(form, 200).tape).toBeCloseTo(2 * Math.PI * 70 * chord(96), 2);
  });
  it("refuses a gusset wider than two half circles: it once came out narrower than told [oracle: π/2]", () => {
    const cut = (width: number) =>
      applyCorrections(
        tube(() => 80),
        [{ kind: "gusset", along: "front-line", from: 50, to: 250, width }],
      );
    expect(codeOf(() => cut(128))).toBe("forms/bad-correction");
    const xs = cut(127).gussets[0].edges.flatMap(({ points }) => points.map(([x]) => x));
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(127, 9);
  });
  it("cuts a gusset whose sides are as long as the slit [oracle: arc length]", () => {
    const { gussets } = applyCorrections(
      tube(() => 70),
      [{ kind: "gusset", along: "front-line", from: 50, to: 250, width: 40 }],
    );
    const [a, b] = gussets[0].edges.map((edge) => edge.points as readonly Point[]);
    expect(polylineLength(a)).toBeCloseTo(200, 1);
    expect(polylineLength(b)).toBeCloseTo(200, 1);
    expect(Math.max(...a.map((p) => p[0])) - Math.min(...b.map((p) => p[0]))).toBeCloseTo(40, 2);
    expect(a[a.length - 1]).toEqual(b[0]);
  });
  it("leaves the input alone and refuses what it cannot do", () => {
    const before = Float64Array.from(leg.mesh.positions);
    applyCorrections(leg, [{ kind: "girth", at: "knee", by: -10 }]);
    expect(leg.mesh.positions).toEqual(before);
    expect(codeOf(() => applyCorrections(leg, [{ kind: "girth", at: "knee", by: NaN }]))).toBe(
      "forms/bad-correction",
    );
    expect(codeOf(() => applyCorrections(leg, [{ kind: "length", at: "knee", by: 10, along: "tail" }]))).toBe(
      "forms/unknown-curve",
    );
    expect(
      codeOf(() =>
        applyCorrections(leg, [
          { kind: "gusset", along: "outer-seam", from: "knee", to: "lowerThigh", width: 300 },
        ]),
      ),
    ).toBe("forms/bad-correction");
    expect(
      codeOf(() =>
        applyCorrections(
          tube(() => 70),
          [{ kind: "girth", at: "calf", by: 5 }],
        ),
      ),
    ).toBe("forms/unknown-level");
  });
});

describe("buildBootCover", () => {
  const measures = wearer();
  it.each(["plain", "paw", "hoof"] as const)(
    "with a %s edge is a clean tube wide enough at the ball [oracle: the measures given]",
    (style) => {
      const boot = buildBootCover({ measures, style, triangles: 5000, cleft: 15 });
      const topology = meshTopology(boot.mesh);
      expect(topology.euler).toBe(0);
      expect(topology.loops.length).toBe(2);
      expect(topology.inconsistentEdges).toEqual([]);
      expect(smallestAngles(boot)[0]).toBeGreaterThan(15);
      expect(brokenSteps(boot)).toEqual([]);
      expect(boot.ball.girth).toBeGreaterThan(boot.ball.needed - 1);
      expect(Math.abs(girthAt(boot, 149.99).tape - (measures.ankleNarrow.value + 70))).toBeLessThan(1);
      expect(boot.regions.length).toBe(style === "plain" ? 1 : 2);
    },
  );
  it("stands as long and broad as the sole given [oracle: the outline given]", () => {
    const outline = plainSole(270, 100);
    expect(Math.max(...outline.map((p) => p[1])) - Math.min(...outline.map((p) => p[1]))).toBeCloseTo(270, 6);
    const boot = buildBootCover({ measures, style: "plain", outline, triangles: 12000 });
    const points = boot.sole.edges.flatMap((edge) => edge.points);
    expect(Math.max(...points.map((p) => p[1])) - Math.min(...points.map((p) => p[1]))).toBeCloseTo(270, 0);
    const area = signedArea(boot.sole.edges.flatMap((edge) => edge.points.slice(0, -1)));
    expect(Math.abs(area / Math.abs(signedArea(outline)) - 1)).toBeLessThan(0.01);
    // Each sole edge is as long as the stretch of the rim that it is sewn to.
    const rim = boot.curves.find((curve) => curve.id === "rim-sole")!.path;
    const total = boot.sole.edges.reduce((sum, edge) => sum + polylineLength(edge.points), 0);
    expect(total).toBeCloseTo(pathLength(boot.mesh.positions, [...rim, rim[0]]), 6);
  });
  it("wants a zip for the heel and is content with one [oracle: a slit of v adds 2v]", () => {
    const tight = buildBootCover({ measures, triangles: 2000 });
    expect(tight.issues.map((issue) => issue.code)).toEqual(["measure/opening-too-small"]);
    const mended = buildBootCover({ measures, triangles: 2000, entry: { vent: tight.entry.ventLength } });
    expect(mended.issues).toEqual([]);
  });
  it("stands shorter on a high heel and says so", () => {
    const flat = buildBootCover({ measures, triangles: 2000, style: "plain" });
    const high = buildBootCover({ measures, triangles: 2000, style: "plain", heelHeight: 90 });
    const length = (boot: Form): number => {
      const zs = boot.mesh.positions.filter((_, k) => k % 3 === 2);
      return Math.max(...zs) - Math.min(...zs);
    };
    expect(length(high)).toBeLessThan(length(flat) - 10);
    expect(high.issues.map((issue) => issue.code)).toContain("forms/high-heel");
  });
  it("refuses outlines and figures that make no boot", () => {
    expect(
      codeOf(() =>
        buildBootCover({
          measures,
          outline: [
            [0, 0],
            [1, 1],
          ],
        }),
      ),
    ).toBe("forms/bad-outline");
    expect(codeOf(() => buildBootCover({ measures, outline: plainSole(27, 10) }))).toBe("forms/bad-outline");
    const crossed = plainSole(270, 100);
    [crossed[10], crossed[120]] = [crossed[120], crossed[10]];
    expect(codeOf(() => buildBootCover({ measures, outline: crossed }))).toBe("forms/bad-outline");
    expect(codeOf(() => buildBootCover({ measures, wallHeight: 500 }))).toBe("forms/bad-boot");
    expect(codeOf(() => buildBootCover({ measures, style: "claw" as "paw" }))).toBe("forms/bad-boot");
    expect(codeOf(() => buildBootCover({ measures: {} }))).toBe("forms/missing-measure");
    expect(codeOf(() => buildBootCover({ measures, triangles: 3 }))).toBe("forms/bad-size");
  });
});

describe("buildSleeve", () => {
  it("is cut to the girth over one and the strain [oracle: cut = G/(1+e)]", () => {
    const sleeve = buildSleeve({ over: tube(() => 390 / (2 * Math.PI)), strain: 0.25, tension: 1 });
    const girth = 390 * chord(96);
    for (const level of sleeve.levels) expect(level.cutGirth).toBeCloseTo(girth / 1.25, 6);
    expect(girthAt(sleeve, 150).tape).toBeCloseTo(girth / 1.25, 1);
    // 1 N/cm round 390 mm is 12.08 mmHg: over the all-day limit.
    expect(sleeve.levels[3].pressure).toBeCloseTo(12.0840406996 / chord(96), 6);
    expect(sleeve.issues.map((issue) => issue.code)).toEqual(["measure/pressure-all-day"]);
    const [bottom, right, top, left] = sleeve.panel.edges.map((edge) => polylineLength(edge.points));
    expect(bottom).toBeCloseTo(girth / 1.25, 6);
    expect(top).toBeCloseTo(girth / 1.25, 6);
    expect(right).toBeCloseTo(left, 9);
    expect(right).toBeCloseTo(298, 6);
    expect(smallestAngles(sleeve)[0]).toBeGreaterThan(15);
    expect(brokenSteps(sleeve)).toEqual([]);
  });
  it("follows the slope of a cone [oracle: slant height]", () => {
    const sleeve = buildSleeve({ over: tube((y) => 50 + 0.2 * y), strain: 0 });
    const up = sleeve.panel.edges[1].points;
    const rise = up[up.length - 1][1];
    expect(rise).toBeCloseTo(298 * Math.hypot(1, 0.2 * chord(96)), 2);
  });
  it("says when the heel does not pass and when the cloth is asked too much", () => {
    const over = tube(() => 40);
    const codes = buildSleeve({ over, strain: 0.3, stretch: 0.2, heelGirth: 340 }).issues.map(
      (issue) => issue.code,
    );
    expect(codes).toEqual(["forms/sleeve-overstretched", "measure/opening-too-small"]);
  });
  it("refuses ends off the limb", () => {
    expect(codeOf(() => buildSleeve({ over: tube(() => 40), from: 400 }))).toBe("forms/bad-sleeve");
    expect(codeOf(() => buildSleeve({ over: tube(() => 40), strain: NaN }))).toBe("forms/bad-sleeve");
  });
});

describe("foam pieces laid flat", () => {
  it.each([
    [1000, 25, "upperThigh"],
    [2000, 15, "waistNatural"],
    [9000, 25, "waistNatural"],
  ] as const)(
    "do not fold over on a leg of %i triangles with sheets of %i mm to the %s [oracle: sense of each triangle]",
    (triangles, sheetThickness, top) => {
      const leg = buildLeg({ measures: wearer(), triangles, top });
      const { slabs, issues } = foamSlabs(leg, { sheetThickness });
      expect(slabs.length).toBeGreaterThan(4);
      expect(issues.filter(({ code }) => code === "forms/foam-folded")).toEqual([]);
    },
  );
});

describe("foldedTriangles", () => {
  it("counts the triangles that are turned over, whichever way the piece lies [oracle: drawn by hand]", () => {
    // A square of four about its middle; the middle drawn past the right side turns one of them over.
    const triangles = [0, 1, 4, 1, 2, 4, 2, 3, 4, 3, 0, 4];
    const square = (x: number, y = 5): number[] => [0, 0, 10, 0, 10, 10, 0, 10, x, y];
    expect(foldedTriangles(square(5), triangles)).toBe(0);
    expect(foldedTriangles(square(12), triangles)).toBe(1);
    expect(foldedTriangles(square(12, 12), triangles)).toBe(2);
    const mirrored = square(12).map((c, i) => (i % 2 ? c : -c));
    expect(foldedTriangles(mirrored, triangles)).toBe(1);
    // A sliver of no account.
    expect(foldedTriangles(square(10.01), triangles)).toBe(0);
  });
});
