import { boundingBox, placePoints, type Point } from "@peltry/geometry";
import type { PageFrame } from "./page-options";
import { convexHull, smallestBoxAngle } from "./internal/smallest-box";

// Tried: skyline strips (good on area, blind to page borders) and this greedy search, which asks at every step how many
// new pages a place would open. On forty leg panels it needs about a tenth fewer pages than the skyline.

/** One way in which a piece may lie: its box and what brings it there. */
interface Pose {
  readonly angle: number;
  readonly width: number;
  readonly height: number;
  /** Lower left corner of the box before shifting. */
  readonly minX: number;
  readonly minY: number;
}

/** Where a piece ended up: x to the right, `top` down from the upper edge of the sheet. */
export interface PackedBox {
  readonly index: number;
  readonly pose: Pose;
  readonly x: number;
  readonly top: number;
}

/** What the packer must keep to. */
export interface PackRules {
  readonly frame: PageFrame;
  readonly columns: number;
  readonly gap: number;
  /** Pieces that a page can hold are kept on one page. */
  readonly whole: boolean;
  /** Kept free in the upper left corner of the first page. */
  readonly reserve?: { readonly width: number; readonly height: number } | undefined;
}

interface Box {
  readonly x: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

const RECENT = 60;

/** The ways in which a piece may be turned on paper. */
export function poses(points: readonly Point[], turn: "free" | "quarter" | "none"): Pose[] {
  const angles = [0];
  const hull = convexHull(points);
  if (turn !== "none") angles.push(90);
  if (turn === "free") {
    const best = smallestBoxAngle(hull);
    if (Math.abs(best) > 0.5) angles.push(best, best + 90);
  }
  return angles.map((angle) => {
    const box = boundingBox(angle === 0 ? hull : placePoints(hull, (angle * Math.PI) / 180));
    return { angle, width: box.maxX - box.minX, height: box.maxY - box.minY, minX: box.minX, minY: box.minY };
  });
}

/** Packs all pieces, in the order given; undefined when one is wider than the sheet in every pose. */
export function packPieces(
  pieces: readonly (readonly Pose[])[],
  order: readonly number[],
  rules: PackRules,
): PackedBox[] | undefined {
  const boxes: Box[] = [];
  const open = new Set<number>();
  if (rules.reserve) {
    boxes.push({ x: 0, top: 0, ...rules.reserve });
    open.add(0);
  }
  const packed: PackedBox[] = [];
  for (const index of order) {
    const spot = bestSpot(pieces[index]!, boxes, open, rules);
    if (!spot) return undefined;
    packed.push({ index, pose: spot.pose, x: spot.x, top: spot.top });
    boxes.push({ x: spot.x, top: spot.top, width: spot.pose.width, height: spot.pose.height });
    for (const page of pagesOf(spot.x, spot.top, spot.pose, rules)) open.add(page);
  }
  return packed;
}

interface Spot {
  readonly pose: Pose;
  readonly x: number;
  readonly top: number;
  readonly cost: readonly number[];
}

function bestSpot(
  ways: readonly Pose[],
  boxes: readonly Box[],
  open: ReadonlySet<number>,
  rules: PackRules,
): Spot | undefined {
  const { frame, columns } = rules;
  const sheetWidth = columns * (frame.tileWidth - frame.overlap) + frame.overlap;
  const corners = cornersToTry(boxes, rules);
  let best: Spot | undefined;
  for (const [rank, pose] of ways.entries()) {
    for (const [x, top] of corners) {
      if (x + pose.width > sheetWidth + 1e-9 || overlapsAny(x, top, pose, boxes, rules.gap)) continue;
      const pages = pagesOf(x, top, pose, rules);
      const fits = pose.width <= frame.tileWidth && pose.height <= frame.tileHeight;
      if (rules.whole && fits && pages.length > 1) continue;
      const fresh = pages.filter((page) => !open.has(page)).length;
      // A slanted panel is harder to recognise: it has to save a page.
      const cost = [fresh, pages.length, rank > 1 ? 1 : 0, Math.ceil((top + pose.height) / 20), top, x, rank];
      if (!best || less(cost, best.cost)) best = { pose, x, top, cost };
    }
  }
  return best;
}

function cornersToTry(boxes: readonly Box[], { frame, columns, gap }: PackRules): [number, number][] {
  const stepX = frame.tileWidth - frame.overlap;
  const stepY = frame.tileHeight - frame.overlap;
  const bottom = boxes.reduce((low, box) => Math.max(low, box.top + box.height), 0);
  const corners: [number, number][] = [];
  for (let row = 0; row * stepY <= bottom + stepY; row++) {
    for (let column = 0; column < columns; column++) corners.push([column * stepX, row * stepY]);
  }
  for (const box of boxes.slice(-RECENT)) {
    const right = box.x + box.width + gap;
    const under = box.top + box.height + gap;
    const column = Math.floor(box.x / stepX) * stepX;
    const row = Math.floor(box.top / stepY) * stepY;
    corners.push([right, box.top], [box.x, under], [right, row], [column, under], [0, under]);
  }
  return corners;
}

function overlapsAny(x: number, top: number, pose: Pose, boxes: readonly Box[], gap: number): boolean {
  const near = gap - 1e-9;
  return boxes.some(
    (box) =>
      x < box.x + box.width + near &&
      box.x < x + pose.width + near &&
      top < box.top + box.height + near &&
      box.top < top + pose.height + near,
  );
}

function pagesOf(x: number, top: number, pose: Pose, { frame, columns }: PackRules): number[] {
  const [firstColumn, lastColumn] = span(x, x + pose.width, frame.tileWidth, frame.overlap);
  const [firstRow, lastRow] = span(top, top + pose.height, frame.tileHeight, frame.overlap);
  const pages: number[] = [];
  for (let row = firstRow; row <= lastRow; row++) {
    for (let column = firstColumn; column <= Math.min(lastColumn, columns - 1); column++)
      pages.push(row * columns + column);
  }
  return pages;
}

/** First and last tile that together show a stretch. */
function span(from: number, to: number, tile: number, overlap: number): [number, number] {
  const step = tile - overlap;
  const first = Math.floor(from / step + 1e-9);
  return [first, Math.max(first, Math.ceil((to - tile) / step - 1e-9))];
}

function less(a: readonly number[], b: readonly number[]): boolean {
  for (let i = 0; i < a.length; i++) {
    if (a[i]! !== b[i]!) return a[i]! < b[i]!;
  }
  return false;
}
