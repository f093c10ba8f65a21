import { encode } from "fast-png";
import { catalogue } from "@peltry/materials";
import { edgesFromOutline, writePattern, type Pattern } from "@peltry/pattern";
import { createPrintJob, writeDxf, writeGlb, writeSvg } from "@peltry/print";
import { projectTemplate } from "../../packages/peltry/src/project/project-template";
import { coneBand } from "../src/shapes";

const text = new TextEncoder();
const cone = coneBand(20, 50, 200, { triangles: 16 });
const rows = (values: ArrayLike<number>, before = ""): string[] =>
  Array.from({ length: values.length / 3 }, (_, i) =>
    `${before}${values[3 * i]} ${values[3 * i + 1]} ${values[3 * i + 2]}`.trim(),
  );
const count = { vertices: cone.positions.length / 3, triangles: cone.triangles.length / 3 };
const faces = rows(cone.triangles, "3 ");
const plyHead = (format: string): string =>
  `ply\nformat ${format} 1.0\ncomment ours\nelement vertex ${count.vertices}\nproperty float x\nproperty float y\nproperty float z\nproperty uchar red\nproperty uchar green\nproperty uchar blue\nelement face ${count.triangles}\nproperty list uchar int vertex_indices\nend_header\n`;

/** A small pattern of two panels with a seam, a dart and notches. */
export function smallPattern(): Pattern {
  const panel = (id: string, width: number): Pattern["panels"][number] => ({
    id,
    name: id,
    fabric: "fur",
    edges: edgesFromOutline([
      [0, 0],
      [width, 0],
      [width - 20, 180],
      [width / 2, 200],
      [15, 170],
    ]).map((edge, i) => ({
      ...edge,
      id: `e${i}`,
      ...(i === 1 ? { role: "seam" as const, seam: "s1" } : {}),
    })),
    darts: [],
    markings: [{ id: "spot", kind: "drill", points: [[40, 50]] }],
    pile: -90,
    count: 1,
    mirrored: id === "left",
  });
  return {
    format: "peltry-pattern",
    version: 1,
    name: "Two panels",
    panels: [panel("left", 120), panel("right", 120)],
    seams: [
      {
        id: "s1",
        letter: "A",
        a: { panel: "left", edge: "e1" },
        b: { panel: "right", edge: "e1" },
        reversed: true,
        matchPoints: [],
      },
    ],
    fabrics: [{ id: "fur", name: "fur", pileMm: 20 }],
  };
}

export const OBJ = [
  text.encode(
    `# ours\no cone\n${rows(cone.positions, "v ").join("\n")}\ng all\n${rows(
      cone.triangles.map((x) => x + 1),
      "f ",
    ).join("\n")}\n`,
  ),
  text.encode(
    "v 0 0 0 1 0 0\nv 10 0 0 0 1 0\nv 10 10 0 0 0 1\nv 0 10 0 1 1 1\nvt 0 0\nvn 0 0 1\nf 1/1/1 2/1/1 3/1/1 4/1/1\nf -4 -3 -2\nl 1 2\n",
  ),
];
export const PLY = [
  text.encode(
    `${plyHead("ascii")}${rows(cone.positions)
      .map((row) => `${row} 90 100 110`)
      .join("\n")}\n${faces.join("\n")}\n`,
  ),
  binaryPly(),
];
export const STL = [binaryStl(), textStl()];
export const OFF = [
  text.encode(
    `OFF\n${count.vertices} ${count.triangles} 0\n${rows(cone.positions).join("\n")}\n${faces.join("\n")}\n`,
  ),
];
export const GLB = [
  writeGlb([{ name: "cone", mesh: cone, flat: new Float64Array(2 * count.vertices).map((_, i) => i) }]),
  writeGlb(smallPattern()),
];
const job = createPrintJob(smallPattern());
export const SVG = [
  writeSvg(job),
  text.encode(
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"><defs><path id="a" d="M0 0h10v10z"/></defs><g transform="translate(5,5) rotate(10)"><rect width="40" height="30" rx="3"/><circle r="9"/><polygon points="0,0 20,0 20,20"/><use href="#a" x="3"/><path d="M10 10C20 20 30 10 40 10s3 4 5 6A5 5 0 0 1 60 60Z"/></g></svg>',
  ),
];
export const DXF = [
  writeDxf(job),
  text.encode(
    [
      ..."0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 BLOCKS 0 BLOCK 2 P 0 LWPOLYLINE 8 1 90 3 70 1 10 0 20 0 42 0.5 10 50 20 0 10 50 20 80 0 ENDBLK 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 P 10 5 20 5 41 2 42 2 50 30 0 CIRCLE 8 1 10 0 20 0 40 9 0 ARC 10 0 20 0 40 5 50 0 51 90 0 ENDSEC 0 EOF".split(
        " ",
      ),
    ].join("\n"),
  ),
];
export const YAML = [
  text.encode(projectTemplate()),
  text.encode(
    'peltry: 1\nname: A\nfabrics: { coat: &c { name: Coat, material: faux-fur-long, pieces: [{ id: a, widthMm: "1 1/2 m", lengthMm: 900 }] } }\nparts:\n  - { id: leg, name: Leg, kind: leg, fabrics: { leg: coat }, seams: { lines: [back-line] } }\n  - { id: scan, name: Scan, kind: scan, file: leg.ply, colours: { coat: "#687482" }, fabrics: { coat: coat } }\n',
  ),
];
export const PATTERN_JSON = [text.encode(writePattern(smallPattern()))];
export const MATERIAL_JSON = Object.values(catalogue)
  .slice(0, 12)
  .map((entry) => text.encode(JSON.stringify(entry, null, 1)));
export const STASH_JSON = [
  text.encode(
    JSON.stringify({
      version: 1,
      items: [
        {
          id: "a",
          material: "faux-fur-long",
          size: { alongMm: 400, acrossMm: 1500 },
          colour: "#5c6772",
          condition: "used",
        },
        {
          id: "b",
          material: "felt-wool",
          outline: [
            [0, 0],
            [90, 0],
            [50, 80],
          ],
          condition: "new",
          measured: { thicknessMm: 3 },
        },
      ],
    }),
  ),
];
export const PHOTO = [onePixelJpegLike(), squarePng()];
export const LENGTHS = [
  "34 1/2 in",
  "61 cm",
  "5 ft 7 in",
  "1,690 mm",
  "2'3\"",
  '14½"',
  "3 kg",
  "1e3",
  "",
].map((word) => text.encode(word));
export const FORMULAS = [
  "hip / 2 + 3 cm",
  "sqrt(calf^2 + 1) * sin(30 deg)",
  "max(1, 2, knee)",
  "a ? b : c",
].map((word) => text.encode(word));
export const MESH = cone;

function binaryPly(): Uint8Array {
  const head = text.encode(plyHead("binary_little_endian"));
  const body = new DataView(new ArrayBuffer(count.vertices * 15 + count.triangles * 13));
  for (let v = 0; v < count.vertices; v++) {
    for (let k = 0; k < 3; k++) body.setFloat32(15 * v + 4 * k, cone.positions[3 * v + k]!, true);
  }
  for (let t = 0; t < count.triangles; t++) {
    const at = count.vertices * 15 + 13 * t;
    body.setUint8(at, 3);
    for (let k = 0; k < 3; k++) body.setInt32(at + 1 + 4 * k, cone.triangles[3 * t + k]!, true);
  }
  return Uint8Array.of(...head, ...new Uint8Array(body.buffer));
}

function corner(t: number, k: number): [number, number, number] {
  const v = 3 * cone.triangles[3 * t + k]!;
  return [cone.positions[v]!, cone.positions[v + 1]!, cone.positions[v + 2]!];
}

function binaryStl(): Uint8Array {
  const view = new DataView(new ArrayBuffer(84 + 50 * count.triangles));
  view.setUint32(80, count.triangles, true);
  for (let t = 0; t < count.triangles; t++)
    for (let k = 0; k < 3; k++)
      corner(t, k).forEach((x, i) => view.setFloat32(84 + 50 * t + 12 + 12 * k + 4 * i, x, true));
  return new Uint8Array(view.buffer);
}

function textStl(): Uint8Array {
  const facets = Array.from(
    { length: count.triangles },
    (_, t) =>
      `facet normal 0 0 1\nouter loop\n${[0, 1, 2].map((k) => `vertex ${corner(t, k).join(" ")}`).join("\n")}\nendloop\nendfacet`,
  );
  return text.encode(`solid cone\n${facets.join("\n")}\nendsolid cone\n`);
}

/** A JPEG's opening and segments without a picture: enough for the reader to begin. */
function onePixelJpegLike(): Uint8Array {
  return Uint8Array.of(
    ...[0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70, 0, 1, 1, 0, 0, 1, 0, 1, 0, 0],
    ...[0xff, 0xc0, 0, 11, 8, 0, 1, 0, 1, 1, 1, 17, 0, 0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0, 0, 0xff, 0xd9],
  );
}

/** A dark square on a light table. */
function squarePng(): Uint8Array {
  const width = 40;
  const data = Uint8Array.from({ length: width * width * 3 }, (_, i) => {
    const [x, y] = [Math.floor(i / 3) % width, Math.floor(i / 3 / width)];
    return x > 10 && x < 30 && y > 8 && y < 28 ? 40 : 230;
  });
  return encode({ width, height: width, data, channels: 3 });
}
