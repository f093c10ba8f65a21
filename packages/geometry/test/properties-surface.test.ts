import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  cleanWeights,
  createRandom,
  createSurfaceLocator,
  geodesicPath,
  geodesicSurface,
  graphPosition,
  insertPath,
  insertPoint,
  inTriangle,
  measurePath,
  meshArea,
  meshTopology,
  MeshRefinement,
  pathLength,
  straightenPath,
  supportVertices,
  surfacePathLength,
  surfacePosition,
  tracePath,
  vertexPoint,
  type Point3,
  type SurfacePoint,
  type TriangleMesh,
} from "../src/index";
import { diskAndSeed } from "./arbitraries";

const RUNS = { seed: 1, numRuns: 40 };
const apart = (a: Point3, b: Point3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

function somewhere(mesh: TriangleMesh, random: () => number): SurfacePoint {
  const triangle = Math.floor((random() * mesh.triangles.length) / 3);
  return { triangle, weights: cleanWeights(random(), random(), random()) };
}

describe("properties of places on a surface", () => {
  it("cleanWeights makes weights that sum to one, with nothing left under the tolerance [normal form]", () => {
    const weight = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(weight, weight, weight, (a, b, c) => {
        if (Math.max(a, b, c) < 1e-3) return;
        const clean = cleanWeights(a, b, c, 1e-4);
        expect(clean[0] + clean[1] + clean[2]).toBeCloseTo(1, 12);
        [a, b, c].forEach((x, k) => expect(clean[k] > 0).toBe(x > 1e-4));
        expect(cleanWeights(...clean, 0)).toEqual(clean.map((x) => expect.closeTo(x, 12) as number));
      }),
      RUNS,
    );
  });
  it("a place is the mean of its support, and the same seen from every triangle that holds it [invariant]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const random = createRandom(seed);
        for (let i = 0; i < 20; i++) {
          const triangle = Math.floor((random() * mesh.triangles.length) / 3);
          const t = random();
          const onEdge: SurfacePoint = { triangle, weights: [t, 1 - t, 0] };
          const at = surfacePosition(mesh, onEdge);
          const support = supportVertices(mesh, onEdge);
          expect(support).toEqual([...mesh.triangles.slice(3 * triangle, 3 * triangle + 2)]);
          const [a, b] = support.map((v) => vertexPoint(mesh, v));
          expect(apart(a, at)).toBeCloseTo((1 - t) * apart(a, b), 9);
          for (let other = 0; other < mesh.triangles.length / 3; other++) {
            const same = inTriangle(mesh, onEdge, other);
            const holds = support.every((v) => mesh.triangles.slice(3 * other, 3 * other + 3).includes(v));
            expect(same !== undefined).toBe(holds);
            if (same) expect(apart(surfacePosition(mesh, same), at)).toBeLessThan(1e-9);
          }
        }
      }),
      RUNS,
    );
  });
  it("createSurfaceLocator finds nothing farther than any sampled place, and places of the mesh itself at once [oracle: sampling]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const random = createRandom(seed);
        const locator = createSurfaceLocator(mesh);
        const far: Point3 = [300 * (random() - 0.5), 300 * (random() - 0.5), 300 * (random() - 0.5)];
        const found = locator.nearest(far);
        expect(apart(surfacePosition(mesh, found.place), far)).toBeCloseTo(found.distance, 9);
        for (let i = 0; i < 60; i++) {
          const sample = surfacePosition(mesh, somewhere(mesh, random));
          expect(found.distance).toBeLessThanOrEqual(apart(sample, far) + 1e-9);
          expect(locator.nearest(sample).distance).toBeLessThan(1e-9);
        }
      }),
      RUNS,
    );
  });
});

describe("properties of paths on a surface", () => {
  it("geodesics are no longer than the way along edges nor shorter than the straight line; straightening never lengthens [bounds]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const random = createRandom(seed);
        const count = mesh.positions.length / 3;
        const [from, to] = [Math.floor(random() * count), Math.floor(random() * count)];
        const surface = geodesicSurface(mesh, meshTopology(mesh).twin);
        const rough = geodesicPath(surface, from, [to], { straighten: false })!;
        const path = geodesicPath(surface, from, [to])!;
        const back = geodesicPath(surface, to, [from])!;
        const straight = apart(vertexPoint(mesh, from), vertexPoint(mesh, to));
        expect(path.length).toBeGreaterThanOrEqual(straight - 1e-9);
        expect(path.length).toBeLessThanOrEqual(rough.length + 1e-9);
        expect(Math.abs(back.length - path.length)).toBeLessThan(0.02 * path.length + 1e-9);
        expect(straightenPath(surface, path.points).length).toBeLessThanOrEqual(path.length * (1 + 1e-9));
        expect(rough.length).toBeLessThanOrEqual(alongEdges(mesh, from, to) + 1e-9);
        expect(measurePath(surface, path.points)).toEqual(path);
        if (from !== to) {
          expect(graphPosition(surface, path.points[0])).toEqual(vertexPoint(mesh, from));
          expect(graphPosition(surface, path.points[path.points.length - 1])).toEqual(vertexPoint(mesh, to));
        }
      }),
      RUNS,
    );
  });
  it("a traced path goes through its places, triangle by triangle, and may be inserted as edges of the same length [round trip]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const random = createRandom(seed);
        const places = [somewhere(mesh, random), somewhere(mesh, random), somewhere(mesh, random)];
        const refinement = new MeshRefinement(mesh);
        const path = tracePath(refinement, places);
        for (const place of places) {
          const at = surfacePosition(mesh, place);
          expect(Math.min(...path.map((p) => apart(surfacePosition(mesh, p), at)))).toBeLessThan(1e-6);
        }
        const vertices = insertPath(refinement, path, { snap: 0 });
        const made = refinement.toMesh();
        expect(meshArea(made)).toBeCloseTo(meshArea(mesh), 5);
        expect(pathLength(made.positions, vertices)).toBeCloseTo(surfacePathLength(mesh, path), 5);
        expect(meshTopology(made).euler).toBe(meshTopology(mesh).euler);
        const joined = vertices.slice(1).every((v, i) => refinement.edgeBetween(vertices[i], v) >= 0);
        expect(joined).toBe(true);
      }),
      RUNS,
    );
  });
  it("insertPoint puts a vertex at the place, and finds it again the second time [idempotence]", () => {
    fc.assert(
      fc.property(diskAndSeed, ([mesh, seed]) => {
        const random = createRandom(seed);
        const refinement = new MeshRefinement(mesh);
        const place = somewhere(mesh, random);
        const v = insertPoint(refinement, place, 0);
        expect(apart(vertexPoint(refinement.toMesh(), v), surfacePosition(mesh, place))).toBeLessThan(1e-9);
        expect(insertPoint(refinement, place, 1e-6)).toBe(v);
        expect(meshArea(refinement.toMesh())).toBeCloseTo(meshArea(mesh), 6);
      }),
      RUNS,
    );
  });
});

/** Dijkstra over the edges alone; like the geodesics it does not pass over the border. */
function alongEdges({ positions, triangles }: TriangleMesh, from: number, to: number): number {
  const cost = new Map<number, number>([[from, 0]]);
  const done = new Set<number>();
  const border = new Set(meshTopology({ positions, triangles }).loops.flat());
  for (;;) {
    let v = -1;
    for (const [w, c] of cost) if (!done.has(w) && (v < 0 || c < cost.get(v)!)) v = w;
    if (v < 0) return Infinity;
    if (v === to) return cost.get(v)!;
    done.add(v);
    if (v !== from && border.has(v)) continue;
    for (let h = 0; h < triangles.length; h++) {
      const t = 3 * Math.floor(h / 3);
      if (triangles[h] !== v) continue;
      for (const w of triangles.slice(t, t + 3)) {
        const length = cost.get(v)! + pathLength(positions, [v, w]);
        if (length < (cost.get(w) ?? Infinity)) cost.set(w, length);
      }
    }
  }
}
