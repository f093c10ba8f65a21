import { WebIO } from "@gltf-transform/core";
import { describe, expect, it } from "vitest";
import { signedArea } from "@peltry/geometry";
import { edgesOutline } from "@peltry/pattern";
import { edge, hare, rectangle } from "./fixtures";
import { isPeltryError, writeGlb, type GlbPiece } from "../src/index";

/** Half of an open cylinder of radius 50 and height 120, and its unrolled rectangle. */
function halfTube(): GlbPiece {
  const positions: number[] = [];
  const flat: number[] = [];
  const triangles: number[] = [];
  const around = 12;
  for (let j = 0; j <= 3; j++) {
    for (let i = 0; i <= around; i++) {
      const turn = (Math.PI * i) / around;
      positions.push(50 * Math.cos(turn), 40 * j, -50 * Math.sin(turn));
      flat.push(50 * turn, 40 * j);
    }
  }
  for (let j = 0; j < 3; j++) {
    for (let i = 0; i < around; i++) {
      const a = j * (around + 1) + i;
      triangles.push(a, a + 1, a + around + 2, a, a + around + 2, a + around + 1);
    }
  }
  return {
    name: "Shin ł",
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    flat: Float64Array.from(flat),
  };
}

/** Edges of a square hole, clockwise. */
function squareHole(x: number, y: number, side: number) {
  const c: [number, number][] = [
    [x, y],
    [x, y + side],
    [x + side, y + side],
    [x + side, y],
  ];
  return c.map((p, i) => edge(`h${x}-${i}`, [p, c[(i + 1) % 4]!], { role: "raw" }));
}

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "no error";
};

const readGlb = (bytes: Uint8Array) => new WebIO().readBinary(bytes);

describe("writeGlb", () => {
  it("writeGlb › mesh in metres and flat coordinates as UV come back [oracle: independent reader]", async () => {
    const piece = halfTube();
    const root = (await readGlb(writeGlb([piece], { textureMm: 100 }))).getRoot();
    const [mesh] = root.listMeshes();
    expect(mesh!.getName()).toBe("Shin ł");
    const [primitive] = mesh!.listPrimitives();
    const space = primitive!.getAttribute("POSITION")!;
    const uv = primitive!.getAttribute("TEXCOORD_0")!;
    expect(space.getCount()).toBe(52);
    for (let i = 0; i < 52; i++) {
      const p = space.getElement(i, []);
      const t = uv.getElement(i, []);
      for (let k = 0; k < 3; k++) expect(p[k]! * 1000).toBeCloseTo(piece.mesh.positions[3 * i + k]!, 4);
      expect(t[0]! * 100).toBeCloseTo(piece.flat[2 * i]!, 4);
      expect(-t[1]! * 100).toBeCloseTo(piece.flat[2 * i + 1]!, 4);
    }
    expect([...primitive!.getIndices()!.getArray()!]).toEqual([...piece.mesh.triangles]);
  });

  it("writeGlb › normals stand off the axis of the tube [oracle: closed form]", async () => {
    const root = (await readGlb(writeGlb([halfTube()]))).getRoot();
    const [primitive] = root.listMeshes()[0]!.listPrimitives();
    const normal = primitive!.getAttribute("NORMAL")!;
    // The vertex in the middle of the arc points straight back.
    const n = normal.getElement(13 + 6, []);
    expect(n[0]!).toBeCloseTo(0, 5);
    expect(Math.abs(n[1]!)).toBeLessThan(1e-6);
    expect(n[2]!).toBeCloseTo(-1, 5);
  });

  it("writeGlb › colours a vertex and a triangle come back [oracle: independent reader]", async () => {
    const piece = halfTube();
    const perTriangle = {
      per: "triangle" as const,
      values: Float64Array.from({ length: 72 * 3 }, (_, i) => (i % 7) / 7),
    };
    const perVertex = {
      per: "vertex" as const,
      values: Float64Array.from({ length: 52 * 3 }, (_, i) => (i % 5) / 5),
    };
    const root = (
      await readGlb(
        writeGlb([
          { ...piece, colors: perTriangle },
          { ...piece, colors: perVertex },
        ]),
      )
    ).getRoot();
    const [a, b] = root.listMeshes().map((mesh) => mesh.listPrimitives()[0]!.getAttribute("COLOR_0")!);
    expect(a!.getCount()).toBe(72 * 3);
    expect(a!.getElement(3 * 20 + 1, [])[0]).toBeCloseTo(((3 * 20) % 7) / 7, 6);
    expect(b!.getElement(9, [])[2]).toBeCloseTo(((3 * 9 + 2) % 5) / 5, 6);
  });

  it("writeGlb › chunks are padded and lengths agree [oracle: glTF 2.0 section 4]", () => {
    const bytes = writeGlb([halfTube()]);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    expect(view.getUint32(0, true)).toBe(0x46546c67);
    expect(view.getUint32(4, true)).toBe(2);
    expect(view.getUint32(8, true)).toBe(bytes.length);
    const json = view.getUint32(12, true);
    expect(json % 4).toBe(0);
    const binary = view.getUint32(20 + json, true);
    expect(20 + json + 8 + binary).toBe(bytes.length);
    const document = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + json))) as {
      accessors: { type: string; min?: number[]; max?: number[] }[];
    };
    expect(document.accessors[0]!.min!.map((v) => Math.round(v * 1000))).toEqual([-50, 0, -50]);
    expect(document.accessors[0]!.max!.map((v) => Math.round(v * 1000))).toEqual([50, 120, 0]);
  });

  it("writeGlb › a pattern gives its panels flat, of their own area, holes left out [oracle: shoelace area]", async () => {
    const holed = {
      ...rectangle("holed", 200, 150),
      holes: [[...squareHole(40, 40, 30)], [...squareHole(120, 60, 50)]],
    };
    const given = hare();
    const p = { ...given, panels: [...given.panels, holed] };
    const root = (await readGlb(writeGlb(p))).getRoot();
    expect(root.listMeshes().map((mesh) => mesh.getName())).toEqual(p.panels.map((panel) => panel.name));
    root.listMeshes().forEach((mesh, i) => {
      const [primitive] = mesh.listPrimitives();
      const space = primitive!.getAttribute("POSITION")!;
      const index = primitive!.getIndices()!.getArray()!;
      let area = 0;
      for (let t = 0; t < index.length; t += 3) {
        const [a, b, c] = [0, 1, 2].map((k) => space.getElement(index[t + k]!, []));
        area += ((b![0]! - a![0]!) * (c![1]! - a![1]!) - (b![1]! - a![1]!) * (c![0]! - a![0]!)) / 2;
      }
      const loops = [p.panels[i]!.edges, ...(p.panels[i]!.holes ?? [])];
      const wanted = loops.reduce((sum, edges) => sum + signedArea(edgesOutline(edges)), 0);
      expect((area * 1e6) / wanted).toBeCloseTo(1, 4);
    });
  });

  it("writeGlb › refuses pieces that do not fit together", () => {
    const piece = halfTube();
    const bad = Float64Array.from(piece.mesh.positions);
    bad[5] = NaN;
    expect(codeOf(() => writeGlb([]))).toBe("print/empty-glb");
    expect(codeOf(() => writeGlb({ ...hare(), panels: [] }))).toBe("print/empty-pattern");
    expect(codeOf(() => writeGlb([{ ...piece, flat: piece.flat.slice(2) }]))).toBe("print/bad-glb-piece");
    expect(codeOf(() => writeGlb([{ ...piece, mesh: { ...piece.mesh, positions: bad } }]))).toBe(
      "print/not-finite",
    );
    expect(codeOf(() => writeGlb([piece], { textureMm: 0 }))).toBe("print/bad-length");
    const triangles = Uint32Array.of(0, 1, 99);
    expect(codeOf(() => writeGlb([{ ...piece, mesh: { ...piece.mesh, triangles } }]))).toBe(
      "print/bad-glb-piece",
    );
  });
});
