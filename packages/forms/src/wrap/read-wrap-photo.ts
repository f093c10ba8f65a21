// Programs that reach this file through a path alias need the shim named: it lies outside what they include.
// eslint-disable-next-line @typescript-eslint/triple-slash-reference
/// <reference path="./d3-contour.d.ts" />
import { contours } from "d3-contour";
import { signedArea, simplifyPolyline, type Outline, type Point } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { readPicture, type Picture } from "../scan/gltf/texture";
import { project, solveHomography, type Homography } from "./homography";
import type { WrapDrawing } from "./wrap-drawing";

/** A mark that can be seen in the photo and whose place on the table is known. */
export interface PhotoMark {
  /** Place in the picture, pixels, x to the right, y down, the middle of the first pixel at 0.5, 0.5. */
  readonly pixel: Point;
  /** Place on the table, mm, x to the right, y up. */
  readonly mm: Point;
}

/** How {@link readWrapPhoto} works. */
export interface PhotoOptions {
  /** Four marks or more, well outside the pieces. Further ones are not needed but show the error. */
  readonly marks: readonly PhotoMark[];
  /** Colour of the pieces, r, g, b; by default whatever differs most from the table around. */
  readonly piece?: readonly [number, number, number] | undefined;
  /** Grid on which the photo is laid flat, mm. Default 0.5, coarser for large tables. */
  readonly gridMm?: number | undefined;
  /** Outlines smaller than this are specks, mm². Default 400. */
  readonly leastArea?: number | undefined;
}

/** Outlines out of a photo, with what the marks say about its scale. */
export interface WrapPhoto extends WrapDrawing {
  readonly marks: {
    /** Distance of each mark from where the map puts it, mm; all near 0 with just four. */
    readonly offMm: readonly number[];
    /** Size of a pixel on the table at the middle of the marks, mm. */
    readonly pixelMm: number;
    /** Error of lengths that one pixel of picking error makes, as a fraction. */
    readonly scaleError: number;
  };
}

/** Most cells of the flat grid: 2 m by 2 m at 1 mm. */
const MOST_CELLS = 4_000_000;

/**
 * Outlines of wrap pieces from a photo of them lying flat, with four marks of known distances: the picture is laid flat
 * by the marks and the pieces are traced where they differ from the table.
 *
 * @param bytes - PNG or JPEG
 * @throws `forms/bad-marks`, `forms/bad-picture`, `forms/bad-call` for another source or option
 * @source Otsu, A threshold selection method from gray-level histograms, 1979; contour lines by marching squares (d3-contour)
 * @remarks A lens that bends straight lines adds its own error: photograph from well above, pieces in the middle.
 */
export function readWrapPhoto(bytes: Uint8Array, options: PhotoOptions): WrapPhoto {
  checkCall(bytes, options);
  const picture = readPicture(bytes);
  checkMarks(options.marks, picture);
  const toPixel = solveHomography(
    options.marks.map((m) => m.mm),
    options.marks.map((m) => m.pixel),
  );
  const toMm = solveHomography(
    options.marks.map((m) => m.pixel),
    options.marks.map((m) => m.mm),
  );
  const offMm = options.marks.map(({ pixel, mm }) => {
    const at = project(toMm, pixel);
    return Math.hypot(at[0] - mm[0], at[1] - mm[1]);
  });
  const grid = layFlat(picture, toPixel, options);
  const level = threshold(grid.values);
  const [shape] = contours().size([grid.width, grid.height]).thresholds([level])(grid.values);
  const least = options.leastArea ?? 400;
  const outlines: { name: string; points: Outline }[] = [];
  for (const polygon of shape.coordinates) {
    polygon.forEach((ring) => {
      const points = ring
        .slice(0, -1)
        .map(([x, y]): Point => [grid.x + x * grid.step, grid.y + y * grid.step]);
      if (Math.abs(signedArea(points)) < least || touchesEdge(ring, grid.width, grid.height)) return;
      const even = simplify(points, 0.35 * grid.step);
      outlines.push({
        name: `piece-${outlines.length + 1}`,
        points: signedArea(even) > 0 ? even : even.reverse(),
      });
    });
  }
  const pixelMm = pixelSize(toMm, options.marks);
  const span = markSpan(options.marks);
  const scaleError = pixelMm / span;
  return {
    outlines,
    lines: [],
    mmPerUnit: 1,
    scale: `laid flat by ${options.marks.length} marks; a pixel is ${pixelMm.toFixed(2)} mm`,
    marks: { offMm, pixelMm, scaleError },
    issues: remarks(offMm, pixelMm, span, outlines.length),
  };
}

function checkCall(bytes: Uint8Array, options: PhotoOptions): void {
  const refuse = (what: string, fix: string): never => fail("forms/bad-call", what, {}, { fix });
  if (!(bytes instanceof Uint8Array)) refuse("The photo is no run of bytes.", "Pass the whole PNG or JPEG.");
  const given: Partial<Record<keyof PhotoOptions, unknown>> | null | undefined = options;
  const isRun = (list: unknown, count: number): boolean =>
    Array.isArray(list) && list.length === count && list.every((one) => typeof one === "number");
  const isMark = (mark: { pixel?: unknown; mm?: unknown } | null): boolean =>
    isRun(mark?.pixel, 2) && isRun(mark?.mm, 2);
  if (!Array.isArray(given?.marks) || !given.marks.every(isMark))
    return void fail(
      "forms/bad-marks",
      "The marks are no list of places.",
      {},
      { fix: "Pass { pixel: [x, y], mm: [x, y] } for each." },
    );
  const { gridMm = 0.5, leastArea = 400 } = given;
  const isSize = (value: unknown): value is number =>
    typeof value === "number" && value >= 0 && value < Infinity;
  if (!isSize(gridMm) || gridMm === 0) refuse("gridMm is no size.", "Pass mm.");
  if (!isSize(leastArea)) refuse("leastArea is no size.", "Pass mm².");
  if (given.piece !== undefined && !isRun(given.piece, 3)) refuse("piece is no colour.", "Pass r, g, b.");
}

function checkMarks(marks: readonly PhotoMark[], picture: Picture): void {
  marks.forEach(({ pixel, mm }, i) => {
    if (![...pixel, ...mm].every(Number.isFinite))
      fail(
        "forms/bad-marks",
        `Mark ${i} has a coordinate that is no number.`,
        { index: i },
        { fix: "Pick it again." },
      );
    if (pixel[0] < 0 || pixel[1] < 0 || pixel[0] > picture.width || pixel[1] > picture.height) {
      fail(
        "forms/bad-marks",
        `Mark ${i} lies outside the picture of ${picture.width} × ${picture.height} pixels.`,
        { index: i },
        { found: pixel.join(", "), fix: "Pick it again." },
      );
    }
  });
}

interface FlatGrid {
  readonly values: Float64Array;
  readonly width: number;
  readonly height: number;
  readonly step: number;
  readonly x: number;
  readonly y: number;
}

/** The table between the marks as a grid of distances from the table's colour (or nearness to the piece's). */
function layFlat(picture: Picture, toPixel: Homography, options: PhotoOptions): FlatGrid {
  const xs = options.marks.map((m) => m.mm[0]);
  const ys = options.marks.map((m) => m.mm[1]);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  const [w, h] = [Math.max(...xs) - x, Math.max(...ys) - y];
  // However narrow the table is, the grid stays two cells high.
  const coarsest = Math.max(Math.sqrt((w * h) / MOST_CELLS), (2 * Math.max(w, h)) / MOST_CELLS);
  const step = Math.max(options.gridMm ?? 0.5, coarsest);
  const width = Math.max(2, Math.ceil(w / step));
  const height = Math.max(2, Math.ceil(h / step));
  const rgb = new Float64Array(3 * width * height);
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++)
      sample(
        picture,
        project(toPixel, [x + (i + 0.5) * step, y + (j + 0.5) * step]),
        rgb,
        3 * (j * width + i),
      );
  }
  const table = rimColour(rgb, width, height);
  const values = new Float64Array(width * height);
  for (let i = 0; i < values.length; i++) {
    const d = [0, 1, 2].map((k) => rgb[3 * i + k] - table[k]);
    if (!options.piece) values[i] = Math.hypot(d[0], d[1], d[2]);
    else {
      const way = options.piece.map((p, k) => p - table[k]);
      values[i] =
        (255 * (d[0] * way[0] + d[1] * way[1] + d[2] * way[2])) /
        (way[0] ** 2 + way[1] ** 2 + way[2] ** 2 || 1);
    }
  }
  return { values, width, height, step, x, y };
}

/** Colour between the four nearest pixels; outside the picture its rim. */
function sample(picture: Picture, [px, py]: Point, out: Float64Array, at: number): void {
  const { width, height, rgb } = picture;
  const x = Math.max(0, Math.min(width - 1.001, px - 0.5));
  const y = Math.max(0, Math.min(height - 1.001, py - 0.5));
  const i = Math.floor(x);
  const j = Math.floor(y);
  const [fx, fy] = [x - i, y - j];
  const right = Math.min(width - 1, i + 1);
  const below = Math.min(height - 1, j + 1);
  for (let k = 0; k < 3; k++) {
    const top = rgb[3 * (j * width + i) + k] * (1 - fx) + rgb[3 * (j * width + right) + k] * fx;
    const low = rgb[3 * (below * width + i) + k] * (1 - fx) + rgb[3 * (below * width + right) + k] * fx;
    out[at + k] = top * (1 - fy) + low * fy;
  }
}

/** Middle colour along the grid's rim: the table. */
function rimColour(rgb: Float64Array, width: number, height: number): [number, number, number] {
  const cells: number[] = [];
  for (let i = 0; i < width; i++) cells.push(i, (height - 1) * width + i);
  for (let j = 0; j < height; j++) cells.push(j * width, j * width + width - 1);
  return [0, 1, 2].map((k) => {
    const list = Float64Array.from(cells, (c) => rgb[3 * c + k]).sort();
    return list[list.length >> 1];
  }) as [number, number, number];
}

/** The level that best parts the values in two, set half-way between the means of the parts, where an edge's blur is symmetric. */
function threshold(values: Float64Array): number {
  let most = 1e-9;
  for (const v of values) if (v > most) most = v;
  const bins = new Float64Array(256);
  for (const v of values) bins[Math.max(0, Math.min(255, Math.floor((255 * v) / most)))]++;
  let total = 0;
  bins.forEach((n, i) => {
    total += n * i;
  });
  let below = 0;
  let sum = 0;
  let best = 0;
  let level = most / 2;
  bins.forEach((n, i) => {
    below += n;
    sum += n * i;
    const above = values.length - below;
    if (below === 0 || above === 0) return;
    const [m, q] = [sum / below, (total - sum) / above];
    const between = below * above * (m - q) ** 2;
    if (between > best) {
      best = between;
      level = (((m + q) / 2 + 0.5) / 255) * most;
    }
  });
  return level;
}

function touchesEdge(ring: readonly [number, number][], width: number, height: number): boolean {
  return ring.some(([x, y]) => x <= 0.51 || y <= 0.51 || x >= width - 0.51 || y >= height - 0.51);
}

/** Fewer points, within a fraction of a cell. */
function simplify(points: Point[], tolerance: number): Point[] {
  const half = points.length >> 1;
  return [
    ...simplifyPolyline(points.slice(0, half + 1), tolerance).slice(0, -1),
    ...simplifyPolyline([...points.slice(half), points[0]], tolerance).slice(0, -1),
  ];
}

function pixelSize(toMm: Homography, marks: readonly PhotoMark[]): number {
  const middle: Point = [0, 1].map(
    (k) => marks.reduce((sum, m) => sum + m.pixel[k], 0) / marks.length,
  ) as unknown as Point;
  const at = project(toMm, middle);
  const right = project(toMm, [middle[0] + 1, middle[1]]);
  const below = project(toMm, [middle[0], middle[1] + 1]);
  return Math.max(
    Math.hypot(right[0] - at[0], right[1] - at[1]),
    Math.hypot(below[0] - at[0], below[1] - at[1]),
  );
}

function markSpan(marks: readonly PhotoMark[]): number {
  let least = Infinity;
  for (let i = 0; i < marks.length; i++) {
    for (let j = i + 1; j < marks.length; j++)
      least = Math.min(least, Math.hypot(marks[i].mm[0] - marks[j].mm[0], marks[i].mm[1] - marks[j].mm[1]));
  }
  return least;
}

function remarks(offMm: readonly number[], pixelMm: number, span: number, count: number): Issue[] {
  const issues: Issue[] = [];
  const worst = Math.max(...offMm);
  if (worst > Math.max(2, 2 * pixelMm)) {
    issues.push({
      code: "forms/marks-disagree",
      severity: "warning",
      message: `The marks fit their distances only to ${worst.toFixed(1)} mm.`,
      at: { index: offMm.indexOf(worst) },
      found: worst,
      limit: Math.max(2, 2 * pixelMm),
      fix: "Measure the marks again and pick them again.",
    });
  }
  if (pixelMm / span > 0.005) {
    issues.push({
      code: "forms/photo-coarse",
      severity: "warning",
      message: `One pixel of picking error changes lengths by ${((100 * pixelMm) / span).toFixed(1)} %.`,
      at: {},
      found: pixelMm / span,
      limit: 0.005,
      fix: "Photograph closer, or set the marks further apart.",
    });
  }
  if (count === 0)
    issues.push({
      code: "forms/no-outline",
      severity: "warning",
      message: "No piece stands out from the table inside the marks.",
      at: {},
      found: 0,
      limit: 1,
      fix: "Lay the pieces on a table of another colour, or pass the piece's colour.",
    });
  return issues;
}
