import { EndType, inflatePaths, JoinType } from "clipper2-ts";
import { outlineCrossings, signedArea, type Point } from "@peltry/geometry";

const GRID = 1e4;
/** Growth in steps of the grid, tried in turn: 0.001 to 0.05 mm. */
const GROWTH = [10, 50, 200, 500];

/** True when a closed outline neither crosses nor touches itself and doubles no point. */
export function isSimple(outline: readonly Point[]): boolean {
  return outline.length > 2 && outlineCrossings(outline).length === 0 && !doublesBack(outline);
}

/**
 * A closed outline that neither crosses nor touches itself: as given where it already does not, else grown outwards
 * by the least that parts it.
 */
export function parted(outline: Point[], hole: boolean): { outline: Point[]; grown: number } {
  if (isSimple(outline)) return { outline, grown: 0 };
  for (const growth of GROWTH) {
    const path = outline.map(([x, y]) => ({ x: Math.round(x * GRID), y: Math.round(y * GRID) }));
    const grown = inflatePaths(
      [hole ? path.reverse() : path],
      hole ? -growth : growth,
      JoinType.Miter,
      EndType.Polygon,
      2,
    )
      .map((one) => one.map((p): Point => [p.x / GRID, p.y / GRID]))
      .filter((one) => one.length > 2 && signedArea(one) > 0)
      .sort((a, b) => signedArea(b) - signedArea(a));
    if (grown.length > 0 && isSimple(grown[0])) {
      return { outline: hole ? grown[0].reverse() : grown[0], grown: growth / GRID };
    }
  }
  return { outline, grown: 0 };
}

/** A side that runs straight back over the one before it. */
function doublesBack(outline: readonly Point[]): boolean {
  const n = outline.length;
  for (let i = 0; i < n; i++) {
    const [a, b, c] = [outline[i], outline[(i + 1) % n], outline[(i + 2) % n]];
    const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
    if ((ux === 0 && uy === 0) || (ux * vy - uy * vx === 0 && ux * vx + uy * vy < 0)) return true;
  }
  return false;
}
