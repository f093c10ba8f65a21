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
export { edgesOutline, findEdge, findPanel, panelOutline, seamLetter } from "./outline";
