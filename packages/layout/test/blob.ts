import type { Point } from "@peltry/geometry";

/** A random simple outline round the origin: a star of corners at rising angles. */
export function blob(random: () => number, corners: number, size: number): Point[] {
  const angles = Array.from({ length: corners }, (_, i) => (2 * Math.PI * (i + 0.8 * random())) / corners);
  return angles.map((t): Point => {
    const r = (size / 2) * (0.35 + 0.65 * random() ** 0.7);
    return [Math.round(r * Math.cos(t) * 100) / 100, Math.round(r * Math.sin(t) * 100) / 100];
  });
}
