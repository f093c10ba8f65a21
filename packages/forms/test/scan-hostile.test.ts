import { describe, expect, it } from "vitest";
import { createRandom, meshArea, signedArea } from "@peltry/geometry";
import { isPeltryError, readMesh, repairMesh } from "../src/index";
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

const shape = tube(90, 600, 16, 8);
const gltf = (change: (json: Record<string, never>) => void, mesh = shape): Uint8Array => {
  const base = writeGlb(mesh);
  const end = 20 + new DataView(base.buffer, base.byteOffset).getUint32(12, true);
  const json = JSON.parse(Buffer.from(base.slice(20, end)).toString()) as Record<string, never>;
  change(json);
  return packGlb(json, base.slice(end + 8));
};
const swap = (bytes: Uint8Array, from: string, to: string): Uint8Array =>
  new Uint8Array(Buffer.from(Buffer.from(bytes).toString("latin1").replace(from, to), "latin1"));
const ply = (head: string, body: Uint8Array = new Uint8Array(0)): Uint8Array => join(text(head), body);
const at = (bytes: Uint8Array, offset: number, value: number): Uint8Array => {
  const out = bytes.slice();
  new DataView(out.buffer).setUint32(offset, value, true);
  return out;
};
type Any = Record<string, Record<string, Record<string, never>>>;
const any = (json: Record<string, never>): Any & Record<string, unknown> => json as unknown as Any;
const vertexHead = "element vertex 3\nproperty float x\nproperty float y\nproperty float z\n";
const faceHead = "element face 1\nproperty list uchar int vertex_indices\n";

/** Name, bytes, code of the one error that has to come. */
const refused: [string, Uint8Array, string][] = [
  ["no bytes", new Uint8Array(0), "forms/not-a-mesh"],
  ["one byte", Uint8Array.of(0), "forms/not-a-mesh"],
  [
    "a picture",
    Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13),
    "forms/not-a-mesh",
  ],
  ["a ZIP archive", text("PK\u0003\u0004 and so on"), "forms/not-supported"],
  ["an FBX file", text("Kaydara FBX Binary  \u0000"), "forms/not-supported"],
  ["a web page", text("<!doctype html><html></html>"), "forms/not-supported"],
  ["a letter", text("Dear tailor,\nplease find the leg attached.\n"), "forms/not-a-mesh"],
  ["zeros", new Uint8Array(500), "forms/not-a-mesh"],
  [
    "a glTF of a million empty entries",
    text(`{"asset":{"version":"2.0"},"extras":[${"{},".repeat(1_000_000)}{}]}`),
    "forms/mesh-too-large",
  ],

  ["an OBJ without faces", text("v 0 0 0\nv 1 0 0\nv 0 1 0\n"), "forms/not-a-mesh"],
  ["an OBJ index past the end", text("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n"), "forms/bad-index"],
  ["an OBJ index of 0", text("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 0 1 2\n"), "forms/bad-index"],
  ["an OBJ index before the start", text("v 0 0 0\nv 1 0 0\nv 0 1 0\nf -4 1 2\n"), "forms/bad-index"],
  [
    "an OBJ index of a thousand digits",
    text(`v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 ${"9".repeat(1000)}\n`),
    "forms/bad-index",
  ],
  ["an OBJ word for a number", text("v 0 zero 0\nf 1 1 1\n"), "forms/bad-number"],
  ["an OBJ vertex of two numbers", text("v 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n"), "forms/bad-number"],
  ["an OBJ fraction as index", text("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 2.5\n"), "forms/bad-number"],
  ["an OBJ with points and commas", text("v 0.5 0 0\nv 1,5 0 0\nv 0 1 0\nf 1 2 3\n"), "forms/mixed-decimals"],
  [
    "an OBJ of nothing but nan",
    text("v nan nan nan\nv nan 0 0\nv inf 0 0\nf 1 2 3\n"),
    "forms/bad-coordinates",
  ],

  ["a PLY without end_header", text("ply\nformat ascii 1.0\nelement vertex 1\n"), "forms/bad-header"],
  ["a PLY without format", text("ply\nelement vertex 1\nproperty float x\nend_header\n"), "forms/bad-header"],
  ["a PLY of unknown format", text("ply\nformat binary_middle_endian 1.0\nend_header\n"), "forms/bad-header"],
  [
    "a PLY of unknown type",
    text("ply\nformat ascii 1.0\nelement vertex 1\nproperty quaternion x\nend_header\n"),
    "forms/bad-header",
  ],
  [
    "a PLY property before its element",
    text("ply\nformat ascii 1.0\nproperty float x\nend_header\n"),
    "forms/bad-header",
  ],
  [
    "a PLY count that is negative",
    text("ply\nformat ascii 1.0\nelement vertex -5\nproperty float x\nend_header\n"),
    "forms/bad-header",
  ],
  [
    "a PLY count that is a word",
    text("ply\nformat ascii 1.0\nelement vertex many\nend_header\n"),
    "forms/bad-number",
  ],
  [
    "a PLY with two vertex tables",
    text(`ply\nformat ascii 1.0\n${vertexHead}${vertexHead}end_header\n`),
    "forms/bad-header",
  ],
  [
    "a PLY without x, y, z",
    text("ply\nformat ascii 1.0\nelement vertex 1\nproperty float u\nend_header\n1\n"),
    "forms/not-a-mesh",
  ],
  [
    "a PLY without vertices",
    text(`ply\nformat ascii 1.0\n${faceHead}end_header\n3 0 1 2\n`),
    "forms/not-a-mesh",
  ],
  [
    "a PLY with words for a fraction count",
    text("ply\nformat ascii 1.0\nelement vertex 3\nproperty list float int x\nend_header\n"),
    "forms/bad-header",
  ],
  [
    "a tiny PLY that claims 500 MB",
    ply(
      "ply\nformat binary_little_endian 1.0\nelement vertex 40000000\nproperty float x\nproperty float y\nproperty float z\nend_header\n",
    ),
    "forms/truncated",
  ],
  [
    "a tiny PLY that claims four thousand million faces",
    ply(
      `ply\nformat binary_little_endian 1.0\n${vertexHead}element face 4294967295\nproperty list uchar int vertex_indices\nend_header\n`,
      new Bytes().add("f4", 0, 0, 0, 1, 0, 0, 0, 1, 0).done(),
    ),
    "forms/truncated",
  ],
  [
    "a text PLY that claims 500 MB",
    text(
      "ply\nformat ascii 1.0\nelement vertex 40000000\nproperty float x\nproperty float y\nproperty float z\nend_header\n0 0 0\n",
    ),
    "forms/truncated",
  ],
  [
    "an endless PLY table without properties",
    text(
      `ply\nformat ascii 1.0\nelement ghost 4294967295\n${vertexHead}${faceHead}end_header\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n`,
    ),
    "forms/mesh-too-large",
  ],
  ["a PLY cut off in its vertices", writePly(shape, "little").slice(0, 900), "forms/truncated"],
  ["a PLY cut off in its last face", writePly(shape, "big").slice(0, -3), "forms/truncated"],
  ["a text PLY cut off", writePly(shape, "ascii").slice(0, -60), "forms/truncated"],
  [
    "a PLY list longer than the file",
    ply(
      `ply\nformat binary_little_endian 1.0\n${vertexHead}element face 1\nproperty list uint int vertex_indices\nend_header\n`,
      new Bytes().add("f4", 0, 0, 0, 1, 0, 0, 0, 1, 0).add("u4", 4000000000, 0, 1, 2).done(),
    ),
    "forms/truncated",
  ],
  [
    "a PLY list of negative length",
    ply(
      `ply\nformat binary_little_endian 1.0\n${vertexHead}element face 1\nproperty list int int vertex_indices\nend_header\n`,
      new Bytes().add("f4", 0, 0, 0, 1, 0, 0, 0, 1, 0).add("i4", -1, 0, 1, 2).done(),
    ),
    "forms/bad-index",
  ],
  [
    "a PLY face past the end",
    ply(
      `ply\nformat ascii 1.0\n${vertexHead}${faceHead}end_header\n`,
      text("0 0 0\n1 0 0\n0 1 0\n3 0 1 7\n"),
    ),
    "forms/bad-index",
  ],
  [
    "a PLY face of fractions",
    ply(
      `ply\nformat ascii 1.0\n${vertexHead}${faceHead}end_header\n`,
      text("0 0 0\n1 0 0\n0 1 0\n3 0 1 1.5\n"),
    ),
    "forms/bad-index",
  ],
  [
    "a PLY said to be of the other byte order",
    swap(writePly(shape, "big"), "binary_big", "binary_little"),
    "forms/bad-index",
  ],

  ["a binary STL cut off in the middle", writeStl(shape, "binary").slice(0, 2000), "forms/truncated"],
  [
    "a binary STL that claims four thousand million triangles",
    at(writeStl(shape, "binary"), 80, 4294967295),
    "forms/truncated",
  ],
  ["a text STL cut off", writeStl(shape, "text").slice(0, -200), "forms/truncated"],
  [
    "a text STL with a facet of four corners",
    text(
      "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nvertex 1 1 0\nendloop\nendfacet\nendsolid\n",
    ),
    "forms/bad-facet",
  ],
  [
    "a text STL with a strange word",
    text("solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertx 1 0 0\nendloop\nendfacet\nendsolid\n"),
    "forms/bad-number",
  ],
  ["a text STL without facets", text("solid nothing\nendsolid nothing\n"), "forms/not-a-mesh"],

  ["an OFF of a thousand million vertices", text("OFF\n1000000000 1 0\n0 0 0\n"), "forms/truncated"],
  ["an OFF of minus one vertex", text("OFF\n-1 1 0\n"), "forms/bad-header"],
  ["an OFF in four dimensions", text("4OFF\n1 1 0\n0 0 0 1\n"), "forms/not-supported"],
  ["a binary OFF", text("OFF BINARY\n\u0000\u0000"), "forms/not-supported"],
  ["an OFF face past the end", text("OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 3\n"), "forms/bad-index"],
  [
    "an OFF face that wants more corners than there are",
    text("OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n900000000 0 1 2\n"),
    "forms/bad-number",
  ],
  ["an OFF cut off", writeOff(shape).slice(0, -300), "forms/truncated"],

  ["a GLB cut off", writeGlb(shape).slice(0, -40), "forms/truncated"],
  ["a GLB of version 1", at(writeGlb(shape), 4, 1), "forms/not-supported"],
  ["a GLB whose JSON runs past its end", at(writeGlb(shape), 12, 4000000000), "forms/truncated"],
  [
    "a GLB with broken JSON",
    packGlb({}, new Uint8Array(0)).map((b, i) => (i === 20 ? 91 : b)),
    "forms/bad-gltf",
  ],
  ["a glTF text that is cut off", text('{"asset":{"version":"2.0"'), "forms/bad-gltf"],
  ["a glTF of version 1", text('{"asset":{"version":"1.0"}}'), "forms/not-supported"],
  [
    "a node that is its own child",
    gltf((j) => void (any(j).nodes[0].children = [0] as never)),
    "forms/node-cycle",
  ],
  [
    "two nodes that hold each other",
    gltf((j) => void (j.nodes = [{ mesh: 0, children: [1] }, { children: [0] }] as never)),
    "forms/node-cycle",
  ],
  [
    "a ring of nodes without a scene",
    gltf((j) => {
      delete j.scenes;
      delete j.scene;
      j.nodes = [{ mesh: 0, children: [1] }, { children: [0] }] as never;
    }),
    "forms/node-cycle",
  ],
  [
    "a node with two parents",
    gltf((j) => {
      j.nodes = [{ children: [2] }, { children: [2] }, { mesh: 0 }] as never;
      any(j).scenes[0].nodes = [0, 1] as never;
    }),
    "forms/node-cycle",
  ],
  [
    "a child that does not exist",
    gltf((j) => void (any(j).nodes[0].children = [99] as never)),
    "forms/bad-gltf",
  ],
  [
    "a buffer in another file",
    gltf((j) => void (any(j).buffers[0].uri = "leg.bin" as never)),
    "forms/external-file",
  ],
  [
    "a path out of the folder",
    gltf((j) => void (any(j).buffers[0].uri = "../../etc/passwd" as never)),
    "forms/external-file",
  ],
  [
    "an address on the network",
    gltf((j) => void (any(j).buffers[0].uri = "https://example.org/leg.bin" as never)),
    "forms/external-file",
  ],
  [
    "a file address",
    gltf((j) => void (any(j).buffers[0].uri = "file:///etc/hostname" as never)),
    "forms/external-file",
  ],
  [
    "a data address that is not base64",
    gltf((j) => void (any(j).buffers[0].uri = "data:text/plain,hello" as never)),
    "forms/bad-gltf",
  ],
  [
    "a data address with strange characters",
    gltf((j) => void (any(j).buffers[0].uri = "data:application/octet-stream;base64,####" as never)),
    "forms/bad-gltf",
  ],
  [
    "a buffer of 500 MB",
    gltf((j) => void (any(j).buffers[0].byteLength = 500_000_000 as never)),
    "forms/truncated",
  ],
  [
    "a buffer view past its buffer",
    gltf((j) => void (any(j).bufferViews[0].byteLength = 10_000_000 as never)),
    "forms/truncated",
  ],
  [
    "an accessor past its view",
    gltf((j) => void (any(j).accessors[0].count = 4000 as never)),
    "forms/truncated",
  ],
  [
    "an accessor of a thousand million zeros",
    gltf((j) => {
      delete any(j).accessors[0].bufferView;
      any(j).accessors[0].count = 1_000_000_000 as never;
    }),
    "forms/truncated",
  ],
  [
    "an accessor with a negative count",
    gltf((j) => void (any(j).accessors[0].count = -3 as never)),
    "forms/bad-gltf",
  ],
  [
    "an accessor of an unknown type",
    gltf((j) => void (any(j).accessors[0].componentType = 5130 as never)),
    "forms/bad-gltf",
  ],
  [
    "an accessor of inherited type",
    gltf((j) => void (any(j).accessors[0].type = "constructor" as never)),
    "forms/bad-gltf",
  ],
  [
    "a stride smaller than its rows",
    gltf((j) => void (any(j).bufferViews[0].byteStride = 4 as never)),
    "forms/bad-gltf",
  ],
  [
    "an index past the vertices",
    gltf(() => undefined, { ...shape, triangles: shape.triangles.map((v, i) => (i === 50 ? 99_999 : v)) }),
    "forms/bad-index",
  ],
  [
    "positions of two numbers",
    gltf((j) => void (any(j).accessors[0].type = "VEC2" as never)),
    "forms/bad-gltf",
  ],
  [
    "a mesh without positions",
    gltf(
      (j) => void ((any(j).meshes[0].primitives as unknown as { attributes: object }[])[0].attributes = {}),
    ),
    "forms/bad-gltf",
  ],
  [
    "a mesh of points only",
    gltf((j) => void ((any(j).meshes[0].primitives as unknown as { mode: number }[])[0].mode = 0)),
    "forms/not-a-mesh",
  ],
  [
    "Draco compression",
    gltf((j) => void (j.extensionsRequired = ["KHR_draco_mesh_compression"] as never)),
    "forms/not-supported",
  ],
  [
    "meshopt compression",
    gltf((j) => void (any(j).bufferViews[0].extensions = { EXT_meshopt_compression: {} } as never)),
    "forms/not-supported",
  ],
  [
    "an unknown needed extension",
    gltf((j) => void (j.extensionsRequired = ["MADE_UP"] as never)),
    "forms/not-supported",
  ],
  [
    "a crowd of copies that would fill the memory",
    gltf((j) => {
      j.nodes = Array.from({ length: 60_000 }, () => ({ mesh: 0 })) as never;
      any(j).scenes[0].nodes = Array.from({ length: 60_000 }, (_, i) => i) as never;
    }),
    "forms/mesh-too-large",
  ],
  [
    "a mesh that names one part ten thousand times",
    gltf((j) => {
      const list = any(j).meshes[0].primitives as unknown as object[];
      any(j).meshes[0].primitives = Array.from({ length: 10_000 }, () => list[0]) as never;
    }),
    "forms/mesh-too-large",
  ],
  [
    "a crowd of parts that hold points only",
    gltf((j) => {
      const [part] = any(j).meshes[0].primitives as unknown as object[];
      any(j).meshes[0].primitives = Array.from({ length: 2000 }, () => ({ ...part, mode: 0 })) as never;
      j.nodes = Array.from({ length: 2000 }, () => ({ mesh: 0 })) as never;
      any(j).scenes[0].nodes = Array.from({ length: 2000 }, (_, i) => i) as never;
    }),
    "forms/mesh-too-large",
  ],
  [
    "three hundred thousand nodes",
    gltf((j) => void (j.nodes = Array.from({ length: 300_000 }, () => ({})) as never)),
    "forms/mesh-too-large",
  ],
  ["a number of a million digits", text(`v ${"1".repeat(1_000_000)} 0 0\nf 1 1 1\n`), "forms/bad-number"],
  [
    "a face of 200,000 corners",
    text(`v 0 0 0\nv 1 0 0\nv 0 1 0\nf ${"1 2 3 ".repeat(66_667)}\n`),
    "forms/mesh-too-large",
  ],
  ["a list where an object should be", gltf((j) => void (j.nodes = [[]] as never)), "forms/bad-gltf"],
  [
    "a transform of words",
    gltf((j) => void (any(j).nodes[0].translation = ["a", 0, 0] as never)),
    "forms/bad-gltf",
  ],
];

describe("readMesh on hostile files", () => {
  it.each(refused)("readMesh › refuses %s with one typed error that names the mend", (_, bytes, code) => {
    let error: unknown;
    try {
      readMesh(bytes);
    } catch (thrown) {
      error = thrown;
    }
    expect(isPeltryError(error)).toBe(true);
    const [issue] = (error as { issues: { code: string; fix?: string; message: string }[] }).issues;
    expect(issue.code).toBe(code);
    expect(issue.fix).toBeTruthy();
  });

  it("readMesh › cuts a face of 20,000 corners, flat, wavy, a comb, a spiral and a zigzag [oracle: triangles = corners − 2, area by the shoelace formula]", () => {
    const n = 20_000;
    const round =
      (r: (i: number) => number) =>
      (i: number): [number, number] => [
        r(i) * Math.cos((2 * Math.PI * i) / n),
        r(i) * Math.sin((2 * Math.PI * i) / n),
      ];
    const back = (i: number): number => (i < n / 2 ? i : n - 1 - i);
    const outlines: ((i: number) => [number, number])[] = [
      round(() => 400),
      round((i) => 300 + 100 * Math.sin(i / 40)),
      round((i) => (i % 2 ? 400 : 390)),
      round((i) => (i % 2 ? 400 : 5)),
      (i) => {
        const [turn, r] = [back(i) / 50, (i < n / 2 ? 11 : 10) + 0.03 * back(i)];
        return [r * Math.cos(turn), r * Math.sin(turn)];
      },
      (i) => [back(i) / 10, (back(i) % 2 ? 0 : 500) + (i < n / 2 ? 0 : 1)],
    ];
    for (const outline of outlines) {
      const corners = Array.from({ length: n }, (_, i) => outline(i));
      const bytes = text(
        [...corners.map(([x, y]) => `v ${x} 0 ${y}`), `f ${corners.map((_, i) => i + 1).join(" ")}`].join(
          "\n",
        ),
      );
      const { mesh, report } = readMesh(bytes, { unit: "mm" });
      expect(mesh.triangles.length / 3).toBe(n - 2);
      expect(report.faces).toEqual({ triangles: 0, quads: 0, larger: 1 });
      const shoelace = Math.abs(signedArea(corners));
      expect(Math.abs(meshArea(mesh) / shoelace - 1)).toBeLessThan(1e-9);
    }
  });

  it("readMesh › keeps a face of 5000 corners that crosses itself, as a fan [oracle: triangles = corners − 2]", () => {
    const n = 5000;
    const random = createRandom(5);
    const points = Array.from({ length: n }, () => `v ${400 * random()} 0 ${400 * random()}`);
    const { mesh } = readMesh(text(`${points.join("\n")}\nf ${points.map((_, i) => i + 1).join(" ")}`), {
      unit: "mm",
    });
    expect(mesh.triangles.length / 3).toBe(n - 2);
  });

  it("readMesh › reads copies and a deep chain of nodes [oracle: counts, shifts added up]", () => {
    const copies = readMesh(
      gltf((j) => {
        j.nodes = Array.from({ length: 50 }, (_, i) => ({ mesh: 0, translation: [i / 100, 0, 0] })) as never;
        any(j).scenes[0].nodes = Array.from({ length: 50 }, (_, i) => i) as never;
      }),
    );
    expect(copies.report.triangles).toBe((50 * shape.triangles.length) / 3);
    expect(copies.groups).toHaveLength(50);
    expect(copies.report.sizeMm[0]).toBeCloseTo(490 + 180, 0);
    const deep = readMesh(
      gltf((j) => {
        const n = 100_000;
        j.nodes = Array.from({ length: n }, (_, i) =>
          i === n - 1 ? { mesh: 0 } : { translation: [0.00001, 0, 0], children: [i + 1] },
        ) as never;
        any(j).scenes[0].nodes = [0] as never;
      }),
    );
    const middle = deep.mesh.positions.filter((_, i) => i % 3 === 0);
    expect((Math.max(...middle) + Math.min(...middle)) / 2).toBeCloseTo(999.99, 1);
  });

  it("readMesh › leaves out a vertex that is no number and says which [oracle: put in by the test]", () => {
    const bytes = text(
      Buffer.from(writeObj(shape))
        .toString()
        .replace(/^(v .*\n){20}/m, (m) => m.replace(/v \S+/, "v nan")),
    );
    const { mesh, report } = readMesh(bytes);
    expect(report.badVertices).toBe(1);
    expect(report.badTriangles).toBeGreaterThan(0);
    expect(mesh.positions.every(Number.isFinite)).toBe(true);
    expect(report.issues.find((i) => i.code === "forms/bad-coordinates")?.at.vertex).toBe(0);
  });

  it("readMesh › never answers garbage with anything but a mesh or a typed error [oracle: every byte changed in turn]", () => {
    const small = ball(120, 5);
    for (const bytes of [
      writePly(small, "little"),
      writeGlb(small),
      writeStl(small, "binary"),
      writeObj(small),
      writeOff(small),
    ]) {
      for (let i = 0; i < Math.min(bytes.length, 700); i += 3) {
        const bad = bytes.slice();
        bad[i] = (bad[i] + 61 + i) & 255;
        try {
          const { mesh } = readMesh(bad);
          expect(mesh.positions.every(Number.isFinite)).toBe(true);
          repairMesh(mesh);
        } catch (error) {
          expect(isPeltryError(error), `byte ${i}`).toBe(true);
        }
      }
    }
  });

  it("readMesh › is not fooled by names that every object has", () => {
    expect(() => readMesh(writeObj(shape), { unit: "constructor" as "mm" })).toThrow(/unit/);
    expect(() => readMesh(writeObj(shape), { format: "__proto__" as "obj" })).toThrow(/format/);
    expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
  });
});
