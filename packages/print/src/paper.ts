import { fail } from "@peltry/issues";

/** A paper format in portrait position, mm. */
export interface Paper {
  readonly name: string;
  readonly width: number;
  readonly height: number;
}

const INCH = 25.4;

/**
 * Sheet formats by name, portrait, mm.
 *
 * @source A and B series: ISO 216. Letter, Legal, Tabloid, ANSI C to E, ARCH A to E1: ANSI/ASME Y14.1
 * (the ARCH and ANSI C–E rows from memory).
 */
export const PAPERS = Object.freeze({
  A0: [841, 1189],
  A1: [594, 841],
  A2: [420, 594],
  A3: [297, 420],
  A4: [210, 297],
  A5: [148, 210],
  B0: [1000, 1414],
  B1: [707, 1000],
  B2: [500, 707],
  B3: [353, 500],
  B4: [250, 353],
  Letter: [8.5 * INCH, 11 * INCH],
  Legal: [8.5 * INCH, 14 * INCH],
  Tabloid: [11 * INCH, 17 * INCH],
  "ANSI C": [17 * INCH, 22 * INCH],
  "ANSI D": [22 * INCH, 34 * INCH],
  "ANSI E": [34 * INCH, 44 * INCH],
  "ARCH A": [9 * INCH, 12 * INCH],
  "ARCH B": [12 * INCH, 18 * INCH],
  "ARCH C": [18 * INCH, 24 * INCH],
  "ARCH D": [24 * INCH, 36 * INCH],
  "ARCH E": [36 * INCH, 48 * INCH],
  "ARCH E1": [30 * INCH, 42 * INCH],
} as const);

/** Name of a sheet format; letter case and blanks do not matter when it is read. */
export type PaperName = keyof typeof PAPERS;

/** Widths of common plotter rolls, mm (24, 36, 42, 44 and 60 in; from memory). */
export const ROLL_WIDTHS: readonly number[] = Object.freeze([609.6, 914.4, 1066.8, 1117.6, 1524]);

/** A format by name, a size of one's own, or a roll of a given width (cut to length). */
export type PaperSize =
  PaperName | (string & {}) | { readonly width: number; readonly height: number } | { readonly roll: number };

/** Side of a page that every reader can show: 14,400 units of 1/72 in (ISO 32000-1 annex C), just under 5080 mm. */
export const LARGEST_PAGE = (14_400 / 72) * INCH;

/** The format in portrait position; `height` is Infinity for a roll. */
export function resolvePaper(size: PaperSize): Paper {
  if (typeof size === "string") return namedPaper(size);
  if (typeof size !== "object" || size === null) return namedPaper(String(size));
  if ("roll" in size)
    return checked({ name: `roll ${round(size.roll)} mm`, width: size.roll, height: Infinity });
  const { width, height } = size;
  return checked({ name: `${round(width)} × ${round(height)} mm`, width, height });
}

function namedPaper(size: string): Paper {
  const wanted = plain(size);
  for (const [name, [width, height]] of Object.entries(PAPERS)) {
    if (plain(name) === wanted) return { name, width, height };
  }
  return fail(
    "print/unknown-paper",
    `There is no paper format called “${size}”.`,
    {},
    {
      found: size,
      limit: Object.keys(PAPERS).join(", "),
      fix: "Use one of the listed names, { width, height } in mm, or { roll: width }.",
    },
  );
}

function checked(paper: Paper): Paper {
  const { width, height } = paper;
  if (!(width > 0) || !Number.isFinite(width) || !(height > 0)) {
    fail(
      "print/bad-paper",
      `The paper is ${width} × ${height} mm.`,
      {},
      {
        found: `${width} × ${height}`,
        fix: "Give a positive width and height in mm.",
      },
    );
  }
  const largest = Math.max(width, Number.isFinite(height) ? height : 0);
  if (largest > LARGEST_PAGE) {
    fail(
      "print/paper-too-big",
      `The paper is ${round(largest)} mm long; a page holds ${LARGEST_PAGE} mm.`,
      {},
      {
        found: largest,
        limit: LARGEST_PAGE,
        fix: "Use smaller pages and let the pattern be tiled over them.",
        source: "ISO 32000-1 annex C: 14,400 units of 1/72 in",
      },
    );
  }
  return paper;
}

function plain(name: string): string {
  const letters = name.toLowerCase().replace(/[^a-z0-9]/g, "");
  return letters === "ansib" || letters === "ledger" ? "tabloid" : letters === "ansia" ? "letter" : letters;
}

function round(mm: number): number {
  return Math.round(mm * 10) / 10;
}
