import type { Box, Point } from "@peltry/geometry";
import { segmentMeetsBox } from "../used-tiles";

/** A stretch of a line that shows in a box. */
export interface Run {
  readonly points: readonly Point[];
  /** Length of the line before the stretch, mm: where its dashes have got to. */
  readonly offset: number;
  readonly closed: boolean;
}

/** The stretches of a line whose sides reach into a box, whole sides kept; a closed line all inside stays closed. */
export function runsInBox(points: readonly Point[], closed: boolean, box: Box): Run[] {
  const n = points.length;
  const sides = closed ? n : n - 1;
  const runs: { points: Point[]; offset: number; closed: boolean }[] = [];
  let open: Point[] | undefined;
  let length = 0;
  for (let i = 0; i < sides; i++) {
    const a = points[i]!;
    const b = points[(i + 1) % n]!;
    if (segmentMeetsBox(a[0], a[1], b[0], b[1], box)) {
      if (!open) {
        open = [a];
        runs.push({ points: open, offset: length, closed: false });
      }
      open.push(b);
    } else {
      open = undefined;
    }
    length += Math.hypot(b[0] - a[0], b[1] - a[1]);
  }
  if (closed && runs.length === 1 && runs[0]!.points.length === n + 1) {
    return [{ points: points.slice(), offset: 0, closed: true }];
  }
  return runs;
}
