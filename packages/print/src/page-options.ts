import { fail } from "@peltry/issues";
import { LARGEST_PAGE, resolvePaper, type Paper, type PaperSize } from "./paper";

/** Unprinted border of a page, mm. `trailing` is the edge that leaves the printer last: the foot of a portrait page. */
export interface Margins {
  readonly left?: number;
  readonly right?: number;
  readonly top?: number;
  readonly trailing?: number;
}

/** Paper and how the pattern is spread over it. */
export interface PageOptions {
  /** Default A4. */
  readonly size?: PaperSize;
  /** `auto` takes whichever needs fewer pages. Default auto. */
  readonly orientation?: "auto" | "portrait" | "landscape";
  /** One number for all four sides, or by side. Default 10, 13 at the trailing edge. mm */
  readonly margins?: number | Margins;
  /** Width in which neighbouring pages show the same, mm: 0 makes butt joints. Default 10. */
  readonly overlap?: number;
  /** `pack` lays the panels out to save pages, `as-drawn` keeps their own coordinates. Default pack. */
  readonly arrange?: "pack" | "as-drawn";
  /** How panels may be turned on the paper (arrows for pile and grain are printed): default free. */
  readonly turn?: "free" | "quarter" | "none";
  /** Room between packed panels, mm. Default 4. */
  readonly gap?: number;
  /** True keeps panels whole where a page can hold them: for copy shops. Default: true on rolls and A2 and larger. */
  readonly whole?: boolean;
}

/**
 * What is used where an option is not given. Margins: 10 mm at the sides, 13 mm at the trailing edge.
 *
 * @source Makers' manuals of office laser printers guarantee 4 to 6.35 mm; rollers may need 12 to 13 mm; the default is
 * a judgement from these.
 */
export const PAGE_DEFAULTS = Object.freeze({
  size: "A4",
  orientation: "auto",
  margins: Object.freeze({ left: 10, right: 10, top: 10, trailing: 13 }),
  overlap: 10,
  arrange: "pack",
  turn: "free",
  gap: 4,
} as const);

/** A page of one orientation with its printable part, mm. */
export interface PageFrame {
  readonly paper: string;
  readonly orientation: "portrait" | "landscape";
  /** Whole page, mm. A roll is as long as its use. */
  readonly width: number;
  readonly height: number;
  /** Lower left corner of the printable part. */
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
  readonly top: number;
  /** Printable part: the tile. */
  readonly tileWidth: number;
  readonly tileHeight: number;
  readonly overlap: number;
  /** True when the paper is cut to length. */
  readonly roll: boolean;
}

/** The page frames to be tried: one, or portrait and landscape. */
export function pageFrames(page: PageOptions): PageFrame[] {
  const paper = resolvePaper(page.size ?? PAGE_DEFAULTS.size);
  const wanted = page.orientation ?? PAGE_DEFAULTS.orientation;
  if (wanted !== "auto" && wanted !== "portrait" && wanted !== "landscape") {
    fail(
      "print/bad-orientation",
      `The orientation is “${String(wanted)}”.`,
      {},
      {
        found: String(wanted),
        limit: "auto, portrait, landscape",
        fix: "Use auto, portrait or landscape.",
      },
    );
  }
  if (!Number.isFinite(paper.height)) return [frame(paper, "portrait", page)];
  const asGiven = paper.width > paper.height ? "landscape" : "portrait";
  if (wanted === "auto") {
    const both: PageFrame[] = [frame(paper, "portrait", page)];
    if (paper.width !== paper.height) both.push(frame(paper, "landscape", page));
    return both;
  }
  return [frame(paper, wanted === asGiven || paper.width !== paper.height ? wanted : "portrait", page)];
}

function frame(paper: Paper, orientation: "portrait" | "landscape", page: PageOptions): PageFrame {
  const overlap = nonNegative("overlap", page.overlap ?? PAGE_DEFAULTS.overlap);
  nonNegative("gap", page.gap ?? PAGE_DEFAULTS.gap);
  const { left, right, top, trailing } = margins(page.margins);
  const short = Math.min(paper.width, paper.height);
  const long = Math.max(paper.width, paper.height);
  const roll = !Number.isFinite(paper.height);
  const upright = roll || orientation === "portrait";
  const width = upright ? (roll ? paper.width : short) : long;
  const height = upright ? (roll ? LARGEST_PAGE : long) : short;
  // A landscape page goes through the printer sideways: its trailing edge becomes the right-hand side.
  const sides = upright
    ? { left, right, top, bottom: trailing }
    : { left: top, right: trailing, top: left, bottom: right };
  const tileWidth = round(width - sides.left - sides.right);
  const tileHeight = round(height - sides.bottom - sides.top);
  if (!(tileWidth > 0) || !(tileHeight > 0)) {
    fail(
      "print/page-too-small",
      `A page of ${paper.name} has nothing left inside its margins.`,
      {},
      {
        found: `${width} × ${height} mm`,
        limit: `more than ${sides.left + sides.right} × ${sides.bottom + sides.top} mm`,
        fix: "Choose larger paper or smaller margins.",
      },
    );
  }
  if (overlap >= Math.min(tileWidth, tileHeight) / 2) {
    fail(
      "print/overlap-too-big",
      `Pages of ${tileWidth} × ${tileHeight} mm cannot overlap by ${overlap} mm.`,
      {},
      {
        found: overlap,
        limit: `under ${Math.min(tileWidth, tileHeight) / 2} mm, half of the printable part`,
        fix: "Make the overlap smaller or the paper larger.",
      },
    );
  }
  return { paper: paper.name, orientation, width, height, ...sides, tileWidth, tileHeight, overlap, roll };
}

function margins(given: PageOptions["margins"]): Required<Margins> {
  const all = typeof given === "number" ? { left: given, right: given, top: given, trailing: given } : given;
  const full = { ...PAGE_DEFAULTS.margins, ...all };
  for (const [side, value] of Object.entries(full)) nonNegative(`margin ${side}`, value);
  return full;
}

function nonNegative(name: string, value: number): number {
  if (typeof value !== "number" || !(value >= 0) || !Number.isFinite(value)) {
    fail(
      "print/bad-length",
      `The ${name} is ${String(value)}.`,
      { path: [name] },
      {
        found: String(value),
        limit: "0 mm or more",
        fix: "Give a number of mm, zero or more.",
      },
    );
  }
  return value;
}

// Inch formats leave digits of no meaning after subtraction; a nanometre does not show.
function round(mm: number): number {
  return Math.round(mm * 1e6) / 1e6;
}
