import { boundingBox, placePoints, type Point } from "@peltry/geometry";
import type { PageFrame } from "./page-options";
import { tileCount } from "./tile-count";
import { convexHull, smallestBoxAngle } from "./internal/smallest-box";

// Tried: skyline strips (good on area, blind to page borders) and this greedy search, which asks at every step how many
// new pages a place would open. On forty leg panels it needs about a tenth fewer pages than the skyline.

/** One way in which a piece may lie: its box and what brings it there. */
export interface Pose {
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
    const best = smallestBoxAngle(thinned(hull));
    if (Math.abs(best) > 0.5) angles.push(best, best + 90);
  }
  return angles.map((angle) => {
    const box = boundingBox(angle === 0 ? hull : placePoints(hull, (angle * Math.PI) / 180));
    return { angle, width: box.maxX - box.minX, height: box.maxY - box.minY, minX: box.minX, minY: box.minY };
  });
}

/** At most some sixty of the points: enough to tell which way is narrow. */
function thinned(hull: readonly Point[]): readonly Point[] {
  const step = Math.ceil(hull.length / 60);
  return step === 1 ? hull : hull.filter((_, i) => i % step === 0);
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
  const span = new PageSpan(rules);
  const packed: PackedBox[] = [];
  for (const index of order) {
    const spot = bestSpot(pieces[index]!, boxes, open, span);
    if (!spot) return undefined;
    packed.push({ index, pose: spot.pose, x: spot.x, top: spot.top });
    boxes.push({ x: spot.x, top: spot.top, width: spot.pose.width, height: spot.pose.height });
    span.put(spot.x, spot.top, spot.pose);
    span.addTo(open);
  }
  return packed;
}

interface Spot {
  readonly pose: Pose;
  readonly x: number;
  readonly top: number;
  /** What is compared, first things first: new pages, pages touched, slant, height, and ties. */
  readonly cost: Float64Array;
}

function bestSpot(
  ways: readonly Pose[],
  boxes: readonly Box[],
  open: ReadonlySet<number>,
  span: PageSpan,
): Spot | undefined {
  const { rules } = span;
  const { frame, columns } = rules;
  const sheetWidth = columns * (frame.tileWidth - frame.overlap) + frame.overlap;
  const corners = cornersToTry(boxes, rules);
  let best: Spot | undefined;
  const cost = new Float64Array(7);
  for (const [rank, pose] of ways.entries()) {
    const fits = pose.width <= frame.tileWidth && pose.height <= frame.tileHeight;
    const least =
      tileCount(pose.width, frame.tileWidth, frame.overlap) *
      tileCount(pose.height, frame.tileHeight, frame.overlap);
    // Opens no new page and touches as few as this pose can: not to be beaten by it.
    if (best?.cost[0] === 0 && best.cost[1]! < least + (rank > 1 && best.cost[2] === 0 ? 1 : 0)) continue;
    for (let i = 0; i < corners.length; i += 2) {
      const x = corners[i]!;
      const top = corners[i + 1]!;
      if (x + pose.width > sheetWidth + 1e-9) continue;
      span.put(x, top, pose);
      const touched = span.touched();
      const fresh = span.fresh(open);
      if (best && fresh > best.cost[0]!) continue;
      if (rules.whole && fits && touched > 1) continue;
      cost[0] = fresh;
      cost[1] = touched;
      // A slanted panel is harder to recognise: it has to save a page.
      cost[2] = rank > 1 ? 1 : 0;
      cost[3] = Math.ceil((top + pose.height) / 20);
      cost[4] = top;
      cost[5] = x;
      cost[6] = rank;
      if (best && !less(cost, best.cost)) continue;
      if (overlapsAny(x, top, pose, boxes, rules.gap)) continue;
      best = { pose, x, top, cost: cost.slice() };
    }
  }
  return best;
}

/** x and top of each corner in turn. */
function cornersToTry(boxes: readonly Box[], { frame, columns, gap }: PackRules): number[] {
  const stepX = frame.tileWidth - frame.overlap;
  const stepY = frame.tileHeight - frame.overlap;
  const bottom = boxes.reduce((low, box) => Math.max(low, box.top + box.height), 0);
  const corners: number[] = [];
  for (let row = 0; row * stepY <= bottom + stepY; row++) {
    for (let column = 0; column < columns; column++) corners.push(column * stepX, row * stepY);
  }
  for (const box of boxes.slice(-RECENT)) {
    const right = box.x + box.width + gap;
    const under = box.top + box.height + gap;
    const column = Math.floor(box.x / stepX) * stepX;
    const row = Math.floor(box.top / stepY) * stepY;
    corners.push(right, box.top, box.x, under, right, row, column, under, 0, under);
  }
  return corners;
}

function overlapsAny(x: number, top: number, pose: Pose, boxes: readonly Box[], gap: number): boolean {
  const near = gap - 1e-9;
  for (const box of boxes) {
    if (
      x < box.x + box.width + near &&
      box.x < x + pose.width + near &&
      top < box.top + box.height + near &&
      box.top < top + pose.height + near
    ) {
      return true;
    }
  }
  return false;
}

/** The pages that a box touches. One object is used for all questions: the search asks millions. */
class PageSpan {
  firstRow = 0;
  lastRow = 0;
  firstColumn = 0;
  lastColumn = 0;

  constructor(readonly rules: PackRules) {}

  put(x: number, top: number, pose: Pose): void {
    const { frame, columns } = this.rules;
    this.firstColumn = firstTile(x, frame.tileWidth, frame.overlap);
    this.lastColumn = Math.min(
      columns - 1,
      lastTile(this.firstColumn, x + pose.width, frame.tileWidth, frame.overlap),
    );
    this.firstRow = firstTile(top, frame.tileHeight, frame.overlap);
    this.lastRow = lastTile(this.firstRow, top + pose.height, frame.tileHeight, frame.overlap);
  }

  touched(): number {
    return (this.lastRow - this.firstRow + 1) * (this.lastColumn - this.firstColumn + 1);
  }

  fresh(open: ReadonlySet<number>): number {
    let count = 0;
    for (let row = this.firstRow; row <= this.lastRow; row++) {
      for (let column = this.firstColumn; column <= this.lastColumn; column++) {
        if (!open.has(row * this.rules.columns + column)) count++;
      }
    }
    return count;
  }

  addTo(open: Set<number>): void {
    for (let row = this.firstRow; row <= this.lastRow; row++) {
      for (let column = this.firstColumn; column <= this.lastColumn; column++)
        open.add(row * this.rules.columns + column);
    }
  }
}

function firstTile(from: number, tile: number, overlap: number): number {
  return Math.floor(from / (tile - overlap) + 1e-9);
}

/** The last of the tiles that together show a stretch which begins on `first`. */
function lastTile(first: number, to: number, tile: number, overlap: number): number {
  return Math.max(first, Math.ceil((to - tile) / (tile - overlap) - 1e-9));
}

function less(a: Float64Array, b: Float64Array): boolean {
  for (let i = 0; i < a.length; i++) {
    if (a[i]! !== b[i]!) return a[i]! < b[i]!;
  }
  return false;
}
