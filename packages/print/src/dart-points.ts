import { dartDrill, findEdge } from "@peltry/pattern";
import type { Point } from "@peltry/geometry";
import type { PrintPiece } from "./types";

/**
 * The point marked for each dart, in the panel's coordinates: a folded one is punched a little short of its tip, a cut
 * one, or one whose legs are not there, is marked at the tip.
 */
export function dartPoints({ panel, dartDrillMm }: PrintPiece): Point[] {
  return panel.darts.map((dart) => {
    const whole = dart.legs.every((leg) => findEdge(panel, leg));
    return dart.cut || !whole ? dart.tip : dartDrill(panel, dart.id, dartDrillMm);
  });
}
