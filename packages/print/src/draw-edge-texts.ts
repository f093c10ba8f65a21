import { polylineLength, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import { freeScale, type RoomBox } from "./internal/find-room";
import { ringPoints } from "./drawing";
import { addPath, addText, beside, readable, type Canvas, below } from "./internal/canvas";

/** Seam letters repeat along an edge so that each page of a long edge shows one, mm. */
const REPEAT = 240;
const LETTER_SIZES = [4, 3.2, 2.6, 2];
const TEXT_SIZES = [3, 2.4];

/** Seam letters in rings, and what the other edges are: fold, hem, opening. */
export function drawEdgeTexts(canvas: Canvas): void {
  const edges = [...canvas.placed.edges, ...canvas.placed.holes.flat()];
  for (const edge of edges) {
    const letter = edge.seam === undefined ? undefined : (canvas.seams.get(edge.seam)?.letter ?? edge.seam);
    if (letter !== undefined) drawLetters(canvas, edge, letter);
  }
  for (const edge of edges) {
    const words = edgeWords(edge, canvas.edgeLengths);
    if (words !== "") drawWords(canvas, edge, words);
  }
}

function edgeWords(edge: Edge, lengths: boolean): string {
  const role = { fold: "place on the fold", hem: "hem", opening: "opening", raw: "", seam: "", dart: "" }[
    edge.role
  ];
  const length = lengths ? `${polylineLength(edge.points).toFixed(0)} mm` : "";
  return [edge.name && edge.role !== "fold" ? edge.name : role, length].filter(Boolean).join(" · ");
}

function drawLetters(canvas: Canvas, edge: Edge, letter: string): void {
  const length = polylineLength(edge.points);
  const copies = Math.max(1, Math.round(length / REPEAT));
  for (let i = 0; i < copies; i++) {
    const middle = (length * (i + 0.5)) / copies;
    const swing = length / copies / 2;
    const spots = [0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6, 0.8, -0.8].map((t) => middle + t * swing);
    placeLetter(canvas, edge, letter, spots);
  }
}

function placeLetter(canvas: Canvas, edge: Edge, letter: string, spots: readonly number[]): void {
  const sizes = scaled(canvas, LETTER_SIZES);
  const last = sizes[sizes.length - 1]!;
  for (const size of sizes) {
    const radius = ringRadius(canvas, letter, size);
    for (const spot of spots) {
      const { point } = beside(edge.points, spot, radius + 1.2);
      const free = freeAt(canvas, point, { width: 2 * radius, height: 2 * radius, angle: 0 });
      if (free >= 1.05 || (size === last && spot === spots[spots.length - 1])) {
        const at = free >= 1.05 ? point : beside(edge.points, spots[0]!, radius + 1.2).point;
        addPath(canvas, "text", "ring", ringPoints(at, radius), { role: "seam-ring", closed: true });
        addText(canvas, letter, [at[0], at[1] - size * 0.36], { role: "seam-letter", size });
        canvas.obstacles.addBox(at, 2 * radius, 2 * radius, 0);
        return;
      }
    }
  }
}

function freeAt({ obstacles }: Canvas, at: Point, box: RoomBox): number {
  return Math.min(freeScale(at, obstacles.segments, box), freeScale(at, obstacles.joints, box));
}

/** Letter heights to try, largest first: scaled, and then as small as on paper. */
function scaled({ textScale }: Canvas, sizes: readonly number[]): number[] {
  return textScale === 1 ? [...sizes] : [...sizes.map((mm) => mm * textScale), ...sizes];
}

function ringRadius(canvas: Canvas, letter: string, size: number): number {
  return Math.max(size * 0.75, canvas.measure(letter, size) / 2 + size * 0.3);
}

/** Words run along the edge, inside it, at the first place where nothing is in their way. */
function drawWords(canvas: Canvas, edge: Edge, words: string): void {
  const length = polylineLength(edge.points);
  for (const size of scaled(canvas, TEXT_SIZES)) {
    const width = canvas.measure(words, size);
    for (const part of [0.5, 0.35, 0.65, 0.22, 0.78]) {
      for (const away of [1.4 + size / 2, 6 + size / 2]) {
        const { point, tangent } = beside(edge.points, length * part, away);
        const angle = Math.atan2(tangent[1], tangent[0]);
        if (freeAt(canvas, point, { width: width + 1, height: size, angle }) < 1) continue;
        const degrees = readable((angle * 180) / Math.PI);
        addText(canvas, words, below(point, degrees, size * 0.35), {
          role: "edge-text",
          size,
          angle: degrees,
        });
        canvas.obstacles.addBox(point, width + 1, size, angle);
        return;
      }
    }
  }
}
