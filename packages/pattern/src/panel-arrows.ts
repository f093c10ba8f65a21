import { labelPoint, type Point } from "@peltry/geometry";
import { edgesOutline } from "./outline";
import type { Panel } from "./types";

/** A direction drawn in a panel. */
export interface PanelArrow {
  readonly kind: "pile" | "grain" | "stretch";
  readonly from: Point;
  readonly to: Point;
  /** Pile points one way; grain and stretch both ways. */
  readonly bothWays: boolean;
}

/** Arrows keep to this part of the room they find. */
const USED = 0.6;
/** Longest arrow, mm. */
const LONGEST = 150;
/** Room between two arrows side by side, mm. */
const APART = 12;

/**
 * The pile, grain and stretch arrows of a panel, each inside its cloth, side by side where they would lie on each
 * other.
 *
 * @returns one arrow for each direction that the panel has
 */
export function panelArrows(panel: Panel): PanelArrow[] {
  const rings = [panel.edges, ...(panel.holes ?? [])].map(edgesOutline);
  const centre = labelPoint(rings[0]);
  const kinds = (["pile", "grain", "stretch"] as const).filter((kind) => panel[kind] !== undefined);
  return kinds.map((kind, i) => {
    const angle = ((panel[kind] as number) * Math.PI) / 180;
    const way: Point = [Math.cos(angle), Math.sin(angle)];
    const shift = (i - (kinds.length - 1) / 2) * APART;
    const at: Point = [centre[0] - way[1] * shift, centre[1] + way[0] * shift];
    const spot = roomAlong(at, way, rings) ?? { middle: centre, half: 1 };
    const half = Math.min(LONGEST / 2, spot.half * USED);
    const end = (t: number): Point => [spot.middle[0] + way[0] * t, spot.middle[1] + way[1] * t];
    return { kind, from: end(-half), to: end(half), bothWays: kind !== "pile" };
  });
}

/** The stretch of a line inside the rings that holds the point, or the longest one. */
function roomAlong(
  at: Point,
  way: Point,
  rings: readonly (readonly Point[])[],
): { middle: Point; half: number } | undefined {
  const cuts: number[] = [];
  for (const ring of rings) {
    ring.forEach((b, i) => {
      const a = ring[(i + ring.length - 1) % ring.length];
      const sideA = way[0] * (a[1] - at[1]) - way[1] * (a[0] - at[0]);
      const sideB = way[0] * (b[1] - at[1]) - way[1] * (b[0] - at[0]);
      if (sideA > 0 === sideB > 0) return;
      const t = sideA / (sideA - sideB);
      const p: Point = [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
      cuts.push((p[0] - at[0]) * way[0] + (p[1] - at[1]) * way[1]);
    });
  }
  cuts.sort((one, two) => one - two);
  let best: { from: number; to: number } | undefined;
  for (let i = 0; i + 1 < cuts.length; i += 2) {
    const stretch = { from: cuts[i], to: cuts[i + 1] };
    if (stretch.from <= 0 && stretch.to >= 0) {
      best = stretch;
      break;
    }
    if (!best || stretch.to - stretch.from > best.to - best.from) best = stretch;
  }
  if (!best) return undefined;
  const t = (best.from + best.to) / 2;
  return { middle: [at[0] + way[0] * t, at[1] + way[1] * t], half: (best.to - best.from) / 2 };
}
