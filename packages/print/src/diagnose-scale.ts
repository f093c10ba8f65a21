import { fail } from "@peltry/issues";
import { checkOptions } from "./print-job";

/** One thing that may have happened to the scale of a print. */
export interface ScaleCause {
  /** Stable name, such as `72-for-96`. */
  readonly id: string;
  /** Printed over nominal length. */
  readonly ratio: number;
  readonly what: string;
  readonly fix: string;
}

/** What the measured square says. Plain data. */
export interface ScaleDiagnosis {
  /** `right`: cut; `wrong`: print again; `stretched`: width and height differ. */
  readonly verdict: "right" | "wrong" | "stretched";
  /** Measured over nominal; the mean of both directions when two are given. */
  readonly ratio: number;
  /** Error in per cent of the length, positive when printed too large. */
  readonly errorPercent: number;
  /** What that makes of a panel one metre long, mm. */
  readonly errorPerMetre: number;
  /** Causes whose ratio fits within the reading error, best first; empty when none is known. */
  readonly causes: readonly ScaleCause[];
  /** In one or two sentences. */
  readonly message: string;
  /** What to do. */
  readonly fix: string;
}

/** What was measured. */
export interface ScaleOptions {
  /** What the square should measure, mm: 100, or 101.6 for the 4 in square. Default 100. */
  readonly nominal?: number;
  /** The other direction of the same square, mm. */
  readonly other?: number;
  /** How well it was read, mm. Default 0.5. */
  readonly reading?: number;
}

/** Most that is accepted, as a fraction. @source general practice, ±0.5 mm on 100 mm (from memory) */
const ACCEPTED = 0.005;

const HUNDRED = "Print again at 100 % (“actual size”, “no scaling”), not “fit” or “shrink to page”.";
const PAPER =
  "Choose in the print dialogue the paper that is really in the tray and 100 %, or write the file for that paper.";

/**
 * Ratios that a print comes out at when something common goes wrong.
 *
 * @source Ratios of the units: 1 in = 72 pt = 96 px (CSS Values and Units 3, section 6.2). Fitting to another page:
 * ratio of the sizes in ISO 216 and ANSI/ASME Y14.1, with printer margins of 4 to 6.35 mm (makers' manuals of office
 * laser printers). 90 px to the inch: older drawing programs (from memory).
 */
export const SCALE_CAUSES: readonly ScaleCause[] = Object.freeze([
  cause(
    "72-for-96",
    72 / 96,
    "A program took pixels of 1/96 in for points of 1/72 in.",
    "Open the PDF itself, or import the drawing with its size in mm, and print at 100 %.",
  ),
  cause(
    "96-for-72",
    96 / 72,
    "A program took points of 1/72 in for pixels of 1/96 in.",
    "Open the PDF itself, or import the drawing with its size in mm, and print at 100 %.",
  ),
  cause(
    "90-for-96",
    90 / 96,
    "A drawing program counted 90 instead of 96 units to the inch.",
    "Set the drawing's width in mm after import, or print the PDF.",
  ),
  cause(
    "96-for-90",
    96 / 90,
    "A drawing program counted 96 instead of 90 units to the inch.",
    "Set the drawing's width in mm after import, or print the PDF.",
  ),
  cause(
    "fit-to-margins",
    (210 - 8) / 210,
    "An A4 page was shrunk into the printer's margins of about 4 mm.",
    HUNDRED,
  ),
  cause(
    "fit-to-margins-letter",
    (215.9 - 2 * 6.35) / 215.9,
    "A page was shrunk into printer margins of about 6 mm.",
    HUNDRED,
  ),
  cause("a4-on-letter", 279.4 / 297, "An A4 page was shrunk onto Letter paper.", PAPER),
  cause("letter-on-a4", 210 / 215.9, "A Letter page was shrunk onto A4 paper.", PAPER),
  cause("letter-grown-to-a4", 297 / 279.4, "A page was enlarged to the height of A4.", PAPER),
  cause(
    "a3-on-a4",
    Math.SQRT1_2,
    "An A3 page was shrunk onto A4 (or another format onto the next smaller one).",
    PAPER,
  ),
  cause(
    "a4-on-a3",
    Math.SQRT2,
    "An A4 page was enlarged onto A3 (or another format onto the next larger one).",
    PAPER,
  ),
  cause(
    "four-pages-a-sheet",
    0.5,
    "The page was printed at half size, as when four pages share a sheet.",
    "Print one page on a sheet at 100 %.",
  ),
  cause(
    "double",
    2,
    "The page was printed at double size.",
    "Print at 100 %, without poster or tiling settings of the viewer.",
  ),
]);

function cause(id: string, ratio: number, what: string, fix: string): ScaleCause {
  return Object.freeze({ id, ratio, what, fix });
}

/** 100 mm and 4 in squares taken for each other. */
const SQUARES_MIXED = 101.6 / 100;

/**
 * What went wrong with a print, from its measured check square.
 *
 * @param measuredSquareMm - measured side of the check square, mm
 * @returns verdict, error and the likely causes with their mends
 * @throws `print/bad-length` for a length that is not above zero
 */
export function diagnoseScale(measuredSquareMm: number, options: ScaleOptions = {}): ScaleDiagnosis {
  checkOptions(options);
  const nominal = positive("nominal length", options.nominal ?? 100);
  const first = positive("measured length", measuredSquareMm);
  const second = positive("other measured length", options.other ?? first);
  const reading = positive("reading error", options.reading ?? 0.5) / nominal;
  const ratio = (first + second) / 2 / nominal;
  const figures = {
    ratio,
    errorPercent: (ratio - 1) * 100,
    errorPerMetre: (ratio - 1) * 1000,
  };
  const percent = `${(ratio * 100).toFixed(1)} %`;
  if (Math.abs(first - second) / nominal > Math.max(ACCEPTED, reading) * (1 + 1e-9)) {
    return {
      verdict: "stretched",
      ...figures,
      causes: [],
      message: `The square measures ${first} one way and ${second} the other: the page was stretched.`,
      fix: "Print again at 100 % with the proportions kept; if it stays, the printer's paper feed is off: use another.",
    };
  }
  if (Math.abs(ratio - 1) <= ACCEPTED + 1e-9) {
    return {
      verdict: "right",
      ...figures,
      causes: [],
      message: `The print is at ${percent}: right within 0.5 %.`,
      fix: "Go on.",
    };
  }
  const mixed = nominal < 101 ? SQUARES_MIXED : 1 / SQUARES_MIXED;
  const near = [...SCALE_CAUSES, squaresMixed(mixed)]
    .filter((one) => Math.abs(one.ratio - ratio) <= reading * Math.max(1, ratio))
    .sort((a, b) => Math.abs(a.ratio - ratio) - Math.abs(b.ratio - ratio));
  const [best] = near;
  return {
    verdict: "wrong",
    ...figures,
    causes: near,
    message: best
      ? `The print is at ${percent}. ${best.what}`
      : `The print is at ${percent}, which fits no common mistake; the viewer may have been set to another scale.`,
    fix:
      best?.fix ??
      `${HUNDRED} If the dialogue only offers a percentage, set ${(100 / ratio).toFixed(1)} % of the present one.`,
  };
}

function squaresMixed(ratio: number): ScaleCause {
  return {
    id: "other-square",
    ratio,
    what: "This is what the other square measures: 4 in are 101.6 mm.",
    fix: "Measure the solid square in mm, the dashed one in inches; the print itself may be right.",
  };
}

function positive(what: string, value: number): number {
  if (typeof value !== "number" || !(value > 0) || !Number.isFinite(value)) {
    fail(
      "print/bad-length",
      `The ${what} is ${String(value)}.`,
      {},
      { found: String(value), fix: "Give a length in mm above zero." },
    );
  }
  return value;
}
