import { boundingBox, type Point } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { countText } from "./draw-label";
import { drawPanel, type DrawOptions } from "./draw-panel";
import { Items } from "./internal/items";
import { numberText } from "./internal/number-text";
import { LARGEST_PAGE } from "./paper";
import type { PageDrawing } from "./pdf/page-content";
import { footprint, placePiece } from "./place-piece";
import type { PrintJob, PrintPiece } from "./types";

/** The cutting mat or table on which a projector's picture lies. */
export interface ProjectorOptions {
  /** Size of the picture, mm. Default 900 × 600. */
  readonly mat?: { readonly width: number; readonly height: number };
}

const GRID = 100;
/** Letters on fur want to be larger than on paper. */
const TEXT_SCALE = 2.2;
const BORDER = 20;

/**
 * Pages for a projector: first a grid by which the picture is set up, then one panel a page, all of the size of the mat, so
 * that the set-up stays right. A panel larger than the mat gets a larger page, which is reported.
 */
export function drawProjectorPages(
  job: PrintJob,
  options: ProjectorOptions,
  drawing: DrawOptions,
): { readonly pages: PageDrawing[]; readonly issues: Issue[] } {
  const mat = options.mat ?? { width: 900, height: 600 };
  for (const side of [mat.width, mat.height]) {
    if (!(side >= GRID) || !(side <= LARGEST_PAGE)) {
      fail(
        "print/bad-paper",
        `The projector's mat is ${mat.width} × ${mat.height} mm.`,
        {},
        {
          found: String(side),
          limit: `${GRID} to ${LARGEST_PAGE} mm`,
          fix: "Give the width and height of the picture in mm.",
        },
      );
    }
  }
  const issues: Issue[] = [];
  const seams = new Map(job.seams.map((seam) => [seam.id, seam]));
  const pages = job.pieces.map((piece, index): PageDrawing => {
    const { angle, size } = fit(piece, mat);
    if (size.width > mat.width || size.height > mat.height) issues.push(larger(piece, mat));
    const placed = placePiece(piece, index, centred(piece, angle, size));
    return {
      ...size,
      views: [
        { items: gridLines(size.width, size.height).list, shift: [0, 0] },
        { items: drawPanel(placed, seams, { ...drawing, textScale: TEXT_SCALE }), shift: [0, 0] },
        { items: caption(piece, index, job.pieces.length).list, shift: [0, 0] },
      ],
      label: `${index + 1}`,
      alt: `${piece.panel.name} at true scale, light lines on black over a grid of ${GRID} mm.`,
    };
  });
  return { pages: [setUpPage(mat), ...pages], issues };
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** Upright if that fits the mat, else turned a quarter, else upright on a larger page in whole squares of the grid. */
function fit(piece: PrintPiece, mat: Size): { angle: number; size: Size } {
  const box = boundingBox(footprint(piece));
  const width = box.maxX - box.minX + 2 * BORDER;
  const height = box.maxY - box.minY + 2 * BORDER;
  if (width <= mat.width && height <= mat.height) return { angle: 0, size: mat };
  if (height <= mat.width && width <= mat.height) return { angle: 90, size: mat };
  const whole = (length: number): number => Math.ceil(length / GRID) * GRID;
  return {
    angle: 0,
    size: { width: Math.max(mat.width, whole(width)), height: Math.max(mat.height, whole(height)) },
  };
}

function centred(
  piece: PrintPiece,
  angle: number,
  size: Size,
): { panel: string; angle: number; dx: number; dy: number } {
  const still = { panel: piece.panel.id, angle, dx: 0, dy: 0 };
  const box = boundingBox(placePiece(piece, 0, still).move(footprint(piece)));
  return {
    ...still,
    dx: (size.width - box.minX - box.maxX) / 2,
    dy: (size.height - box.minY - box.maxY) / 2,
  };
}

/** What the panel is, in the corner of the picture: a small panel has no room for it. */
function caption({ panel, fabricName }: PrintPiece, index: number, count: number): Items {
  const words = `${index + 1} of ${count} · ${panel.name} · ${countText(panel)} · ${fabricName ?? panel.fabric}`;
  return new Items().text(words, [10, 8], 8, "caption");
}

function larger({ panel }: PrintPiece, mat: Size): Issue {
  return {
    code: "print/larger-than-mat",
    severity: "warning",
    message: `“${panel.name}” is larger than the projector's picture; its page is larger than the others.`,
    at: { panel: panel.id },
    limit: `${mat.width} × ${mat.height} mm`,
    fix: "Show it in parts, moving the cloth by whole squares of the grid, or make the picture larger.",
  };
}

function gridLines(width: number, height: number): Items {
  const grid = new Items();
  for (let x = 0; x <= width; x += GRID)
    grid.line(
      [
        [x, 0],
        [x, height],
      ],
      "guide",
      "grid",
    );
  for (let y = 0; y <= height; y += GRID)
    grid.line(
      [
        [0, y],
        [width, y],
      ],
      "guide",
      "grid",
    );
  return grid;
}

/** Grid, frame, diagonals and the lengths to be measured on the mat. */
function setUpPage({ width, height }: Size): PageDrawing {
  const items = gridLines(width, height);
  const inset = 1;
  const frame: Point[] = [
    [inset, inset],
    [width - inset, inset],
    [width - inset, height - inset],
    [inset, height - inset],
  ];
  const marks = new Items("marks");
  marks.line(frame, "cut", "frame", { closed: true });
  marks
    .line(
      [
        [0, 0],
        [width, height],
      ],
      "guide",
      "diagonal",
    )
    .line(
      [
        [0, height],
        [width, 0],
      ],
      "guide",
      "diagonal",
    );
  // Left of the middle, between the diagonals.
  const x = width >= 3 * GRID ? GRID : 0;
  const y = Math.floor(height / 2 / GRID) * GRID;
  marks.box(x, y, GRID, GRID, "cut", "check-square-metric");
  marks.text("100 mm", [x + GRID / 2, y + GRID / 2 - 4], 9, "check-text", { align: "middle" });
  const words = [
    `One square is 100 mm; the frame is ${numberText(width - 2 * inset)} × ${numberText(height - 2 * inset)} mm.`,
    "Move and tilt the projector until all four corners are within 1 mm.",
  ];
  const size = Math.min(11, width / 62);
  words.forEach((line, i) =>
    marks.text(line, [width / 2, 24 + (1 - i) * size * 1.5], size, "summary", { align: "middle" }),
  );
  return {
    width,
    height,
    views: [
      { items: items.list, shift: [0, 0] },
      { items: marks.list, shift: [0, 0] },
    ],
    label: "Set-up",
    alt: `A grid of 100 mm squares on black, ${width} × ${height} mm, for setting up the projector.`,
  };
}
