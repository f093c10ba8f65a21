import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { meshTopology, type Point3, type TriangleMesh } from "@peltry/geometry";
import {
  checkScale,
  clipMesh,
  formFromScan,
  measureGirths,
  MESH_LIMITS,
  mirrorForm,
  MM_PER_UNIT,
  readMesh,
  repairMesh,
  turnUp,
  type Form,
  type KnownSize,
  type LengthUnit,
  type RepairOptions,
  type ScanFormOptions,
  type UpAxis,
} from "@peltry/forms";
import { ball, tube, writeGlb, writeObj, writeOff, writePly, writeStl } from "./mesh-bytes";
import { codeOf, near, numbersOf, odd, plainForm, sizes, within } from "./properties-helpers";

const axis: fc.Arbitrary<UpAxis> = fc.constantFrom("x", "y", "z", "-x", "-y", "-z");

/** A ball or a tube somewhere, mm: closed and open. */
const anyMesh: fc.Arbitrary<TriangleMesh> = fc
  .record({
    closed: fc.boolean(),
    radius: within(20, 400),
    height: within(50, 900),
    n: fc.integer({ min: 5, max: 12 }),
    at: fc.tuple(within(-500, 500), within(-500, 500), within(-500, 500)),
  })
  .map(({ closed, radius, height, n, at }) => {
    const { positions, triangles } = closed ? ball(radius, n) : tube(radius, height, n, 6);
    return { positions: positions.map((x, k) => x + at[k % 3]), triangles };
  });
const copyOf = ({ positions, triangles }: TriangleMesh): TriangleMesh => ({
  positions: positions.slice(),
  triangles: triangles.slice(),
});
const scaled = (mesh: TriangleMesh, k: number): TriangleMesh => ({
  positions: mesh.positions.map((x) => k * x),
  triangles: mesh.triangles,
});

describe("readMesh", () => {
  const coloured = anyMesh.chain((mesh) =>
    fc.tuple(
      fc.constant(mesh),
      fc.uint8Array({ minLength: mesh.positions.length, maxLength: mesh.positions.length }),
    ),
  );

  it("readMesh › a mesh written as text or bytes comes back to the last bit, with its colours [oracle: inverse]", () => {
    fc.assert(
      fc.property(coloured, ([mesh, colors]) => {
        const files = [
          writePly(mesh, "ascii", colors),
          writePly(mesh, "little", colors),
          writePly(mesh, "big", colors),
          writeObj(mesh, colors),
          writeOff(mesh, colors),
        ];
        for (const file of files) {
          const before = file.slice();
          const read = readMesh(file, { unit: "mm" });
          expect(numbersOf(read.mesh)).toEqual(numbersOf(mesh));
          expect([...read.colors!]).toEqual([...colors]);
          expect(file).toEqual(before);
        }
      }),
      { seed: 1, numRuns: 3 },
    );
  });

  it("readMesh › formats of single precision agree with the mesh to a ten-millionth, whatever they do to its points [oracle: inverse, area and volume]", () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const wanted = sizes(mesh);
        for (const [file, unit] of [
          [writeStl(mesh, "binary"), "mm"],
          [writeStl(mesh, "text"), "mm"],
          [writeGlb(mesh), "m"],
        ] as const) {
          const { mesh: read, report } = readMesh(file, { unit });
          expect([report.vertices, report.triangles]).toEqual([
            mesh.positions.length / 3,
            mesh.triangles.length / 3,
          ]);
          near(sizes(read).area, wanted.area, 1e-5);
          expect(Math.abs(sizes(read).volume - wanted.volume)).toBeLessThan(1e-5 * wanted.area * 1000);
        }
      }),
      { seed: 2, numRuns: 6 },
    );
  });

  it("readMesh › the unit that is given is a factor and nothing else [oracle: scaling; 1 in = 25.4 mm by definition]", () => {
    const unit = fc.constantFrom(...(Object.keys(MM_PER_UNIT) as LengthUnit[]));
    fc.assert(
      fc.property(anyMesh, unit, (mesh, name) => {
        const file = writePly(mesh, "little");
        const read = readMesh(file, { unit: name });
        expect(numbersOf(read.mesh)).toEqual(
          numbersOf(scaled(readMesh(file, { unit: "mm" }).mesh, MM_PER_UNIT[name])),
        );
        expect(read.report.unit.mmPerUnit).toBe(MM_PER_UNIT[name]);
      }),
      { seed: 3, numRuns: 10 },
    );
  });

  it("readMesh › whatever the bytes, a mesh of finite points or one typed error [oracle: hostile input]", () => {
    const small = ball(100, 5);
    const files = [
      writePly(small, "ascii"),
      writePly(small, "little"),
      writeObj(small),
      writeOff(small),
      writeStl(small, "binary"),
      writeStl(small, "text"),
      writeGlb(small),
    ];
    const edits = fc.array(fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 })), {
      minLength: 1,
      maxLength: 8,
    });
    const damaged = fc.tuple(fc.constantFrom(...files), edits, within(0.2, 1)).map(([file, list, share]) => {
      const bytes = file.slice(0, Math.ceil(share * file.length));
      for (const [at, value] of list) bytes[at % bytes.length] = value;
      return bytes;
    });
    const format = fc.constantFrom(undefined, "ply", "obj", "off", "stl", "gltf", "glb");
    fc.assert(
      fc.property(
        fc.oneof({ weight: 4, arbitrary: damaged }, fc.uint8Array({ maxLength: 300 }), odd),
        format,
        (bytes, named) => {
          const code = codeOf(() => {
            const { mesh, report } = readMesh(bytes as Uint8Array, { format: named as "ply" });
            expect(mesh.positions.every(Number.isFinite)).toBe(true);
            expect(Math.max(-1, ...mesh.triangles)).toBeLessThan(mesh.positions.length / 3);
            expect(report.triangles).toBeLessThan(Object.values(MESH_LIMITS)[0]);
          });
          if (!(bytes instanceof Uint8Array)) expect(code).toBe("forms/bad-call");
        },
      ),
      { seed: 4, numRuns: 400 },
    );
  });
});

describe("repairMesh", () => {
  it("repairMesh › repairing twice changes nothing more, and a whole mesh not at all [oracle: idempotence]", () => {
    fc.assert(
      fc.property(anyMesh, fc.nat(), fc.nat(), fc.nat(2), (mesh, first, second, kind) => {
        const before = copyOf(mesh);
        const corner = (t: number) => [...mesh.triangles.slice(3 * t, 3 * t + 3)];
        const count = mesh.triangles.length / 3;
        const [t, u] = [first % count, second % count];
        // A face twice, one of no area, one turned over.
        const list = [...mesh.triangles];
        if (kind === 0) list.push(...corner(t), ...corner(u));
        else if (kind === 1) list.push(corner(t)[0], corner(t)[1], corner(t)[0]);
        else list.splice(3 * t, 3, ...corner(t).reverse());
        const faulty = { positions: mesh.positions, triangles: Uint32Array.from(list) };
        const once = repairMesh(faulty, { fillHolesUpTo: 0 });
        const twice = repairMesh(once.mesh, { fillHolesUpTo: 0 });
        expect(numbersOf(twice.mesh)).toEqual(numbersOf(once.mesh));
        expect(twice.report.clean).toBe(true);
        expect(once.mesh.triangles.length).toBe(mesh.triangles.length);
        near(sizes(once.mesh).area, sizes(mesh).area);
        expect(meshTopology(once.mesh)).toMatchObject({ nonManifoldEdges: [], inconsistentEdges: [] });
        expect(numbersOf(repairMesh(mesh, { fillHolesUpTo: 0 }).mesh)).toEqual(numbersOf(mesh));
        expect(numbersOf(mesh)).toEqual(numbersOf(before));
      }),
      { seed: 1, numRuns: 20 },
    );
  });

  it("repairMesh › points with no connectivity are joined to the mesh they came from, and each part names its source [oracle: inverse, brute force]", () => {
    fc.assert(
      fc.property(anyMesh, (mesh) => {
        const soup = {
          positions: Float64Array.from(
            [...mesh.triangles].flatMap((v) => [...mesh.positions.slice(3 * v, 3 * v + 3)]),
          ),
          triangles: Uint32Array.from(mesh.triangles, (_, i) => i),
        };
        const { mesh: joined, sourceVertex, report } = repairMesh(soup, { fillHolesUpTo: 0 });
        expect(report.joinedVertices).toBe(soup.positions.length / 3 - mesh.positions.length / 3);
        expect(joined.positions.length).toBe(mesh.positions.length);
        near(sizes(joined).area, sizes(mesh).area);
        sourceVertex.forEach((from, v) =>
          expect([...joined.positions.slice(3 * v, 3 * v + 3)]).toEqual([
            ...soup.positions.slice(3 * from, 3 * from + 3),
          ]),
        );
      }),
      { seed: 2, numRuns: 20 },
    );
  });

  it("repairMesh › whatever the numbers and options, a mesh that can be worked with or one typed error [oracle: hostile input]", () => {
    const triangles = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 0, maxLength: 60 });
    const mesh = fc.oneof(
      odd,
      fc.record({ positions: odd, triangles: odd }),
      fc
        .tuple(fc.array(fc.oneof(within(-9, 9), fc.double()), { minLength: 0, maxLength: 30 }), triangles)
        .map(([p, t]) => ({
          positions: Float64Array.from(p),
          triangles: Uint32Array.from(t),
        })),
      fc.tuple(fc.array(within(-9, 9), { minLength: 30, maxLength: 30 }), triangles).map(([p, t]) => ({
        positions: Float64Array.from(p),
        triangles: Uint32Array.from(t.slice(0, 3 * Math.floor(t.length / 3))),
      })),
    );
    const options = fc.record(
      {
        weld: fc.oneof(odd, fc.constantFrom("auto", "never", "equal", 0.5)),
        leastIsland: fc.constantFrom(0, 0.01),
        fillHolesUpTo: within(0, 100),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(mesh, options, (given, how) => {
        codeOf(() => {
          const { mesh: out } = repairMesh(given as TriangleMesh, how as RepairOptions);
          expect(out.positions.every(Number.isFinite)).toBe(true);
          expect(meshTopology(out)).toMatchObject({ nonManifoldEdges: [], inconsistentEdges: [] });
        });
      }),
      { seed: 3, numRuns: 250 },
    );
  });
});

describe("turning and mirroring", () => {
  it("turnUp › is a turn: every length, area and volume stays, up comes up, and no number is lost [oracle: rigid motion, inverse]", () => {
    const back: Record<UpAxis, (mesh: TriangleMesh) => TriangleMesh> = {
      y: (mesh) => mesh,
      "-y": (mesh) => turnUp(mesh, "-y"),
      z: (mesh) => turnUp(mesh, "-z"),
      "-z": (mesh) => turnUp(mesh, "z"),
      x: (mesh) => turnUp(mesh, "-x"),
      "-x": (mesh) => turnUp(mesh, "x"),
    };
    fc.assert(
      fc.property(anyMesh, axis, (mesh, up) => {
        const turned = turnUp(mesh, up);
        near(sizes(turned).area, sizes(mesh).area);
        const closed = meshTopology(mesh).loops.length === 0;
        if (closed) near(sizes(turned).volume, sizes(mesh).volume, 1e-7);
        const k = { x: 0, y: 1, z: 2 }[up.at(-1) as "x"];
        const sign = up.startsWith("-") ? -1 : 1;
        turned.positions.forEach((value, i) => {
          if (i % 3 === 1) expect(value).toBe(sign * mesh.positions[i - 1 + k] + 0);
        });
        expect(numbersOf(back[up](turned))).toEqual(numbersOf(mesh));
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  it("mirrorForm › turned over twice is the same form; once it has the same area and, wound outward, the same volume [oracle: involution, symmetry]", () => {
    fc.assert(
      fc.property(anyMesh, within(-50, 50), fc.boolean(), (mesh, px, withAll) => {
        const form: Form = withAll
          ? {
              ...plainForm(mesh),
              inner: mesh.positions.map((x) => x * 0.9),
              pile: mesh.positions.slice(0, 9),
              symmetry: { point: [px, 0, 0], normal: [1, 0, 0] },
            }
          : plainForm(mesh);
        const other = mirrorForm(form);
        expect(numbersOf(mirrorForm(other).mesh)).toEqual(numbersOf(form.mesh));
        expect(mirrorForm(other)).toEqual(form);
        near(sizes(other.mesh).area, sizes(mesh).area);
        if (meshTopology(mesh).loops.length === 0) near(sizes(other.mesh).volume, sizes(mesh).volume, 1e-7);
        expect(measureGirths(other.mesh, mesh.positions[4])[0]?.tapeMm ?? 0).toBeCloseTo(
          measureGirths(mesh, mesh.positions[4])[0]?.tapeMm ?? 0,
          6,
        );
      }),
      { seed: 2, numRuns: 20 },
    );
  });

  it("turnUp › an axis that is none is forms/bad-call [oracle: hostile input]", () => {
    const mesh = ball(10, 5);
    fc.assert(
      fc.property(odd, (up) => {
        expect(codeOf(() => turnUp(mesh, up as UpAxis))).toBe("forms/bad-call");
      }),
      { seed: 3, numRuns: 60 },
    );
  });
});

describe("measureGirths", () => {
  it("measureGirths › of a ball is the polygon round its latitude, wherever it stands and at whatever scale [oracle: closed form, scaling]", () => {
    fc.assert(
      fc.property(
        within(50, 500),
        fc.integer({ min: 16, max: 40 }),
        within(-0.9, 0.9),
        within(0.1, 10),
        axis,
        (radius, n, share, k, up) => {
          const mesh = turnUp(ball(radius, n), up);
          const at = ({ x: 0, y: 1, z: 2 } as const)[up.at(-1) as "x"];
          for (const level of [0, 1, 2] as const) {
            const [loop] = measureGirths(mesh, share * radius, level);
            const wanted = 2 * Math.PI * radius * Math.sqrt(1 - share * share);
            expect(loop.closed).toBe(true);
            expect(loop.tapeMm).toBeLessThanOrEqual(loop.contourMm * (1 + 1e-9));
            expect(loop.tapeMm).toBeLessThan(wanted * (1 + 1e-9));
            if (level === at)
              expect(loop.tapeMm).toBeGreaterThan(wanted * (1 - 20 / (n * n)) - (radius * 20) / (n * n));
            const [large] = measureGirths(scaled(mesh, k), k * share * radius, level);
            near(large.tapeMm, k * loop.tapeMm, 1e-7);
            for (const point of loop.points) expect(point[level]).toBeCloseTo(share * radius, 8);
          }
        },
      ),
      { seed: 1, numRuns: 12 },
    );
  });

  it("measureGirths › two limbs give two loops, each as alone, longest first [oracle: union]", () => {
    fc.assert(
      fc.property(within(20, 100), within(20, 100), within(10, 190), (a, b, level) => {
        const [one, other] = [tube(a, 200, 14, 5), tube(b, 200, 10, 4)];
        const offset = one.positions.length / 3;
        const both = {
          positions: Float64Array.from([
            ...one.positions,
            ...other.positions.map((x, k) => (k % 3 === 0 ? x + 500 : x)),
          ]),
          triangles: Uint32Array.from([...one.triangles, ...other.triangles.map((v) => v + offset)]),
        };
        const girths = measureGirths(both, level).map(({ tapeMm }) => tapeMm);
        const alone = [one, other].map((mesh) => measureGirths(mesh, level)[0].tapeMm);
        alone.sort((x, y) => y - x).forEach((tape, i) => expect(girths[i]).toBeCloseTo(tape, 6));
        expect(girths.length).toBe(2);
        expect(codeOf(() => measureGirths(both, Number.NaN))).toBe("forms/bad-call");
      }),
      { seed: 2, numRuns: 25 },
    );
  });
});

describe("checkScale", () => {
  const known = (mesh: TriangleMesh, k: number, at: number): KnownSize[] => {
    const ys = [...mesh.positions].filter((_, i) => i % 3 === 1);
    const [low, high] = [Math.min(...ys), Math.max(...ys)];
    const level = at * (high - low);
    return [
      { kind: "height", mm: k * (high - low) },
      { kind: "girth", mm: k * measureGirths(mesh, low + level)[0].tapeMm, atMm: level },
    ];
  };

  it("checkScale › finds the factor that the tape was multiplied by; scaled by it the mesh passes [oracle: inverse]", () => {
    fc.assert(
      fc.property(
        anyMesh,
        fc.oneof(within(0.2, 5), within(0.99, 1.01), fc.constantFrom(10, 25.4, 1000)),
        within(0.2, 0.8),
        (mesh, k, at) => {
          const sizesKnown = known(mesh, k, at);
          const check = checkScale(mesh, sizesKnown);
          for (const { ratio } of check.sizes) near(ratio, k, 1e-6);
          if (Math.abs(k - 1) <= 0.0149) expect([check.factor, check.issues.length]).toEqual([1, 0]);
          if (Math.abs(k - 1) >= 0.0151) {
            near(check.factor, k, 1e-6);
            expect(check.issues.map(({ code }) => code)).toEqual(["forms/scale-off"]);
            const [height] = sizesKnown;
            expect(checkScale(scaled(mesh, check.factor), [height]).issues).toEqual([]);
          }
          if (k === 25.4) expect(check.unit).toBe("in");
          if (k === 10) expect(check.unit).toBe("cm");
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });

  it("checkScale › known sizes that are none are forms/bad-call [oracle: hostile input]", () => {
    const mesh = ball(100, 8);
    const size = fc.oneof(
      odd,
      fc.record(
        {
          kind: fc.constantFrom("height", "girth", "x"),
          mm: fc.oneof(odd, within(1, 900)),
          atMm: odd,
          ofHeightMm: odd,
        },
        { requiredKeys: ["mm"] },
      ),
    );
    fc.assert(
      fc.property(fc.oneof(odd, fc.array(size)), (given) => {
        const code = codeOf(() => {
          const { factor, sizes: found } = checkScale(mesh, given as KnownSize[]);
          expect(factor).toBeGreaterThan(0);
          for (const { ratio } of found) expect(ratio).toBeGreaterThan(0);
        });
        expect(["none", "forms/bad-call"]).toContain(code);
      }),
      { seed: 2, numRuns: 200 },
    );
  });
});

describe("clipMesh", () => {
  const plane = fc
    .tuple(within(-1, 1), within(-1, 1), within(-1, 1))
    .filter((n) => Math.hypot(...n) > 0.1)
    .map((normal) => normal as Point3);

  it("clipMesh › the two sides of a plane make up the whole, in area and in colour, and the length of the normal does not matter [oracle: additivity]", () => {
    fc.assert(
      fc.property(anyMesh, plane, within(0.05, 20), fc.nat(), (mesh, normal, k, which) => {
        const before = copyOf(mesh);
        const v = 3 * (which % (mesh.positions.length / 3));
        const middle = [0, 1, 2].map((d) => {
          const list = [...mesh.positions].filter((_, i) => i % 3 === d);
          return (list.reduce((a, b) => a + b, 0) / list.length + mesh.positions[v + d]) / 2;
        }) as unknown as Point3;
        const colors = new Uint8Array(mesh.positions.length).fill(77);
        const turned = normal.map((x) => -k * x) as unknown as Point3;
        const front = clipMesh(mesh, { point: middle, normal }, colors);
        const back = clipMesh(mesh, { point: middle, normal: turned }, colors);
        near(sizes(front.mesh).area + sizes(back.mesh).area, sizes(mesh).area, 1e-9);
        expect([...front.colors!, ...back.colors!].every((c) => c === 77)).toBe(true);
        for (const part of [front, back]) {
          expect(part.sourceTriangle.length).toBe(part.mesh.triangles.length / 3);
          for (const t of part.sourceTriangle) expect(t).toBeLessThan(mesh.triangles.length / 3);
        }
        const longer = clipMesh(mesh, {
          point: middle,
          normal: normal.map((x) => 4 * x) as unknown as Point3,
        });
        expect([...longer.mesh.triangles]).toEqual([...front.mesh.triangles]);
        expect(numbersOf(mesh)).toEqual(numbersOf(before));
      }),
      { seed: 1, numRuns: 20 },
    );
  });

  it("clipMesh › a plane beside the mesh keeps all of it or nothing; one that is none is forms/bad-call [oracle: bounds, hostile input]", () => {
    fc.assert(
      fc.property(anyMesh, plane, odd, (mesh, normal, strange) => {
        const size = Math.hypot(...normal);
        const far = (by: number): Point3 => normal.map((x) => (by * x) / size) as unknown as Point3;
        near(sizes(clipMesh(mesh, { point: far(-5000), normal }).mesh).area, sizes(mesh).area);
        expect(clipMesh(mesh, { point: far(5000), normal }).mesh.triangles.length).toBe(0);
        expect(codeOf(() => clipMesh(mesh, { point: [0, 0, 0], normal: strange as Point3 }))).toBe(
          "forms/bad-call",
        );
        expect(codeOf(() => clipMesh(mesh, { point: strange as Point3, normal }))).toBe("forms/bad-call");
      }),
      { seed: 2, numRuns: 60 },
    );
  });
});

describe("formFromScan", () => {
  it("formFromScan › of an unpainted scan is the scan itself, turned up: same area, one region, its rims as curves [oracle: invariant]", () => {
    fc.assert(
      fc.property(
        within(60, 200),
        within(200, 700),
        fc.integer({ min: 12, max: 18 }),
        axis,
        (radius, height, n, up) => {
          const mesh = turnUp(tube(radius, height, n, n), up);
          const before = copyOf(mesh);
          // A mesh that was turned so that y points along `up` is turned back by the opposite letter.
          const { form, report } = formFromScan(
            { mesh },
            { up, repair: { evenRounds: 0, flattenSpikes: false, fillHolesUpTo: 0, fillShadowsUpTo: 0 } },
          );
          near(sizes(form.mesh).area, sizes(mesh).area, 1e-9);
          expect(form.regions.length).toBe(1);
          expect(form.curves.map(({ kind }) => kind)).toEqual(["rim", "rim"]);
          for (const { lengthMm } of report.curves)
            near(lengthMm, 2 * n * radius * Math.sin(Math.PI / n), 1e-6);
          expect(numbersOf(mesh)).toEqual(numbersOf(before));
        },
      ),
      { seed: 1, numRuns: 8 },
    );
  });

  it("formFromScan › whatever the scan and options, a form or one typed error [oracle: hostile input]", () => {
    const mesh = ball(100, 8);
    const colors = new Uint8Array(mesh.positions.length).fill(128);
    const scan = fc.oneof(
      odd,
      fc.record({ mesh: odd }),
      fc.constant({ mesh }),
      fc.constant({ mesh, colors }),
      fc.record({ mesh: fc.constant(mesh), colors: odd }),
    );
    const options = fc.record(
      {
        up: fc.oneof(odd, axis),
        regions: fc.oneof(odd, fc.array(fc.oneof(odd, fc.record({ id: odd, colour: odd })))),
        line: fc.oneof(odd, fc.constant([0, 0, 0])),
        picked: fc.oneof(odd, fc.array(fc.record({ id: odd, points: odd }))),
        smooth: odd,
        bridge: odd,
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(scan, options, (given, how) => {
        codeOf(() => {
          const { form } = formFromScan(given as { mesh: TriangleMesh }, how as ScanFormOptions);
          expect(form.mesh.positions.every(Number.isFinite)).toBe(true);
        });
      }),
      { seed: 2, numRuns: 120 },
    );
  });
});
