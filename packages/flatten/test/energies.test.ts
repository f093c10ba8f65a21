import { createRandom, meshTopology } from "@peltry/geometry";
import { eigs } from "mathjs";
import { describe, expect, it } from "vitest";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import { createBlockSystem } from "../src/block-system";
import type { Energy as Shaping } from "../src/energy";
import { arap, arapBarrier, arapEnergy, BARRIER_BEGIN, BARRIER_WEIGHT } from "../src/energy-arap";
import {
  dirichlet,
  dirichletEnergy,
  regularisedDirichlet,
  stepBeforeFlip,
  untangling,
} from "../src/energy-dirichlet";
import { fabricEnergy, withinFabric } from "../src/energy-fabric";
import { fabricLimits } from "../src/fabric-limits";
import { smallestDeterminant } from "../src/make-valid";
import { minimise } from "../src/minimise";
import { outlineContact } from "../src/outline-contact";
import { prepareSheet } from "../src/sheet";
import { addSideCurvature } from "../src/side-curvature";
import { sideEnergy, snapToRails, updateForces, type SideTerms } from "../src/side-terms";
import { readMap } from "../src/triangle-map";
import { heron, singularValues } from "./helpers/measure";

const mesh = sphericalCap(100, 60, { triangles: 60, jitter: 0.2, seed: 5 });
const sheet = prepareSheet(mesh, meshTopology(mesh).loops);
const n = 2 * sheet.vertexCount;

/** The cap seen from above, stretched along both axes and shaken: no triangle turned over. */
function shaken(sx: number, sy: number, shake: number, seed: number): Float64Array {
  const random = createRandom(seed);
  const x = new Float64Array(n);
  for (let v = 0; v < sheet.vertexCount; v++) {
    x[2 * v] = sx * mesh.positions[3 * v + 2] + shake * (random() - 0.5);
    x[2 * v + 1] = sy * mesh.positions[3 * v] + shake * (random() - 0.5);
  }
  return x;
}
const STATES = [
  shaken(1, 1, 6, 1),
  shaken(1.4, 0.8, 6, 2),
  shaken(0.3, 1.1, 2, 3),
  shaken(0.9, 0.12, 1, 4),
  shaken(1.6, 1.7, 2, 7),
];

type Energy = (x: Float64Array, gradient: Float64Array | null) => number;

/** The gradient told against central differences of the energy told. */
function expectSlope(energy: Energy, x: Float64Array): void {
  const gradient = new Float64Array(x.length);
  const value = energy(x, gradient);
  expect(value).toBe(energy(x, null));
  const size = Math.sqrt(gradient.reduce((sum, g) => sum + g * g, 0));
  for (let i = 0; i < x.length; i++) {
    const h = 1e-5;
    const at = x.slice();
    at[i] = x[i] + h;
    const above = energy(at, null);
    at[i] = x[i] - h;
    const slope = (above - energy(at, null)) / (2 * h);
    expect(Math.abs(gradient[i] - slope)).toBeLessThan(2e-5 * size + 1e-7 * Math.abs(value) + 1e-6);
  }
}

/** Map from the flat triangle to the worn one, both by their own coordinates: columns across (x) and along (y). */
function wornMap(x: Float64Array, t: number): [number, number, number, number] {
  const v = mesh.triangles.subarray(3 * t, 3 * t + 3);
  const at = (k: number) => [0, 1, 2].map((d) => mesh.positions[3 * v[k] + d] - mesh.positions[3 * v[0] + d]);
  const [u, w] = [at(1), at(2)];
  const dot = (a: number[], b: number[]) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const base = Math.sqrt(dot(u, u));
  const foot = dot(u, w) / base;
  const height = Math.sqrt(dot(w, w) - foot * foot);
  const [f, g, p, q] = [
    x[2 * v[1]] - x[2 * v[0]],
    x[2 * v[1] + 1] - x[2 * v[0] + 1],
    x[2 * v[2]] - x[2 * v[0]],
    x[2 * v[2] + 1] - x[2 * v[0] + 1],
  ];
  const det = f * q - g * p;
  // Worn edges (base, 0) and (foot, height) times the inverse of the flat edges (f, g) and (p, q).
  return [(base * q - foot * g) / det, (-base * p + foot * f) / det, (-height * g) / det, (height * f) / det];
}

describe("energies", () => {
  const limits = fabricLimits(
    {
      along: { max: 0.05, min: -0.03, stiffness: 2 },
      across: { max: 0.1, min: -0.02 },
      shear: { max: 0.1, min: -0.15 },
    },
    { max: 0.3, min: -0.2 },
    { along: 0.02, across: 0.04 },
    0.01,
  );
  const energies: readonly (readonly [string, Energy])[] = [
    ["shape-preserving", (x, g) => arapEnergy(sheet, x, g, false)],
    ["shape-preserving with its barrier", (x, g) => arapEnergy(sheet, x, g, true)],
    ["symmetric Dirichlet", (x, g) => dirichletEnergy(sheet, x, g)],
    ["regularised Dirichlet", (x, g) => regularisedDirichlet(sheet, x, g, 0.3)],
    ["fabric", (x, g) => fabricEnergy(sheet, x, g, limits)],
  ];
  it.each(energies)(
    "%s: the gradient is the slope of the energy [oracle: central differences]",
    (_, energy) => {
      for (const x of STATES) expectSlope(energy, x);
    },
  );

  it("regularised Dirichlet: also where triangles are turned over, and near the true energy for a small ε [oracle: differences]", () => {
    const turned = STATES[0].slice();
    // A vertex carried over to the other side.
    turned[0] += 90;
    expect(smallestDeterminant(sheet, turned)).toBeLessThan(0);
    expectSlope((x, g) => regularisedDirichlet(sheet, x, g, 0.3), turned);
    expect(dirichletEnergy(sheet, turned, null)).toBe(Infinity);
    expect(arapEnergy(sheet, turned, null, true)).toBe(Infinity);
    expect(fabricEnergy(sheet, turned, null, limits)).toBe(Infinity);
    const [x] = STATES;
    expect(regularisedDirichlet(sheet, x, null, 1e-6) / dirichletEnergy(sheet, x, null)).toBeCloseTo(1, 9);
  });

  it("values are sums over the stretches of the triangles [oracle: own singular values and Heron]", () => {
    const least = (1e-3 * sheet.rest.area) / sheet.triangleCount;
    for (const x of STATES) {
      const sums = { arap: 0, barrier: 0, dirichlet: 0 };
      for (let t = 0; t < sheet.triangleCount; t++) {
        const [big, small] = singularValues(mesh, x, t);
        const area = heron(mesh, t);
        sums.arap += area * ((big - 1) ** 2 + (small - 1) ** 2);
        sums.dirichlet += area * (big ** 2 + small ** 2 + big ** -2 + small ** -2);
        if (small < BARRIER_BEGIN)
          sums.barrier += BARRIER_WEIGHT * (area + least) * (BARRIER_BEGIN / small - 1) ** 2;
      }
      expect(arapEnergy(sheet, x, null, false) / sums.arap).toBeCloseTo(1, 8);
      expect(arapEnergy(sheet, x, null, true) / (sums.arap + sums.barrier)).toBeCloseTo(1, 6);
      expect(dirichletEnergy(sheet, x, null) / sums.dirichlet).toBeCloseTo(1, 6);
    }
    const squeezed = singularValues(mesh, STATES[3], 0)[1];
    expect(squeezed).toBeLessThan(BARRIER_BEGIN);
  });

  it("fabric: squares of what each measure is beyond its limit [oracle: maps from flat to worn by coordinates]", () => {
    const beyond = (worn: number, min: number, max: number) =>
      worn > max ? worn - max : worn < min ? min - (min * min) / worn : 0;
    for (const x of STATES) {
      let sum = 0;
      for (let t = 0; t < sheet.triangleCount; t++) {
        const plane = wornMap(x, t);
        // The panel is the solver's plane less the stretch wanted: its map is that much larger.
        const [a, b, c, d] = [
          plane[0] * limits.targetAcross,
          plane[1] * limits.targetAlong,
          plane[2] * limits.targetAcross,
          plane[3] * limits.targetAlong,
        ];
        const [across, along] = [Math.hypot(a, c), Math.hypot(b, d)];
        const shear = Math.asin((a * b + c * d) / (across * along));
        const half = (across ** 2 + along ** 2) / 2;
        const root = Math.sqrt(Math.max(0, half ** 2 - (a * d - b * c) ** 2));
        const stretches = [Math.sqrt(half + root), Math.sqrt(half - root)];
        const [low, high] = [Math.atan(limits.shearMin), Math.atan(limits.shearMax)];
        const sheared = shear > high ? shear - high : shear < low ? shear - low : 0;
        const off =
          limits.acrossWeight * beyond(across, limits.acrossMin, limits.acrossMax) ** 2 +
          limits.alongWeight * beyond(along, limits.alongMin, limits.alongMax) ** 2 +
          0.5 * limits.shearWeight * sheared ** 2 +
          stretches.reduce((all, s) => all + beyond(s, limits.anyMin, limits.anyMax) ** 2, 0);
        const rigid = singularValues(mesh, x, t).reduce((all, s) => all + (s - 1) ** 2, 0);
        sum +=
          (heron(mesh, t) + (1e-4 * sheet.rest.area) / sheet.triangleCount) * (off + limits.pull * rigid);
      }
      expect(fabricEnergy(sheet, x, null, limits) / sum).toBeCloseTo(1, 6);
    }
  });

  it("limits keep a margin of a hundredth of their width on both sides; the least stretch follows from the box [closed form]", () => {
    const plain = fabricLimits(
      { along: { max: 0.1, min: -0.1 }, across: { max: 0.2, min: 0 }, shear: { max: 0, min: 0 } },
      undefined,
      { along: 0, across: 0 },
      1,
    );
    expect(plain.alongMin).toBeCloseTo(0.902, 9);
    expect(plain.alongMax).toBeCloseTo(1.098, 9);
    expect(plain.acrossMin).toBeCloseTo(1.002, 9);
    expect(plain.acrossMax).toBeCloseTo(1.198, 9);
    // Without shear the axes are the directions of least and largest stretch.
    expect(plain.anyMin).toBeCloseTo(0.902, 9);
    expect([plain.acrossWeight, plain.alongWeight, plain.shearWeight]).toEqual([1, 1, 1]);
    const free = fabricLimits(undefined, undefined, { along: 0, across: 0 }, 1);
    expect([free.anyMin, free.anyMax, free.shearMax]).toEqual([-Infinity, Infinity, Infinity]);
    // Equal stretch p both ways and a shear of tangent k: p √(1 − sin φ), φ = atan k.
    const sheared = fabricLimits(
      { along: { max: 0.5, min: 0 }, across: { max: 0.5, min: 0 }, shear: { max: 0.3, min: -0.4 } },
      undefined,
      { along: 0, across: 0 },
      1,
    );
    expect(sheared.anyMin).toBeCloseTo(1.005 * Math.sqrt(1 - Math.sin(0.4 - 0.007)), 9);
  });

  it("stepBeforeFlip stops where the first triangle loses its area [oracle: determinants beside the place]", () => {
    const random = createRandom(9);
    for (const x of STATES) {
      for (let k = 0; k < 5; k++) {
        const direction = Float64Array.from(x, () => random() - 0.5);
        const reach = stepBeforeFlip(sheet, x, direction);
        const at = (s: number) =>
          smallestDeterminant(
            sheet,
            x.map((value, i) => value + s * direction[i]),
          );
        expect(at(0.999 * reach)).toBeGreaterThan(0);
        expect(at(1.001 * reach)).toBeLessThan(0);
        for (let s = 0.05; s < 0.95; s += 0.1) expect(at(s * reach)).toBeGreaterThan(0);
      }
      // Growing from the middle turns nothing, ever.
      expect(stepBeforeFlip(sheet, x, x.slice())).toBe(Infinity);
      expect(
        stepBeforeFlip(
          sheet,
          x,
          x.map((value) => -value),
        ),
      ).toBeCloseTo(1, 6);
    }
  });
});

describe("energies of one triangle", () => {
  const one = prepareSheet(
    { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) },
    [[0, 1, 2]],
  );
  const flat = (a: number, b: number, c: number, d: number): Float64Array =>
    Float64Array.of(0, 0, a, c, b, d);
  const slopeOf = (energy: Energy, x: Float64Array): number[] => {
    const gradient = new Float64Array(6);
    energy(x, gradient);
    return [...gradient];
  };
  const rigid: Energy = (x, g) => arapEnergy(one, x, g, false);
  const guarded: Energy = (x, g) => arapEnergy(one, x, g, true);

  it("numbers stay finite where a map has no rotation or no largest direction [closed form]", () => {
    // All corners in one place, and a mirror image: |J - R|² is 2 and 4 whatever R.
    expect(rigid(flat(0, 0, 0, 0), null)).toBeCloseTo(1, 12);
    expect(rigid(flat(1, 0, 0, -1), null)).toBeCloseTo(2, 12);
    for (const x of [flat(0, 0, 0, 0), flat(1, 0, 0, -1)])
      expect(slopeOf(rigid, x).every(Number.isFinite)).toBe(true);
    // The same all round and small enough for the barrier: each corner is pushed outward.
    const small = slopeOf(guarded, flat(0.1, 0, 0, 0.1));
    expect(small.every(Number.isFinite)).toBe(true);
    expect(small[2]).toBeLessThan(0);
    expect(small[2]).toBeCloseTo(small[5], 12);
  });
  it("a triangle without area is no place to be [limit]", () => {
    expect(guarded(flat(1, 1, 0, 0), null)).toBe(Infinity);
    expect(dirichletEnergy(one, flat(1, 1, 0, 0), null)).toBe(Infinity);
  });
  it("regularised Dirichlet has the value of its formula on both sides of a flip [closed form]", () => {
    for (const d of [0.7, 1e-3, 0, -1e-3, -0.7]) {
      const size = 0.5 * (d + Math.hypot(d, 0.4));
      const wanted = 0.5 * (1 + d * d) * (1 + 1 / (size * size));
      expect(regularisedDirichlet(one, flat(1, 0, 0, d), null, 0.4) / wanted).toBeCloseTo(1, 9);
    }
  });
  it("stepBeforeFlip finds the roots of (1 + s k)(1 + t k) [closed form]", () => {
    const reach = (s: number, t: number) => stepBeforeFlip(one, flat(1, 0, 0, 1), flat(s, 0, 0, t));
    expect(reach(1, -0.5)).toBeCloseTo(2, 12);
    expect(reach(-0.5, 1)).toBeCloseTo(2, 12);
    expect(reach(1, -1)).toBeCloseTo(1, 12);
    expect(reach(-1, -1)).toBeCloseTo(1, 12);
    expect(reach(-1, 0)).toBeCloseTo(1, 12);
    expect(reach(-4, -2)).toBeCloseTo(0.25, 12);
    for (const [s, t] of [
      [1, 1],
      [1, 0],
      [0, 0],
    ])
      expect(reach(s, t)).toBe(Infinity);
  });
});

describe("curvatures", () => {
  /** Second derivative times a direction, by central differences of the gradient. */
  const bend = (energy: Energy, x: Float64Array, d: Float64Array): Float64Array => {
    const h = 1e-5;
    const [above, below] = [new Float64Array(n), new Float64Array(n)];
    energy(
      x.map((value, i) => value + h * d[i]),
      above,
    );
    energy(
      x.map((value, i) => value - h * d[i]),
      below,
    );
    return above.map((g, i) => (g - below[i]) / (2 * h));
  };
  /** Moves free of a shift, which no energy feels. */
  const centred = (d: Float64Array): Float64Array => {
    const mean = [0, 1].map(
      (k) => (2 * d.reduce((sum, value, i) => (i % 2 === k ? sum + value : sum), 0)) / n,
    );
    return d.map((value, i) => value - mean[i % 2]);
  };
  const random = createRandom(11);
  const direction = centred(Float64Array.from({ length: n }, () => random() - 0.5));
  // Drawn out everywhere: there all energies are convex, so that nothing is levelled.
  const wide = shaken(2.6, 2.4, 1, 6);
  const cases: readonly (readonly [string, Shaping, Energy])[] = [
    ["shape-preserving", arap, (x, g) => arapEnergy(sheet, x, g, false)],
    ["shape-preserving with its barrier", arapBarrier, (x, g) => arapEnergy(sheet, x, g, true)],
    ["symmetric Dirichlet", dirichlet, (x, g) => dirichletEnergy(sheet, x, g)],
    ["regularised Dirichlet", untangling(0.5), (x, g) => regularisedDirichlet(sheet, x, g, 0.5)],
  ];
  it.each(cases)(
    "%s: solving undoes the second derivative where it is convex [oracle: differences of the gradient]",
    (_, shaping, energy) => {
      const system = createBlockSystem(sheet);
      // Twice: what was there before must be gone.
      for (const x of [STATES[0], wide]) {
        system.clear();
        shaping.addCurvature(system, sheet, x);
        system.factor();
      }
      const found = new Float64Array(n);
      system.solve(bend(energy, wide, direction), found);
      centred(found).forEach((value, i) => expect(Math.abs(value - direction[i])).toBeLessThan(2e-3));
    },
  );
  it("each triangle gets the second derivative of its energy with negative directions levelled [oracle: differences, eigenvalues by mathjs]", () => {
    const least = (weight: number): number => 2e-3 * weight;
    const thin = (1e-3 * sheet.rest.area) / sheet.triangleCount;
    const epsilon = 0.5;
    /** Energy of a triangle by its map, from the stretches; s2 is negative when it is turned over. */
    const value: Record<string, (s1: number, s2: number, weight: number) => number> = {
      arap: (s1, s2, weight) => weight * ((s1 - 1) ** 2 + (s2 - 1) ** 2),
      "arap-barrier": (s1, s2, weight) =>
        value.arap(s1, s2, weight) +
        (s2 < BARRIER_BEGIN ? BARRIER_WEIGHT * (weight + thin) * (BARRIER_BEGIN / s2 - 1) ** 2 : 0),
      dirichlet: (s1, s2, weight) => weight * (s1 ** 2 + s2 ** 2) * (1 + (s1 * s2) ** -2),
      untangle: (s1, s2, weight) =>
        weight * (s1 ** 2 + s2 ** 2) * (1 + ((s1 * s2 + Math.hypot(s1 * s2, epsilon)) / 2) ** -2),
    };
    const stretches = ([a, b, c, d]: readonly number[]): [number, number] => {
      const [h, m] = [Math.hypot(a + d, c - b), Math.hypot(a - d, c + b)];
      return [(h + m) / 2, (h - m) / 2];
    };
    const turned = STATES[0].slice();
    turned[0] += 90;
    const kinds: Record<string, Shaping> = {
      arap,
      "arap-barrier": arapBarrier,
      dirichlet,
      untangle: untangling(epsilon),
    };
    const map = new Float64Array(4);
    for (const [kind, shaping] of Object.entries(kinds)) {
      for (const x of [...STATES, wide, ...(kind === "untangle" ? [turned] : [])]) {
        const found: Float64Array[] = [];
        const collect = { addTriangle: (_: number, m: Float64Array) => found.push(m.slice()) };
        shaping.addCurvature(collect as unknown as ReturnType<typeof createBlockSystem>, sheet, x);
        expect(found).toHaveLength(sheet.triangleCount);
        for (let t = 0; t < sheet.triangleCount; t += 7) {
          readMap(sheet, x, t, map);
          const weight = heron(mesh, t);
          const [s1, s2] = stretches([...map]);
          // Differences are of no use close to a kink: the barrier's begin, equal stretches, the wall.
          if (Math.abs(s2 - BARRIER_BEGIN) < 0.01 || s1 - s2 < 0.05 || Math.abs(s2) < 0.05) continue;
          const energy = (m: readonly number[]) => value[kind](...stretches(m), weight);
          const h = 1e-4;
          const second = [0, 1, 2, 3].map((i) =>
            [0, 1, 2, 3].map((j) => {
              const at = (di: number, dj: number): number => {
                const m = [...map];
                m[i] += di * h;
                m[j] += dj * h;
                return energy(m);
              };
              return (at(1, 1) - at(1, -1) - at(-1, 1) + at(-1, -1)) / (4 * h * h);
            }),
          );
          const { eigenvectors } = eigs(
            second.map((row, i) => row.map((_, j) => (second[i][j] + second[j][i]) / 2)),
          );
          const size = Math.max(...eigenvectors.map(({ value: own }) => Math.abs(Number(own))));
          for (let i = 0; i < 4; i++) {
            for (let j = 0; j < 4; j++) {
              const levelled = eigenvectors.reduce((sum, { value: own, vector }) => {
                const v = vector as number[];
                const scale = v.reduce((all, one) => all + one * one, 0);
                return sum + (Math.max(least(weight), Number(own)) * v[i] * v[j]) / scale;
              }, 0);
              expect(Math.abs(found[t][4 * i + j] - levelled) / size).toBeLessThan(1e-4);
            }
          }
        }
      }
    }
    const flat: Float64Array[] = [];
    const collect = { addTriangle: (_: number, m: Float64Array) => flat.push(m.slice()) };
    const limits = fabricLimits(undefined, undefined, { along: 0, across: 0 }, 1);
    const system = collect as unknown as ReturnType<typeof createBlockSystem>;
    withinFabric(limits).addCurvature(system, sheet, wide);
    flat.forEach((m, t) => {
      const k = 2 * heron(mesh, t);
      m.forEach((one, i) => expect(one).toBeCloseTo(i % 5 === 0 ? k : 0, 6));
    });
  });
  it("side terms add their own: rods, pairs and rails of a quadratic [oracle: by hand]", () => {
    const [i, j] = sheet.loops[0];
    const at = wide;
    const length = Math.hypot(at[2 * j] - at[2 * i], at[2 * j + 1] - at[2 * i + 1]);
    const [ux, uy] = [(at[2 * j] - at[2 * i]) / length, (at[2 * j + 1] - at[2 * i + 1]) / length];
    const [k, l] = sheet.loops[0].slice(4, 6);
    const other = Math.hypot(at[2 * l] - at[2 * k], at[2 * l + 1] - at[2 * k + 1]);
    const [vx, vy] = [(at[2 * l] - at[2 * k]) / other, (at[2 * l + 1] - at[2 * k + 1]) / other];
    const terms: SideTerms = {
      rods: [{ i, j, sx: 1, sy: 1, length, weight: 30, exact: true, force: 0 }],
      pairs: [{ i, j, k, l, sx: 1, sy: 1, tx: 1, ty: 1, weight: 10, force: 0 }],
      rails: [{ vertex: 3, nx: 0.6, ny: 0.8, offset: 0, weight: 50, force: 0 }],
    };
    const system = createBlockSystem(sheet);
    system.clear();
    arap.addCurvature(system, sheet, at);
    addSideCurvature(terms, at, { sheet, first: 0 }, system);
    system.factor();
    const product = bend((x, g) => arapEnergy(sheet, x, g, false), at, direction);
    const d = direction;
    // The rod's 30, and twice the pair's 10 on each of its edges.
    const first = 50 * (ux * (d[2 * j] - d[2 * i]) + uy * (d[2 * j + 1] - d[2 * i + 1]));
    const second = 20 * (vx * (d[2 * l] - d[2 * k]) + vy * (d[2 * l + 1] - d[2 * k + 1]));
    for (const [v, w, force, nx, ny] of [
      [i, j, first, ux, uy],
      [k, l, second, vx, vy],
    ]) {
      product[2 * w] += force * nx;
      product[2 * w + 1] += force * ny;
      product[2 * v] -= force * nx;
      product[2 * v + 1] -= force * ny;
    }
    const rail = 50 * (0.6 * d[6] + 0.8 * d[7]);
    product[6] += 0.6 * rail;
    product[7] += 0.8 * rail;
    const found = new Float64Array(n);
    system.solve(product, found);
    found.forEach((value, v) => expect(Math.abs(value - d[v])).toBeLessThan(2e-3));
  });
});

describe("side terms", () => {
  const terms = (): SideTerms => ({
    rods: [
      { i: 0, j: 5, sx: 1.1, sy: 0.9, length: 20, weight: 3, exact: true, force: 0.7 },
      { i: 4, j: 3, sx: 1, sy: 1, length: 10, weight: 2, exact: false, force: 0 },
    ],
    pairs: [{ i: 5, j: 6, k: 8, l: 9, sx: 1.3, sy: 1.2, tx: 0.8, ty: 0.7, weight: 4, force: -0.3 }],
    rails: [{ vertex: 7, nx: 0.6, ny: 0.8, offset: 12, weight: 5, force: 0.2 }],
  });
  /** How far each term is off: rods, the pair, the rail. */
  const offsOf = (x: Float64Array): number[] => {
    const edge = (i: number, j: number, sx: number, sy: number) =>
      Math.hypot(sx * (x[2 * j] - x[2 * i]), sy * (x[2 * j + 1] - x[2 * i + 1]));
    return [
      edge(0, 5, 1.1, 0.9) - 20,
      edge(4, 3, 1, 1) - 10,
      edge(5, 6, 1.3, 1.2) - edge(8, 9, 0.8, 0.7),
      0.6 * x[14] + 0.8 * x[15] - 12,
    ];
  };
  it("the energy is force times what each is off, and half the weight times its square [closed form]", () => {
    for (const x of STATES) {
      const [forces, weights] = [
        [0.7, 0, -0.3, 0.2],
        [3, 2, 4, 5],
      ];
      const wanted = offsOf(x).reduce(
        (sum, off, k) => sum + forces[k] * off + 0.5 * weights[k] * off * off,
        0,
      );
      expect(sideEnergy(terms(), x, null)).toBeCloseTo(wanted, 8);
    }
    const gradient = new Float64Array(n);
    sideEnergy(terms(), new Float64Array(n), gradient);
    // Edges without length have no way to be pulled; the rail has.
    expect([...gradient].map((g, i) => (i === 14 || i === 15 ? 0 : g))).toEqual(new Array(n).fill(0));
    expect(gradient[14]).toBeCloseTo(0.6 * (0.2 - 5 * 12), 9);
  });
  it("the gradient is the slope of the energy [oracle: central differences]", () => {
    for (const x of STATES) expectSlope((at, g) => sideEnergy(terms(), at, g), x);
  });
  it("updateForces takes up weight times what each exact term is off, and tells the worst [closed form]", () => {
    const [x] = STATES;
    const mine = terms();
    const worst = updateForces(mine, x);
    const off = offsOf(x);
    expect(mine.rods[0].force).toBeCloseTo(0.7 + 3 * off[0], 9);
    expect(mine.rods[1].force).toBe(0);
    expect(mine.pairs[0].force).toBeCloseTo(-0.3 + 4 * off[2], 9);
    expect(mine.rails[0].force).toBeCloseTo(0.2 + 5 * off[3], 9);
    // The rod that is only pulled does not count.
    expect(worst).toBeCloseTo(Math.max(...[off[0], off[2], off[3]].map(Math.abs)), 9);
    snapToRails(mine, x);
    expect(0.6 * x[14] + 0.8 * x[15]).toBeCloseTo(12, 9);
  });
});

describe("contact of outlines", () => {
  /** A flat horseshoe whose two ends nearly meet: a square ring of sides of 10, cut open by a gap. */
  const gap = 0.2;
  const points = [
    [gap, 0],
    [10, 0],
    [10, 10],
    [-10, 10],
    [-10, 0],
    [0, 0],
    [0, 5],
    [-5, 5],
    [-5, 8],
    [5, 8],
    [5, 5],
    [gap, 5],
  ];
  const x = Float64Array.from(points.flat());
  const loop = points.map((_, i) => i);
  const lengths = Float64Array.from(loop, (i) => {
    const [a, b] = [points[i], points[(i + 1) % points.length]];
    return Math.hypot(a[0] - b[0], a[1] - b[1]);
  });
  const border = () => outlineContact([{ loops: [loop], lengths: [lengths] }]);
  it("pushes only what is near, and the gradient is the slope of the push [oracle: central differences]", () => {
    const contact = border();
    expect(contact.energy(x, null)).toBeGreaterThan(0);
    expectSlope((at, g) => border().energy(at, g), x);
    const open = x.slice();
    // Both right corners carried away: nothing is near any more.
    open[0] = open[22] = 3;
    expect(border().energy(open, null)).toBe(0);
    const shut = x.slice();
    shut[0] = 0;
    shut[1] = 2;
    expect(border().energy(shut, null)).toBe(Infinity);
  });
  it("lets a step go just as far as the first touch [closed form]", () => {
    const direction = new Float64Array(x.length);
    // The upper end moves left by 1 a unit of step: it meets the other side after the gap.
    direction[22] = -1;
    expect(border().limitStep(x, direction)).toBeCloseTo(gap, 9);
    direction[22] = 1;
    expect(border().limitStep(x, direction)).toBeGreaterThan(gap);
  });
});

describe("minimise", () => {
  /** Σ wᵢ (xᵢ − i)², preconditioned by a wrong diagonal. */
  const quadratic = (over: Partial<Parameters<typeof minimise>[1]> = {}) => ({
    evaluate(x: Float64Array, gradient: Float64Array | null) {
      x.forEach((value, i) => {
        if (gradient) gradient[i] = 2 * (1 + i) * (value - i);
      });
      return x.reduce((sum, value, i) => sum + (1 + i) * (value - i) ** 2, 0);
    },
    precondition(gradient: Float64Array, direction: Float64Array) {
      gradient.forEach((g, i) => (direction[i] = -g / 8));
    },
    tolerance: 1e-14,
    maxIterations: 100,
    floor: 1e-24,
    ...over,
  });
  it("finds the bottom of a quadratic in about as many steps as it has unknowns [closed form]", () => {
    const x = new Float64Array(6).fill(50);
    const { energy, converged, iterations } = minimise(x, quadratic());
    x.forEach((value, i) => expect(value).toBeCloseTo(i, 6));
    expect(converged).toBe(true);
    expect(energy).toBeLessThan(1e-12);
    expect(iterations).toBeLessThan(30);
  });
  it("never steps past what is allowed, ends when told to, and says when it ran out of steps", () => {
    const x = new Float64Array(6).fill(50);
    let longest = 0;
    const bounded = minimise(
      x,
      quadratic({ maxStep: () => 0.1, onIteration: (i) => (longest = Math.max(longest, i)) }),
    );
    expect(bounded.iterations).toBe(longest);
    const first = new Float64Array(6).fill(50);
    const gradient = new Float64Array(6);
    quadratic().evaluate(first, gradient);
    minimise(first, quadratic({ maxStep: () => 0.1, maxIterations: 1 }));
    first.forEach((value, i) => expect(value).toBeCloseTo(50 - (0.09 * gradient[i]) / 8, 9));
    const out = minimise(new Float64Array(6).fill(50), quadratic({ maxIterations: 2 }));
    expect(out).toMatchObject({ iterations: 2, converged: false });
    const told = minimise(new Float64Array(6).fill(50), quadratic({ stop: (_, __, i) => i === 3 }));
    expect(told).toMatchObject({ iterations: 3, converged: true });
    expect(minimise(Float64Array.from([0, 1, 2]), quadratic())).toMatchObject({
      iterations: 0,
      converged: true,
    });
    expect(() => minimise(new Float64Array(6), quadratic({ signal: { aborted: true } }))).toThrow(
      /cancelled/,
    );
  });
  it("ends where no step leads down: at a flat place, against a stand-in that points nowhere, and when little is gained twice", () => {
    const start = () => new Float64Array(6).fill(50);
    const idle = minimise(start(), quadratic({ precondition: (_, direction) => direction.fill(0) }));
    expect(idle).toMatchObject({ iterations: 0, converged: true });
    let calls = 0;
    const rising = minimise(start(), quadratic({ evaluate: (_, gradient) => (gradient?.fill(1), ++calls) }));
    expect(rising).toMatchObject({ iterations: 0, converged: true, energy: 1 });
    const content = minimise(start(), quadratic({ tolerance: 10 }));
    expect(content).toMatchObject({ iterations: 2, converged: true });
  });
  it("a step that overshoots is cut by the parabola through what is known, at most to a tenth; one that is not allowed by half [by hand]", () => {
    const visited = (step: number, wall = -Infinity): number[] => {
      const places: number[] = [];
      minimise(Float64Array.of(1), {
        evaluate(x, gradient) {
          places.push(x[0]);
          if (gradient) gradient[0] = 2 * x[0];
          return x[0] < wall ? Infinity : x[0] * x[0];
        },
        precondition: (gradient, direction) => (direction[0] = (-step * gradient[0]) / 2),
        tolerance: 1e-9,
        maxIterations: 1,
        floor: 0,
      });
      return places.map((place) => Math.round(1e9 * place) / 1e9 + 0);
    };
    expect(visited(4)).toEqual([1, -3, 0]);
    expect(visited(20)).toEqual([1, -19, -1, 0]);
    expect(visited(4, -2.5)).toEqual([1, -3, -1, 0]);
    // A step that gains too little for its length is none, although it goes down.
    expect(visited(1.99999)).toEqual([1, -0.99999, 0.000005]);
  });
  it("has nothing to do below its floor, or without steps to take", () => {
    const start = () => new Float64Array(6).fill(50);
    const energy = quadratic().evaluate(start(), null);
    expect(minimise(start(), quadratic({ floor: energy }))).toEqual({
      energy,
      iterations: 0,
      converged: true,
    });
    expect(minimise(start(), quadratic({ maxIterations: 0 }))).toEqual({
      energy,
      iterations: 0,
      converged: true,
    });
  });
  it("forgets its steps when the stand-in is made afresh [oracle: plain descent by hand]", () => {
    const x = Float64Array.from([5, 5]);
    minimise(x, quadratic({ prepare: () => true, maxIterations: 3 }));
    const by = Float64Array.from([5, 5]);
    for (let k = 0; k < 3; k++) by.forEach((value, i) => (by[i] = value - (2 * (1 + i) * (value - i)) / 8));
    x.forEach((value, i) => expect(value).toBeCloseTo(by[i], 12));
  });
  it("takes shorter steps where the energy is not allowed or does not fall [invariant]", () => {
    // A wall at 10: beyond it nothing is allowed.
    const walled = quadratic();
    const x = Float64Array.from([9, 9]);
    const tried: number[] = [];
    const { energy } = minimise(x, {
      ...walled,
      evaluate(at, gradient) {
        const value = at.some((one) => one > 10) ? Infinity : walled.evaluate(at, gradient);
        tried.push(value);
        return value;
      },
      precondition: (gradient, direction) => gradient.forEach((g, i) => (direction[i] = -40 * g)),
    });
    expect(energy).toBeLessThan(1e-12);
    expect(tried.length).toBeGreaterThan(3);
  });
});
