import { describe, expect, it } from "vitest";
import { meshArea, MeshRefinement, type TriangleMesh } from "@peltry/geometry";
import { refineCorners } from "../src/search/refine-corners";

/** A hexagonal pyramid of slant edges 60 mm whose apex lacks `defect` degrees, with a skirt of the same slope. */
function pyramid(defect: number): TriangleMesh {
  const angle = ((360 - defect) / 6) * (Math.PI / 180);
  // Corners of a ring lie at distance 2 · 60 · sin(angle / 2), which is the radius of the hexagon.
  const radius = 120 * Math.sin(angle / 2);
  const drop = Math.sqrt(60 ** 2 - radius ** 2);
  const ring = (k: number): number[] =>
    Array.from({ length: 6 }, (_, i) => (i * Math.PI) / 3).flatMap((a) => [
      k * radius * Math.cos(a),
      -k * drop,
      k * radius * Math.sin(a),
    ]);
  const triangles: number[] = [];
  for (let i = 0; i < 6; i++) {
    const [a, b] = [1 + i, 1 + ((i + 1) % 6)];
    triangles.push(0, b, a, a, b, b + 6, a, b + 6, a + 6);
  }
  return {
    positions: Float64Array.from([0, 0, 0, ...ring(1), ...ring(2)]),
    triangles: Uint32Array.from(triangles),
  };
}

describe("triangles at sharp corners", () => {
  it("are divided to about 10 mm where the cone is sharp for the cloth, without a change of the form [closed form]", () => {
    const mesh = pyramid(40);
    const refinement = new MeshRefinement(mesh);
    refineCorners(refinement, 0.06);
    expect(refinement.triangleCount).toBeGreaterThan(mesh.triangles.length / 3);
    const fine = refinement.toMesh();
    expect(meshArea(fine)).toBeCloseTo(meshArea(mesh), 6);
    // An edge that ends at the apex: at most the 10 mm of the rule.
    for (const h of refinement.star(0)) {
      const next = refinement.corners[h - (h % 3) + ((h + 1) % 3)];
      expect(Math.hypot(...fine.positions.slice(3 * next, 3 * next + 3))).toBeLessThanOrEqual(10);
    }
    // Halving the longest edge first keeps angles from growing small: no less than half the least of the mesh [Rivara 1984].
    expect(leastAngle(fine)).toBeGreaterThan(leastAngle(mesh) / 2 - 1e-9);
  });

  it("stay as they are where the cloth takes the cone up: a defect under 2π times its room", () => {
    const refinement = new MeshRefinement(pyramid(40));
    refineCorners(refinement, 0.6);
    expect(refinement.triangleCount).toBe(18);
  });
});

function leastAngle({ positions: p, triangles }: TriangleMesh): number {
  let least = Math.PI;
  for (let h = 0; h < triangles.length; h++) {
    const t = h - (h % 3);
    const [a, b, c] = [h, t + ((h + 1) % 3), t + ((h + 2) % 3)].map((k) => 3 * triangles[k]);
    const u = [0, 1, 2].map((k) => p[b + k] - p[a + k]);
    const v = [0, 1, 2].map((k) => p[c + k] - p[a + k]);
    const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    least = Math.min(least, Math.acos(dot / Math.hypot(...u) / Math.hypot(...v)));
  }
  return least;
}
