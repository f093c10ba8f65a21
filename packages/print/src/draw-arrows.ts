import type { Point } from "@peltry/geometry";
import { findRoom } from "./internal/find-room";
import { addPath, addText, readable, type Canvas, below } from "./internal/canvas";

type ArrowKind = "pile" | "stretch" | "grain";

const LENGTH = 60;
const BREADTH = 11;
const TEXT_SIZE = 3;
/** Smaller words are no help; the arrow heads still tell the kinds apart. mm */
const SMALLEST_TEXT = 1.6;

/** Arrows for the lie of the pile (one head), the greatest stretch (two heads) and the grain (two bars). */
export function drawArrows(canvas: Canvas): void {
  const { panel } = canvas.placed.piece;
  for (const kind of ["pile", "stretch", "grain"] as const) {
    const angle = panel[kind];
    if (angle !== undefined) drawArrow(canvas, kind, angle + canvas.placed.placement.angle);
  }
}

function drawArrow(canvas: Canvas, kind: ArrowKind, degrees: number): void {
  const angle = (degrees * Math.PI) / 180;
  const room = findRoom(canvas.room, canvas.obstacles, { width: LENGTH, height: BREADTH, angle }, 1.5);
  const scale = Math.max(0.12, room.scale * 0.94);
  const along: Point = [Math.cos(angle), Math.sin(angle)];
  const half = (LENGTH / 2) * scale;
  const detail = Math.min(1, Math.max(0.35, scale * 1.3));
  const size = TEXT_SIZE * detail * canvas.textScale;
  const readAt = readable(degrees);
  // The shaft runs a little under the middle of the room, the word above it.
  const middle = below(room.centre, readAt, size * 0.6);
  const tail = shift(middle, along, -half);
  const head = shift(middle, along, half);
  addPath(canvas, "marks", "arrow", [tail, head], { role: kind });
  const tip = 4 * detail;
  if (kind === "grain") {
    for (const end of [tail, head])
      addPath(canvas, "marks", "arrow", bar(end, along, tip * 0.5), { role: "grain-bar" });
  } else {
    addHead(canvas, head, along, tip, kind);
    if (kind === "stretch") addHead(canvas, tail, [-along[0], -along[1]], tip, kind);
    else addPath(canvas, "marks", "arrow", bar(tail, along, tip * 0.4), { role: "pile-bar" });
  }
  const words = { pile: "pile lies this way", stretch: "stretch", grain: "grain" }[kind];
  const text = canvas.measure(words, size) < 2 * half ? words : kind;
  if (size >= SMALLEST_TEXT && canvas.measure(text, size) < 2.2 * half) {
    addText(canvas, text, below(middle, readAt, -size * 0.35), { role: `${kind}-text`, size, angle: readAt });
  }
  canvas.obstacles.addBox(room.centre, LENGTH * scale, BREADTH * scale, angle);
}

function addHead(canvas: Canvas, at: Point, along: Point, size: number, kind: ArrowKind): void {
  const back = shift(at, along, -size);
  const left = shift(back, [-along[1], along[0]], size * 0.35);
  const right = shift(back, [along[1], -along[0]], size * 0.35);
  addPath(canvas, "marks", "arrow", [at, left, right], { role: `${kind}-head`, closed: true, filled: true });
}

function bar(at: Point, along: Point, half: number): Point[] {
  return [shift(at, [-along[1], along[0]], half), shift(at, [along[1], -along[0]], half)];
}

function shift([x, y]: Point, [dx, dy]: Point, by: number): Point {
  return [x + dx * by, y + dy * by];
}
