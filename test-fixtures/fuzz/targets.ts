import { checkOutline, checkPattern, type Edge, type EdgeRole, type Pattern } from "@peltry/pattern";
import { readPattern } from "@peltry/pattern/schema";
import { addAllowance, addPatternAllowance } from "@peltry/allowance";
import { flatten } from "@peltry/flatten";
import {
  patternFromOutlines,
  readMesh,
  readWrapDxf,
  readWrapPhoto,
  readWrapSvg,
  repairMesh,
} from "@peltry/forms";
import type { MeshFormat } from "@peltry/forms";
import { insertPath, MeshRefinement, meshTopology, type Point, type TriangleMesh } from "@peltry/geometry";
import { layOut, type FabricPiece, type LayoutPanel } from "@peltry/layout";
import { readMaterial, readStash } from "@peltry/materials/schema";
import { completeMeasures, parseLength, parseMass, type KnownMeasures } from "@peltry/measure";
import { evaluateFormula } from "@peltry/measure/formula";
import { tilePages, writeDxf, writePdf, writeSvg } from "@peltry/print";
import { readProject } from "../../packages/peltry/src/project/read-project";
import { gridSurface } from "../src/shapes";
import { mutateBytes, mutateValue, pick } from "./mutate";
import * as seeds from "./seeds";
import { promise, target, type Random, type Target } from "./target";

const decoder = new TextDecoder();

function meshReader(format: MeshFormat, files: readonly Uint8Array[], named: boolean): Target {
  return target({
    name: `readMesh ${format}${named ? "" : " unnamed"}`,
    group: "readers",
    weight: 1,
    make: (random) => mutateBytes(random, files),
    run: (bytes) => readMesh(bytes, named ? { format } : {}),
    check: ({ mesh }) => {
      promise(mesh.positions.every(Number.isFinite), "positions are finite");
      promise(
        mesh.triangles.every((v) => v < mesh.positions.length / 3),
        "triangles name vertices that exist",
      );
    },
  });
}

function textReader<T>(
  name: string,
  files: readonly Uint8Array[],
  run: (text: string) => T,
  weight = 1,
): Target {
  return target({
    name,
    group: "readers",
    weight,
    make: (random) => decoder.decode(mutateBytes(random, files)),
    run,
  });
}

const MARKS = [
  { pixel: [0.5, 0.5], mm: [0, 100] },
  { pixel: [39.5, 0.5], mm: [100, 100] },
  { pixel: [39.5, 39.5], mm: [100, 0] },
  { pixel: [0.5, 39.5], mm: [0, 0] },
] as const;

/** Triangles with neighbours and without, in any order, on few vertices: most are no surface at all. */
function randomMesh(random: Random): TriangleMesh {
  if (random() < 0.5) return brokenGrid(random);
  const vertices = 3 + pick(random, 12);
  const triangles = 1 + pick(random, 16);
  return {
    positions: Float64Array.from({ length: 3 * vertices }, () => roughNumber(random)),
    triangles: Uint32Array.from({ length: 3 * triangles }, () =>
      pick(random, vertices + (random() < 0.01 ? 2 : 0)),
    ),
  };
}

/** A disk that is stretched, folded, crushed or holed. */
function brokenGrid(random: Random): TriangleMesh {
  const scale = 10 ** (random() * 12 - 6);
  const mesh = gridSurface(
    (u, v) => [u * scale, v * scale * (random() < 0.02 ? 1e6 : 1), roughNumber(random) * scale * 1e-3],
    1,
    {
      triangles: 8 + pick(random, 90),
      seed: pick(random, 1000),
    },
  );
  const positions = mesh.positions.slice();
  for (let i = pick(random, 4); i > 0; i--)
    positions[pick(random, positions.length)] = roughNumber(random) * scale;
  const triangles = [...mesh.triangles];
  if (random() < 0.2) triangles.splice(3 * pick(random, triangles.length / 3), 3);
  if (random() < 0.1) triangles.push(...triangles.slice(0, 3).reverse());
  return { positions, triangles: Uint32Array.from(triangles) };
}

function roughNumber(random: Random): number {
  const kind = random();
  if (kind < 0.7) return random() * 200 - 100;
  if (kind < 0.85) return pick(random, 5) * 10;
  if (kind < 0.99) return (random() - 0.5) * 10 ** (random() * 20 - 10);
  return [NaN, Infinity, -Infinity, 1e308][pick(random, 4)]!;
}

function randomOutline(random: Random, most = 14): Point[] {
  const count = 3 + pick(random, most);
  const size = 10 ** (random() * 3);
  if (random() < 0.3) return Array.from({ length: count }, () => [roughNumber(random), roughNumber(random)]);
  return Array.from({ length: count }, (_, i) => {
    const a = (2 * Math.PI * i) / count;
    const r = size * (0.15 + random());
    return random() < 0.05 ? [0, 0] : [r * Math.cos(a), r * Math.sin(a)];
  });
}

const ROLES: readonly EdgeRole[] = ["seam", "dart", "hem", "fold", "opening", "raw"];

function randomEdges(random: Random): Edge[] {
  const outline = randomOutline(random);
  return outline.map((point, i) => ({
    id: `e${i}`,
    role: ROLES[pick(random, ROLES.length)]!,
    points: [point, outline[(i + 1) % outline.length]!],
    ...(random() < 0.2 ? { notches: [{ at: roughNumber(random), kind: "single" as const }] } : {}),
  }));
}

/** The small pattern with other outlines, or with something in it that may not stand there. */
function randomPattern(random: Random): Pattern {
  const pattern = seeds.smallPattern();
  if (random() < 0.5) return mutateValue(random, pattern) as Pattern;
  return {
    ...pattern,
    panels: pattern.panels.map((panel) => ({ ...panel, edges: randomEdges(random) })),
    seams: [],
  };
}

const READERS: readonly Target[] = [
  ...(
    [
      ["obj", seeds.OBJ],
      ["ply", seeds.PLY],
      ["stl", seeds.STL],
      ["off", seeds.OFF],
      ["gltf", seeds.GLB],
    ] as const
  ).flatMap(([format, files]) => [meshReader(format, files, true), meshReader(format, files, false)]),
  target({
    name: "readWrapSvg",
    group: "readers",
    weight: 1,
    make: (random) => mutateBytes(random, seeds.SVG),
    run: (bytes) => readWrapSvg(bytes),
  }),
  target({
    name: "readWrapDxf",
    group: "readers",
    weight: 1,
    make: (random) => mutateBytes(random, seeds.DXF),
    run: (bytes) => readWrapDxf(bytes),
  }),
  target({
    name: "readWrapPhoto",
    group: "readers",
    weight: 4,
    make: (random) => mutateBytes(random, seeds.PHOTO),
    run: (bytes) => readWrapPhoto(bytes, { marks: MARKS, gridMm: 2 }),
  }),
  textReader("readProject", seeds.YAML, (text) => readProject(text, "hare.yaml").project, 8),
  textReader("readPattern", seeds.PATTERN_JSON, (text) => {
    const pattern = readPattern(text, "hare.json");
    checkPattern(pattern);
    return pattern;
  }),
  textReader("readMaterial", seeds.MATERIAL_JSON, (text) => readMaterial(text, "fur.json"), 2),
  textReader("readStash", seeds.STASH_JSON, (text) => readStash(text, "stash.json")),
  textReader("parseLength", seeds.LENGTHS, (text) => parseLength(text)),
  textReader("parseMass", seeds.LENGTHS, (text) => parseMass(text)),
  textReader(
    "evaluateFormula",
    seeds.FORMULAS,
    (text) => evaluateFormula(text, { hip: 1000, calf: 370, knee: 380 }),
    2,
  ),
];

const GEOMETRY: readonly Target[] = [
  target({
    name: "repairMesh",
    group: "geometry",
    weight: 6,
    make: randomMesh,
    run: (mesh) => repairMesh(mesh),
  }),
  target({
    name: "meshTopology",
    group: "geometry",
    weight: 1,
    make: randomMesh,
    run: (mesh) => meshTopology(mesh),
  }),
  target({
    name: "flatten",
    group: "geometry",
    weight: 60,
    make: (random) => ({
      mesh: randomMesh(random),
      options:
        random() < 0.5
          ? {}
          : (mutateValue(random, {
              holes: "keep",
              pileAngle: 0,
              maxIterations: 20,
              edgeLengthWeight: 1,
            }) as object),
    }),
    run: ({ mesh, options }) => flatten(mesh, options),
    check: ({ positions }) => promise(positions.every(Number.isFinite), "flat positions are finite"),
  }),
  target({
    name: "insertPath",
    group: "geometry",
    weight: 3,
    make: (random) => ({
      mesh: gridSurface((u, v) => [u, v, 0], 1, { triangles: 32 }),
      random: [random(), random(), random()],
    }),
    run: ({ mesh, random: [a, b, c] }) =>
      insertPath(new MeshRefinement(mesh), [
        { triangle: Math.floor(a! * 33), weights: [b!, c!, 1 - b! - c!] },
        { triangle: Math.floor(c! * 33), weights: [a!, b!, 1 - a! - b!] },
      ] as never),
  }),
  target({
    name: "checkOutline",
    group: "geometry",
    weight: 1,
    make: randomEdges,
    run: (edges) => checkOutline(edges),
  }),
  target({
    name: "addAllowance",
    group: "geometry",
    weight: 6,
    make: (random) => ({
      edges: randomEdges(random),
      rules:
        random() < 0.5
          ? roughNumber(random)
          : (mutateValue(random, {
              width: 10,
              corner: "mitred",
              mitreLimit: 4,
              notchDepth: 4,
              roles: { hem: 30 },
              edges: { e0: 3 },
            }) as object),
    }),
    run: ({ edges, rules }) => addAllowance(edges, rules),
    check: ({ cutLine }) => promise(cutLine.flat().every(Number.isFinite), "the cut line is finite"),
  }),
  target({
    name: "addPatternAllowance",
    group: "geometry",
    weight: 10,
    make: randomPattern,
    run: (pattern) => addPatternAllowance(pattern, { matchEnds: true }),
  }),
  target({
    name: "layOut",
    group: "geometry",
    weight: 80,
    make: (random) => {
      const panels: LayoutPanel[] = Array.from({ length: 1 + pick(random, 4) }, (_, i) => ({
        id: `p${i}`,
        outline: randomOutline(random, 8),
        mirrored: random() < 0.3,
        ...(random() < 0.2 ? { rotations: "free" as const } : {}),
      }));
      const pieces: FabricPiece[] = [
        random() < 0.5
          ? { id: "roll", roll: { width: 200 + 800 * random() } }
          : { id: "odd", outline: randomOutline(random, 8) },
      ];
      const call = { panels, pieces };
      return random() < 0.3 ? (mutateValue(random, call) as typeof call) : call;
    },
    run: ({ panels, pieces }) => layOut(panels, pieces, { evaluations: 500, gap: 2 }),
  }),
  target({
    name: "tilePages",
    group: "geometry",
    weight: 10,
    make: randomPattern,
    run: (pattern) => tilePages(pattern, "A4"),
  }),
  target({
    name: "writeSvg",
    group: "geometry",
    weight: 6,
    make: randomPattern,
    run: (pattern) => writeSvg(pattern),
  }),
  target({
    name: "writeDxf",
    group: "geometry",
    weight: 6,
    make: randomPattern,
    run: (pattern) => writeDxf(pattern),
  }),
  target({
    name: "writePdf",
    group: "geometry",
    weight: 80,
    make: randomPattern,
    run: (pattern) => writePdf(pattern, { page: "A4" }),
  }),
  target({
    name: "patternFromOutlines",
    group: "geometry",
    weight: 3,
    make: (random) => ({
      drawing: { outlines: [{ name: "a", points: randomOutline(random) }], lines: [] },
      options:
        random() < 0.5
          ? {}
          : mutateValue(random, {
              name: "wrap",
              fabric: "fur",
              cornerDeg: 35,
              cornerReach: 6,
              leastArea: 100,
              pile: -90,
            }),
    }),
    run: ({ drawing, options }) => patternFromOutlines(drawing, options),
  }),
  target({
    name: "completeMeasures",
    group: "geometry",
    weight: 30,
    make: (random) =>
      mutateValue(random, {
        stature: 1690,
        weightKg: 66,
        hip: [1010, 1020],
        calf: "14 1/2 in",
        footLength: 250,
      }) as KnownMeasures,
    run: (known) => completeMeasures(known),
  }),
];

/** Everything that takes input from outside. */
export const TARGETS: readonly Target[] = [...READERS, ...GEOMETRY];
