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
export { assertPattern, checkPattern } from "./check-pattern";
export { checkOutline, checkPanelOutline } from "./check/check-outline";
export { seamLengths } from "./check/check-seams";
export { CHECK_LIMITS } from "./check/limits";
export { writePattern } from "./write-pattern";
