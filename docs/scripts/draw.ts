import type { TriangleMesh } from "@peltry/geometry";

/** A number as short text, so that the last bits never show. */
export function short(value: number, decimals = 1): string {
  const text = value.toFixed(decimals);
  return String(Number(text) === 0 ? 0 : Number(text));
}

/** Colours that stay apart for colour-blind readers and in grey. @source after Okabe and Ito, Color Universal Design, 2008 */
export const INK = {
  line: "#22333b",
  soft: "#8a979c",
  blue: "#2c6a9e",
  orange: "#c9741a",
  green: "#1f7a63",
  fill: "#dfe7e8",
  straw: "#efe3c2",
} as const;

/** A picture of the given size with a title for screen readers. */
export function picture(width: number, height: number, title: string, body: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${short(width)} ${short(height)}" role="img" font-family="system-ui, sans-serif" font-size="13">\n<title>${escapeText(title)}</title>\n<rect width="100%" height="100%" fill="#fff"/>\n${body}\n</svg>\n`;
}

/** Words at a place. */
export function words(x: number, y: number, text: string, more = ""): string {
  return `<text x="${short(x)}" y="${short(y)}" fill="${INK.line}" ${more}>${escapeText(text)}</text>`;
}

function escapeText(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
}

/** A run of points as path data. */
export function pathData(points: readonly (readonly [number, number])[], closed = true): string {
  return `M${points.map(([x, y]) => `${short(x)} ${short(y)}`).join("L")}${closed ? "Z" : ""}`;
}

/** Place of a flat drawing on the page: mm times scale, y turned down. */
export interface Frame {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

/** A frame that brings points into a box of the page, and the size that they take. */
export function fit(
  points: readonly (readonly [number, number])[],
  box: readonly [x: number, y: number, width: number, height: number],
  scale?: number,
): Frame {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    x0 = Math.min(x0, x);
    x1 = Math.max(x1, x);
    y0 = Math.min(y0, y);
    y1 = Math.max(y1, y);
  }
  const s = scale ?? Math.min(box[2] / (x1 - x0), box[3] / (y1 - y0));
  return {
    scale: s,
    x: box[0] + (box[2] - s * (x1 - x0)) / 2 - s * x0,
    y: box[1] + (box[3] + s * (y1 - y0)) / 2 + s * y0,
  };
}

/** A point of a flat drawing on the page. */
export function onPage(frame: Frame, [x, y]: readonly [number, number]): [number, number] {
  return [frame.x + frame.scale * x, frame.y - frame.scale * y];
}

/** Pairs of a flat array. */
export function pairs(flat: ArrayLike<number>): [number, number][] {
  return Array.from({ length: flat.length / 2 }, (_, i) => [flat[2 * i], flat[2 * i + 1]]);
}

/** A flat panel, coloured a triangle, with its outline. Colours are r, g, b from 0 to 1. */
export function drawFlat(
  mesh: TriangleMesh,
  flat: Float64Array,
  frame: Frame,
  { colours, outline }: { colours?: ArrayLike<number>; outline: readonly (readonly number[])[] },
): string {
  const at = pairs(flat).map((point) => onPage(frame, point));
  const parts: string[] = [];
  if (colours) parts.push(...groupByColour(mesh, at, colours));
  for (const loop of outline) {
    parts.push(
      `<path d="${pathData(loop.map((v) => at[v]))}" fill="${colours ? "none" : INK.fill}" stroke="${INK.line}" stroke-width="1.4"/>`,
    );
  }
  return parts.join("\n");
}

/** Triangles of one colour make one path: a tenth of the size of single triangles. */
function groupByColour(
  mesh: TriangleMesh,
  at: readonly [number, number][],
  colours: ArrayLike<number>,
): string[] {
  const groups = new Map<string, string[]>();
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const key = hex(colours[3 * t], colours[3 * t + 1], colours[3 * t + 2]);
    const list = groups.get(key) ?? [];
    list.push(pathData([0, 1, 2].map((k) => at[mesh.triangles[3 * t + k]])));
    groups.set(key, list);
  }
  return [...groups].map(
    ([key, list]) => `<path d="${list.join("")}" fill="${key}" stroke="${key}" stroke-width="0.6"/>`,
  );
}

/** Colour as text, in steps of a sixteenth. */
export function hex(r: number, g: number, b: number): string {
  const part = (c: number): string => {
    const step = Math.round(Math.min(1, Math.max(0, c)) * 30) / 30;
    return Math.round(step * 255)
      .toString(16)
      .padStart(2, "0");
  };
  return `#${part(r)}${part(g)}${part(b)}`;
}

/** A surface seen from the side, turned about the upright axis by `turn` degrees, far triangles first. */
export function drawSurface(
  mesh: TriangleMesh,
  box: readonly [x: number, y: number, width: number, height: number],
  options: {
    turn?: number;
    scale?: number;
    positions?: Float64Array;
    colourOf?: (triangle: number) => readonly [number, number, number];
    lines?: readonly (readonly number[])[];
    lineColour?: string;
    /** Runs of points in space that are drawn on top. */
    overlay?: readonly (readonly (readonly [number, number, number])[])[];
  } = {},
): string {
  const { turn = 0, colourOf = () => [0.72, 0.77, 0.79] as const, lines = [] } = options;
  const p = options.positions ?? mesh.positions;
  const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const flat: [number, number][] = [];
  const depth: number[] = [];
  for (let v = 0; v < p.length; v += 3) {
    flat.push([c * p[v] + s * p[v + 2], p[v + 1]]);
    depth.push(-s * p[v] + c * p[v + 2]);
  }
  const frame = fit(flat, box, options.scale);
  const at = flat.map((point) => onPage(frame, point));
  const faces: { key: number; text: string }[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, d] = [mesh.triangles[t], mesh.triangles[t + 1], mesh.triangles[t + 2]];
    const [ux, uy, uz] = [flat[b][0] - flat[a][0], flat[b][1] - flat[a][1], depth[b] - depth[a]];
    const [vx, vy, vz] = [flat[d][0] - flat[a][0], flat[d][1] - flat[a][1], depth[d] - depth[a]];
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const facing = n[2] / (Math.hypot(n[0], n[1], n[2]) || 1);
    const light = (0.5 * n[0] * -0.5 + 0.5 * n[1] * 0.6 + n[2]) / (Math.hypot(n[0], n[1], n[2]) || 1);
    const shade = facing >= 0 ? 0.62 + 0.38 * Math.max(0, light) : 0.5;
    const [r, g, bl] = colourOf(t / 3);
    const key = hex(r * shade, g * shade, bl * shade);
    faces.push({
      key: depth[a] + depth[b] + depth[d],
      text: `<path d="${pathData([at[a], at[b], at[d]])}" fill="${key}" stroke="${key}"/>`,
    });
  }
  faces.sort((x, y) => x.key - y.key);
  const inks = lines.map((line) => {
    const front = line.map((v) => at[v]);
    return `<path d="${pathData(front, false)}" fill="none" stroke="${options.lineColour ?? INK.line}" stroke-width="1.8" stroke-linejoin="round"/>`;
  });
  for (const run of options.overlay ?? []) {
    const seen = run.map(([x, y, z]) => onPage(frame, [c * x + s * z, y]));
    inks.push(
      `<path d="${pathData(seen, false)}" fill="none" stroke="#7a1f12" stroke-width="1.8" stroke-linejoin="round"/>`,
    );
  }
  return `<g stroke-width="0.5" stroke-linejoin="round">${faces.map(({ text }) => text).join("\n")}</g>\n${inks.join("\n")}`;
}

/** A legend of the strain ramp from −limit to +limit. */
export function rampLegend(
  x: number,
  y: number,
  width: number,
  limit: number,
  ramp: (at: number) => readonly [number, number, number],
): string {
  const steps = 24;
  const cells = Array.from({ length: steps }, (_, i) => {
    const [r, g, b] = ramp((2 * (i + 0.5)) / steps - 1);
    return `<rect x="${short(x + (i * width) / steps, 2)}" y="${short(y)}" width="${short(width / steps + 0.4, 2)}" height="10" fill="${hex(r, g, b)}"/>`;
  });
  return `${cells.join("")}${words(x, y + 25, `eased in ${short(100 * limit)} %`)}${words(x + width, y + 25, `stretched ${short(100 * limit)} %`, 'text-anchor="end"')}`;
}
