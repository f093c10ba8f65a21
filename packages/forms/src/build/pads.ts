import { fail } from "@peltry/issues";
import { bump } from "./bump";
import type { LevelRef } from "./levels";

/** A lump of padding on the limb. */
export interface Pad {
  readonly name: string;
  /** Where it is thickest. */
  readonly at: LevelRef;
  /** Direction from the middle of the limb, degrees: 0 front, 90 outer side, 180 back, 270 inner side. */
  readonly angle: number;
  /** Greatest thickness, mm; negative takes away from what other pads put on. */
  readonly height: number;
  /** How far it runs out upward and downward, mm. */
  readonly up: number;
  readonly down: number;
  /** How far it runs out to either side, degrees of the way round the limb, at most 180. */
  readonly spread: number;
}

/** A pad with its level settled. */
export interface PlacedPad extends Pad {
  /** mm above the floor. */
  readonly level: number;
}

/**
 * Animal hind leg standing on its toes, for a plain human leg inside: haunch rounded out to the back and side, thigh
 * carried forward over the knee, hock set behind the calf. A judgement of shape; scale heights to taste.
 */
export const HIND_LEG_PADS: readonly Pad[] = [
  {
    name: "haunch",
    at: { from: "knee", to: "crotch", share: 0.88 },
    angle: 132,
    height: 62,
    up: 250,
    down: 310,
    spread: 150,
  },
  {
    name: "thigh front",
    at: { from: "knee", to: "crotch", share: 0.42 },
    angle: 8,
    height: 58,
    up: 300,
    down: 190,
    spread: 120,
  },
  { name: "stifle", at: { level: "knee", offset: 15 }, angle: 0, height: 26, up: 150, down: 120, spread: 95 },
  {
    name: "hock",
    at: { from: "ankle", to: "calf", share: 0.42 },
    angle: 180,
    height: 66,
    up: 210,
    down: 105,
    spread: 105,
  },
];

/** Thickness of one pad, mm, at a height and a direction. Twice continuously differentiable, zero outside its reach. */
export function padThickness(pad: PlacedPad, height: number, angleDeg: number): number {
  return padAtHeight(pad, height) * padAround(pad, angleDeg);
}

/** Thickness of a pad in its own direction, mm. */
export function padAtHeight(pad: PlacedPad, height: number): number {
  const rise = height - pad.level;
  const mean = (pad.up + pad.down) / 2;
  // The reach changes smoothly from down to up through the centre, so that a lopsided pad has no crease there.
  const reach = mean + ((pad.up - pad.down) / 2) * Math.tanh((1.6 * rise) / mean);
  return pad.height * bump(rise / reach);
}

/** Share of that thickness left in another direction, 0 to 1. */
export function padAround(pad: PlacedPad, angleDeg: number): number {
  let turn = (angleDeg - pad.angle) % 360;
  if (turn > 180) turn -= 360;
  if (turn < -180) turn += 360;
  return bump(turn / pad.spread);
}

/**
 * Refuses pads that cannot be built.
 *
 * @throws forms/bad-pad
 */
export function checkPads(pads: readonly Pad[]): void {
  pads.forEach((pad, i) => {
    const faults: [string, number, number, number][] = [
      ["height", pad.height, -200, 400],
      ["up", pad.up, 10, 2000],
      ["down", pad.down, 10, 2000],
      ["spread", pad.spread, 10, 180],
      ["angle", pad.angle, -720, 720],
    ];
    for (const [what, value, low, high] of faults) {
      if (typeof value === "number" && value >= low && value <= high) continue;
      fail(
        "forms/bad-pad",
        `Pad “${String(pad.name).slice(0, 40)}” has ${what} ${value}.`,
        { path: ["pads", i, what] },
        {
          found: String(value),
          limit: `${low} to ${high}`,
          fix: "Choose a value in that range.",
        },
      );
    }
  });
}
