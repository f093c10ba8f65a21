import { describe, expect, it } from "vitest";
import { createRandom, type TriangleMesh } from "@peltry/geometry";
import type { FabricBehaviour } from "@peltry/pattern";
import {
  diskSurface,
  gridSurface,
  hornCup,
  paddedLeg,
  saddleCone,
  sphericalCap,
} from "../../../test-fixtures/src/shapes";
import {
  checkFlat,
  createFlattener,
  flatten,
  isPeltryError,
  measureStrain,
  strainColours,
} from "../src/index";
import { flatLength, gridSides, heron, rigidDistance, singularValues } from "./helpers/measure";

const KNIT: FabricBehaviour = {
  along: { max: 0.1, min: -0.03 },
  across: { max: 0.2, min: -0.03 },
  shear: { max: 0.21, min: -0.21 },
};
const leg = paddedLeg({ triangles: 1500, jitter: 0.2 });

/** A mesh of some triangles, without the vertices that they do not use. */
function compact(positions: Float64Array, triangles: Uint32Array): TriangleMesh {
  const used = [...new Set(triangles)].sort((a, b) => a - b);
  const place = new Map(used.map((v, i) => [v, i]));
  return {
    positions: Float64Array.from(used.flatMap((v) => [...positions.subarray(3 * v, 3 * v + 3)])),
    triangles: triangles.map((v) => place.get(v)!),
  };
}

function moved(mesh: TriangleMesh, change: (p: number[]) => number[]): TriangleMesh {
  const positions = new Float64Array(mesh.positions.length);
  for (let v = 0; v < positions.length; v += 3)
    positions.set(change([...mesh.positions.subarray(v, v + 3)]), v);
  return { positions, triangles: mesh.triangles };
}

describe("flatten › measures agree with independent ones", () => {
  it("shape-preserving energy is Σ A ((σ₁−1)² + (σ₂−1)²) / Σ A [oracle: own singular values and Heron]", () => {
    const { positions, certificate } = flatten(leg);
    let sum = 0;
    let area = 0;
    for (let t = 0; t < leg.triangles.length / 3; t++) {
      const [big, small] = singularValues(leg, positions, t);
      sum += heron(leg, t) * ((big - 1) ** 2 + (small - 1) ** 2);
      area += heron(leg, t);
    }
    expect(certificate.energy / (sum / area)).toBeCloseTo(1, 6);
  });

  it("flip-free energy is Σ A Σ (σ² + σ⁻²) / Σ A [oracle: own singular values and Heron]", () => {
    const { positions, certificate } = flatten(leg, { mode: "flip-free" });
    let sum = 0;
    let area = 0;
    for (let t = 0; t < leg.triangles.length / 3; t++) {
      for (const s of singularValues(leg, positions, t)) sum += heron(leg, t) * (s * s + 1 / (s * s));
      area += heron(leg, t);
    }
    expect(certificate.energy / (sum / area)).toBeCloseTo(1, 8);
  });

  it("principal strains agree with the edge-length formula to 1e-9 [oracle: first fundamental forms]", () => {
    const { positions, strain } = flatten(leg, { fabric: KNIT });
    for (let t = 0; t < leg.triangles.length / 3; t++) {
      const [big, small] = singularValues(leg, positions, t);
      expect(Math.abs(strain.major[t] - (1 / small - 1))).toBeLessThan(1e-9);
      expect(Math.abs(strain.minor[t] - (1 / big - 1))).toBeLessThan(1e-9);
    }
  });

  it("measureStrain › a known stretch and shear come back in fabric axes [oracle: by construction]", () => {
    // Worn = flat stretched by 1.2 along y (the grain), 0.9 along x, then sheared by 0.1 rad.
    const flat = Float64Array.of(0, 0, 30, 0, 10, 40);
    const angle = 0.1;
    const worn = (x: number, y: number) => [
      0.9 * x + 1.2 * y * Math.sin(angle),
      1.2 * y * Math.cos(angle),
      0,
    ];
    const positions = Float64Array.from([...worn(0, 0), ...worn(30, 0), ...worn(10, 40)]);
    const mesh = { positions, triangles: Uint32Array.of(0, 1, 2) };
    for (const grain of [-90, 90]) {
      const strain = measureStrain(mesh, flat, grain);
      expect(strain.along[0]).toBeCloseTo(0.2, 12);
      expect(strain.across[0]).toBeCloseTo(-0.1, 12);
      expect(Math.abs(strain.shear[0])).toBeCloseTo(0.1, 12);
    }
    expect(measureStrain(mesh, new Float64Array(6)).major[0]).toBe(Infinity);
  });

  it("strainColours › pale at zero, apart in lightness from both ends, refuses a limit of zero", () => {
    const c = strainColours(Float64Array.of(-1, 0, 1, NaN), 0.1);
    const light = (k: number) => 0.2126 * c[3 * k] + 0.7152 * c[3 * k + 1] + 0.0722 * c[3 * k + 2];
    expect(light(1)).toBeGreaterThan(light(0) + 0.5);
    expect(light(1)).toBeGreaterThan(light(2) + 0.5);
    expect(() => strainColours(new Float64Array(1), 0)).toThrow(/positive/);
  });
});

describe("flatten › what does not matter", () => {
  const plain = flatten(leg, { tolerance: 1e-9 });
  it("rigid motion of mesh and pile [oracle: metamorphic]", () => {
    const turn = ([x, y, z]: number[]) => [0.6 * x - 0.8 * z + 40, y - 7, 0.8 * x + 0.6 * z];
    const other = flatten(moved(leg, turn), { pile: [0, -1, 0], tolerance: 1e-9 });
    expect(rigidDistance(other.positions, plain.positions)).toBeLessThan(1e-6);
    expect(other.certificate.energy / plain.certificate.energy).toBeCloseTo(1, 6);
  });
  it("unit scale 1e±3 [oracle: metamorphic]", () => {
    for (const factor of [1e-3, 1e3]) {
      const other = flatten(
        moved(leg, (p) => p.map((x) => x * factor)),
        { tolerance: 1e-9 },
      );
      const back = other.positions.map((x) => x / factor);
      expect(rigidDistance(back, plain.positions)).toBeLessThan(1e-6);
      expect(other.certificate.p95Strain).toBeCloseTo(plain.certificate.p95Strain, 5);
      expect(other.issues.some((issue) => issue.code === "flatten/odd-scale")).toBe(true);
    }
  });
  it("numbering of vertices and triangles [oracle: metamorphic]", () => {
    const n = leg.positions.length / 3;
    const random = createRandom(8);
    const place = Array.from({ length: n }, (_, i) => i);
    for (let i = n - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1));
      [place[i], place[j]] = [place[j], place[i]];
    }
    const positions = new Float64Array(3 * n);
    for (let v = 0; v < n; v++) positions.set(leg.positions.subarray(3 * v, 3 * v + 3), 3 * place[v]);
    const count = leg.triangles.length / 3;
    const triangles = new Uint32Array(leg.triangles.length);
    for (let t = 0; t < count; t++) {
      for (let k = 0; k < 3; k++)
        triangles[3 * t + ((k + 1) % 3)] = place[leg.triangles[3 * (count - 1 - t) + k]];
    }
    const other = flatten({ positions, triangles }, { tolerance: 1e-9 });
    const back = new Float64Array(2 * n);
    for (let v = 0; v < n; v++) back.set(other.positions.subarray(2 * place[v], 2 * place[v] + 2), 2 * v);
    expect(rigidDistance(back, plain.positions)).toBeLessThan(1e-6);
  });
  it("mirroring: the panel is the mirror image [oracle: metamorphic]", () => {
    const mesh = moved(leg, ([x, y, z]) => [-x, y, z]);
    const triangles = leg.triangles.slice();
    for (let i = 0; i < triangles.length; i += 3)
      [triangles[i], triangles[i + 1]] = [triangles[i + 1], triangles[i]];
    const other = flatten({ ...mesh, triangles }, { tolerance: 1e-9 });
    const back = other.positions.map((x, i) => (i % 2 === 0 ? -x : x));
    expect(rigidDistance(back, plain.positions)).toBeLessThan(1e-6);
  });
  it("a symmetric patch gives a symmetric panel [oracle: symmetry]", () => {
    const mesh = gridSurface((u, v) => [200 * (u - 0.5), -200 * v, 40 * Math.cos(5 * (u - 0.5)) * v], 1, {
      triangles: 800,
    });
    const { positions } = flatten(mesh, { tolerance: 1e-10 });
    const { columns, rows } = gridSides(mesh);
    const centre = (positions[2 * 0] + positions[2 * (columns - 1)]) / 2;
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < columns; i++) {
        const [a, b] = [j * columns + i, j * columns + columns - 1 - i];
        expect(Math.abs(positions[2 * a] + positions[2 * b] - 2 * centre)).toBeLessThan(1e-3);
        expect(Math.abs(positions[2 * a + 1] - positions[2 * b + 1])).toBeLessThan(1e-3);
      }
    }
  });
  it("running again: same bytes, input untouched, cloneable [oracle: comparison]", () => {
    const before = leg.positions.slice();
    const one = flatten(leg, { fabric: KNIT });
    const two = flatten(leg, { fabric: KNIT });
    expect([...one.positions]).toEqual([...two.positions]);
    expect(leg.positions).toEqual(before);
    expect(structuredClone(one).certificate).toEqual(one.certificate);
  });
});

describe("flatten › always valid", () => {
  /** Opens a disk of rings along the spoke at angle 0, the tip at the centre. */
  function slit(mesh: TriangleMesh): TriangleMesh {
    const count = mesh.positions.length / 3;
    const ring = (k: number) => (k === 0 ? 0 : 1 + 3 * k * (k - 1));
    const spoke: number[] = [];
    for (let k = 1; ring(k) < count; k++) spoke.push(ring(k));
    const positions = new Float64Array(mesh.positions.length + 3 * spoke.length);
    positions.set(mesh.positions);
    const copy = new Map(spoke.map((v, i) => [v, count + i]));
    spoke.forEach((v, i) =>
      positions.set(mesh.positions.subarray(3 * v, 3 * v + 3), mesh.positions.length + 3 * i),
    );
    const on = new Set([0, ...spoke]);
    const triangles = mesh.triangles.slice();
    // Triangles of the last sector take the copies.
    for (let i = 0; i < triangles.length; i += 3) {
      const corners = [0, 1, 2].map((k) => triangles[i + k]);
      if (!corners.some((v) => copy.has(v))) continue;
      const others = corners.filter((v) => !on.has(v));
      const last = others.every((v) => {
        const angle = Math.atan2(mesh.positions[3 * v], mesh.positions[3 * v + 2]);
        return angle < 0;
      });
      if (last) for (let k = 0; k < 3; k++) triangles[i + k] = copy.get(corners[k]) ?? corners[k];
    }
    return { positions, triangles };
  }

  it("slit saddles would overlap; their panels do not [oracle: exact predicates]", () => {
    for (const excess of [20, 60]) {
      const mesh = slit(saddleCone(100, excess, { triangles: 600 }));
      const panel = flatten(mesh);
      expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
    }
  });
  it("a slit disk that lies flat keeps its shape but for a hair along the slit [oracle: by construction]", () => {
    const mesh = slit(
      diskSurface((r, a) => [200 * r * Math.sin(a), 0, 200 * r * Math.cos(a)], { triangles: 600 }),
    );
    for (const options of [{}, { mode: "flip-free" }] as const) {
      const panel = flatten(mesh, options);
      expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
      expect(panel.certificate.p95Strain).toBeLessThan(0.02);
    }
  });
  it("a ring, a tube and deep trousers keep their holes open [oracle: exact predicates, closed form of the ring]", () => {
    const ring = (w: (a: number, v: number) => number[]): TriangleMesh => {
      const positions: number[] = [];
      const triangles: number[] = [];
      for (let j = 0; j <= 10; j++) {
        for (let i = 0; i < 40; i++) {
          positions.push(...w((Math.PI * i) / 20, j / 10));
          if (j === 0) continue;
          const [a, b] = [40 * j + i, 40 * j + ((i + 1) % 40)];
          triangles.push(a - 40, b - 40, b, a - 40, b, a);
        }
      }
      return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
    };
    const flat = ring((a, v) => [(150 - 90 * v) * Math.cos(a), (150 - 90 * v) * Math.sin(a), 0]);
    expect(flatten(flat, { holes: "keep" }).certificate.maxStrain).toBeLessThan(1e-3);
    const tube = ring((a, v) => [60 * Math.cos(a), 60 * Math.sin(a), 200 * v]);
    // A disk drawn down round two leg holes; the ragged rims have corners with a single triangle.
    const disk = diskSurface((r, a) => [200 * r * Math.cos(a), 200 * r * Math.sin(a), 0], {
      triangles: 1500,
    });
    const p = disk.positions;
    const toLeg = (x: number, y: number) => Math.min(Math.hypot(x - 80, y), Math.hypot(x + 80, y));
    const kept = disk.triangles.filter((_, i) => {
      const corners = disk.triangles.subarray(i - (i % 3), i - (i % 3) + 3);
      const middle = (k: number) =>
        (p[3 * corners[0] + k] + p[3 * corners[1] + k] + p[3 * corners[2] + k]) / 3;
      return toLeg(middle(0), middle(1)) > 45;
    });
    const trousers = moved(compact(p, kept), ([x, y]) => [x, y, -250 * Math.max(0, 1 - toLeg(x, y) / 110)]);
    for (const mesh of [tube, trousers]) {
      for (const options of [{}, { mode: "flip-free" }, { fabric: KNIT }] as const) {
        const panel = flatten(mesh, { ...options, holes: "keep" });
        expect(panel.loops.length).toBeGreaterThan(1);
        expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
      }
    }
  });
  it("deep cups, closed horns, slivers and ramps that wind round [oracle: exact predicates]", () => {
    const cases: TriangleMesh[] = [
      sphericalCap(100, 150, { triangles: 600 }),
      hornCup(250, 40, { triangles: 600 }),
      hornCup(720, 36, { triangles: 600 }),
      moved(sphericalCap(100, 80, { triangles: 600 }), ([x, y, z]) => [x, y, z * 2e-3]),
      gridSurface(
        (u, v) => [(100 + 30 * v) * Math.cos(15 * u), 30 * u, -(100 + 30 * v) * Math.sin(15 * u)],
        30,
        {
          triangles: 600,
        },
      ),
    ];
    for (const mesh of cases) {
      for (const options of [{}, { mode: "flip-free" }, { fabric: KNIT }] as const) {
        const panel = flatten(mesh, options);
        expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
        expect(panel.positions.every(Number.isFinite)).toBe(true);
      }
    }
  });
  it("horns and torn tubes of several thousand triangles, opened coarse to fine [oracle: exact predicates, ARAP of the literature]", () => {
    // A ragged band round a bent tube: every second column of its ends is taken away.
    const tube = paddedLeg({ triangles: 4000, jitter: 0.2 });
    const { columns, rows } = gridSides(tube);
    const ragged = tube.triangles.filter((_, i) => {
      const cell = Math.floor(i / 6);
      const row = Math.floor(cell / (columns - 1));
      return (row > 2 && row < rows - 4) || (cell % (columns - 1)) % 2 === 1;
    });
    for (const mesh of [hornCup(800, 20, { triangles: 4000 }), compact(tube.positions, ragged)]) {
      const panel = flatten(mesh);
      expect(checkFlat(mesh, panel.positions)).toMatchObject({ flips: 0, overlaps: 0 });
      // No triangle is squeezed to less than a hundredth: the layout is shaped, not only valid.
      expect(Math.max(...panel.strain.major)).toBeLessThan(100);
      expect(panel.certificate.p95Distortion).toBeLessThan(1);
    }
  });
  it("triangles without area are kept and named [oracle: by construction]", () => {
    const mesh = {
      positions: Float64Array.of(0, 0, 0, 50, 0, 0, 100, 0, 0, 50, 60, 0, 50, -60, 0),
      triangles: Uint32Array.of(0, 1, 3, 1, 2, 3, 0, 2, 1, 0, 4, 2),
    };
    const panel = flatten(mesh);
    expect(panel.certificate).toMatchObject({ flips: 0, overlaps: 0 });
    expect(panel.issues.find((issue) => issue.code === "flatten/flat-triangles")?.at.triangle).toBe(2);
  });
  it("one triangle keeps its sides [oracle: by construction]", () => {
    const mesh = {
      positions: Float64Array.of(0, 0, 0, 30, 0, 0, 0, 40, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const { positions } = flatten(mesh);
    expect(flatLength(positions, [0, 1, 2, 0])).toBeCloseTo(120, 9);
  });
  it("checkFlat › sees a turned triangle, a crossing outline and a folded spike [oracle: by construction]", () => {
    const mesh = {
      positions: new Float64Array(12),
      triangles: Uint32Array.of(0, 1, 2, 0, 2, 3),
    };
    expect(checkFlat(mesh, Float64Array.of(0, 0, 1, 0, 1, 1, 0, 1))).toMatchObject({ flips: 0, overlaps: 0 });
    expect(checkFlat(mesh, Float64Array.of(0, 0, 1, 0, 1, 1, 2, 0.5)).flippedTriangles).toEqual([1]);
    expect(checkFlat(mesh, Float64Array.of(0, 0, 1, 0, 0, 1, 1, 1)).overlaps).toBe(1);
    expect(checkFlat(mesh, Float64Array.of(0, 0, 2, 0, 1, 0, 0, 1)).flips).toBe(1);
  });
});

describe("flatten › limits and grain", () => {
  it("a fabric that can do it meets its limits; one that cannot says by how much and where", () => {
    const mesh = sphericalCap(100, 25, { triangles: 800 });
    const good = flatten(mesh, { fabric: KNIT });
    expect(good.mode).toBe("strain-limited");
    expect(good.certificate.overLimitArea).toBe(0);
    const woven: FabricBehaviour = {
      along: { max: 0.002, min: -0.002 },
      across: { max: 0.002, min: -0.002 },
      shear: { max: 0.01, min: -0.01 },
    };
    const bad = flatten(mesh, { fabric: woven });
    const issue = bad.issues.find((one) => one.code === "flatten/over-fabric-limit")!;
    expect(issue.severity).toBe("warning");
    expect(Math.abs(Number(issue.found))).toBeGreaterThan(Math.abs(Number(issue.limit)));
    expect(issue.at.triangle).toBeGreaterThanOrEqual(0);
    expect(Math.max(...bad.strain.along)).toBeLessThan(0.04);
  });
  it("limits pull no panel out of its grain: the mean pile stays within two degrees [oracle: own mean of edge images]", () => {
    for (const fabric of [KNIT, { ...KNIT, across: { max: 0.02, min: -0.02 } }]) {
      const { positions: x } = flatten(leg, { fabric });
      let [sumX, sumY] = [0, 0];
      for (let t = 0; t < leg.triangles.length; t += 3) {
        // Down = α u + β v + a part off the surface, by least squares; its image in the flat is the same sum.
        const [i, j, k] = leg.triangles.subarray(t, t + 3);
        const edge = (w: number) => [0, 1, 2].map((c) => leg.positions[3 * w + c] - leg.positions[3 * i + c]);
        const dot = (p: number[], q: number[]) => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
        const [u, v] = [edge(j), edge(k)];
        const [uu, uv, vv, ud, vd] = [dot(u, u), dot(u, v), dot(v, v), -u[1], -v[1]];
        const square = uu * vv - uv * uv;
        const [alpha, beta] = [(vv * ud - uv * vd) / square, (uu * vd - uv * ud) / square];
        const dx = alpha * (x[2 * j] - x[2 * i]) + beta * (x[2 * k] - x[2 * i]);
        const dy = alpha * (x[2 * j + 1] - x[2 * i + 1]) + beta * (x[2 * k + 1] - x[2 * i + 1]);
        const size = Math.hypot(dx, dy);
        if (!(size > 0)) continue;
        const weight = (Math.sqrt(square) * Math.sqrt(alpha * ud + beta * vd)) / size;
        sumX += weight * dx;
        sumY += weight * dy;
      }
      expect(Math.abs((Math.atan2(sumY, sumX) * 180) / Math.PI + 90)).toBeLessThan(2);
    }
  });
  it("a cloth far too stiff for a shape leaves no endless slivers [oracle: flat over worn by edge lengths]", () => {
    for (const mesh of [hornCup(250, 40, { triangles: 600 }), sphericalCap(100, 130, { triangles: 600 })]) {
      const stiff = { min: -0.01, max: 0.01 };
      const panel = flatten(mesh, {
        fabric: { along: stiff, across: stiff, shear: { min: -0.02, max: 0.02 } },
      });
      const growth: number[] = [];
      for (let t = 0; t < mesh.triangles.length / 3; t++)
        growth.push(singularValues(mesh, panel.positions, t)[0]);
      growth.sort((a, b) => a - b);
      expect(growth[Math.floor(0.95 * growth.length)]).toBeLessThan(6);
      expect(panel.issues.map((one) => one.code)).toContain("flatten/over-fabric-limit");
    }
  });
  it("turns the pile to the wanted angle and follows a field given for each triangle", () => {
    const side = flatten(leg, { pileAngle: 0 });
    const down = flatten(leg);
    expect(side.grain.p50).toBeCloseTo(down.grain.p50, 5);
    expect(rigidDistance(side.positions, down.positions)).toBeLessThan(1e-6);
    const field = new Float64Array(leg.triangles.length);
    for (let t = 0; t < field.length / 3; t++) field.set([0, -2, 0], 3 * t);
    expect(rigidDistance(flatten(leg, { pile: field }).positions, down.positions)).toBeLessThan(1e-9);
  });
  it("targetStretch makes the panel smaller by just that, along and across [oracle: by construction]", () => {
    const mesh = gridSurface((u, v) => [200 * u, 100 * v, 0], 2, { triangles: 200, jitter: 0.2 });
    const { positions, strain } = flatten(mesh, { targetStretch: { along: 0.25, across: 0.1 } });
    expect(Math.max(...strain.along.map((x) => Math.abs(x - 0.25)))).toBeLessThan(1e-6);
    expect(Math.max(...strain.across.map((x) => Math.abs(x - 0.1)))).toBeLessThan(1e-6);
    const ys = positions.filter((_, i) => i % 2 === 1);
    expect(Math.max(...ys) - Math.min(...ys)).toBeCloseTo(100 / 1.25, 4);
  });
});

describe("flatten › constraints", () => {
  const { left, right } = gridSides(leg);
  it("straight: the path lies on a line [oracle: distance from the chord]", () => {
    const { positions: x, certificate } = flatten(leg, { constraints: [{ kind: "straight", path: left }] });
    const [a, b] = [left[0], left[left.length - 1]];
    const [ux, uy] = [x[2 * b] - x[2 * a], x[2 * b + 1] - x[2 * a + 1]];
    const off = left.map(
      (v) => Math.abs(ux * (x[2 * v + 1] - x[2 * a + 1]) - uy * (x[2 * v] - x[2 * a])) / Math.hypot(ux, uy),
    );
    expect(Math.max(...off)).toBeLessThan(0.01);
    expect(certificate.flips + certificate.overlaps).toBe(0);
  });
  it("true-length: the path keeps its length in space [oracle: re-measured]", () => {
    const { positions } = flatten(leg, { constraints: [{ kind: "true-length", path: right }] });
    let worn = 0;
    for (let i = 1; i < right.length; i++) {
      const [a, b] = [3 * right[i - 1], 3 * right[i]];
      const p = leg.positions;
      worn += Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1], p[a + 2] - p[b + 2]);
    }
    expect(Math.abs(flatLength(positions, right) - worn)).toBeLessThan(0.02);
  });
  it("fold: the path is the line x = 0 with the panel on one side [oracle: coordinates]", () => {
    const half = gridSurface((u, v) => [100 * u, -200 * v, 60 * Math.cos(1.2 * u) * v], 0.5, {
      triangles: 400,
    });
    const path = gridSides(half).left;
    const { positions, certificate } = flatten(half, { constraints: [{ kind: "fold", path }] });
    for (const v of path) expect(Math.abs(positions[2 * v])).toBeLessThan(1e-9);
    const xs = positions.filter((_, i) => i % 2 === 0);
    expect(Math.min(...xs) > -0.5 || Math.max(...xs) < 0.5).toBe(true);
    expect(certificate.flips + certificate.overlaps).toBe(0);
  });
  it("fixed: vertices stay where they are put [oracle: coordinates]", () => {
    const mesh = sphericalCap(100, 30, { triangles: 600 });
    const free = flatten(mesh).positions;
    const rim = flatten(mesh).loops[0].filter((_, i) => i % 6 === 0);
    const at = rim.map((v) => [1.02 * free[2 * v] + 10, 0.98 * free[2 * v + 1] - 5] as const);
    const { positions, certificate } = flatten(mesh, { constraints: [{ kind: "fixed", vertices: rim, at }] });
    rim.forEach((v, i) => {
      expect(positions[2 * v]).toBeCloseTo(at[i][0], 6);
      expect(positions[2 * v + 1]).toBeCloseTo(at[i][1], 6);
    });
    expect(certificate.flips + certificate.overlaps).toBe(0);
  });
  it("edgeLengthWeight draws outline lengths to those in space [oracle: comparison]", () => {
    const mesh = sphericalCap(100, 60, { triangles: 600 });
    const off = (weight: number) =>
      Math.abs(flatten(mesh, { edgeLengthWeight: weight }).certificate.outlineRatio - 1);
    expect(off(20)).toBeLessThan(0.5 * off(0));
  });
  it("refuses a fixed constraint with a place missing", () => {
    expect(() => flatten(leg, { constraints: [{ kind: "fixed", vertices: [0, 1], at: [[0, 0]] }] })).toThrow(
      /2 vertices/,
    );
  });
});

describe("createFlattener", () => {
  it("gives what flatten gives, and near it from an earlier result with moved points [oracle: comparison]", () => {
    const flattener = createFlattener(leg);
    const first = flattener.flatten();
    expect([...first.positions]).toEqual([...flatten(leg).positions]);
    const shifted = leg.positions.slice();
    for (const v of gridSides(leg).left) shifted[3 * v] += 2;
    const warm = flattener.flatten({ moved: shifted, from: first.positions, tolerance: 1e-8 });
    const cold = flatten({ positions: shifted, triangles: leg.triangles }, { tolerance: 1e-8 });
    expect(warm.certificate.energy / cold.certificate.energy).toBeCloseTo(1, 4);
    expect(rigidDistance(warm.positions, cold.positions)).toBeLessThan(1);
  });
  it("reports progress that never falls and stops when asked", () => {
    const seen: number[] = [];
    flatten(leg, { onProgress: ({ done }) => seen.push(done) });
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(seen[seen.length - 1]).toBe(1);
    try {
      flatten(leg, { signal: { aborted: true } });
      expect.unreachable();
    } catch (error) {
      expect(isPeltryError(error) && error.code).toBe("work/cancelled");
    }
  });
});
