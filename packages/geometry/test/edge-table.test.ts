import { describe, expect, it } from "vitest";
import { buildEdgeTable, createRandom, nextHalfEdge, twinsOf } from "../src/index";

describe("buildEdgeTable", () => {
  it("buildEdgeTable › groups half-edges by edge, also where many triangles share one [oracle: brute force by a map of names]", () => {
    const random = createRandom(11);
    for (const vertexCount of [5, 40, 400]) {
      const triangles = Uint32Array.from({ length: 900 }, () => Math.floor(random() * vertexCount));
      const table = buildEdgeTable(triangles, vertexCount);
      const groups = new Map<string, number[]>();
      triangles.forEach((a, h) => {
        const b = triangles[nextHalfEdge(h)];
        const name = `${Math.min(a, b)},${Math.max(a, b)}`;
        groups.set(name, [...(groups.get(name) ?? []), h]);
      });
      expect(table.edgeCount).toBe(groups.size);
      for (const list of groups.values()) {
        const edge = table.edgeOf[list[0]];
        expect([...table.uses.subarray(table.start[edge], table.start[edge + 1])]).toEqual(list);
        expect(list.every((h) => table.edgeOf[h] === edge)).toBe(true);
      }
      const twin = twinsOf(table);
      for (const list of groups.values())
        for (const h of list) expect(twin[h]).toBe(list.length === 2 ? list[0] + list[1] - h : -1);
    }
  });
});
