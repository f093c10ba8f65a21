import { boundingBox, labelPoint, type Outline, type Point } from "@peltry/geometry";
import { turnOf } from "./internal/grid";
import type { FabricPiece, Placement, Rest } from "./types";

/** What is drawn of one piece. Piece coordinates, mm. */
export interface DrawnPiece {
  readonly piece: FabricPiece;
  readonly outline: Outline;
  readonly placements: readonly Placement[];
  /** Names of panels by id. */
  readonly names: ReadonlyMap<string, string>;
  readonly rest?: Rest | undefined;
}

/** Paper round the piece, mm. */
const MARGIN = 60;

/**
 * A printable drawing of one piece, in mm: its border, holes and poor cloth, the nap arrow, every panel with its name,
 * and check marks: two corners of each panel with their distances from the left and the lower end of the piece, so
 * that it can be laid out by hand with a tape.
 */
export function drawLayout({ piece, outline, placements, names, rest }: DrawnPiece): string {
  const box = boundingBox(outline);
  const width = box.maxX - box.minX + 2 * MARGIN;
  const height = box.maxY - box.minY + 2 * MARGIN;
  const size = Math.max(9, Math.min(28, Math.max(width, height) / 55));
  const at = ([x, y]: Point): string => `${mm(x - box.minX + MARGIN)},${mm(box.maxY - y + MARGIN)}`;
  const shape = (points: Outline, more: string): string =>
    `<polygon points="${points.map(at).join(" ")}" ${more}/>`;
  const words = (p: Point, value: string, more = ""): string => {
    const [x, y] = at(p).split(",");
    return `<text x="${x}" y="${y}" font-size="${mm(size)}" ${more}>${escapeText(value)}</text>`;
  };
  const context: Drawing = { box, size, at, words };
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${mm(width)}mm" height="${mm(height)}mm" viewBox="0 0 ${mm(width)} ${mm(height)}" font-family="sans-serif" fill="#222">`,
    `<title>${escapeText(piece.name ?? piece.id)}</title>`,
    `<rect width="100%" height="100%" fill="#fff"/>`,
    `<g id="cloth">${shape(outline, 'fill="#f4efe6" stroke="#444" stroke-width="1.5"')}`,
    ...(piece.holes ?? []).map((hole) => shape(hole, 'fill="#fff" stroke="#444" stroke-width="1.5"')),
    ...(piece.zones ?? []).map((zone) =>
      drawZone(zone.outline, zone.name ?? `quality ${zone.quality}`, shape, words),
    ),
    "</g>",
    rest === undefined ? "" : `<g id="rest">${drawRest(rest, shape, words)}</g>`,
    `<g id="panels">`,
    ...placements.map((placement) =>
      shape(placement.outline, 'fill="#bcd3e6" stroke="#123" stroke-width="1"'),
    ),
    "</g>",
    `<g id="rulers">${drawRulers(context)}</g>`,
    `<g id="labels">`,
    ...placements.map((placement) =>
      drawPanelText(placement, names.get(placement.panel) ?? placement.panel, context),
    ),
    "</g>",
    drawNap(piece.napAngle ?? 90, context),
    words(
      [box.minX, box.maxY + MARGIN - 1.4 * size],
      `${piece.name ?? piece.id}: ${placements.length} panels`,
      'font-weight="bold"',
    ),
    "</svg>",
  ];
  return parts.filter((part) => part !== "").join("\n");
}

interface Drawing {
  readonly box: ReturnType<typeof boundingBox>;
  readonly size: number;
  readonly at: (p: Point) => string;
  readonly words: (p: Point, value: string, more?: string) => string;
}

type DrawShape = (points: Outline, more: string) => string;

/** Two decimals, no trailing zeros, no minus zero. */
function mm(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}

function escapeText(value: string): string {
  const clean = Array.from(value, (c) => (c < " " ? " " : c)).join("");
  return clean.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
}

function drawZone(outline: Outline, name: string, shape: DrawShape, words: Drawing["words"]): string {
  const label = words(labelPoint(outline), name, 'text-anchor="middle" fill="#a33"');
  return shape(outline, 'fill="#f3c9c0" stroke="#a33" stroke-dasharray="6 4"') + label;
}

function drawRest(rest: Rest, shape: DrawShape, words: Drawing["words"]): string {
  const middle: Point = [
    (rest.corners[0][0] + rest.corners[2][0]) / 2,
    (rest.corners[0][1] + rest.corners[2][1]) / 2,
  ];
  const label = words(
    middle,
    `rest ${Math.floor(rest.width)} × ${Math.floor(rest.length)}`,
    'text-anchor="middle" fill="#497"',
  );
  return shape(rest.corners, 'fill="none" stroke="#497" stroke-dasharray="10 5"') + label;
}

/** A tick every 100 mm along the left and the lower end of the piece's box, with figures. */
function drawRulers({ box, size, at, words }: Drawing): string {
  const small = `font-size="${mm(size * 0.8)}" fill="#666"`;
  const ticks: string[] = [];
  const line = (a: Point, b: Point): string => {
    const [x1, y1] = at(a).split(",");
    const [x2, y2] = at(b).split(",");
    return `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="#666" stroke-width="0.8"/>`;
  };
  for (let x = 0; x <= box.maxX - box.minX; x += 100) {
    ticks.push(line([box.minX + x, box.minY - 4], [box.minX + x, box.minY - 12]));
    ticks.push(words([box.minX + x, box.minY - 14 - size], String(x), `text-anchor="middle" ${small}`));
  }
  for (let y = 0; y <= box.maxY - box.minY; y += 100) {
    ticks.push(line([box.minX - 4, box.minY + y], [box.minX - 12, box.minY + y]));
    ticks.push(words([box.minX - 15, box.minY + y - size * 0.35], String(y), `text-anchor="end" ${small}`));
  }
  return ticks
    .join("")
    .replace(/font-size="[\d.]+" text-anchor="(\w+)" font-size/g, 'text-anchor="$1" font-size');
}

/** Name, hand and turn in the middle; distances of the lowest and the highest corner from the piece's ends. */
function drawPanelText(placement: Placement, name: string, { box, size, at, words }: Drawing): string {
  const { outline } = placement;
  const copy = placement.copy > 1 ? ` (${placement.copy})` : "";
  const turn = placement.rotation === 0 ? "" : `turned ${Math.round(placement.rotation * 10) / 10}°`;
  const second = [placement.mirrored ? "mirrored" : "", turn].filter((word) => word !== "").join(", ");
  const lines = [`${name}${copy}`, ...(second === "" ? [] : [second])];
  const panelBox = boundingBox(outline);
  const longest = lines.reduce((most, line) => Math.max(most, line.length), 4);
  const room = Math.min(size, ((panelBox.maxX - panelBox.minX) * 1.2) / longest);
  const [midX, midY] = labelPoint(outline);
  const label = lines
    .map((line, k) =>
      words(
        [midX, midY - 1.15 * room * k],
        line,
        `text-anchor="middle"${k === 0 ? ' font-weight="bold"' : ""}`,
      ),
    )
    .join("")
    .replace(/font-size="[\d.]+"/g, `font-size="${mm(Math.max(4, room))}"`);
  const low = outline.reduce((a, b) => (b[1] < a[1] || (b[1] === a[1] && b[0] < a[0]) ? b : a));
  const high = outline.reduce((a, b) => (b[1] > a[1] || (b[1] === a[1] && b[0] > a[0]) ? b : a));
  const marks = [low, high].map((p) => {
    const [cx, cy] = at(p).split(",");
    const small = mm(Math.max(3.5, Math.min(size * 0.6, room * 0.8)));
    const shift = p === low ? -0.5 * Number(small) : 1.2 * Number(small);
    const figure = `${Math.round(p[0] - box.minX)} | ${Math.round(p[1] - box.minY)}`;
    return (
      `<circle cx="${cx}" cy="${cy}" r="2.2" fill="none" stroke="#b00" stroke-width="0.8"/>` +
      `<text x="${cx}" y="${mm(Number(cy) + shift)}" font-size="${small}" text-anchor="middle" fill="#b00" stroke="#fff" stroke-width="1.5" paint-order="stroke">${figure}</text>`
    );
  });
  return label + marks.join("");
}

function drawNap(napAngle: number, { box, size, at, words }: Drawing): string {
  const [c, s] = turnOf(napAngle);
  const middle: Point = [box.maxX + MARGIN / 2, box.maxY - 40];
  const tip: Point = [middle[0] + 25 * c, middle[1] + 25 * s];
  const tail: Point = [middle[0] - 25 * c, middle[1] - 25 * s];
  const barb = (side: number): Point => [tip[0] - 9 * c - side * 5 * s, tip[1] - 9 * s + side * 5 * c];
  const path = `M${at(tail)} L${at(tip)} M${at(barb(1))} L${at(tip)} L${at(barb(-1))}`;
  const label = words([middle[0], middle[1] - 30 - size], "nap", 'text-anchor="middle"');
  return `<g id="nap"><path d="${path}" fill="none" stroke="#222" stroke-width="2"/>${label}</g>`;
}
