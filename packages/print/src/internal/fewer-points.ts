import { simplifyPolyline, type Outline, type Point } from "@peltry/geometry";

/** A closed outline with fewer points, none of those left out farther than the tolerance from what remains, mm. */
export function fewerPoints(outline: Outline, tolerance: number): readonly Point[] {
  if (outline.length < 12) return outline;
  // Cut in two, since a line that ends where it began has no direction to be measured from.
  const half = Math.floor(outline.length / 2);
  const first = simplifyPolyline(outline.slice(0, half + 1), tolerance);
  const second = simplifyPolyline([...outline.slice(half), outline[0]!], tolerance);
  const kept = [...first.slice(0, -1), ...second.slice(0, -1)];
  return kept.length < 3 ? outline : kept;
}
