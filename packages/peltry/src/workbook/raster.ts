import type { TriangleMesh } from "@peltry/geometry";
import { encode } from "fast-png";

/** A picture being painted: 8-bit RGB with a depth for each pixel. */
export interface Canvas {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
  readonly depth: Float64Array;
}

export type Colour = readonly [number, number, number];

/** Where a point of space falls on the canvas: x right, y down, depth growing towards the eye. */
export type Projection = (x: number, y: number, z: number) => readonly [number, number, number];

const PAPER: Colour = [255, 255, 255];

export function createCanvas(width: number, height: number, paper: Colour = PAPER): Canvas {
  const rgb = new Uint8Array(width * height * 3);
  for (let i = 0; i < rgb.length; i++) rgb[i] = paper[i % 3];
  return { width, height, rgb, depth: new Float64Array(width * height).fill(-Infinity) };
}

/**
 * View of a form turned about its upright axis and fitted to a box.
 *
 * @param turnDeg - 0 from the front (z towards the eye), 90 from the +x side
 * @returns the projection, and mm per pixel
 */
export function fitView(
  positions: Float64Array,
  turnDeg: number,
  width: number,
  height: number,
  margin = 12,
  least = 1e-9,
): { project: Projection; mmPerPixel: number } {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  let [minX, maxX, minY, maxY] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 3) {
    const x = c * positions[i] - s * positions[i + 2];
    minX = Math.min(minX, x);
    maxX = Math.max(maxX, x);
    minY = Math.min(minY, positions[i + 1]);
    maxY = Math.max(maxY, positions[i + 1]);
  }
  const mmPerPixel = Math.max(
    (maxX - minX) / (width - 2 * margin),
    (maxY - minY) / (height - 2 * margin),
    least,
  );
  const midX = (minX + maxX) / 2;
  const midY = (minY + maxY) / 2;
  return {
    mmPerPixel,
    project: (x, y, z) => [
      width / 2 + (c * x - s * z - midX) / mmPerPixel,
      height / 2 - (y - midY) / mmPerPixel,
      (s * x + c * z) / mmPerPixel,
    ],
  };
}

/** Paints a mesh, one colour a triangle, lit from above the eye's left shoulder. Back faces are painted too. */
export function paintMesh(
  canvas: Canvas,
  mesh: TriangleMesh,
  project: Projection,
  colourOf: (triangle: number) => Colour,
  lit = true,
): void {
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < triangles.length / 3; t++) {
    const [a, b, c] = [0, 1, 2].map((k) => {
      const v = 3 * triangles[3 * t + k];
      return project(p[v], p[v + 1], p[v + 2]);
    }) as [
      readonly [number, number, number],
      readonly [number, number, number],
      readonly [number, number, number],
    ];
    const colour = colourOf(t);
    const light = lit ? lightOn(a, b, c) : 1;
    paintTriangle(canvas, a, b, c, [colour[0] * light, colour[1] * light, colour[2] * light]);
  }
}

type Spot = readonly [number, number, number];

function lightOn(a: Spot, b: Spot, c: Spot): number {
  const ux = b[0] - a[0];
  const uy = a[1] - b[1];
  const uz = b[2] - a[2];
  const vx = c[0] - a[0];
  const vy = a[1] - c[1];
  const vz = c[2] - a[2];
  const n: Spot = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const size = Math.hypot(...n) || 1;
  const towards = (-0.35 * n[0] + 0.45 * n[1] + 0.82 * n[2]) / size;
  return 0.45 + 0.55 * Math.abs(towards);
}

function paintTriangle(canvas: Canvas, a: Spot, b: Spot, c: Spot, colour: Colour): void {
  const area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
  if (area === 0 || !Number.isFinite(area)) return;
  const x0 = Math.max(0, Math.floor(Math.min(a[0], b[0], c[0])));
  const x1 = Math.min(canvas.width - 1, Math.ceil(Math.max(a[0], b[0], c[0])));
  const y0 = Math.max(0, Math.floor(Math.min(a[1], b[1], c[1])));
  const y1 = Math.min(canvas.height - 1, Math.ceil(Math.max(a[1], b[1], c[1])));
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const px = x + 0.5;
      const py = y + 0.5;
      const wa = ((b[0] - px) * (c[1] - py) - (b[1] - py) * (c[0] - px)) / area;
      const wb = ((c[0] - px) * (a[1] - py) - (c[1] - py) * (a[0] - px)) / area;
      const wc = 1 - wa - wb;
      // A hair of slack keeps seams between triangles closed.
      if (wa < -1e-6 || wb < -1e-6 || wc < -1e-6) continue;
      const depth = wa * a[2] + wb * b[2] + wc * c[2];
      setPixel(canvas, x, y, depth, colour);
    }
  }
}

function setPixel(canvas: Canvas, x: number, y: number, depth: number, colour: Colour): void {
  const i = y * canvas.width + x;
  if (depth < canvas.depth[i]) return;
  canvas.depth[i] = depth;
  for (let k = 0; k < 3; k++) canvas.rgb[3 * i + k] = Math.max(0, Math.min(255, Math.round(colour[k])));
}

/** Paints a line in space, in front of the surface that it lies on, hidden by what lies well before it. */
export function paintLine(
  canvas: Canvas,
  points: readonly Spot[],
  project: Projection,
  colour: Colour,
  thickness = 2,
  lift = 4,
): void {
  for (let i = 1; i < points.length; i++) {
    const a = project(...points[i - 1]);
    const b = project(...points[i]);
    const steps = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1])));
    for (let k = 0; k <= steps; k++) {
      const t = k / steps;
      const cx = a[0] + (b[0] - a[0]) * t;
      const cy = a[1] + (b[1] - a[1]) * t;
      const depth = a[2] + (b[2] - a[2]) * t + lift;
      for (let dx = 0; dx < thickness; dx++) {
        for (let dy = 0; dy < thickness; dy++) {
          const x = Math.floor(cx - thickness / 2 + dx);
          const y = Math.floor(cy - thickness / 2 + dy);
          if (x >= 0 && y >= 0 && x < canvas.width && y < canvas.height)
            setPixel(canvas, x, y, depth, colour);
        }
      }
    }
  }
}

/** Half the size, each pixel the mean of four: smooth edges from a picture painted at double size. */
export function halve(canvas: Canvas): Canvas {
  const width = canvas.width >> 1;
  const height = canvas.height >> 1;
  const small = createCanvas(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let k = 0; k < 3; k++) {
        let sum = 0;
        for (const [dx, dy] of [
          [0, 0],
          [1, 0],
          [0, 1],
          [1, 1],
        ] as const) {
          sum += canvas.rgb[3 * ((2 * y + dy) * canvas.width + 2 * x + dx) + k];
        }
        small.rgb[3 * (y * width + x) + k] = Math.round(sum / 4);
      }
    }
  }
  return small;
}

/** The picture as a PNG in a data URI. */
export function pngUri(canvas: Canvas): string {
  const bytes = encode({
    width: canvas.width,
    height: canvas.height,
    data: canvas.rgb,
    channels: 3,
    depth: 8,
  });
  return `data:image/png;base64,${Buffer.from(bytes).toString("base64")}`;
}

/** "#rrggbb" as three bytes; mid grey for anything else. */
export function parseColour(text: string | undefined): Colour {
  const match = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(text ?? "");
  return match ? [parseInt(match[1], 16), parseInt(match[2], 16), parseInt(match[3], 16)] : [150, 150, 150];
}
