import { meshTopology, meshVolume, type TriangleMesh } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { checkScale, clipMesh, measureGirths, repairMesh, turnUp } from "../src/index";
import { ball, tube } from "./mesh-bytes";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return "none";
};
const without = (mesh: TriangleMesh, drop: (t: number) => boolean): TriangleMesh => ({
  ...mesh,
  triangles: Uint32Array.from([...mesh.triangles].filter((_, i) => !drop(Math.floor(i / 3)))),
});
const plus = (mesh: TriangleMesh, points: number[], corners: number[]): TriangleMesh => ({
  positions: Float64Array.from([...mesh.positions, ...points]),
  triangles: Uint32Array.from([...mesh.triangles, ...corners]),
});
const merged = (a: TriangleMesh, b: TriangleMesh): TriangleMesh =>
  plus(
    a,
    [...b.positions],
    [...b.triangles].map((v) => v + a.positions.length / 3),
  );

describe("repairMesh", () => {
  const whole = ball(150, 24);

  it("repairMesh › leaves a clean mesh as it is, bytes and all [oracle: the input]", () => {
    const { mesh, report, sourceTriangle } = repairMesh(whole);
    expect(mesh).toEqual(whole);
    expect(report.clean).toBe(true);
    expect([...sourceTriangle]).toEqual(Array.from({ length: whole.triangles.length / 3 }, (_, t) => t));
  });

  it("repairMesh › takes out doubles, zero faces, a fin, an island and strays, and counts them [oracle: put in by the test]", () => {
    const count = whole.positions.length / 3;
    const t = whole.triangles;
    let dirty = plus(whole, [400, 0, 0, 0, 400, 0], [t[0], t[1], count]);
    dirty = plus(dirty, [], [t[3], t[4], t[5], t[7], t[6], t[8], t[9], t[10], t[9]]);
    dirty = merged(dirty, ball(5, 6, [300, 0, 0]));
    const { mesh, report } = repairMesh(dirty);
    expect(mesh.triangles.length).toBe(whole.triangles.length);
    expect(report).toMatchObject({
      duplicatesRemoved: 2,
      zeroFacesRemoved: 1,
      finsRemoved: 1,
      islandsRemoved: 1,
      unusedVerticesRemoved: 2 + ball(5, 6).positions.length / 3,
      pieces: 1,
    });
    expect(meshVolume(mesh)).toBeCloseTo(meshVolume(whole), 3);
  });

  it("repairMesh › turns mixed and inward winding outward where closed, and by majority where open [oracle: volume, count put in]", () => {
    const inward = {
      ...whole,
      triangles: whole.triangles.map((_, i, all) => all[i % 3 === 0 ? i : i % 3 === 1 ? i + 1 : i - 1]),
    };
    expect(meshVolume(repairMesh(inward).mesh)).toBeCloseTo(meshVolume(whole), 3);
    const open = tube(80, 300, 20, 8);
    const mixed = {
      ...open,
      triangles: open.triangles.map((_, i, all) =>
        Math.floor(i / 3) % 5 !== 0 || i % 3 === 0 ? all[i] : all[i % 3 === 1 ? i + 1 : i - 1],
      ),
    };
    const fixed = repairMesh(mixed);
    expect(fixed.report.trianglesTurned).toBe(Math.ceil(open.triangles.length / 15));
    expect([...fixed.mesh.triangles]).toEqual([...open.triangles]);
    const insideOut = {
      ...open,
      triangles: open.triangles.map((_, i, all) => all[i % 3 === 0 ? i : i % 3 === 1 ? i + 1 : i - 1]),
    };
    expect(repairMesh(insideOut).report.trianglesTurned).toBe(0);
    expect([...repairMesh(insideOut, { orient: "outward" }).mesh.triangles]).toEqual([...open.triangles]);
  });

  it("repairMesh › joins a soup, never the sides of a cut [oracle: Euler's formula]", () => {
    const soup: TriangleMesh = {
      positions: Float64Array.from(
        [...whole.triangles].flatMap((v) => [...whole.positions.slice(3 * v, 3 * v + 3)]),
      ),
      triangles: Uint32Array.from(whole.triangles, (_, i) => i),
    };
    expect(meshTopology(repairMesh(soup).mesh)).toMatchObject({ euler: 2, componentCount: 1 });
    const seam = tube(80, 300, 20, 4);
    const cut = merged(
      without(seam, (t) => Math.floor(t / 2) % 20 < 10),
      without(seam, (t) => Math.floor(t / 2) % 20 >= 10),
    );
    expect(repairMesh(cut).report.pieces).toBe(2);
    expect(repairMesh(cut, { weld: "equal" }).report.pieces).toBe(1);
    const near = {
      ...cut,
      positions: cut.positions.map((x, i) => (i >= seam.positions.length ? x + 0.001 : x)),
    };
    expect(repairMesh(near, { weld: 0.01 }).report.pieces).toBe(1);
  });

  it("repairMesh › fills a hole in a ball so that the ball is round again, and marks it [oracle: sphere radius and volume]", () => {
    const middle = (t: number, k: number): number =>
      [0, 1, 2].reduce((sum, c) => sum + whole.positions[3 * whole.triangles[3 * t + c] + k] / 3, 0);
    const holed = without(whole, (t) => Math.hypot(middle(t, 0) - 150, middle(t, 1), middle(t, 2)) < 70);
    const { mesh, report, filled, sourceVertex } = repairMesh(holed, { fillHolesUpTo: 2000 });
    expect(report.rims).toEqual([]);
    expect(report.holesFilled).toBeGreaterThan(0);
    expect(filled.reduce((a, b) => a + b, 0)).toBe(report.trianglesFilled);
    expect(meshTopology(mesh).euler).toBe(2);
    sourceVertex.forEach((source, v) => {
      if (source < 0)
        expect(Math.abs(Math.hypot(...mesh.positions.slice(3 * v, 3 * v + 3)) - 150)).toBeLessThan(4);
    });
    expect(Math.abs(meshVolume(mesh) / meshVolume(whole) - 1)).toBeLessThan(0.01);
    expect(repairMesh(holed, { fillHolesUpTo: 0 }).report.holesFilled).toBe(0);
  });

  it("repairMesh › keeps the open ends of a limb and fills the shadow in its side [oracle: rims by construction]", () => {
    const limb = without(
      tube(80, 600, 24, 24),
      (t) => Math.floor(t / 48) > 9 && Math.floor(t / 48) < 14 && t % 48 < 10,
    );
    expect(repairMesh(limb).report.rims).toHaveLength(3);
    const { report } = repairMesh(limb, { fillShadowsUpTo: 800 });
    expect(report.rims).toHaveLength(2);
    for (const rim of report.rims) expect(rim.lengthMm).toBeCloseTo(24 * 2 * 80 * Math.sin(Math.PI / 24), 6);
  });

  it("repairMesh › parts two balls that touch in an edge and in a point [oracle: Euler's formula of each]", () => {
    const small: TriangleMesh = {
      positions: Float64Array.of(0, 0, 0, 100, 0, 0, 0, 100, 0, 0, 0, 100, 100, 100, -100, -60, -60, -60),
      triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 1, 2, 3, 0, 3, 2),
    };
    // A second tetrahedron on edge 1–2.
    const edge = plus(small, [200, 200, 0, 200, 200, 100], [1, 2, 6, 2, 1, 7, 1, 6, 7, 6, 2, 7]);
    const parted = repairMesh(edge);
    expect(parted.report.nonManifoldEdgesSplit).toBe(1);
    expect(meshTopology(parted.mesh)).toMatchObject({
      loops: [],
      nonManifoldEdges: [],
      nonManifoldVertices: [],
    });
    const point = plus(small, [], [0, 4, 5, 0, 5, 3]);
    expect(meshTopology(repairMesh(point, { leastIsland: 0 }).mesh).nonManifoldVertices).toEqual([]);
  });

  it("repairMesh › says that a Möbius strip has one side and cuts it open [oracle: topology]", () => {
    const n = 24;
    const positions: number[] = [];
    for (let i = 0; i < n; i++) {
      const a = (2 * Math.PI * i) / n;
      for (const side of [-30, 30])
        positions.push(
          (200 + side * Math.cos(a / 2)) * Math.cos(a),
          side * Math.sin(a / 2),
          (200 + side * Math.cos(a / 2)) * Math.sin(a),
        );
    }
    const triangles: number[] = [];
    for (let i = 0; i < n; i++) {
      const [a, b] = [2 * i, 2 * i + 1];
      const [c, d] = i === n - 1 ? [1, 0] : [2 * i + 2, 2 * i + 3];
      triangles.push(a, b, d, a, d, c);
    }
    const { mesh, report } = repairMesh({
      positions: Float64Array.from(positions),
      triangles: Uint32Array.from(triangles),
    });
    expect(report.issues.map((i) => i.code)).toContain("forms/one-sided");
    expect(meshTopology(mesh)).toMatchObject({ inconsistentEdges: [], euler: 1, componentCount: 1 });
  });

  it("repairMesh › refuses what is no mesh", () => {
    expect(
      codeOf(() => repairMesh({ positions: Float64Array.of(0, 0, 0), triangles: Uint32Array.of(0, 1, 2) })),
    ).toBe("forms/bad-index");
    expect(
      codeOf(() => repairMesh({ positions: Float64Array.of(0, NaN, 0), triangles: Uint32Array.of(0, 0, 0) })),
    ).toBe("forms/bad-coordinates");
    expect(
      codeOf(() => repairMesh({ positions: Float64Array.of(0, 0), triangles: new Uint32Array(0) })),
    ).toBe("forms/bad-call");
    expect(
      repairMesh({ positions: new Float64Array(0), triangles: new Uint32Array(0) }).report.issues.map(
        (i) => i.code,
      ),
    ).toEqual(["forms/nothing-left"]);
  });
});

describe("measureGirths, checkScale, clipMesh, turnUp", () => {
  it("measureGirths › gives contour and tape of a tube, of two legs, of a hollow section [oracle: polygon lengths]", () => {
    const n = 48;
    const polygon = 2 * n * 100 * Math.sin(Math.PI / n);
    const [loop] = measureGirths(tube(100, 500, n, 10), 233);
    expect([loop.contourMm, loop.tapeMm, loop.closed]).toEqual([
      expect.closeTo(polygon, 6),
      expect.closeTo(polygon, 6),
      true,
    ]);
    const legs = merged(tube(100, 500, n, 10), {
      ...tube(70, 500, n, 10),
      positions: tube(70, 500, n, 10).positions.map((x, i) => (i % 3 === 0 ? x + 300 : x)),
    });
    expect(measureGirths(legs, 250).map((l) => Math.round(l.tapeMm))).toEqual([
      Math.round(polygon),
      Math.round(0.7 * polygon),
    ]);
    // A square with one side pushed in to its middle: the tape does not follow.
    const section: [number, number][] = [
      [0, 0],
      [100, 0],
      [100, 100],
      [50, 50],
      [0, 100],
    ];
    const positions = [0, 100].flatMap((y) => section.flatMap(([x, z]) => [x, y, z]));
    const triangles = section.flatMap((_, i) => [
      i,
      (i + 1) % 5,
      5 + ((i + 1) % 5),
      i,
      5 + ((i + 1) % 5),
      5 + i,
    ]);
    const [hollow] = measureGirths(
      { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
      50,
    );
    expect([hollow.contourMm, hollow.tapeMm]).toEqual([
      expect.closeTo(300 + 2 * Math.hypot(50, 50), 6),
      expect.closeTo(400, 6),
    ]);
    expect(codeOf(() => measureGirths(tube(1, 1, 3, 1), NaN))).toBe("forms/bad-call");
  });

  it("checkScale › passes a right scan, gives the factor of a wrong one and the unit behind it [oracle: scaled by the test]", () => {
    const leg = tube(80, 800, 64, 8);
    const girth = {
      kind: "girth",
      mm: 64 * 2 * 80 * Math.sin(Math.PI / 64),
      atMm: 400,
      ofHeightMm: 800,
    } as const;
    expect(checkScale(leg, [girth, { kind: "height", mm: 800 }])).toMatchObject({ factor: 1, issues: [] });
    const inches = { ...leg, positions: leg.positions.map((x) => x / 25.4) };
    const check = checkScale(inches, [girth, { kind: "height", mm: 800 }]);
    expect(check.factor).toBeCloseTo(25.4, 6);
    expect(check.unit).toBe("in");
    expect(check.issues.map((i) => i.code)).toEqual(["forms/scale-off"]);
    expect(checkScale(leg, [girth, { kind: "height", mm: 900 }]).issues.map((i) => i.code)).toContain(
      "forms/scale-uneven",
    );
    expect(codeOf(() => checkScale(leg, []))).toBe("forms/bad-call");
  });

  it("clipMesh › keeps the side that the normal points to, with a flat rim [oracle: tube of the rest]", () => {
    const { mesh, sourceTriangle } = clipMesh(tube(80, 800, 32, 7), {
      point: [0, 300, 0],
      normal: [0, 2, 0],
    });
    const topology = meshTopology(mesh);
    expect([topology.euler, topology.loops.length, sourceTriangle.length]).toEqual([
      0,
      2,
      topology.triangleCount,
    ]);
    for (let v = 0; v < mesh.positions.length; v += 3)
      expect(mesh.positions[v + 1]).toBeGreaterThan(300 - 1e-9);
    expect(codeOf(() => clipMesh(mesh, { point: [0, 0, 0], normal: [0, 0, 0] }))).toBe("forms/bad-call");
  });

  it.each(["x", "-x", "y", "-y", "z", "-z"] as const)(
    "turnUp › turns %s up without mirroring [oracle: volume keeps its sign]",
    (up) => {
      const shape = ball(100, 8, [0, 0, 0]);
      const far = merged(
        shape,
        ball(5, 4, up.endsWith("x") ? [300, 0, 0] : up.endsWith("y") ? [0, 300, 0] : [0, 0, 300]),
      );
      const turned = turnUp(far, up);
      expect(meshVolume(turned)).toBeCloseTo(meshVolume(far), 3);
      const last = turned.positions.slice(-3);
      expect(last[1]).toBeCloseTo(
        (up.startsWith("-") ? -1 : 1) * far.positions.slice(-3)["xyz".indexOf(up.slice(-1))],
        9,
      );
      expect(codeOf(() => turnUp(far, "w" as "x"))).toBe("forms/bad-call");
    },
  );
});
