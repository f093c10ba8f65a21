import { readFileSync } from "node:fs";
import { meshTopology, type Point3 } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import {
  checkScale,
  formFromScan,
  measureGirths,
  readMesh,
  repairMesh,
  type Colour,
  type FormCurve,
} from "../src/index";
import { ball, tube, writePly } from "./mesh-bytes";

const at = (name: string): URL => new URL(`../../../test-fixtures/leg-scan/${name}`, import.meta.url);
const truth = JSON.parse(readFileSync(at("truth.json"), "utf8")) as {
  colours: Record<"main" | "patch" | "line", Colour>;
  clean: { patchAreaMm2: number; girths: { zMm: number; contourMm: number; tapeMm: number }[] };
  mesh: {
    mainSurfaceTriangles: number;
    islands: number;
    nonManifoldFins: number;
    duplicateFaces: number;
    zeroAreaFaces: number;
    spikes: number;
  };
  seams: { id: string; closed: boolean; lengthMm: number; points: Point3[] }[];
};
const file = new Uint8Array(readFileSync(at("scan-20k.ply")));
const scan = readMesh(file);
const result = formFromScan(scan, {
  up: "z",
  regions: [
    { id: "main", colour: truth.colours.main },
    { id: "patch", colour: truth.colours.patch },
  ],
  line: truth.colours.line,
});
const { form, report } = result;
const seam = (id: string) => truth.seams.find((s) => s.id === id)!;
/** A vertex in the scan's own axes. */
const place = (v: number): Point3 => [
  form.mesh.positions[3 * v],
  -form.mesh.positions[3 * v + 2],
  form.mesh.positions[3 * v + 1],
];
const gap = (a: Point3, b: Point3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
const fine = (points: Point3[]): Point3[] =>
  points
    .slice(1)
    .flatMap((q, i) =>
      [0, 1, 2, 3].map(
        (k) => [0, 1, 2].map((d) => points[i][d] + ((q[d] - points[i][d]) * k) / 4) as unknown as Point3,
      ),
    );
const offsets = (curve: FormCurve, points: Point3[]): number[] =>
  curve.path.map((v) => Math.min(...fine(points).map((q) => gap(place(v), q)))).sort((a, b) => a - b);
const mean = (list: number[]): number => list.reduce((a, b) => a + b, 0) / list.length;

describe("formFromScan on the painted leg", () => {
  it("repairMesh › finds every fault that was put into the scan [oracle: the generator's counts]", () => {
    const { report: repair } = repairMesh(scan.mesh, { colors: scan.colors, fillHolesUpTo: 0 });
    expect(repair).toMatchObject({
      duplicatesRemoved: truth.mesh.duplicateFaces,
      zeroFacesRemoved: truth.mesh.zeroAreaFaces,
      finsRemoved: truth.mesh.nonManifoldFins,
      islandsRemoved: truth.mesh.islands,
      triangles: truth.mesh.mainSurfaceTriangles,
      pieces: 1,
    });
  });

  it("formFromScan › puts the patch border within 3 mm mean and 6 mm p95 of the paint's edge [oracle: the generator's curve]", () => {
    const borders = form.curves.filter((c) => c.kind === "border");
    expect(borders).toHaveLength(1);
    const off = offsets(borders[0], seam("patch-outline").points);
    expect(mean(off)).toBeLessThan(2.2);
    expect(off[Math.floor(0.95 * off.length)]).toBeLessThan(3.6);
    expect(borders[0].closed).toBe(true);
    expect(report.regions.find((r) => r.id === "patch")!.areaMm2 / truth.clean.patchAreaMm2).toBeCloseTo(
      1,
      1,
    );
  });

  it("formFromScan › finds every drawn seam and no other, each of the right length and place [oracle: the generator's curves]", () => {
    const drawn = form.curves.filter((c) => c.kind === "drawn");
    const found = drawn.map((curve) => {
      const near = truth.seams
        .map((s) => ({ id: s.id, off: mean(offsets(curve, s.points)) }))
        .sort((a, b) => a.off - b.off)[0];
      expect(near.off).toBeLessThan(2.2);
      return {
        id: near.id,
        closed: curve.closed,
        length: report.curves.find((c) => c.id === curve.id)!.lengthMm,
      };
    });
    expect(found.map((f) => [f.id, f.closed]).sort()).toEqual([
      ["back-seam", false],
      ["foot-ring", true],
      ["hock-ring", true],
      ["knee-dart", false],
    ]);
    for (const { id, length } of found) {
      // The seam runs on over the top of the leg, which the scan does not have.
      const points = seam(id).points.filter((q) => id !== "back-seam" || q[2] < 877);
      const whole =
        id === "back-seam"
          ? points.slice(1).reduce((sum, q, i) => sum + gap(q, points[i]), 0)
          : seam(id).lengthMm;
      expect(Math.abs(length / whole - 1), id).toBeLessThan(0.03);
    }
  });

  it("formFromScan › makes every curve a run of mesh edges on a manifold mesh [oracle: edge set]", () => {
    const topology = meshTopology(form.mesh);
    expect(topology).toMatchObject({
      nonManifoldEdges: [],
      inconsistentEdges: [],
      nonManifoldVertices: [],
      unusedVertices: [],
      componentCount: 1,
    });
    const edges = new Set<string>();
    form.mesh.triangles.forEach((v, h, all) => {
      const w = all[h % 3 === 2 ? h - 2 : h + 1];
      edges.add(`${v},${w}`).add(`${w},${v}`);
    });
    for (const { path, closed } of form.curves) {
      expect(new Set(path).size).toBe(path.length);
      for (let i = closed ? 0 : 1; i < path.length; i++)
        expect(edges.has(`${path[(i + path.length - 1) % path.length]},${path[i]}`)).toBe(true);
    }
    expect(form.curves.filter((c) => c.kind === "rim").length).toBe(topology.loops.length);
    expect(form.regionOf.length).toBe(form.mesh.triangles.length / 3);
  });

  it("formFromScan › keeps the leg's girths through repair and evening [oracle: girths of the clean surface]", () => {
    const { mesh } = repairMesh(scan.mesh, { flattenSpikes: true, evenRounds: 8 });
    for (const { zMm, tapeMm } of truth.clean.girths) {
      // Drift, noise and a step put on by the generator move the surface outward by up to 2 mm: 13 mm of girth.
      const [loop] = measureGirths(mesh, zMm + 15, 2);
      if (loop.closed) expect(Math.abs(loop.tapeMm - tapeMm)).toBeLessThan(14);
    }
    expect(report.repair.spikesFlattened).toBeGreaterThan(0);
    expect(checkScale(form.mesh, [{ kind: "height", mm: 870 }]).factor).toBe(1);
  });

  it("formFromScan › gives the same bytes for the same scan [oracle: second run]", () => {
    const again = formFromScan(readMesh(file), {
      up: "z",
      regions: [
        { id: "main", colour: truth.colours.main },
        { id: "patch", colour: truth.colours.patch },
      ],
      line: truth.colours.line,
    });
    expect(again).toEqual(result);
  });
});

describe("formFromScan on shapes made here", () => {
  it("formFromScan › joins picked points by shortest ways, also as a ring [oracle: great circle, girth]", () => {
    const r = 150;
    const globe = formFromScan(
      { mesh: ball(r, 48) },
      {
        picked: [
          {
            id: "arc",
            points: [
              [r, 0, 0],
              [0, r * Math.SQRT1_2, r * Math.SQRT1_2],
            ],
          },
        ],
        repair: { evenRounds: 0 },
      },
    );
    const arc = globe.report.curves.find((c) => c.id === "arc")!;
    expect(Math.abs(arc.lengthMm / ((Math.PI / 2) * r) - 1)).toBeLessThan(0.01);
    const leg = tube(80, 600, 48, 40);
    const ring = formFromScan(
      { mesh: leg },
      {
        picked: [
          {
            id: "ring",
            closed: true,
            points: [0, 1, 2, 3].map((k): Point3 => [
              80 * Math.cos((k * Math.PI) / 2),
              307,
              80 * Math.sin((k * Math.PI) / 2),
            ]),
          },
        ],
        repair: { evenRounds: 0 },
      },
    );
    const curve = ring.report.curves.find((c) => c.id === "ring")!;
    expect(curve.closed).toBe(true);
    expect(Math.abs(curve.lengthMm / (2 * Math.PI * 80) - 1)).toBeLessThan(0.01);
  });

  it("formFromScan › parts three paints that meet in points, under a light that falls off [oracle: areas painted]", () => {
    const leg = tube(90, 700, 96, 110);
    const paints: Colour[] = [
      [190, 60, 50],
      [60, 120, 190],
      [230, 220, 200],
    ];
    const colors = new Uint8Array(leg.positions.length);
    for (let v = 0; v < colors.length / 3; v++) {
      const [x, y, z] = leg.positions.slice(3 * v, 3 * v + 3);
      const paint = paints[y < 350 ? 0 : z > 0 ? 1 : 2];
      const light = 0.75 + 0.25 * (x / 90) + 0.05 * Math.sin(v * 12.9898);
      for (let k = 0; k < 3; k++)
        colors[3 * v + k] = Math.max(0, Math.min(255, Math.round(paint[k] * light)));
    }
    const { form: made, report: found } = formFromScan(
      { mesh: leg, colors },
      { regions: paints.map((colour, i) => ({ id: `p${i}`, colour })) },
    );
    const half = 0.5 * 2 * Math.PI * 90 * 350;
    found.regions.forEach((r, i) => expect(Math.abs(r.areaMm2 / half - [2, 1, 1][i])).toBeLessThan(0.06));
    expect(made.curves.filter((c) => c.kind === "border")).toHaveLength(4);
    expect(meshTopology(made.mesh).nonManifoldEdges).toEqual([]);
  });

  it("formFromScan › makes one region of a scan without paint, and refuses what cannot be", () => {
    const plain = readMesh(writePly(tube(80, 600, 24, 20), "little"));
    expect(formFromScan(plain).form.regions).toEqual([{ id: "all", name: "all" }]);
    const codes = [
      () => formFromScan(plain, { line: [0, 0, 0] }),
      () => formFromScan(plain, { picked: [{ id: "x", points: [[0, 0, 0]] }] }),
      () =>
        formFromScan(plain, {
          picked: [
            {
              id: "x",
              points: [
                [9000, 0, 0],
                [0, 0, 0],
              ],
            },
          ],
        }),
      () => formFromScan(plain, { regions: [{ id: "x", colour: [1, 2] as unknown as Colour }] }),
      () => formFromScan(plain, { signal: { aborted: true } }),
    ].map((run) => {
      try {
        run();
        return "none";
      } catch (error) {
        return (error as { code: string }).code;
      }
    });
    expect(codes).toEqual([
      "forms/no-colours",
      "forms/bad-pick",
      "forms/bad-pick",
      "forms/bad-call",
      "work/cancelled",
    ]);
  });
});
