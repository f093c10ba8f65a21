import { createRandom, placePoints, type Point } from "@peltry/geometry";
import type { FabricPiece, LayoutPanel } from "../src/index";

/** Pairs of panels, and two odd pieces with holes for every five pairs. */
export function costume(seed: number, pairs: number): [LayoutPanel[], FabricPiece[]] {
  const random = createRandom(seed);
  const round = (corners: number, w: number, h: number): Point[] =>
    Array.from({ length: corners }, (_, i): Point => {
      const t = (2 * Math.PI * i) / corners;
      const r = 0.85 + 0.15 * random();
      return [0.5 * w * r * Math.cos(t), 0.5 * h * r * Math.sin(t)];
    });
  const panels = Array.from({ length: pairs }, (_, k): LayoutPanel => ({
    id: `p${k}`,
    outline: round(24, 80 + 140 * random(), 120 + 300 * random()),
    mirrored: true,
  }));
  const pieces = Array.from({ length: Math.ceil(0.4 * pairs) }, (_, k): FabricPiece => ({
    id: `c${k}`,
    napAngle: 90,
    outline: round(16, 600 + 300 * random(), 600 + 300 * random()),
    holes: [placePoints(round(6, 50, 50), 0, 60, 40)],
  }));
  return [panels, pieces];
}
