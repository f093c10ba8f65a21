import type { Panel } from "@peltry/pattern";
import { findRoom } from "./internal/find-room";
import { addText, readable, type Canvas, below } from "./internal/canvas";

interface Line {
  readonly text: string;
  /** mm at scale 1 */
  readonly size: number;
  readonly role: string;
}

const NAME_SIZE = 6;
const SMALL_SIZE = 4;
const LEADING = 1.3;
const LARGEST = 1.6;
/** Least scales at which a block of text is still read without trouble: 3.3 and 2.2 mm letters. */
const SMALLEST = 0.55;

/** "cut 1 + 1 mirrored", "cut 2", "cut 1 on the fold". */
export function countText(panel: Panel): string {
  const fold = panel.edges.some((edge) => edge.role === "fold") ? " on the fold" : "";
  return panel.mirrored ? `cut ${panel.count} + ${panel.count} mirrored${fold}` : `cut ${panel.count}${fold}`;
}

/**
 * Name, how many to cut, fabric and notes, as large as the panel has room for. Where there is none for all of it, the
 * name and count; on a tiny panel its number alone, which the list on the first page explains.
 */
export function drawLabel(canvas: Canvas): void {
  const { panel, fabricName } = canvas.placed.piece;
  const number = `${canvas.placed.index + 1}`;
  const name: Line = { text: `${number} · ${panel.name}`, size: NAME_SIZE, role: "panel-name" };
  const count: Line = { text: countText(panel), size: SMALL_SIZE, role: "panel-count" };
  const fabric: Line = { text: fabricName ?? panel.fabric, size: SMALL_SIZE, role: "panel-fabric" };
  const layer: Line[] =
    panel.layer && panel.layer !== "outer"
      ? [{ text: panel.layer, size: SMALL_SIZE, role: "panel-layer" }]
      : [];
  const notes = (panel.notes ?? []).map((text): Line => ({
    text,
    size: SMALL_SIZE * 0.8,
    role: "panel-note",
  }));
  const trim: Line[] =
    (canvas.placed.cut?.trimStrips?.length ?? 0) > 0
      ? [{ text: "trim the pile in the allowance", size: SMALL_SIZE * 0.8, role: "panel-note" }]
      : [];
  const blocks: Line[][] = [
    [name, count, fabric, ...layer, ...trim, ...notes],
    [name, count, fabric, ...layer],
    [name, count],
    [{ ...name, size: SMALL_SIZE, text: number }],
  ];
  for (const [i, block] of blocks.entries()) {
    const lines = block
      .filter((line) => line.text.trim() !== "")
      .map((line) => ({ ...line, size: line.size * canvas.textScale }));
    if (setBlock(canvas, lines, i === blocks.length - 1 ? 0 : SMALLEST)) return;
  }
}

function setBlock(canvas: Canvas, lines: readonly Line[], smallest: number): boolean {
  const width = Math.max(...lines.map((line) => canvas.measure(line.text, line.size))) * 1.06 + 2;
  const height = lines.reduce((sum, line) => sum + line.size * LEADING, 0) + 2;
  let best = { centre: canvas.room[0]!, scale: 0, angle: 0 };
  for (const angle of [0, 90, Math.round(longDirection(canvas))]) {
    const enough = angle === 0 ? LARGEST : 1;
    const radians = (angle * Math.PI) / 180;
    const found = findRoom(canvas.room, canvas.obstacles, { width, height, angle: radians }, enough);
    // Level text is read most easily: a turned one must win clearly.
    if (found.scale > best.scale * (best.scale === 0 ? 1 : 1.3)) best = { ...found, angle };
    if (best.scale >= 1) break;
  }
  if (best.scale < smallest) return false;
  const scale = Math.max(best.scale * 0.96, 0.3);
  const { centre, angle } = best;
  let down = -(height - 2) / 2;
  for (const line of lines) {
    down += line.size * LEADING;
    const baseline = (down - line.size * (LEADING - 0.78)) * scale;
    addText(canvas, line.text, below(centre, angle, baseline), {
      role: line.role,
      size: line.size * scale,
      angle,
    });
  }
  canvas.obstacles.addBox(centre, width * scale, height * scale, (angle * Math.PI) / 180);
  return true;
}

/** Degrees of the direction in which the panel is longest, so that a text along it can be read. */
function longDirection({ room }: Canvas): number {
  const n = room.length;
  const mx = room.reduce((sum, p) => sum + p[0], 0) / n;
  const my = room.reduce((sum, p) => sum + p[1], 0) / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const [x, y] of room) {
    xx += (x - mx) ** 2;
    xy += (x - mx) * (y - my);
    yy += (y - my) ** 2;
  }
  return readable(((Math.atan2(2 * xy, xx - yy) / 2) * 180) / Math.PI);
}
