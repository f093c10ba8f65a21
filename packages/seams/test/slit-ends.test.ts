import { describe, expect, it } from "vitest";
import { MeshRefinement, type TriangleMesh } from "@peltry/geometry";
import { searchPatches } from "../src/search/search-patches";
import { beyondLegs, slitEnds } from "../src/search/slit-ends";
import { straightInTriangles } from "../src/straight-in-triangles";
import { squares } from "./flat-squares";

/** A flat grid of 20 by 20 squares of 5 mm; vertex (i, j) has index 21 j + i. */
const grid = (): TriangleMesh => squares(20, 20, 5);

const up = (i: number, to: number): number[] => Array.from({ length: to + 1 }, (_, j) => 21 * j + i);

describe("slitEnds", () => {
  it("finds the tip and the legs of each slit, whichever the order [closed form: squares of 5 mm]", () => {
    const refinement = new MeshRefinement(grid());
    refinement.markPath(up(5, 8), 11);
    refinement.markPath(up(12, 3), 12);
    const [patch] = searchPatches(refinement, new Int32Array(800));
    const ends = slitEnds({ refinement }, patch).sort((a, b) => b.leg - a.leg);
    expect(ends.map(({ leg }) => leg)).toEqual([40, 15]);
    expect(ends.map(({ tip }) => patch.sourceVertex[tip])).toEqual([21 * 8 + 5, 21 * 3 + 12]);
  });

  it("finds none where a cut goes from edge to edge [invariant]", () => {
    const refinement = new MeshRefinement(grid());
    refinement.markPath(up(10, 20), 11);
    const patches = searchPatches(refinement, new Int32Array(800));
    expect(patches).toHaveLength(2);
    for (const patch of patches) expect(slitEnds({ refinement }, patch)).toEqual([]);
  });

  it("offers every place of the outline but those on the slit's own legs [closed form]", () => {
    const refinement = new MeshRefinement(grid());
    refinement.markPath(up(10, 8), 11);
    const [patch] = searchPatches(refinement, new Int32Array(800));
    const [slit] = slitEnds({ refinement }, patch);
    const loop = patch.loops[0];
    const rim = {
      nodes: Int32Array.from(loop),
      along: Float64Array.from(loop, (_, i) => 5 * i),
      side: new Int32Array(loop.length),
      total: 5 * loop.length,
    };
    const field = {
      cost: new Float64Array(patch.sourceVertex.length).fill(1),
      previous: new Int32Array(patch.sourceVertex.length),
    };
    const { cost } = beyondLegs(rim, field, slit);
    // Two legs of 8 steps that share their tip; their far ends lie on the edge of the form.
    expect(loop.filter((v) => cost[v] === Infinity)).toHaveLength(15);
    expect(cost.filter((c) => c === 1)).toHaveLength(patch.sourceVertex.length - 15);
  });
});

describe("straightInTriangles", () => {
  const mesh = grid();
  it("keeps ends and crossings and leaves out places inside, so that neighbours still share a triangle [closed form]", () => {
    const root = { triangle: 0, weights: [0.5, 0.5, 0] } as const;
    const inside = { triangle: 0, weights: [0.3, 0.4, 0.3] } as const;
    const diagonal = { triangle: 0, weights: [0.4, 0, 0.6] } as const;
    const beyond = { triangle: 1, weights: [0.2, 0.5, 0.3] } as const;
    expect(straightInTriangles(mesh, [root, inside, diagonal, beyond])).toEqual([root, diagonal, beyond]);
  });

  it("does not leave a triangle to come back over the same edge [closed form]", () => {
    const out = { triangle: 0, weights: [0.4, 0, 0.6] } as const;
    const away = { triangle: 1, weights: [0.4, 0.5, 0.1] } as const;
    const back = { triangle: 1, weights: [0.3, 0.7, 0] } as const;
    const root = { triangle: 0, weights: [0.5, 0.5, 0] } as const;
    const end = { triangle: 0, weights: [0, 0.5, 0.5] } as const;
    expect(straightInTriangles(mesh, [root, out, away, back, end])).toEqual([root, end]);
    // A path that begins on the edge keeps its root.
    expect(straightInTriangles(mesh, [out, away, back, end])).toEqual([out, end]);
  });
});
