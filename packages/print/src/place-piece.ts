import { placePoints, type Outline, type Point } from "@peltry/geometry";
import { edgesOutline, type Edge } from "@peltry/pattern";
import type { CutLine, Placement, PrintPiece } from "./types";

/** A piece whose every coordinate is in sheet coordinates. */
export interface PlacedPiece {
  readonly piece: PrintPiece;
  /** Index of the piece in the job, from 0. */
  readonly index: number;
  readonly placement: Placement;
  /** Sew line, closed. */
  readonly sewLine: Outline;
  readonly edges: readonly Edge[];
  readonly holes: readonly (readonly Edge[])[];
  readonly cut: CutLine | undefined;
  /** Turns a point of the panel's own coordinates into sheet coordinates. */
  readonly move: (points: readonly Point[]) => Point[];
}

/** The outermost line of a piece in its own coordinates: the cut line, or else the sew line. */
export function outermost(piece: PrintPiece): Outline {
  return piece.cut?.cutLine ?? edgesOutline(piece.panel.edges);
}

/** Every point that must be on paper: the outermost line and marks that reach past it. */
export function footprint(piece: PrintPiece): Point[] {
  const sew = edgesOutline(piece.panel.edges);
  const marks = [
    ...(piece.cut?.notches ?? []).flatMap((notch) => notch.strokes),
    ...(piece.cut?.clips ?? []).flatMap((run) => run.marks),
  ].flat();
  const markings = piece.panel.markings.flatMap((marking) => marking.points);
  return piece.cut ? [...piece.cut.cutLine, ...sew, ...marks, ...markings] : [...sew, ...markings];
}

/** The piece turned and shifted onto the sheet. */
export function placePiece(piece: PrintPiece, index: number, placement: Placement): PlacedPiece {
  const radians = (placement.angle * Math.PI) / 180;
  const still = placement.angle === 0 && placement.dx === 0 && placement.dy === 0;
  const move = (points: readonly Point[]): Point[] =>
    still ? [...points] : placePoints(points, radians, placement.dx, placement.dy);
  const moveEdge = (edge: Edge): Edge => ({ ...edge, points: move(edge.points) });
  const edges = piece.panel.edges.map(moveEdge);
  return {
    piece,
    index,
    placement,
    sewLine: edgesOutline(edges),
    edges,
    holes: (piece.panel.holes ?? []).map((hole) => hole.map(moveEdge)),
    cut: piece.cut && moveCut(piece.cut, move),
    move,
  };
}

function moveCut(cut: CutLine, move: (points: readonly Point[]) => Point[]): CutLine {
  const one = (point: Point): Point => move([point])[0]!;
  return {
    cutLine: move(cut.cutLine),
    ...(cut.holes && { holes: cut.holes.map(move) }),
    ...(cut.notches && {
      notches: cut.notches.map(({ strokes, sew, cut: at }) => ({
        strokes: strokes.map(move),
        ...(sew && { sew: one(sew) }),
        ...(at && { cut: one(at) }),
      })),
    }),
    ...(cut.clips && { clips: cut.clips.map(({ marks }) => ({ marks: marks.map(move) })) }),
    ...(cut.trimStrips && { trimStrips: cut.trimStrips.map(({ width }) => ({ width })) }),
    ...(cut.foldedDarts && {
      foldedDarts: cut.foldedDarts.map(({ tip, peak }) => ({ tip: one(tip), peak: one(peak) })),
    }),
    ...(cut.lines && { lines: cut.lines.map((line) => ({ ...line, points: move(line.points) })) }),
  };
}
