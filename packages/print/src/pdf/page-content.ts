import type { Box, Point } from "@peltry/geometry";
import { LINE_STYLES, type DrawItem, type LineStyle, type PathItem, type TextItem } from "../drawing";
import { runsInBox } from "../internal/clip-path";
import { numberText } from "../internal/number-text";
import { LAYERS } from "../layers";
import type { DocumentFont } from "./fonts";

/** Points of 1/72 in to a millimetre. */
export const POINTS_PER_MM = 72 / 25.4;

/** Ink on paper, or light on the dark for a projector. */
export type Theme = "paper" | "projector";

/** Some drawing seen through a window of the page. */
export interface View {
  readonly items: readonly DrawItem[];
  /** Where the drawing's origin lies on the page, mm from the lower left. */
  readonly shift: Point;
  /** What may show, in the drawing's coordinates; everything when absent. */
  readonly window?: Box;
}

/** One page to be written. */
export interface PageDrawing {
  /** mm */
  readonly width: number;
  readonly height: number;
  readonly views: readonly View[];
  /** What a viewer shows as page number, such as `R1C2`. */
  readonly label: string;
  /** The drawing in words, for readers who cannot see it. */
  readonly alt: string;
}

/** Marked content of a page in reading order: the graphic, then each text. */
export interface TaggedContent {
  readonly operators: string;
  /** Marked-content numbers of the drawing. */
  readonly figure: readonly number[];
  /** Marked-content numbers of the texts. */
  readonly texts: readonly number[];
}

// Curves of many points are written to a hundredth of a millimetre, finer than a dot of any printer: the file and the time
// to pack it go by their digits. Squares, rulers and marks are few points and keep their micrometres.
const FEW_POINTS = 12;

// Strokes may be as wide as this; lines that near the window still show in it.
const STROKE_REACH = 2;

/** The content stream of a page: layers as optional content, drawing and texts as tagged content. */
export function pageContent(page: PageDrawing, font: DocumentFont, theme: Theme): TaggedContent {
  const out: string[] = [];
  const figure: number[] = [];
  const texts: number[] = [];
  let marked = 0;
  out.push("q", `${numberText(POINTS_PER_MM, 9)} 0 0 ${numberText(POINTS_PER_MM, 9)} 0 0 cm`, "1 J 1 j");
  if (theme === "projector")
    out.push("/Artifact BMC", `0 g 0 0 ${mm(page.width)} ${mm(page.height)} re f`, "EMC");
  for (const layer of LAYERS) {
    const parts = page.views.map((view) => viewOperators(view, layer.id, font, theme));
    if (parts.every(isEmpty)) continue;
    out.push(`/OC /${layer.id} BDC`);
    for (const [i, part] of parts.entries()) {
      if (isEmpty(part)) continue;
      out.push("q", ...windowOperators(page.views[i]!));
      if (part.paths.length > 0) {
        const guides = layer.id === "guides";
        out.push(guides ? "/Artifact BMC" : `/Figure <</MCID ${marked}>> BDC`, ...part.paths, "EMC");
        if (!guides) figure.push(marked++);
      }
      if (part.furniture.length > 0) out.push("/Artifact BMC", ...part.furniture, "EMC");
      for (const text of part.texts) {
        out.push(`/P <</MCID ${marked}>> BDC`, text, "EMC");
        texts.push(marked++);
      }
      out.push("Q");
    }
    out.push("EMC");
  }
  out.push("Q");
  return { operators: out.join("\n"), figure, texts };
}

function windowOperators({ shift, window }: View): string[] {
  if (!window) return [];
  const { minX, minY, maxX, maxY } = window;
  return [`${mm(minX + shift[0])} ${mm(minY + shift[1])} ${mm(maxX - minX)} ${mm(maxY - minY)} re W n`];
}

interface ViewParts {
  readonly paths: string[];
  /** Numbers of rulers and match marks: nothing that is to be read aloud. */
  readonly furniture: string[];
  readonly texts: string[];
}

const isEmpty = ({ paths, furniture, texts }: ViewParts): boolean =>
  paths.length === 0 && furniture.length === 0 && texts.length === 0;

function viewOperators(view: View, layer: string, font: DocumentFont, theme: Theme): ViewParts {
  const paths: string[] = [];
  const furniture: string[] = [];
  const texts: string[] = [];
  let style = "";
  for (const item of view.items) {
    if (item.layer !== layer) continue;
    if (item.kind === "text") {
      if (textShows(item, view.window, font))
        (item.role === "guide-text" ? furniture : texts).push(textOperators(item, view.shift, font, theme));
      continue;
    }
    const drawn = pathOperators(item, view);
    if (drawn.length === 0) continue;
    if (item.filled) paths.push(`${mm(fillGray(item, theme))} g`, ...drawn.map((run) => `${run.path}f`));
    else {
      if (style !== item.style) paths.push(styleOperators(item, theme));
      style = item.style;
      const dash = lineStyle(item, theme).dash;
      for (const run of drawn) {
        if (dash) paths.push(dashOperator(dash, run.offset));
        paths.push(`${run.path}${run.closed ? "s" : "S"}`);
      }
    }
  }
  return { paths, furniture, texts };
}

function pathOperators(
  item: PathItem,
  { window, shift }: View,
): { path: string; offset: number; closed: boolean }[] {
  const runs =
    !window || item.filled
      ? [{ points: item.points, offset: 0, closed: item.closed }]
      : runsInBox(item.points, item.closed, grown(window, STROKE_REACH));
  const [dx, dy] = shift;
  return runs.map(({ points, offset, closed }) => {
    const digits = points.length > FEW_POINTS ? 2 : 3;
    let path = "";
    for (const [x, y] of points)
      path += `${numberText(x + dx, digits)} ${numberText(y + dy, digits)} ${path === "" ? "m" : "l"} `;
    return { path, offset, closed };
  });
}

function styleOperators(item: PathItem, theme: Theme): string {
  const { width, dash, gray = 0 } = lineStyle(item, theme);
  return `${mm(width)} w ${mm(gray)} G${dash ? "" : " [] 0 d"}`;
}

function dashOperator(dash: readonly number[], offset: number): string {
  const whole = dash.reduce((sum, length) => sum + length, 0);
  return `[${dash.map(mm).join(" ")}] ${mm(offset % whole)} d`;
}

/** On a projector lines are light, three times as wide and at least 1 mm, so that they show on fur. */
function lineStyle(item: PathItem, theme: Theme): LineStyle {
  const style: LineStyle = LINE_STYLES[item.style];
  if (theme === "paper") return style;
  const guide = item.layer === "guides";
  const dash = style.dash?.map((length) => length * 2.5);
  return { width: guide ? 0.5 : Math.max(1, style.width * 3), gray: guide ? 0.5 : 1, ...(dash && { dash }) };
}

function fillGray(item: PathItem, theme: Theme): number {
  if (item.layer === "guides") return 0.85;
  return theme === "paper" ? 0 : 1;
}

function textOperators(item: TextItem, shift: Point, font: DocumentFont, theme: Theme): string {
  const turn = (item.angle * Math.PI) / 180;
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const back = item.align === "middle" ? font.measure(item.text, item.size) / 2 : 0;
  const x = item.at[0] + shift[0] - c * back;
  const y = item.at[1] + shift[1] - s * back;
  const matrix = [c, s, -s, c].map((value) => numberText(value, 6)).join(" ");
  const gray = theme === "paper" ? 0 : 1;
  return `${gray} g BT /F ${mm(item.size)} Tf ${matrix} ${mm(x)} ${mm(y)} Tm ${font.encode(item.text)} Tj ET`;
}

function textShows(item: TextItem, window: Box | undefined, font: DocumentFont): boolean {
  if (!window) return true;
  const width = font.measure(item.text, item.size);
  const turn = (item.angle * Math.PI) / 180;
  const start = item.align === "middle" ? -width / 2 : 0;
  const xs = [start, start + width].map((t) => item.at[0] + Math.cos(turn) * t);
  const ys = [start, start + width].map((t) => item.at[1] + Math.sin(turn) * t);
  const reach = item.size;
  return (
    Math.max(...xs) + reach > window.minX &&
    Math.min(...xs) - reach < window.maxX &&
    Math.max(...ys) + reach > window.minY &&
    Math.min(...ys) - reach < window.maxY
  );
}

function grown(box: Box, by: number): Box {
  return { minX: box.minX - by, minY: box.minY - by, maxX: box.maxX + by, maxY: box.maxY + by };
}

// A micrometre: far below what a printer places.
function mm(value: number): string {
  return numberText(value, 3);
}
