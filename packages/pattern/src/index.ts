export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type { Point } from "@peltry/geometry";
export type {
  Dart,
  Edge,
  EdgeRef,
  EdgeRole,
  FabricBehaviour,
  Marking,
  MatchPoint,
  Notch,
  Panel,
  Pattern,
  Seam,
  StrainRange,
} from "./types";
export { edgesOutline, findEdge, findPanel, panelEdges, panelOutline, seamLetter } from "./outline";
export { edgesFromOutline, type EdgesFromOutlineOptions } from "./edges-from-outline";
export { assertPattern, checkPattern } from "./check-pattern";
export { assertEdgesForm, assertPanelForm, assertPatternForm } from "./check/check-form";
export { checkOutline, checkPanelOutline } from "./check/check-outline";
export { seamLengths } from "./check/check-seams";
export { CHECK_LIMITS } from "./check/limits";
export { writePattern } from "./write-pattern";
export { curvaturePeaks, type CurvaturePeakOptions } from "./curvature-peaks";
export { NOTCH_DEFAULTS, placeNotches, type NotchRules } from "./place-notches";
export {
  addDart,
  DART_DRILL_MM,
  dartDrill,
  dartShape,
  roundDartTip,
  trueDart,
  type DartShape,
  type NewDart,
} from "./darts";
export { markingMethod, type MarkingChoice } from "./marking-method";
export { letInMarkings } from "./let-in";
export { mirrorPanel, mirrorPanelAbout, reverseEdge, turnPanel } from "./move-panel";
export { cutQuantity, unfoldPanel, type CutQuantity } from "./unfold-panel";
export { unfoldPattern, type UnfoldOptions } from "./unfold-pattern";
export { addLining, type LiningOptions } from "./add-lining";
export { facingPanel, type FacingOptions } from "./facing-panel";
export { panelArrows, type PanelArrow } from "./panel-arrows";
