import { describe, expect, it } from "vitest";
import { meshTopology, type TriangleMesh } from "@peltry/geometry";
import { panelOutline } from "@peltry/pattern";
import { signedArea } from "@peltry/geometry";
import { cutIntoPatches, patternFromPatches, sewingOrder } from "../src/index";

const AROUND = 24;
const UP = 10;
const RADIUS = 60;

/** Open cylinder about the y axis; vertex (i, j) has index j · AROUND + i. */
function tube(): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= UP; j++) {
    for (let i = 0; i < AROUND; i++) {
      const angle = (2 * Math.PI * i) / AROUND;
      positions.push(RADIUS * Math.cos(angle), 20 * j, -RADIUS * Math.sin(angle));
    }
  }
  for (let j = 0; j < UP; j++) {
    for (let i = 0; i < AROUND; i++) {
      const a = j * AROUND + i;
      const b = j * AROUND + ((i + 1) % AROUND);
      triangles.push(a, b, b + AROUND, a, b + AROUND, a + AROUND);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const upLine = (i: number): number[] => Array.from({ length: UP + 1 }, (_, j) => j * AROUND + i);
/** Unrolls by column and row: exact for a patch that does not wrap past column 0. */
function unroll(sourceVertex: Uint32Array, seamSide: (v: number) => boolean): Float64Array {
  const flat = new Float64Array(2 * sourceVertex.length);
  const step = 2 * RADIUS * Math.sin(Math.PI / AROUND);
  sourceVertex.forEach((s, v) => {
    const column = s % AROUND;
    flat[2 * v] = step * (column === 0 && seamSide(v) ? AROUND : column);
    flat[2 * v + 1] = 20 * Math.floor(s / AROUND);
  });
  return flat;
}

describe("cutIntoPatches", () => {
  const mesh = tube();
  it("opens a tube along one line into one disk whose seam joins it to itself [invariant]", () => {
    const { patches, seams } = cutIntoPatches(mesh, { lines: [{ id: "inner", path: upLine(0) }] });
    expect(patches).toHaveLength(1);
    expect(meshTopology(patches[0].mesh).euler).toBe(1);
    expect(seams).toHaveLength(1);
    expect(seams[0]).toMatchObject({ kind: "seam", lines: ["inner"] });
    for (let i = 0; i < seams[0].a.path.length; i++) {
      expect(patches[0].sourceVertex[seams[0].a.path[i]]).toBe(patches[0].sourceVertex[seams[0].b.path[i]]);
    }
    expect(patches[0].loops[0].map((edge) => edge.rim ?? edge.side)).toEqual(
      expect.arrayContaining(["a", "b", 0, 1]),
    );
  });
  it("makes two panels of two lines, every rim split between them [invariant]", () => {
    const { patches, seams } = cutIntoPatches(mesh, {
      lines: [
        { id: "in", path: upLine(0) },
        { id: "out", path: upLine(11) },
      ],
    });
    expect(patches.map((patch) => patch.loops[0].length)).toEqual([4, 4]);
    expect(seams.map((seam) => seam.lines[0]).sort()).toEqual(["in", "out"]);
  });
  it("gives a slit two sides that share their tip", () => {
    const { seams } = cutIntoPatches(mesh, {
      lines: [
        { id: "in", path: upLine(0) },
        { id: "dart", path: upLine(6).slice(0, 5) },
      ],
    });
    expect(seams.map((seam) => seam.kind).sort()).toEqual(["seam", "slit"]);
  });
  it("lets a region in as a hole whose ring is divided in two seams at top and bottom", () => {
    const regionOf = new Int32Array(mesh.triangles.length / 3);
    for (let j = 3; j < 7; j++)
      for (let i = 8; i < 14; i++) regionOf.fill(1, 2 * (j * AROUND + i), 2 * (j * AROUND + i) + 2);
    const { patches, seams } = cutIntoPatches(mesh, { lines: [{ id: "in", path: upLine(0) }], regionOf });
    expect(patches.map((patch) => patch.region).sort()).toEqual([0, 1]);
    const coat = patches.find((patch) => patch.region === 0)!;
    expect(coat.loops.map((loop) => loop.length)).toEqual([4, 2]);
    expect(seams).toHaveLength(3);
  });
});

describe("patternFromPatches and sewingOrder", () => {
  it("pairs the two sides of the tube, closes it last, hems after [closed form]", () => {
    const mesh = tube();
    const cutting = cutIntoPatches(mesh, { lines: [{ id: "inner", path: upLine(0) }] });
    const [patch] = cutting.patches;
    const b = new Set(cutting.seams[0].b.path);
    const a = new Set(cutting.seams[0].a.path);
    const flat = unroll(patch.sourceVertex, (v) => {
      // The side whose neighbours lie in the last column is the far side.
      const tri = [...patch.mesh.triangles]
        .map((w, c) => (w === v ? Math.floor(c / 3) : -1))
        .filter((t) => t >= 0);
      const columns = tri.flatMap((t) =>
        [0, 1, 2].map((k) => patch.sourceVertex[patch.mesh.triangles[3 * t + k]] % AROUND),
      );
      return columns.includes(AROUND - 1) && (a.has(v) || b.has(v));
    });
    const pattern = patternFromPatches(cutting, [flat], {
      name: "tube",
      panel: () => ({ id: "leg", name: "Leg", fabric: "coat" }),
    });
    const outline = panelOutline(pattern.panels[0]);
    const width = AROUND * 2 * RADIUS * Math.sin(Math.PI / AROUND);
    expect(signedArea(outline)).toBeCloseTo(width * 200, 6);
    expect(pattern.seams[0]).toMatchObject({
      letter: "A",
      reversed: true,
      a: { panel: "leg" },
      b: { panel: "leg" },
    });
    const { steps } = sewingOrder(pattern);
    expect(steps.map((step) => step.kind)).toEqual(["close", "finish", "finish"]);
    expect(steps[0].hand).toBe(false);
    const narrow = sewingOrder(pattern, { smallestTubeMm: 500, combPileMm: 12 });
    expect(narrow.steps[0].hand).toBe(true);
    expect(narrow.issues[0].code).toBe("seams/sew-by-hand");
  });
});
