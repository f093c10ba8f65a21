import { boundingBox, type Point } from "@peltry/geometry";
import { edgesOutline, type Seam } from "@peltry/pattern";
import { drawArrows } from "./draw-arrows";
import { drawDarts, drawMarkings } from "./draw-markings";
import { drawEdgeTexts } from "./draw-edge-texts";
import { drawLabel } from "./draw-label";
import { drawNotches } from "./draw-notches";
import { guessTextWidth, type DrawItem, type MeasureText } from "./drawing";
import { addPath, type Canvas } from "./internal/canvas";
import { fewerPoints } from "./internal/fewer-points";
import { Obstacles } from "./internal/find-room";
import type { PlacedPiece } from "./place-piece";
import { segmentMeetsBox } from "./used-tiles";

/** Texts keep farther from lines than this, mm. */
const TEXT_CLEARANCE = 0.4;

/** What is written on the panels beside the lines themselves. */
export interface DrawOptions {
  /** Print each edge's length beside its letter. Default false. */
  readonly edgeLengths?: boolean;
  /** Width of a text in the font that will be used; a cautious guess without. */
  readonly measureText?: MeasureText;
  /** Factor on every letter height. Default 1. */
  readonly textScale?: number;
  /** Lines that texts keep off where they can: the joints between pages. */
  readonly joints?: readonly (readonly [Point, Point])[];
}

/**
 * Everything that is printed for one panel, in sheet coordinates: cut line, sew line, notches, darts, markings, seam
 * letters, arrows and the label, with texts kept off lines and off each other where the panel has room.
 */
export function drawPanel(
  placed: PlacedPiece,
  seams: ReadonlyMap<string, Seam>,
  options: DrawOptions = {},
): DrawItem[] {
  const canvas: Canvas = {
    placed,
    seams,
    items: [],
    obstacles: new Obstacles(),
    room: fewerPoints(placed.sewLine, TEXT_CLEARANCE),
    measure: options.measureText ?? guessTextWidth,
    edgeLengths: options.edgeLengths ?? false,
    textScale: options.textScale ?? 1,
  };
  const around = boundingBox(canvas.room);
  for (const [a, b] of options.joints ?? []) {
    if (segmentMeetsBox(a[0], a[1], b[0], b[1], around)) canvas.obstacles.addJoint(a, b);
  }
  drawLines(canvas);
  drawNotches(canvas);
  drawDarts(canvas);
  drawMarkings(canvas);
  drawEdgeTexts(canvas);
  drawLabel(canvas);
  drawArrows(canvas);
  return canvas.items;
}

function drawLines(canvas: Canvas): void {
  const { placed, obstacles } = canvas;
  const { cut } = placed;
  if (cut) {
    addPath(canvas, "cut", "cut", cut.cutLine, { role: "cut-line", closed: true });
    for (const hole of cut.holes ?? [])
      addPath(canvas, "cut", "cut", hole, { role: "cut-line", closed: true });
    for (const line of cut.lines ?? [])
      addPath(canvas, "marks", "line", line.points, { role: "allowance-line" });
    for (const run of cut.clips ?? []) {
      for (const mark of run.marks) addPath(canvas, "marks", "clip", mark, { role: "clip" });
    }
    for (const { tip, peak } of cut.foldedDarts ?? [])
      addPath(canvas, "marks", "dart", [peak, tip], { role: "dart-fold" });
  }
  // The whole sew line is one run, so that its dashes keep their rhythm at the corners; folds are drawn over it.
  addPath(canvas, "sew", "sew", placed.sewLine, { role: "sew-line", closed: true });
  obstacles.addLine(canvas.room, true);
  for (const hole of placed.holes) {
    const outline = edgesOutline(hole);
    addPath(canvas, "sew", "sew", outline, { role: "sew-line", closed: true });
    obstacles.addLine(fewerPoints(outline, TEXT_CLEARANCE), true);
  }
  for (const edge of placed.edges) {
    if (edge.role === "fold") addPath(canvas, "sew", "fold", edge.points, { role: "fold-line" });
  }
}
