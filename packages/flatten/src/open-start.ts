import { orientationXY, type SparseSymmetric, type TriangleMesh } from "@peltry/geometry";
import { throwIfCancelled, type WorkOptions } from "@peltry/issues";
import { coarsen, ringOf, type CoarseLevel } from "./coarsen";
import { isValid, newtonPace, sheetBorder, smallestDeterminant, validStart } from "./make-valid";
import { arapBarrier } from "./energy-arap";
import { outlineContact } from "./outline-contact";
import { placeVertex, relaxFan, type IsClear } from "./place-vertex";
import { prepareSheet, sheetLaplacian, type Sheet } from "./sheet";
import { plainFactor, runSystem, type Part } from "./system";

/** The coarsest mesh has about this many triangles, and each is so many times finer than the next. */
const COARSEST = 1500;
const RATIO = 5;
/** Sweeps over all inner vertices after a level was put back. */
const SWEEPS = 3;
/** Fans with more than this mean energy go on, at most so often. */
const SQUEEZED = 1e4;
const MOST_SWEEPS = 40;
/** Passes; vertices that found no room in one stay in the coarse meshes of the next. */
const ATTEMPTS = 3;

/**
 * A shape-preserving start without flips and overlaps, for patches that nothing else can open. The patch is coarsened
 * until the problem is small, opened there, and its vertices are put back one by one; each level is shaped a little.
 *
 * @returns x, y of every vertex
 */
export function openStart(
  sheet: Sheet,
  laplacian: SparseSymmetric,
  part: Part,
  options: WorkOptions,
): Float64Array {
  if (sheet.loops.length > 1) return openFilled(sheet, part, options);
  const kept = new Uint8Array(sheet.vertexCount);
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const { x, squeezed } = coarseToFine(sheet, part, kept, options);
    if (squeezed.length === 0 && isValid(sheet, x)) return x;
    for (const v of squeezed) kept[v] = 1;
  }
  return validStart(sheet, laplacian, part, options);
}

/** Opens a patch with holes: each closed by a fan round its middle, so that a disk is opened; then shaped without them. */
function openFilled(sheet: Sheet, part: Part, options: WorkOptions): Float64Array {
  const filled = prepareSheet(fillHoles(sheet), sheet.loops.slice(0, 1));
  const { laplacian, factor } = plainFactor(filled);
  const whole = openStart(filled, laplacian, { ...part, sheet: filled, factor }, options);
  const x = whole.slice(0, 2 * sheet.vertexCount);
  shapeLevel(sheet, part, x, 60, options);
  return x;
}

function fillHoles({ mesh, loops }: Sheet): TriangleMesh {
  const positions = [...mesh.positions];
  const triangles = [...mesh.triangles];
  for (const loop of loops.slice(1)) {
    const centre = positions.length / 3;
    for (let k = 0; k < 3; k++) {
      positions.push(loop.reduce((sum, v) => sum + mesh.positions[3 * v + k], 0) / loop.length);
    }
    // The border runs with the cloth on its left: the fan lies on the other side.
    loop.forEach((v, i) => triangles.push(loop[(i + 1) % loop.length], v, centre));
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** One pass; stops at a level whose vertices found no room, and names them. */
function coarseToFine(
  sheet: Sheet,
  part: Part,
  kept: Uint8Array,
  options: WorkOptions,
): { x: Float64Array; squeezed: number[] } {
  const sizes: number[] = [];
  for (let size = sheet.triangleCount / RATIO; size > COARSEST; size /= RATIO) sizes.push(size);
  if (sheet.triangleCount > COARSEST) sizes.push(COARSEST);
  const { levels, removals } = coarsen(sheet.mesh, sheet.loops, sizes, kept);
  const x = new Float64Array(2 * sheet.vertexCount);
  const p = sheet.mesh.positions;
  const outline = outlineLinks(sheet.loops);
  const isClear: IsClear = (v, px, py) => outline.isClear(x, v, px, py);
  for (const { vertex, open } of removals) if (open) outline.take(vertex);
  let put = levels.length > 0 ? levels[levels.length - 1].removals : 0;
  for (let k = levels.length - 1; k >= -1; k--) {
    throwIfCancelled(options.signal);
    const level = k < 0 ? undefined : levels[k];
    const own = level === undefined ? sheet : levelSheet(sheet, level);
    const plain = level === undefined ? undefined : plainFactor(own);
    const ownPart = plain === undefined ? part : { ...part, sheet: own, factor: plain.factor };
    const coarsest = k === levels.length - 1;
    if (coarsest) {
      const y = validStart(own, plain?.laplacian ?? sheetLaplacian(own), ownPart, options);
      scatter(y, level?.source, x);
    }
    for (const until = level?.removals ?? 0; put > until;) {
      const removal = removals[--put];
      if (removal.open) outline.put(removal.vertex);
      if (!placeVertex(removal, p, x, isClear)) return { x, squeezed: [removal.vertex, ...removal.ring] };
    }
    if (!coarsest) {
      const squeezed = relaxAll(own, level?.source, x, p, isClear);
      if (squeezed.length > 0) return { x, squeezed };
    }
    const y = level === undefined ? x : gather(x, level.source);
    shapeLevel(own, ownPart, y, coarsest ? 60 : 24, options);
    scatter(y, level?.source, x);
  }
  return { x, squeezed: [] };
}

function scatter(y: Float64Array, source: Int32Array | undefined, x: Float64Array): void {
  if (source === undefined) x.set(y);
  else source.forEach((v, i) => x.set(y.subarray(2 * i, 2 * i + 2), 2 * v));
}

function gather(x: Float64Array, source: Int32Array): Float64Array {
  const y = new Float64Array(2 * source.length);
  source.forEach((v, i) => y.set(x.subarray(2 * v, 2 * v + 2), 2 * i));
  return y;
}

function levelSheet(sheet: Sheet, level: CoarseLevel): Sheet {
  const place = new Map<number, number>();
  level.source.forEach((v, i) => place.set(v, i));
  const loops = sheet.loops.map((loop) => loop.filter((v) => place.has(v)).map((v) => place.get(v)!));
  return prepareSheet(level.mesh, loops);
}

/** Lets the vertices settle among their neighbours; names those that found no room, with their neighbours. */
function relaxAll(
  own: Sheet,
  source: Int32Array | undefined,
  x: Float64Array,
  p: Float64Array,
  isClear: IsClear,
): number[] {
  const corners = source === undefined ? own.triangles : own.triangles.map((v) => source[v]);
  const around = new Map<number, number[]>();
  for (let h = 0; h < corners.length; h++) {
    const list = around.get(corners[h]);
    if (list === undefined) around.set(corners[h], [(h / 3) | 0]);
    else list.push((h / 3) | 0);
  }
  const border = new Set(
    own.loops.flatMap((loop) => loop.map((v) => (source === undefined ? v : source[v]))),
  );
  const fans = [...around].map(([vertex, list]) => ({
    vertex,
    ring: ringOf(vertex, list, corners),
    open: border.has(vertex),
  }));
  let left = fans;
  for (let sweep = 0; sweep < MOST_SWEEPS && left.length > 0; sweep++) {
    const squeezed = left.filter((fan) => relaxFan(fan, p, x, 2, isClear) > SQUEEZED);
    if (sweep + 1 >= SWEEPS) left = squeezed;
  }
  return left.flatMap(({ vertex, ring }) => [vertex, ...ring]);
}

/** The outline as it is while vertices are put back, each between the same neighbours as in the end. */
function outlineLinks(loops: readonly (readonly number[])[]) {
  const next = new Map<number, number>();
  const before = new Map<number, number>();
  for (const loop of loops) {
    loop.forEach((v, i) => {
      const w = loop[(i + 1) % loop.length];
      next.set(v, w);
      before.set(w, v);
    });
  }
  return {
    /** Takes a vertex out; it keeps its neighbours of that time. */
    take(v: number): void {
      const [a, b] = [before.get(v)!, next.get(v)!];
      next.set(a, b);
      before.set(b, a);
    },
    /** Puts back the vertex taken last. */
    put(v: number): void {
      next.set(before.get(v)!, v);
      before.set(next.get(v)!, v);
    },
    /** Whether the two sides of v, were it at the given place, would meet no other side. */
    isClear(x: Float64Array, v: number, px: number, py: number): boolean {
      const [a, b] = [before.get(v)!, next.get(v)!];
      const lowX = Math.min(px, x[2 * a], x[2 * b]);
      const highX = Math.max(px, x[2 * a], x[2 * b]);
      const lowY = Math.min(py, x[2 * a + 1], x[2 * b + 1]);
      const highY = Math.max(py, x[2 * a + 1], x[2 * b + 1]);
      for (let c = b; c !== a;) {
        const d = next.get(c)!;
        const apart =
          Math.max(x[2 * c], x[2 * d]) < lowX ||
          Math.min(x[2 * c], x[2 * d]) > highX ||
          Math.max(x[2 * c + 1], x[2 * d + 1]) < lowY ||
          Math.min(x[2 * c + 1], x[2 * d + 1]) > highY;
        if (!apart) {
          const ends = [x[2 * c], x[2 * c + 1], x[2 * d], x[2 * d + 1]] as const;
          if (d !== a && segmentsCross(px, py, x[2 * a], x[2 * a + 1], ...ends)) return false;
          if (c !== b && segmentsCross(px, py, x[2 * b], x[2 * b + 1], ...ends)) return false;
        }
        c = d;
      }
      return true;
    },
  };
}

function segmentsCross(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
): boolean {
  return (
    orientationXY(ax, ay, bx, by, cx, cy) > 0 !== orientationXY(ax, ay, bx, by, dx, dy) > 0 &&
    orientationXY(cx, cy, dx, dy, ax, ay) > 0 !== orientationXY(cx, cy, dx, dy, bx, by) > 0
  );
}

/** Shapes a level with its outline kept from meeting itself. */
function shapeLevel(
  sheet: Sheet,
  part: Part,
  x: Float64Array,
  maxIterations: number,
  options: WorkOptions,
): void {
  if (!(smallestDeterminant(sheet, x) > 0)) return;
  runSystem(x, {
    parts: [{ ...part, first: 0, energy: arapBarrier }],
    extras: [outlineContact([sheetBorder(sheet, 0)])],
    newtonEvery: newtonPace(sheet),
    tolerance: 1e-3,
    maxIterations,
    signal: options.signal,
  });
}
