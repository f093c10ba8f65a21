import type { Point } from "@peltry/geometry";
import type { PrintLayer } from "./types";

/** How a line looks. Lines differ by width and dash, never by colour alone, so that any print and any eye tells them apart. */
export interface LineStyle {
  /** mm */
  readonly width: number;
  /** On and off lengths, mm; absent for a solid line. */
  readonly dash?: readonly number[];
  /** 0 black to 1 white. */
  readonly gray?: number;
}

/** Every line style of a print, by what it stands for. */
export const LINE_STYLES = Object.freeze({
  cut: { width: 0.6 },
  sew: { width: 0.25, dash: [3, 1.5] },
  fold: { width: 0.5, dash: [9, 2, 1.5, 2] },
  notch: { width: 0.5 },
  clip: { width: 0.25 },
  dart: { width: 0.25, dash: [0.8, 1.2] },
  line: { width: 0.25, dash: [6, 1.5, 1, 1.5, 1, 1.5] },
  area: { width: 0.35, dash: [5, 1.5, 1.5, 1.5] },
  hatch: { width: 0.15 },
  arrow: { width: 0.45 },
  ring: { width: 0.25 },
  leader: { width: 0.18 },
  guide: { width: 0.15, gray: 0.45 },
  joint: { width: 0.2, gray: 0.45, dash: [0.6, 1.8] },
  check: { width: 0.3 },
  checkInch: { width: 0.3, dash: [2, 1.5] },
} satisfies Record<string, LineStyle>);

/** Name of a line style. */
export type LineStyleName = keyof typeof LINE_STYLES;

/** A run of straight lines. */
export interface PathItem {
  readonly kind: "path";
  readonly layer: PrintLayer;
  readonly style: LineStyleName;
  readonly points: readonly Point[];
  readonly closed: boolean;
  /** Filled with ink instead of drawn as a line. */
  readonly filled?: boolean;
  readonly panel?: string;
  /** What it stands for, such as `cut-line` or `pile`. */
  readonly role: string;
}

/** One line of text. */
export interface TextItem {
  readonly kind: "text";
  readonly layer: PrintLayer;
  readonly text: string;
  /** Where the baseline starts, or its middle. */
  readonly at: Point;
  /** Letter height (em), mm. */
  readonly size: number;
  /** Degrees counter-clockwise. */
  readonly angle: number;
  readonly align: "start" | "middle";
  readonly panel?: string;
  readonly role: string;
}

/** One thing to be drawn, in sheet coordinates (mm, y up). */
export type DrawItem = PathItem | TextItem;

/** Width of a text at a letter height, mm. */
export type MeasureText = (text: string, size: number) => number;

/** A cautious guess at the width of a text where no font is at hand: wide letters count double. */
export function guessTextWidth(text: string, size: number): number {
  let em = 0;
  for (const letter of text) {
    const code = letter.codePointAt(0)!;
    em += code >= 0x2e80 ? 1 : /[MWmw@—]/.test(letter) ? 0.9 : /[iljtfI.,:;'|! ]/.test(letter) ? 0.35 : 0.62;
  }
  return em * size;
}

/** The points of a circle as a closed run, near enough for a printed ring. */
export function ringPoints([x, y]: Point, radius: number, sides = 24): Point[] {
  return Array.from({ length: sides }, (_, i): Point => {
    const turn = (2 * Math.PI * i) / sides;
    return [x + radius * Math.cos(turn), y + radius * Math.sin(turn)];
  });
}
