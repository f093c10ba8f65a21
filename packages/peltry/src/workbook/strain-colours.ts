import type { Colour } from "./raster";

/**
 * Blue for cloth that is eased in, pale for untouched, orange to dark brown for stretched: told apart by lightness as
 * well, so that it reads with any colour vision and in grey print.
 */
const RAMP: readonly (readonly [number, Colour])[] = [
  [-1, [28, 62, 110]],
  [-0.5, [96, 140, 190]],
  [0, [244, 241, 232]],
  [0.5, [236, 158, 72]],
  [1, [134, 54, 12]],
];

/**
 * Colour of a strain against its limits.
 *
 * @param strain - worn over flat, minus one
 * @param max - usable stretch; @param min - usable ease-in (negative)
 */
export function strainColour(strain: number, max: number, min: number): Colour {
  const share = strain >= 0 ? strain / Math.max(max, 1e-6) : -strain / Math.min(min, -1e-6);
  const t = Math.max(-1, Math.min(1, Number.isFinite(share) ? share : 0));
  const above = RAMP.findIndex(([at]) => at >= t);
  if (above <= 0) return RAMP[0][1];
  const [low, from] = RAMP[above - 1];
  const [high, to] = RAMP[above];
  const k = (t - low) / (high - low);
  return [0, 1, 2].map((c) => Math.round(from[c] + (to[c] - from[c]) * k)) as unknown as Colour;
}

/** A small key to the ramp, as SVG. */
export function strainKey(max: number, min: number): string {
  const steps = 40;
  const bars = Array.from({ length: steps }, (_, i) => {
    const t = -1 + (2 * (i + 0.5)) / steps;
    const colour = strainColour(t >= 0 ? t * max : -t * min, max, min);
    return `<rect x="${i * 6}" y="0" width="6.2" height="12" fill="rgb(${colour.join(",")})"/>`;
  }).join("");
  const label = (x: number, text: string, anchor: string): string =>
    `<text x="${x}" y="26" font-size="11" text-anchor="${anchor}" fill="#1d2a30">${text}</text>`;
  const pc = (v: number): string => `${(100 * v).toFixed(1).replace(/\.0$/, "")} %`;
  return (
    `<svg viewBox="0 0 240 32" width="240" height="32" role="img" aria-label="Colours of strain from ${pc(min)} to ${pc(max)}">${bars}` +
    `${label(0, `${pc(min)} eased in`, "start")}${label(240, `${pc(max)} stretched`, "end")}</svg>`
  );
}
