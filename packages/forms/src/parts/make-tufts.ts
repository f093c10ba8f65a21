import type { Point } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Panel } from "@peltry/pattern";
import { edgesArea } from "./flat-shapes";
import { need, plainPanel, totalMass, type PartNeed } from "./made-part";
import { PART_DENSITIES, statedDensity, type Stated } from "./material-densities";
import { partNumber } from "./number";

/** Tufts of long pile between the toes of a paw. Lengths in mm. */
export interface TuftOptions {
  /** How many stand in a groove, 1 to 4; 1 by default. */
  readonly perGroove?: number | undefined;
  /** From the root to the tip of the cloth, pile not counted; 30 by default. */
  readonly length?: number | undefined;
  /** Along the root; 18 by default. */
  readonly width?: number | undefined;
  readonly fabric?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
}

/** The tufts of one paw. */
export interface MadeTufts {
  /** One tongue of cloth, pile down to its tip; its `count` is for the whole paw. */
  readonly panel: Panel;
  /** Where roots lie along a groove, mm from its upper end: the same in each groove. */
  readonly roots: readonly (readonly [from: number, to: number])[];
  /** Cloth of all of them, allowance left out. */
  readonly needs: readonly PartNeed[];
  /** Mass of all of them, g, with its likely range. */
  readonly massG: number;
  readonly massRangeG: readonly [number, number];
  readonly issues: readonly Issue[];
}

/** Id of the edge by which a tuft is caught into its groove. */
export const TUFT_ROOT = "tuft-root";
/** Allowance at that edge, mm. Common practice, no source. */
export const TUFT_ROOT_MM = 8;

/** Share of a groove, from its top, in which roots lie: below it they would be trodden on. Judgement. */
const UPPER = 0.75;
const STEPS = 24;

/**
 * Tufts for the grooves of a paw: half ellipses of pile cloth, caught into the groove by their straight side.
 *
 * @param grooves length of each groove from the top of the paw to the sole edge, mm, and how high that top lies
 * @throws forms/bad-part
 * @source area of half an ellipse: π / 4 × width × length
 */
export function makeTufts(
  grooves: { readonly lengths: readonly number[]; readonly top: number },
  options: TuftOptions = {},
): MadeTufts {
  const perGroove = Math.round(partNumber(options.perGroove ?? 1, "tufts.perGroove", 1, 4));
  const length = partNumber(options.length ?? 30, "tufts.length", 8, 150);
  const width = partNumber(options.width ?? 18, "tufts.width", 5, 60);
  const shortest = Math.min(...grooves.lengths);
  const slot = (UPPER * shortest) / perGroove;
  const roots = Array.from({ length: perGroove }, (_, k): [number, number] => {
    const middle = slot * (k + 0.5);
    const half = Math.min(width, slot) / 2;
    return [middle - half, middle + half];
  });
  const count = perGroove * grooves.lengths.length;
  const edges = tongue(width, length);
  const gsm = options.fabricGsm
    ? statedDensity(options.fabricGsm, "fabricGsm", [20, 3000], "gsm")
    : PART_DENSITIES.fur;
  const needs = [need(`toe tufts, ${count}`, count * edgesArea(edges), "mm2", gsm)];
  const mass = totalMass(needs);
  const panel = plainPanel({
    id: "tuft",
    name: "Toe tuft",
    fabric: options.fabric ?? "tufts",
    edges,
    count,
    pile: -90,
    notes: [
      "Cut the backing only, from behind. Lay the root into its groove at the mark, pile toward the sole, and catch it down by hand with the groove.",
      `All tufts of one paw weigh ${grams(mass.massRangeG)} g (${gsm.source}).`,
    ],
  });
  const lowest = roots[perGroove - 1]![1];
  const hangs = grooves.top * (1 - lowest / shortest) - length;
  return {
    panel,
    roots,
    needs,
    ...mass,
    issues: [
      ...(width > slot + 0.5
        ? [
            {
              code: "forms/tufts-crowded",
              severity: "warning" as const,
              message: `${perGroove} tufts of ${Math.round(width)} mm find no room in the ${Math.round(UPPER * shortest)} mm of a groove that carry them.`,
              at: { path: ["tufts"] },
              found: Math.round(width),
              limit: Math.floor(slot),
              fix: `Make them ${Math.ceil(width - slot)} mm narrower, or fewer.`,
            },
          ]
        : []),
      ...(hangs < 0
        ? [
            {
              code: "forms/tufts-on-floor",
              severity: "warning" as const,
              message: `The lowest tufts reach ${Math.ceil(-hangs)} mm past the floor: they are trodden on.`,
              at: { path: ["tufts"] },
              found: Math.round(length),
              limit: Math.floor(length + hangs),
              fix: `Make them ${Math.ceil(-hangs)} mm shorter, and trim the pile where it drags: what is trodden on trips.`,
            },
          ]
        : []),
    ],
  };
}

function grams([low, high]: readonly [number, number]): string {
  return `${low.toFixed(1)} to ${high.toFixed(1)}`;
}

/** Half an ellipse hanging from its straight side, counter-clockwise. */
function tongue(width: number, length: number): Panel["edges"] {
  const at = (k: number): Point => {
    const t = (Math.PI * k) / (2 * STEPS);
    return [(width / 2) * Math.cos(t), -length * Math.sin(t)];
  };
  const right = Array.from({ length: STEPS + 1 }, (_, k): Point => (k === STEPS ? [0, -length] : at(k)));
  const left = right.map(([x, y]): Point => [-x, y]);
  return [
    { id: TUFT_ROOT, role: "raw", name: "root", points: [right[0]!, left[0]!] },
    { id: "left", role: "raw", points: left },
    { id: "right", role: "raw", points: [...right].reverse() },
  ];
}
