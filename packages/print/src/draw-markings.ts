import { centroid, mix, type Point } from "@peltry/geometry";
import type { Marking } from "@peltry/pattern";
import { dartPoints } from "./dart-points";
import { ringPoints } from "./drawing";
import { findRoom } from "./internal/find-room";
import { hatchOutline } from "./internal/hatch";
import { addPath, addText, type Canvas } from "./internal/canvas";

const DRILL_RADIUS = 1.5;
const TEXT_SIZE = 3;

/** Darts: the fold from the middle of the mouth to the tip, and a punched point near the tip. */
export function drawDarts(canvas: Canvas): void {
  const { placed } = canvas;
  const byId = new Map(placed.edges.map((edge) => [edge.id, edge]));
  const drills = placed.move(dartPoints(placed.piece));
  placed.piece.panel.darts.forEach((dart, i) => {
    const [tip] = placed.move([dart.tip]);
    const into = byId.get(dart.legs[0])?.points[0];
    const out = byId.get(dart.legs[1])?.points.at(-1);
    drawDrill(canvas, drills[i]!, "dart-drill");
    if (into && out && !dart.cut && !placed.cut?.foldedDarts)
      addPath(canvas, "marks", "dart", [mix(into, out, 0.5), tip!], { role: "dart-fold" });
  });
}

/** Internal lines, drill points, areas with their own fabric, and texts. */
export function drawMarkings(canvas: Canvas): void {
  for (const marking of canvas.placed.piece.panel.markings) {
    const points = canvas.placed.move(marking.points);
    if (points.length === 0) continue;
    drawMarking(canvas, marking, points);
  }
}

function drawMarking(canvas: Canvas, marking: Marking, points: readonly Point[]): void {
  const { obstacles } = canvas;
  if (marking.kind === "drill") {
    points.forEach((point) => drawDrill(canvas, point, "drill"));
    if (marking.label)
      label(canvas, marking.label, [points[0]![0], points[0]![1] - 2 * DRILL_RADIUS - textSize(canvas)]);
  } else if (marking.kind === "line") {
    addPath(canvas, "marks", "line", points, { role: "marking-line" });
    obstacles.addLine(points, false);
    if (marking.label) label(canvas, marking.label, above(points[Math.floor((points.length - 1) / 2)]!));
  } else if (marking.kind === "text") {
    label(canvas, marking.label ?? "", points[0]!);
  } else {
    addPath(canvas, "marks", "area", points, { role: "marking-area", closed: true });
    obstacles.addLine(points, true);
    if (marking.method === "shaved") {
      for (const line of hatchOutline(points, 4)) addPath(canvas, "marks", "hatch", line, { role: "shaved" });
    }
    labelArea(canvas, marking, points);
  }
}

function labelArea(canvas: Canvas, marking: Marking, points: readonly Point[]): void {
  const names = canvas.placed.piece.markingFabrics ?? {};
  const id = marking.fabric;
  const fabric = id !== undefined && Object.hasOwn(names, id) ? names[id] : id;
  const method = { applied: "sewn on top", "let-in": "let in: cut the base away", shaved: "shave the pile" };
  const lines = [
    marking.label ?? marking.id,
    [fabric, marking.method && method[marking.method]].filter(Boolean).join(", "),
  ].filter((line) => line !== "");
  const wanted = textSize(canvas);
  const width = Math.max(...lines.map((line) => canvas.measure(line, wanted)));
  const height = lines.length * wanted * 1.25;
  const room = findRoom(points, canvas.obstacles, { width: width + 1, height, angle: 0 }, 1);
  const size = Math.max(1.8, wanted * Math.min(1, room.scale));
  const [x, y] = room.scale > 0 ? room.centre : centroid(points);
  lines.forEach((line, i) => {
    const baseline = y + ((lines.length - 1) / 2 - i) * size * 1.25 - size * 0.35;
    addText(canvas, line, [x, baseline], { role: "marking-text", size });
  });
  const scale = size / wanted;
  canvas.obstacles.addBox([x, y], width * scale, height * scale, 0);
}

function drawDrill(canvas: Canvas, [x, y]: Point, role: string): void {
  const r = DRILL_RADIUS;
  addPath(canvas, "marks", "ring", ringPoints([x, y], r), { role, closed: true });
  addPath(
    canvas,
    "marks",
    "ring",
    [
      [x - 2 * r, y],
      [x + 2 * r, y],
    ],
    { role: `${role}-cross` },
  );
  addPath(
    canvas,
    "marks",
    "ring",
    [
      [x, y - 2 * r],
      [x, y + 2 * r],
    ],
    { role: `${role}-cross` },
  );
  canvas.obstacles.addBox([x, y], 4 * r, 4 * r, 0);
}

function label(canvas: Canvas, text: string, at: Point): void {
  if (text === "") return;
  const size = textSize(canvas);
  addText(canvas, text, at, { role: "marking-text", size });
  canvas.obstacles.addBox([at[0], at[1] + size * 0.35], canvas.measure(text, size), size, 0);
}

function textSize({ textScale }: Canvas): number {
  return TEXT_SIZE * textScale;
}

function above([x, y]: Point): Point {
  return [x, y + 1.5];
}
