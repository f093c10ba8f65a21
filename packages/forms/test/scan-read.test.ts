import { Document, WebIO } from "@gltf-transform/core";
import { encode as encodePng } from "fast-png";
import { meshTopology, meshVolume } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { readMesh } from "../src/index";
import {
  ball,
  Bytes,
  join,
  packGlb,
  text,
  tube,
  writeGlb,
  writeObj,
  writeOff,
  writePly,
  writeStl,
} from "./mesh-bytes";

const shape = ball(150, 12);
const paint = Uint8Array.from(shape.positions, (x) => Math.round(127 + 0.8 * x));
const close = (a: Float64Array, b: Float64Array): number =>
  a.reduce((worst, x, i) => Math.max(worst, Math.abs(x - b[i])), 0);

describe("readMesh", () => {
  const files: [string, Uint8Array, boolean][] = [
    ["text PLY", writePly(shape, "ascii", paint), true],
    ["little-endian PLY", writePly(shape, "little", paint), true],
    ["big-endian PLY", writePly(shape, "big", paint), true],
    ["OBJ", writeObj(shape, paint), true],
    ["OFF", writeOff(shape), false],
    ["COFF", writeOff(shape, paint), true],
    ["GLB", writeGlb(shape, paint), true],
  ];
  it.each(files)(
    "readMesh › reads the same mesh and colours from %s [oracle: what was written]",
    (_, bytes, coloured) => {
      const { mesh, colors, report } = readMesh(bytes);
      expect(report.unit.mmPerUnit * 0 + close(mesh.positions, shape.positions)).toBeLessThan(2e-5);
      expect([...mesh.triangles]).toEqual([...shape.triangles]);
      expect(colors !== undefined).toBe(coloured);
      if (coloured) expect([...colors!]).toEqual([...paint]);
    },
  );

  it.each(["text", "binary"] as const)(
    "readMesh › joins the soup of a %s STL, also one whose title says solid [oracle: Euler's formula]",
    (kind) => {
      const { mesh, report } = readMesh(writeStl(shape, kind));
      const topology = meshTopology(mesh);
      expect([topology.triangleCount, topology.vertexCount, topology.euler, topology.loops.length]).toEqual([
        shape.triangles.length / 3,
        shape.positions.length / 3,
        2,
        0,
      ]);
      expect(report.joinedVertices).toBe(shape.triangles.length - shape.positions.length / 3);
      expect(meshVolume(mesh) / meshVolume(shape)).toBeCloseTo(1, 5);
    },
  );

  it("readMesh › never joins the sides of a cut in an indexed file [oracle: vertex count as written]", () => {
    const cut = {
      positions: Float64Array.of(0, 0, 0, 100, 0, 0, 0, 300, 0, 100, 0, 0, 0, 300, 0, 100, 300, 0),
      triangles: Uint32Array.of(0, 1, 2, 3, 5, 4),
    };
    for (const bytes of [writePly(cut, "little"), writeObj(cut), writeGlb(cut)])
      expect(readMesh(bytes).report.vertices).toBe(6);
  });

  it("readMesh › reads an OBJ with quads, groups with blanks, negative indices, slashes, CRLF and a byte-order mark [oracle: counted by hand]", () => {
    const file = [
      "mtllib a.mtl",
      "g upper leg",
      "v 0 0 0",
      "v 20 0 0",
      "v 20 20 0",
      "v 0 20 0",
      "vt 0 0",
      "vn 0 0 1",
      "f 1/1/1 2/1/1 3/1/1 4/1/1",
      "g foot \\",
      "left",
      "v 0 0 30",
      "f -1//1 -5//1 -4//1",
      "l 1 2",
    ];
    const { mesh, groups, groupOf, report } = readMesh(
      join(new Uint8Array([0xef, 0xbb, 0xbf]), text(file.join("\r\n"))),
      { unit: "cm" },
    );
    expect(groups).toEqual(["upper leg", "foot \\"]);
    expect([...groupOf!]).toEqual([0, 0, 1]);
    expect(report.faces).toEqual({ triangles: 1, quads: 1, larger: 0 });
    expect([...mesh.triangles.slice(6)]).toEqual([4, 0, 1]);
    expect(report.sizeMm).toEqual([200, 200, 300]);
  });

  it("readMesh › cuts hollow and many-cornered faces inside their outline [oracle: area by the shoelace formula]", () => {
    const outlines: [number, number][][] = [
      [
        [0, 0],
        [300, 0],
        [300, 300],
        [200, 300],
        [200, 100],
        [100, 100],
        [100, 300],
        [0, 300],
      ],
      [
        [0, 0],
        [100, 0],
        [200, 0],
        [300, 0],
        [300, 300],
        [0, 300],
      ],
      [
        [0, 0],
        [300, 100],
        [0, 300],
        [100, 100],
      ],
      Array.from({ length: 400 }, (_, i) => [
        (i % 2 ? 300 : 120) * Math.cos((i * Math.PI) / 200),
        (i % 2 ? 300 : 120) * Math.sin((i * Math.PI) / 200),
      ]),
    ];
    for (const outline of outlines) {
      const obj = [
        ...outline.map(([x, y]) => `v ${x} ${y} ${0.5 * x}`),
        `f ${outline.map((_, i) => i + 1).join(" ")}`,
      ].join("\n");
      const { mesh } = readMesh(text(obj), { unit: "mm" });
      expect(mesh.triangles.length / 3).toBe(outline.length - 2);
      let inPlan = 0;
      for (let i = 0; i < mesh.triangles.length; i += 3) {
        const [a, b, c] = [0, 1, 2].map((k) => outline[mesh.triangles[i + k]]);
        const signed = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2;
        expect(signed).toBeGreaterThanOrEqual(0);
        inPlan += signed;
      }
      const shoelace = outline.reduce(
        (sum, p, i) =>
          sum +
          (p[0] * outline[(i + 1) % outline.length][1] - p[1] * outline[(i + 1) % outline.length][0]) / 2,
        0,
      );
      expect(inPlan).toBeCloseTo(shoelace, 4);
    }
  });

  it("readMesh › places glTF nodes through their whole chain, mirroring included [oracle: transform by hand]", () => {
    const json = {
      nodes: [
        { children: [1], translation: [0, 1, 0], scale: [2, 2, -2] },
        { mesh: 0, rotation: [0, 0, Math.SQRT1_2, Math.SQRT1_2] },
      ],
    };
    const one = {
      positions: Float64Array.of(0, 0, 0, 400, 0, 0, 0, 300, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const base = writeGlb(one);
    const end = 20 + new DataView(base.buffer, base.byteOffset).getUint32(12, true);
    const head = JSON.parse(Buffer.from(base.slice(20, end)).toString()) as Record<string, unknown>;
    const { mesh } = readMesh(packGlb({ ...head, ...json }, base.slice(end + 8)), { unit: "m" });
    // Turned by 90 degrees about z, doubled, mirrored in z, moved up by a metre.
    const wanted = [0, 1000, 0, 0, 1800, 0, -600, 1000, 0];
    mesh.positions.forEach((x, i) => expect(x).toBeCloseTo(wanted[i], 3));
    expect([...mesh.triangles]).toEqual([0, 2, 1]);
  });

  it("readMesh › reads what an independent glTF library wrote, embedded texture colours included [oracle: @gltf-transform/core]", async () => {
    const document = new Document();
    const buffer = document.createBuffer();
    const data = new Uint8Array([255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255]);
    const image = encodePng({ width: 2, height: 2, data, channels: 3, depth: 8 });
    const texture = document.createTexture().setImage(image).setMimeType("image/png");
    const material = document.createMaterial().setBaseColorTexture(texture);
    const accessor = (type: "VEC3" | "VEC2" | "SCALAR", array: Float32Array | Uint16Array) =>
      document
        .createAccessor()
        .setType(type)
        .setArray(array as Float32Array<ArrayBuffer>)
        .setBuffer(buffer);
    const primitive = document
      .createPrimitive()
      .setAttribute("POSITION", accessor("VEC3", Float32Array.of(0, 0, 0, 0.5, 0, 0, 0, 0.5, 0, 0.5, 0.5, 0)))
      .setAttribute(
        "TEXCOORD_0",
        accessor("VEC2", Float32Array.of(0.25, 0.25, 0.75, 0.25, 0.25, 0.75, 0.75, 0.75)),
      )
      .setIndices(accessor("SCALAR", Uint16Array.of(0, 1, 2, 2, 1, 3)))
      .setMaterial(material);
    document
      .createScene()
      .addChild(document.createNode().setMesh(document.createMesh().addPrimitive(primitive)));
    const { mesh, colors, report } = readMesh(await new WebIO().writeBinary(document));
    expect([...mesh.triangles]).toEqual([0, 1, 2, 2, 1, 3]);
    expect([...colors!]).toEqual([...data]);
    expect(report.sizeMm).toEqual([500, 500, 0]);
  });

  it("readMesh › reads strips, fans, unindexed triangles, 16-bit and float colours, strides and sparse entries [oracle: drawn by hand]", () => {
    const points = [0, 0, 0, 0.4, 0, 0, 0, 0.4, 0, 0.4, 0.4, 0];
    const strided = new Bytes();
    for (let v = 0; v < 4; v++)
      strided.add("f4", ...points.slice(3 * v, 3 * v + 3)).add("u2", 65535, 0, v * 21845, 0);
    const tail = new Bytes().add("u2", 3, 0).add("f4", 0.4, 0.5, 0).done();
    const bin = join(strided.done(), tail);
    const make = (mode: number, sparse: boolean) =>
      packGlb(
        {
          asset: { version: "2.0" },
          nodes: [{ mesh: 0 }],
          meshes: [{ primitives: [{ mode, attributes: { POSITION: 0, COLOR_0: 1 } }] }],
          accessors: [
            {
              bufferView: 0,
              componentType: 5126,
              count: 4,
              type: "VEC3",
              ...(sparse
                ? {
                    sparse: {
                      count: 1,
                      indices: { bufferView: 1, componentType: 5123 },
                      values: { bufferView: 1, byteOffset: 4 },
                    },
                  }
                : {}),
            },
            { bufferView: 0, byteOffset: 12, componentType: 5123, normalized: true, count: 4, type: "VEC3" },
          ],
          bufferViews: [
            { buffer: 0, byteLength: 80, byteStride: 20 },
            { buffer: 0, byteOffset: 80, byteLength: 16 },
          ],
          buffers: [{ byteLength: 96 }],
        },
        bin,
      );
    const strip = readMesh(make(5, false));
    expect([...strip.mesh.triangles]).toEqual([0, 1, 2, 2, 1, 3]);
    expect([...strip.colors!]).toEqual([255, 0, 0, 255, 0, 85, 255, 0, 170, 255, 0, 255]);
    expect([...readMesh(make(6, false)).mesh.triangles]).toEqual([1, 2, 0, 2, 3, 0]);
    expect(readMesh(make(5, true)).mesh.positions[10]).toBeCloseTo(500, 3);
    const plain = readMesh(make(4, false));
    expect([...plain.mesh.triangles]).toEqual([0, 1, 2]);
    expect(plain.report.issues.map((i) => i.code)).toContain("forms/indices-left-over");
  });

  it("readMesh › guesses metres, centimetres, decimetres and millimetres of a person-sized thing and says so [oracle: size as made]", () => {
    const leg = tube(90, 880, 12, 6);
    for (const [unit, mm] of [
      ["mm", 1],
      ["cm", 10],
      ["dm", 100],
      ["m", 1000],
    ] as const) {
      const bytes = writeOff({ ...leg, positions: leg.positions.map((x) => x / mm) });
      const { report } = readMesh(bytes);
      expect([report.unit.unit, report.unit.origin]).toEqual([unit, "guessed"]);
      expect(report.sizeMm[1]).toBeCloseTo(880, 6);
      expect(report.unit.word).toContain(`taken as ${unit}`);
    }
    expect(readMesh(writeOff(leg), { unit: "in" }).report.sizeMm[1]).toBeCloseTo(880 * 25.4, 6);
  });

  it("readMesh › spreads colours of PLY and OFF faces to their vertices [oracle: means by hand]", () => {
    const corners = "0 0 0\n100 0 0\n100 100 0\n0 100 0\n";
    const ply = text(
      `ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement face 2\nproperty list uchar int vertex_indices\nproperty uchar red\nproperty uchar green\nproperty uchar blue\nend_header\n${corners}3 0 1 2 200 0 40\n3 0 2 3 100 50 0\n`,
    );
    const off = (a: string, b: string): Uint8Array =>
      text(`OFF\n4 2 0\n${corners}3 0 1 2 ${a}\n3 0 2 3 ${b}\n`);
    const wanted = [150, 25, 20, 200, 0, 40, 150, 25, 20, 100, 50, 0];
    expect([...readMesh(ply).colors!]).toEqual(wanted);
    expect([...readMesh(off("200 0 40", "100 50 0 255")).colors!]).toEqual(wanted);
    expect([...readMesh(off("1.0 0.0 0.0", "0.0 1.0 0.0 1.0")).colors!.slice(0, 6)]).toEqual([
      128, 128, 0, 255, 0, 0,
    ]);
    expect(readMesh(off("7", "7")).colors).toBeUndefined();
    expect(readMesh(off("200 0 40", "")).colors).toBeUndefined();
  });

  it("readMesh › takes STL for mm and sixteen units for inches, but says that it is not sure and asks for a taped size [oracle: sizes as made]", () => {
    const ear = readMesh(writeStl(tube(20, 94, 12, 6), "binary")).report;
    expect([ear.unit.unit, ear.issues[0].severity]).toEqual(["mm", "warning"]);
    expect(ear.issues[0].message).toContain("not sure: it could be cm (940 mm)");
    const fin = readMesh(writeOff(tube(3, 15.7, 12, 6))).report;
    expect([fin.unit.unit, fin.issues[0].severity]).toEqual(["in", "warning"]);
    expect(fin.issues[0].fix).toContain("tape one girth or height");
    const sure = readMesh(writeOff(tube(90, 1500, 12, 6))).report;
    expect([sure.unit.unit, sure.issues[0].severity]).toEqual(["mm", "note"]);
  });

  it("readMesh › reads UTF-16 text and decimal commas, and says so [oracle: same mesh as plain]", () => {
    const plain = Buffer.from(writeObj(tube(90, 500, 8, 2))).toString();
    const wide = new Uint8Array(Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(plain, "utf16le")]));
    const commas = text(plain.replace(/\.(\d)/g, ",$1"));
    const straight = readMesh(text(plain));
    for (const [bytes, code] of [
      [wide, "forms/utf16"],
      [commas, "forms/decimal-commas"],
    ] as const) {
      const { mesh, report } = readMesh(bytes);
      expect([...mesh.positions]).toEqual([...straight.mesh.positions]);
      expect(report.issues.map((i) => i.code)).toContain(code);
    }
  });
});
