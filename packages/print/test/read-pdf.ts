import { getDocument, OPS } from "pdfjs-dist/legacy/build/pdf.mjs";
import type { Box, Point } from "@peltry/geometry";

type Matrix = readonly [number, number, number, number, number, number];

/** A line or filled shape as an independent reader sees it, in mm from the lower left of the page. */
export interface ReadPath {
  readonly points: Point[];
  readonly closed: boolean;
  readonly filled: boolean;
  /** mm */
  readonly width: number;
  /** mm */
  readonly dash: readonly number[];
  /** Name of the optional-content group it stands in. */
  readonly layer: string | undefined;
  /** What may show of it, mm. */
  readonly clip: Box | undefined;
}

export interface ReadPage {
  /** mm */
  readonly width: number;
  readonly height: number;
  /** Lower left and upper right of the visible box in points. */
  readonly view: readonly number[];
  readonly paths: ReadPath[];
  /** Each run of text. */
  readonly texts: { readonly text: string; readonly at: Point; readonly size: number }[];
  readonly structure: unknown;
}

const MM = 25.4 / 72;

/** Opens a PDF with an independent reader. The bytes are copied, as the reader takes them over. */
export async function openPdf(bytes: Uint8Array) {
  return getDocument({ data: bytes.slice(), verbosity: 0, useSystemFonts: false, isEvalSupported: false })
    .promise;
}

export async function readPdf(bytes: Uint8Array): Promise<ReadPage[]> {
  const document = await openPdf(bytes);
  const config = await document.getOptionalContentConfig();
  const pages: ReadPage[] = [];
  for (let i = 1; i <= document.numPages; i++) {
    const page = await document.getPage(i);
    const [x0, y0, x1, y1] = page.view as [number, number, number, number];
    const list = await page.getOperatorList();
    const content = await page.getTextContent();
    pages.push({
      width: (x1 - x0) * MM,
      height: (y1 - y0) * MM,
      view: page.view,
      paths: readPaths(list, (id) => (config.getGroup(id) as { name: string } | null)?.name),
      texts: content.items.flatMap((item) =>
        "str" in item && item.str.trim() !== ""
          ? [
              {
                text: item.str,
                at: [item.transform[4] * MM, item.transform[5] * MM] as Point,
                size: Math.hypot(item.transform[2], item.transform[3]) * MM,
              },
            ]
          : [],
      ),
      structure: await page.getStructTree(),
    });
  }
  await document.destroy();
  return pages;
}

interface State {
  readonly matrix: Matrix;
  readonly width: number;
  readonly dash: readonly number[];
  readonly clip: Box | undefined;
}

function readPaths(
  list: { fnArray: number[]; argsArray: unknown[] },
  nameOf: (id: string) => string | undefined,
): ReadPath[] {
  let state: State = { matrix: [MM, 0, 0, MM, 0, 0], width: 1, dash: [], clip: undefined };
  const stack: State[] = [];
  const layers: (string | undefined)[] = [];
  const paths: ReadPath[] = [];
  let current: { points: Point[]; closed: boolean }[] = [];
  let clipNext = false;
  const end = (drawn: "stroke" | "fill" | undefined, close = false): void => {
    if (clipNext) state = { ...state, clip: boxOf(current[0]!.points) };
    clipNext = false;
    const layer = layers.findLast((one) => one !== undefined);
    const scale = Math.hypot(state.matrix[0], state.matrix[1]);
    for (const part of drawn ? current : []) {
      paths.push({
        points: part.points,
        closed: part.closed || close,
        filled: drawn === "fill",
        width: state.width * scale,
        dash: state.dash.map((length) => length * scale),
        layer,
        clip: state.clip,
      });
    }
    current = [];
  };
  list.fnArray.forEach((op, i) => {
    const args = list.argsArray[i] as unknown[];
    if (op === OPS.save) stack.push(state);
    else if (op === OPS.restore) state = stack.pop()!;
    else if (op === OPS.transform)
      state = { ...state, matrix: times(state.matrix, args as unknown as Matrix) };
    else if (op === OPS.setLineWidth) state = { ...state, width: args[0] as number };
    else if (op === OPS.setDash) state = { ...state, dash: args[0] as number[] };
    else if (op === OPS.beginMarkedContentProps) {
      const properties = args[1] as { type?: string; id?: string } | number | null;
      layers.push(
        args[0] === "OC" && typeof properties === "object" && properties?.id
          ? nameOf(properties.id)
          : undefined,
      );
    } else if (op === OPS.beginMarkedContent) layers.push(undefined);
    else if (op === OPS.endMarkedContent) layers.pop();
    else if (op === OPS.constructPath)
      current.push(...subpaths(args[0] as number[], args[1] as number[], state.matrix));
    else if (op === OPS.clip || op === OPS.eoClip) clipNext = true;
    else if (op === OPS.stroke) end("stroke");
    else if (op === OPS.closeStroke) end("stroke", true);
    else if (op === OPS.fill || op === OPS.eoFill) end("fill");
    else if (op === OPS.endPath) end(undefined);
  });
  return paths;
}

function subpaths(ops: number[], values: number[], m: Matrix): { points: Point[]; closed: boolean }[] {
  const out: { points: Point[]; closed: boolean }[] = [];
  let k = 0;
  const next = (): Point => {
    const x = values[k++]!;
    const y = values[k++]!;
    return [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
  };
  for (const op of ops) {
    if (op === OPS.moveTo) out.push({ points: [next()], closed: false });
    else if (op === OPS.lineTo) out[out.length - 1]!.points.push(next());
    else if (op === OPS.closePath) out[out.length - 1]!.closed = true;
    else if (op === OPS.rectangle) {
      const [x, y, w, h] = [values[k++]!, values[k++]!, values[k++]!, values[k++]!];
      const at = (u: number, v: number): Point => [m[0] * u + m[2] * v + m[4], m[1] * u + m[3] * v + m[5]];
      out.push({ points: [at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)], closed: true });
    } else throw new TypeError(`path operator ${op} is not used by this writer`);
  }
  return out;
}

function times(m: Matrix, n: Matrix): Matrix {
  return [
    m[0] * n[0] + m[2] * n[1],
    m[1] * n[0] + m[3] * n[1],
    m[0] * n[2] + m[2] * n[3],
    m[1] * n[2] + m[3] * n[3],
    m[0] * n[4] + m[2] * n[5] + m[4],
    m[1] * n[4] + m[3] * n[5] + m[5],
  ];
}

export function boxOf(points: readonly Point[]): Box {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return { minX: Math.min(...xs), minY: Math.min(...ys), maxX: Math.max(...xs), maxY: Math.max(...ys) };
}

/** The part of a segment inside a box, or undefined. */
export function clipSegment(a: Point, b: Point, box: Box): [Point, Point] | undefined {
  let from = 0;
  let to = 1;
  const d: Point = [b[0] - a[0], b[1] - a[1]];
  const bounds: [number, number][] = [
    [-d[0], a[0] - box.minX],
    [d[0], box.maxX - a[0]],
    [-d[1], a[1] - box.minY],
    [d[1], box.maxY - a[1]],
  ];
  for (const [p, q] of bounds) {
    if (p === 0) {
      if (q < 0) return undefined;
    } else if (p < 0) from = Math.max(from, q / p);
    else to = Math.min(to, q / p);
  }
  if (from > to) return undefined;
  return [
    [a[0] + d[0] * from, a[1] + d[1] * from],
    [a[0] + d[0] * to, a[1] + d[1] * to],
  ];
}
