// Writes meshes as bytes, for tests: the readers under test have no part in it.
import type { TriangleMesh } from "@peltry/geometry";

export const text = (s: string): Uint8Array => new Uint8Array(Buffer.from(s, "utf8"));

export type PlyEncoding = "ascii" | "little" | "big";

/** Little writer of numbers into a growing buffer. */
export class Bytes {
  private readonly parts: Buffer[] = [];
  constructor(private readonly little = true) {}
  add(type: "u1" | "i2" | "u2" | "i4" | "u4" | "f4" | "f8", ...values: number[]): this {
    for (const x of values) {
      const b = Buffer.alloc({ u1: 1, i2: 2, u2: 2, i4: 4, u4: 4, f4: 4, f8: 8 }[type]);
      const view = new DataView(b.buffer, b.byteOffset);
      if (type === "u1") view.setUint8(0, x);
      else if (type === "i2") view.setInt16(0, x, this.little);
      else if (type === "u2") view.setUint16(0, x, this.little);
      else if (type === "i4") view.setInt32(0, x, this.little);
      else if (type === "u4") view.setUint32(0, x, this.little);
      else if (type === "f4") view.setFloat32(0, x, this.little);
      else view.setFloat64(0, x, this.little);
      this.parts.push(b);
    }
    return this;
  }
  raw(data: Uint8Array): this {
    this.parts.push(Buffer.from(data));
    return this;
  }
  done(): Uint8Array {
    return new Uint8Array(Buffer.concat(this.parts));
  }
}

export function join(...parts: Uint8Array[]): Uint8Array {
  return new Uint8Array(Buffer.concat(parts.map((p) => Buffer.from(p))));
}

export function writePly(mesh: TriangleMesh, encoding: PlyEncoding, colors?: Uint8Array): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const format = encoding === "ascii" ? "ascii" : `binary_${encoding}_endian`;
  const rgb = colors ? "property uchar red\nproperty uchar green\nproperty uchar blue\n" : "";
  const head = `ply\nformat ${format} 1.0\ncomment units: mm\nelement vertex ${p.length / 3}\nproperty double x\nproperty double y\nproperty double z\n${rgb}element face ${t.length / 3}\nproperty list uchar int vertex_indices\nend_header\n`;
  if (encoding === "ascii") {
    const lines: string[] = [];
    for (let v = 0; v < p.length / 3; v++)
      lines.push([...p.slice(3 * v, 3 * v + 3), ...(colors ? colors.slice(3 * v, 3 * v + 3) : [])].join(" "));
    for (let i = 0; i < t.length; i += 3) lines.push(`3 ${t[i]} ${t[i + 1]} ${t[i + 2]}`);
    return text(head + lines.join("\n") + "\n");
  }
  const body = new Bytes(encoding === "little");
  for (let v = 0; v < p.length / 3; v++) {
    body.add("f8", p[3 * v], p[3 * v + 1], p[3 * v + 2]);
    if (colors) body.add("u1", ...colors.slice(3 * v, 3 * v + 3));
  }
  for (let i = 0; i < t.length; i += 3) body.add("u1", 3).add("i4", t[i], t[i + 1], t[i + 2]);
  return join(text(head), body.done());
}

export function writeObj(mesh: TriangleMesh, colors?: Uint8Array): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const lines = ["# units: mm"];
  for (let v = 0; v < p.length / 3; v++)
    lines.push(
      `v ${[...p.slice(3 * v, 3 * v + 3), ...(colors ? Array.from(colors.slice(3 * v, 3 * v + 3), (c) => c / 255) : [])].join(" ")}`,
    );
  for (let i = 0; i < t.length; i += 3) lines.push(`f ${t[i] + 1} ${t[i + 1] + 1} ${t[i + 2] + 1}`);
  return text(lines.join("\n") + "\n");
}

export function writeOff(mesh: TriangleMesh, colors?: Uint8Array): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const lines = [colors ? "COFF" : "OFF", `${p.length / 3} ${t.length / 3} 0`];
  for (let v = 0; v < p.length / 3; v++)
    lines.push(
      [...p.slice(3 * v, 3 * v + 3), ...(colors ? [...colors.slice(3 * v, 3 * v + 3), 255] : [])].join(" "),
    );
  for (let i = 0; i < t.length; i += 3) lines.push(`3 ${t[i]} ${t[i + 1]} ${t[i + 2]}`);
  return text(lines.join("\n"));
}

export function writeStl(
  mesh: TriangleMesh,
  kind: "text" | "binary",
  title = "solid made by a test",
): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const corner = (v: number): number[] => [...p.slice(3 * v, 3 * v + 3)];
  if (kind === "text") {
    const lines = ["solid shape"];
    for (let i = 0; i < t.length; i += 3) {
      lines.push("facet normal 0 0 0", " outer loop");
      for (let k = 0; k < 3; k++)
        lines.push(
          `  vertex ${corner(t[i + k])
            .map((x) => Math.fround(x))
            .join(" ")}`,
        );
      lines.push(" endloop", "endfacet");
    }
    return text(lines.join("\n") + "\nendsolid shape\n");
  }
  const b = new Bytes().raw(text(title.padEnd(80, " "))).add("u4", t.length / 3);
  for (let i = 0; i < t.length; i += 3) {
    b.add("f4", 0, 0, 0);
    for (let k = 0; k < 3; k++) b.add("f4", ...corner(t[i + k]));
    b.add("u2", 0);
  }
  return b.done();
}

export function packGlb(json: object, binary: Uint8Array): Uint8Array {
  const raw = Buffer.from(JSON.stringify(json));
  const j = Buffer.concat([raw, Buffer.alloc((4 - (raw.length % 4)) % 4, 32)]);
  const b = Buffer.concat([Buffer.from(binary), Buffer.alloc((4 - (binary.length % 4)) % 4)]);
  return new Bytes()
    .add("u4", 0x46546c67, 2, 20 + j.length + 8 + b.length, j.length, 0x4e4f534a)
    .raw(j)
    .add("u4", b.length, 0x004e4942)
    .raw(b)
    .done();
}

/** A GLB in metres, with vertex colours as normalised bytes when given. */
export function writeGlb(mesh: TriangleMesh, colors?: Uint8Array, node: object = {}): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const n = p.length / 3;
  const points = new Bytes().add("f4", ...Array.from(p, (x) => x / 1000)).done();
  const rgba = colors
    ? new Bytes()
        .add("u1", ...Array.from({ length: n }, (_, v) => [...colors.slice(3 * v, 3 * v + 3), 255]).flat())
        .done()
    : new Uint8Array(0);
  const indices = new Bytes().add("u4", ...t).done();
  const json = {
    asset: { version: "2.0" },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: [{ mesh: 0, ...node }],
    meshes: [
      { primitives: [{ attributes: { POSITION: 0, ...(colors ? { COLOR_0: 2 } : {}) }, indices: 1 }] },
    ],
    accessors: [
      { bufferView: 0, componentType: 5126, count: n, type: "VEC3" },
      { bufferView: 1, componentType: 5125, count: t.length, type: "SCALAR" },
      ...(colors ? [{ bufferView: 2, componentType: 5121, normalized: true, count: n, type: "VEC4" }] : []),
    ],
    bufferViews: [
      { buffer: 0, byteOffset: 0, byteLength: points.length },
      { buffer: 0, byteOffset: points.length, byteLength: indices.length },
      ...(colors ? [{ buffer: 0, byteOffset: points.length + indices.length, byteLength: rgba.length }] : []),
    ],
    buffers: [{ byteLength: points.length + indices.length + rgba.length }],
  };
  return packGlb(json, join(points, indices, rgba));
}

/** A closed ball of about 2 n² triangles. */
export function ball(radius: number, n: number, middle: readonly number[] = [0, 0, 0]): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  const add = (x: number, y: number, z: number): void =>
    void positions.push(middle[0] + radius * x, middle[1] + radius * y, middle[2] + radius * z);
  add(0, 1, 0);
  for (let i = 1; i < n; i++) {
    const lat = Math.PI * (0.5 - i / n);
    for (let j = 0; j < n; j++) {
      const lon = (2 * Math.PI * j) / n;
      add(Math.cos(lat) * Math.cos(lon), Math.sin(lat), -Math.cos(lat) * Math.sin(lon));
    }
  }
  add(0, -1, 0);
  const at = (i: number, j: number): number => 1 + (i - 1) * n + (j % n);
  const last = positions.length / 3 - 1;
  for (let j = 0; j < n; j++) {
    triangles.push(0, at(1, j), at(1, j + 1), last, at(n - 1, j + 1), at(n - 1, j));
    for (let i = 1; i < n - 1; i++)
      triangles.push(at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j), at(i + 1, j + 1), at(i, j + 1));
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** A round tube along y, open at both ends. */
export function tube(radius: number, height: number, around: number, along: number): TriangleMesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= along; i++) {
    for (let j = 0; j < around; j++) {
      const a = (2 * Math.PI * j) / around;
      positions.push(radius * Math.cos(a), (height * i) / along, -radius * Math.sin(a));
    }
  }
  for (let i = 0; i < along; i++) {
    for (let j = 0; j < around; j++) {
      const [a, b] = [i * around + j, i * around + ((j + 1) % around)];
      triangles.push(a, b, b + around, a, b + around, a + around);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}
