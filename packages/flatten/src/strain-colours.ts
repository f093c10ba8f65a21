import { fail } from "@peltry/issues";

/** Red, green, blue from 0 to 1. */
export type Colour = readonly [number, number, number];

/**
 * Stops of the ramp from −1 (eased in: deep blue) over 0 (pale) to +1 (stretched: brown). Blue against orange-brown
 * stays apart under the common kinds of colour blindness, and lightness falls to both ends alike, so that a grey print
 * still tells strained from unstrained.
 */
const STOPS: readonly Colour[] = [
  [0.02, 0.19, 0.38],
  [0.26, 0.52, 0.75],
  [0.95, 0.94, 0.9],
  [0.88, 0.55, 0.2],
  [0.42, 0.18, 0.02],
];

/**
 * One colour a triangle for a strain map.
 *
 * @param values - strain of each triangle (any array of {@link PanelStrain})
 * @param limit - strain shown with the full colour on both sides, as a fraction; positive
 * @returns red, green, blue from 0 to 1, three numbers a triangle; values past the limit keep the full colour
 * @throws `flatten/bad-option` for a limit that is not positive
 * @source own table; that blue and orange are told apart by nearly everyone after Okabe and Ito, Color Universal
 * Design, 2008
 */
export function strainColours(values: Float64Array, limit: number): Float32Array {
  if (!(limit > 0 && Number.isFinite(limit))) {
    fail(
      "flatten/bad-option",
      `The limit of the strain map is ${limit}; expected a positive fraction.`,
      { path: ["limit"] },
      { found: limit, fix: "Give the strain that should have the full colour, such as 0.1 for 10 %." },
    );
  }
  const out = new Float32Array(3 * values.length);
  for (let t = 0; t < values.length; t++) out.set(rampColour(values[t] / limit), 3 * t);
  return out;
}

/** Colour of the ramp at a place from −1 to 1. */
export function rampColour(at: number): Colour {
  const place = (Math.max(-1, Math.min(1, Number.isNaN(at) ? 0 : at)) + 1) * 0.5 * (STOPS.length - 1);
  const k = Math.min(STOPS.length - 2, Math.floor(place));
  const f = place - k;
  const mix = (c: 0 | 1 | 2) => STOPS[k][c] * (1 - f) + STOPS[k + 1][c] * f;
  return [mix(0), mix(1), mix(2)];
}
