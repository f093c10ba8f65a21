import type { Outline, Point } from "@peltry/geometry";

/** Slanted parallel lines (45°) across an outline, `pitch` mm apart, cut where they cross it (even–odd). */
export function hatchOutline(outline: Outline, pitch: number): [Point, Point][] {
  // Lines y − x = c, walked by c; the place along a line is x.
  const offsets = outline.map(([x, y]) => y - x);
  const step = pitch * Math.SQRT2;
  const lines: [Point, Point][] = [];
  const first = Math.floor(Math.min(...offsets) / step) + 1;
  for (let k = first; k * step < Math.max(...offsets); k++) {
    const c = k * step;
    const hits: number[] = [];
    for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
      const a = offsets[j]! - c;
      const b = offsets[i]! - c;
      if (a > 0 === b > 0) continue;
      hits.push(outline[j]![0] + ((outline[i]![0] - outline[j]![0]) * a) / (a - b));
    }
    hits.sort((x, y) => x - y);
    for (let i = 0; i + 1 < hits.length; i += 2)
      lines.push([
        [hits[i]!, hits[i]! + c],
        [hits[i + 1]!, hits[i + 1]! + c],
      ]);
  }
  return lines;
}
