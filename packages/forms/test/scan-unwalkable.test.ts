import { describe, expect, it } from "vitest";
import type { TriangleMesh } from "@peltry/geometry";
import { clipMesh, formFromScan, type Colour } from "@peltry/forms";
import { gridSurface } from "../../../test-fixtures/src/shapes";
import type { JoinedStroke } from "../src/scan/paint/join-ends";
import { insertStrokes } from "../src/scan/paint/insert-strokes";
import type { Vec } from "../src/scan/paint/vector";
import { tube } from "./mesh-bytes";

/** A flat sheet of 200 × 200 mm in x and z, without the triangles whose middle this refuses. */
function sheet(keep: (x: number, z: number) => boolean): TriangleMesh {
  const { positions, triangles } = gridSurface((u, v) => [200 * u - 100, 0, 100 - 200 * v], 1, {
    triangles: 3200,
    jitter: 0.2,
  });
  const middle = (t: number, k: number): number =>
    (positions[3 * triangles[t] + k] +
      positions[3 * triangles[t + 1] + k] +
      positions[3 * triangles[t + 2] + k]) /
    3;
  const list: number[] = [];
  for (let t = 0; t < triangles.length; t += 3)
    if (keep(middle(t, 0), middle(t, 2))) list.push(triangles[t], triangles[t + 1], triangles[t + 2]);
  return { positions, triangles: Uint32Array.from(list) };
}

const across: JoinedStroke = {
  points: Array.from({ length: 81 }, (_, i): Vec => [2 * (i - 40), 0, 3]),
  closed: false,
  joins: [undefined, undefined],
  carried: 0,
  carriedEnds: [0, 0],
};

function insert(mesh: TriangleMesh) {
  const made = insertStrokes(mesh, new Int32Array(mesh.triangles.length / 3), [across]);
  const { positions: p, triangles } = made.mesh;
  const edges = new Set<string>();
  for (let t = 0; t < triangles.length; t += 3)
    for (let k = 0; k < 3; k++)
      edges.add([triangles[t + k], triangles[t + ((k + 1) % 3)]].sort((a, b) => a - b).join("-"));
  const path = made.paths[0];
  const length = (path ?? []).slice(1).reduce((sum, v, i) => {
    const u = path![i]!;
    return sum + Math.hypot(p[3 * v] - p[3 * u], p[3 * v + 1] - p[3 * u + 1], p[3 * v + 2] - p[3 * u + 2]);
  }, 0);
  const area = (mesh2: TriangleMesh): number => {
    let sum = 0;
    for (let t = 0; t < mesh2.triangles.length; t += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => 3 * mesh2.triangles[t + k]!);
      const q = mesh2.positions;
      sum +=
        Math.abs((q[b!] - q[a!]) * (q[c! + 2] - q[a! + 2]) - (q[b! + 2] - q[a! + 2]) * (q[c!] - q[a!])) / 2;
    }
    return sum;
  };
  const runs = (path ?? [])
    .slice(1)
    .every((v, i) => edges.has([v, path![i]!].sort((a, b) => a - b).join("-")));
  return { path, length, runs, lost: area(made.mesh) - area(mesh) };
}

describe("a line that cannot be walked as drawn", () => {
  it("insertStrokes › is as long as drawn where nothing is in the way [oracle: 160 mm]", () => {
    const { length, runs } = insert(sheet(() => true));
    expect(runs).toBe(true);
    expect(Math.abs(length - 160)).toBeLessThan(2);
  });
  it("insertStrokes › goes round a hole by shortest ways, as mesh edges [oracle: tangents and arc round a disc]", () => {
    const hole = 30;
    const { length, runs, lost } = insert(sheet((x, z) => Math.hypot(x, z) > hole));
    expect(runs).toBe(true);
    expect(Math.abs(lost)).toBeLessThan(1e-6);
    // Two tangents to the disc and the arc between them; the rim is ragged by an edge of 7 mm, and the line was drawn
    // straight as far as the rim.
    const shortest = 2 * Math.sqrt(80 * 80 - hole * hole) + 2 * hole * Math.asin(hole / 80);
    expect(length).toBeGreaterThan(shortest - 4);
    expect(length).toBeLessThan(160 - 2 * hole + Math.PI * (hole + 8) + 8);
  });
  it("insertStrokes › is left out, and the mesh as it is, where its ends lie on pieces that do not hang together", () => {
    const { path, lost } = insert(sheet((x) => Math.abs(x) > 20));
    expect(path).toBeUndefined();
    expect(Math.abs(lost)).toBeLessThan(1e-6);
  });
});

describe("a scan clipped beside a patch", () => {
  it("clipMesh › leaves the patch its area and its border closed [oracle: area painted]", () => {
    const leg = tube(90, 700, 96, 140);
    const paints: Colour[] = [
      [60, 120, 190],
      [230, 220, 200],
    ];
    const colors = new Uint8Array(leg.positions.length);
    const size = 70;
    for (let v = 0; v < colors.length / 3; v++) {
      const [x, y, z] = leg.positions.slice(3 * v, 3 * v + 3) as unknown as Vec;
      const round = 90 * Math.atan2(x, z);
      colors.set(paints[Math.hypot(round, y - 350) < size ? 1 : 0]!, 3 * v);
    }
    const regions = paints.map((colour, i) => ({ id: `p${i}`, colour }));
    for (const gap of [40, 15]) {
      const cut = clipMesh(leg, { point: [0, 350 + size + gap, 0], normal: [0, -1, 0] }, colors);
      const { form, report } = formFromScan({ mesh: cut.mesh, colors: cut.colors }, { regions });
      const patch = report.regions.find(({ id }) => id === "p1")!;
      expect(Math.abs(patch.areaMm2 / (Math.PI * size * size) - 1)).toBeLessThan(0.03);
      const borders = form.curves.filter(({ kind }) => kind === "border");
      expect(borders.map(({ closed }) => closed)).toEqual([true]);
      expect(
        Math.abs(report.curves.find(({ id }) => id === borders[0]!.id)!.lengthMm / (2 * Math.PI * size) - 1),
      ).toBeLessThan(0.03);
    }
  });
});
