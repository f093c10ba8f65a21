import type { Issue } from "@peltry/issues";
import { needNumber } from "./check-number";

/** Pressure in the units that people use. */
export interface Pressure {
  readonly kPa: number;
  readonly mmHg: number;
  /** Gram-force per square centimetre. */
  readonly gfPerCm2: number;
}

/** 1 mmHg in Pa: 13.5951 × 9.80665 by definition. */
const PA_PER_MMHG = 133.322387415;
/** 1 gf/cm² in Pa, exact. */
const PA_PER_GF_CM2 = 98.0665;

/**
 * Mean pressure of a stretched tube on what it goes round, by Laplace's law: P = 2πT / G a layer.
 *
 * @param tension force per width of cloth, N/cm, on the return curve at the worn strain
 * @param girth mm
 * @param layers how many lie on each other
 * @returns mean pressure. Where the limb is flat it is nearly nothing; on the shin's edge or the hip bone several times
 * the mean: use the local radius there
 * @throws measure/bad-number
 * @source Laplace; the form used for bandages in Thomas 2003, World Wide Wounds
 */
export function tubePressure(tension: number, girth: number, layers = 1): Pressure {
  needNumber(tension, "tension", 0);
  needNumber(girth, "girth", 1);
  needNumber(layers, "layers", 0, 100);
  return fromPascal((layers * 2 * Math.PI * (tension * 100)) / (girth / 1000));
}

/**
 * Pressure of a bandage in the units of its formula: P = K T N / (C W), K = 4621.65 mmHg cm² / kgf.
 *
 * @param tension kgf over the width of the bandage
 * @param layers number of layers
 * @param circumference of the limb, cm
 * @param width of the bandage, cm
 * @throws measure/bad-number
 * @source Thomas 2003, World Wide Wounds gives K as 4620; the longer figure derived here from the definitions
 */
export function bandagePressure(
  tension: number,
  layers: number,
  circumference: number,
  width: number,
): Pressure {
  const perCm = (needNumber(tension, "tension", 0) * 9.80665) / needNumber(width, "width", 0.1);
  return tubePressure(perCm, needNumber(circumference, "circumference", 0.1) * 10, layers);
}

/** Tension, N/cm, that gives a pressure of `mmHg` round `girth` mm. @throws measure/bad-number */
export function tensionForPressure(mmHg: number, girth: number): number {
  return (
    (needNumber(mmHg, "mmHg", 0) * PA_PER_MMHG * (needNumber(girth, "girth", 1) / 1000)) / (2 * Math.PI) / 100
  );
}

/** A pressure given in mmHg, in every unit. @throws measure/bad-number */
export function pressureFromMmHg(mmHg: number): Pressure {
  return fromPascal(needNumber(mmHg, "mmHg", 0) * PA_PER_MMHG);
}

function fromPascal(pascal: number): Pressure {
  return { kPa: pascal / 1000, mmHg: pascal / PA_PER_MMHG, gfPerCm2: pascal / PA_PER_GF_CM2 };
}

/** Where a pressure stands among published figures, mmHg. */
export const PRESSURE_LEVELS = [
  {
    name: "ordinary waistband, summer to winter",
    low: 5.6,
    high: 8.9,
    source: "J. Japan Soc. Physiol. Anthropol. 12(1):12",
  },
  {
    name: "swimwear",
    low: 7.4,
    high: 14.7,
    source: "Zakaria & Gupta (eds.), Anthropometry, Apparel Sizing and Design, p. 337",
  },
  { name: "waistband cut 5 % short", low: 15.4, high: 19.6, source: "Sen-i Gakkaishi 47(6) 282" },
  { name: "medical compression class I", low: 18, high: 21, source: "RAL-GZ 387" },
  { name: "medical compression class II", low: 23, high: 32, source: "RAL-GZ 387" },
  { name: "medical compression class III", low: 34, high: 46, source: "RAL-GZ 387" },
  { name: "medical compression class IV", low: 49, high: Infinity, source: "RAL-GZ 387" },
] as const;

/** Limits of {@link checkPressure}, mmHg; judgements drawn from {@link PRESSURE_LEVELS}. */
export const PRESSURE_LIMITS = Object.freeze({ allDay: 10, most: 18, narrowBandMm: 25 });

/** A pressure beside the levels of {@link PRESSURE_LEVELS}, with cautions. */
export interface PressureCheck {
  readonly tension: number;
  readonly girth: number;
  readonly layers?: number;
  /** Width of the band, mm; under 25 mm the limits halve. */
  readonly bandWidth?: number;
  /** True where the part lies over a knee or elbow: bending can double the local pressure. */
  readonly overJoint?: boolean;
  /** What it is, for the message. */
  readonly name?: string;
}

/**
 * Pressure of a tube or band with cautions: above 10 mmHg not for all day, above 18 mmHg (the bottom of medical
 * compression) not without someone who is licensed to say so. Costume trouble comes back as issues.
 *
 * @throws measure/bad-number
 * @source RAL-GZ 387 for the medical classes; doubling at the bent knee: Text. Res. J. 10.1177/0040517520902275
 */
export function checkPressure(part: PressureCheck): { pressure: Pressure; bent: Pressure; issues: Issue[] } {
  const pressure = tubePressure(part.tension, part.girth, part.layers ?? 1);
  const bent = part.overJoint ? tubePressure(2 * part.tension, part.girth, part.layers ?? 1) : pressure;
  const narrow =
    part.bandWidth !== undefined && needNumber(part.bandWidth, "bandWidth", 0) < PRESSURE_LIMITS.narrowBandMm
      ? 0.5
      : 1;
  const worst = bent.mmHg;
  const name = part.name ?? "The tube";
  const issues: Issue[] = [];
  const report = (severity: "error" | "warning", limit: number, words: string): void => {
    issues.push({
      code: severity === "error" ? "measure/pressure-too-high" : "measure/pressure-all-day",
      severity,
      message: `${name} presses with about ${worst.toFixed(1)} mmHg (${bent.kPa.toFixed(2)} kPa)${part.overJoint ? " when the joint is bent" : ""}: ${words}`,
      at: {},
      found: Math.round(worst * 10) / 10,
      limit,
      fix: "Cut it wider, use a softer cloth or a wider band. Numbness, tingling or colour change: take it off. Poor circulation, diabetes or swelling: ask a physician first.",
      source: "RAL-GZ 387 (class I from 18 mmHg); the limits are a judgement",
    });
  };
  if (worst > PRESSURE_LIMITS.most * narrow)
    report("error", PRESSURE_LIMITS.most * narrow, "as much as medical compression.");
  else if (worst > PRESSURE_LIMITS.allDay * narrow)
    report("warning", PRESSURE_LIMITS.allDay * narrow, "too much for a whole day.");
  return { pressure, bent, issues };
}

/**
 * Waistband pressure that wearers allow themselves, mmHg, by age: 32.37 − 0.287 age (124 women, 19 to 87 years).
 *
 * @throws measure/bad-number
 * @source abstract of a study of 124 women aged 19 to 87; author and journal not seen
 */
export function allowedWaistPressure(age: number): number {
  return 32.37 - 0.287 * needNumber(age, "age", 19, 87);
}
