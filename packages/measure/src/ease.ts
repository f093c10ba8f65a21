import { fail, type Issue } from "@peltry/issues";
import { needNumber, shown } from "./check-number";
import { readSex } from "./check-sex";
import type { Sex } from "./internal/models";

/** Looseness that a garment needs to be worn, mm. */
export interface WearingEase {
  readonly low: number;
  /** Undefined where the source gives only a least value. */
  readonly high?: number;
  readonly source: string;
}

const CWU = "Central Washington University costume text, chapter 16";

/** Wearing ease by region, mm, for cloth without stretch. Knit-only patterns carry little or none (same source). */
export const WEARING_EASE = {
  waist: { low: 19, high: 25, source: CWU },
  "waist, loose skirt": { low: 13, high: 19, source: CWU },
  seat: { low: 38, high: 51, source: CWU },
  "hip, any garment": { low: 51, high: 70, source: CWU },
  thigh: { low: 25, source: CWU },
  bust: { low: 38, high: 51, source: CWU },
  "chest, fitted": { low: 38, high: 64, source: CWU },
  "rise, women": {
    low: 0,
    high: 5,
    source: "Zakaria & Gupta (eds.), Anthropometry, Apparel Sizing and Design, p. 228",
  },
  "rise, men": {
    low: 10,
    high: 15,
    source: "Zakaria & Gupta (eds.), Anthropometry, Apparel Sizing and Design, p. 228",
  },
} as const satisfies Record<string, WearingEase>;

/** Regions of the body with their own wearing ease. */
export type EaseRegion = keyof typeof WEARING_EASE;

/**
 * Wearing ease of a region.
 *
 * @throws measure/unknown-region
 */
export function wearingEase(region: EaseRegion): WearingEase {
  if (typeof region === "string" && Object.hasOwn(WEARING_EASE, region)) return WEARING_EASE[region];
  fail(
    "measure/unknown-region",
    `No ease is known for “${shown(region)}”.`,
    { path: ["region"] },
    {
      found: shown(region),
      limit: Object.keys(WEARING_EASE).join("; "),
      fix: "Use one of the regions listed.",
    },
  );
}

/**
 * Girth of a layer that lies `thickness` mm outside a convex girth: L + 2πd (Steiner). Exact for any convex section.
 *
 * @throws measure/bad-number
 * @source Steiner's formula for parallel curves
 */
export function paddedGirth(girth: number, thickness: number): number {
  return needNumber(girth, "girth", 0) + 2 * Math.PI * needNumber(thickness, "thickness", 0);
}

/** Even thickness, mm, that brings a girth up to a wider one: (target − L) / 2π. @throws measure/bad-number */
export function paddingThickness(girth: number, target: number): number {
  needNumber(girth, "girth", 0);
  return (needNumber(target, "target", girth) - girth) / (2 * Math.PI);
}

/** Length, mm, at which to cut a strip of foam that is bent round a girth: its centre line, L + πd. @throws measure/bad-number */
export function foamStripLength(girth: number, thickness: number): number {
  return needNumber(girth, "girth", 0) + Math.PI * needNumber(thickness, "thickness", 0);
}

/** How much broader the hips get on sitting, as a fraction: mean and 95th percentile. */
export const SITTING_HIP_GROWTH = {
  male: { mean: 0.097, p95: 0.152 },
  female: { mean: 0.128, p95: 0.195 },
} as const;

/**
 * Girth, mm, round the hips of a sitting person: both front and back grow by as much as the breadth.
 *
 * @param hip girth standing, mm
 * @param hipBreadth breadth standing, mm
 * @param sex left out: the larger growth counts
 * @throws measure/bad-number, measure/bad-sex
 * @source hip breadth sitting over standing, from the data of Gordon et al. 2014, NATICK/TR-15/007; girth derived here
 */
export function sittingHipGirth(hip: number, hipBreadth: number, sex: Sex = "female"): number {
  return needNumber(hip, "hip", 0) + 2 * needNumber(hipBreadth, "hipBreadth", 0) * sittingGrowth(sex);
}

/** Mean growth of the hips on sitting; the larger of both where no sex is given. @throws measure/bad-sex */
export function sittingGrowth(sex: unknown): number {
  return SITTING_HIP_GROWTH[readSex(sex) ?? "female"].mean;
}

/** An opening and what has to go through it. */
export interface Opening {
  readonly name?: string;
  /** Girth of the opening at rest, mm. */
  readonly girth: number;
  /** Usable stretch of the edge as a fraction; 0 for a firm edge. */
  readonly stretch?: number;
  /** Extra girth that a zip, vent or flap gives when open, mm. */
  readonly vent?: number;
  /** What passes through, each with its girth in mm. */
  readonly passes: readonly { readonly name: string; readonly girth: number }[];
}

/** Whether an opening goes over each thing that has to pass, and by how much it fails. */
export interface OpeningCheck {
  readonly fits: boolean;
  /** Girth that the opening reaches, mm. */
  readonly reach: number;
  /** Widest thing that has to pass, mm. */
  readonly needed: number;
  /** Strain of the edge at the widest, as a fraction. */
  readonly strain: number;
  /** Vent or zip length that would mend it, mm: half of what is missing, as it opens to both sides. 0 where it fits. */
  readonly ventLength: number;
  readonly issues: readonly Issue[];
}

/**
 * Whether an opening goes over the heel, the foot or the hip.
 *
 * @throws measure/bad-number, measure/nothing-passes
 * @source a slit of length v adds 2v to a girth; derived here. Heel girth over narrowest ankle: 1.50 men, 1.44 women
 * (data of Gordon et al. 2014)
 */
export function checkOpening(opening: Opening): OpeningCheck {
  const girth = needNumber(opening.girth, "girth", 0);
  const stretch = needNumber(opening.stretch ?? 0, "stretch", 0, 5);
  const vent = needNumber(opening.vent ?? 0, "vent", 0);
  if (!Array.isArray(opening.passes) || opening.passes.length === 0) {
    fail(
      "measure/nothing-passes",
      "Nothing is said to pass through the opening.",
      { path: ["passes"] },
      { fix: "Name the heel, the hip or what goes through." },
    );
  }
  for (const thing of opening.passes) needNumber(thing?.girth, "passes", 0);
  const widest = opening.passes.reduce((a, b) => (b.girth > a.girth ? b : a));
  const reach = girth * (1 + stretch) + vent;
  const fits = reach >= widest.girth;
  const missing = Math.max(0, widest.girth - reach);
  const issues: Issue[] = fits
    ? []
    : [
        {
          code: "measure/opening-too-small",
          severity: "warning",
          message: `${opening.name ?? "The opening"} reaches ${Math.round(reach)} mm; ${widest.name} needs ${Math.round(widest.girth)} mm.`,
          at: {},
          found: Math.round(reach),
          limit: Math.round(widest.girth),
          fix: `Add a zip or vent of ${Math.ceil(missing / 2)} mm or more, or choose a cloth with more stretch.`,
        },
      ];
  return {
    fits,
    reach,
    needed: widest.girth,
    strain: (widest.girth - vent) / (girth || 1) - 1,
    ventLength: missing / 2,
    issues,
  };
}
