export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type {
  CutLine,
  CutLines,
  Placement,
  Printable,
  PrintJob,
  PrintLayer,
  PrintNotch,
  PrintPiece,
} from "./types";
export { createPrintJob, type PrintJobOptions } from "./print-job";
export {
  LARGEST_PAGE,
  PAPERS,
  resolvePaper,
  ROLL_WIDTHS,
  type Paper,
  type PaperName,
  type PaperSize,
} from "./paper";
export { PAGE_DEFAULTS, type Margins, type PageFrame, type PageOptions } from "./page-options";
export { tileCount } from "./tile-count";
export { tilePages, type TileOptions, type TilePage, type Tiling } from "./tile-pages";
export { LINE_STYLES, type LineStyle, type LineStyleName } from "./drawing";
export { LAYERS } from "./layers";
export type { DrawOptions } from "./draw-panel";
export { writePdf, type PdfOptions } from "./write-pdf";
export { writeSvg, type SvgOptions } from "./write-svg";
export { DXF_LAYERS, writeDxf, type DxfOptions } from "./write-dxf";
export { writeGlb, type GlbOptions, type GlbPiece } from "./write-glb";
export type { ProjectorOptions } from "./projector";
export {
  diagnoseScale,
  SCALE_CAUSES,
  type ScaleCause,
  type ScaleDiagnosis,
  type ScaleOptions,
} from "./diagnose-scale";
