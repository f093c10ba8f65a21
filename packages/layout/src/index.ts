export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type {
  ClothToBuy,
  FabricPiece,
  HiddenLine,
  Layout,
  LayoutDrawing,
  LayoutObjective,
  LayoutOptions,
  LayoutPanel,
  Placement,
  QualityZone,
  Rest,
  Roll,
  SplitPart,
  SplitProposal,
  UnplacedCode,
  UnplacedPanel,
} from "./types";
export { LAYOUT_DEFAULTS, layOut } from "./lay-out";
export { checkLayout, type CheckLayoutOptions } from "./check-layout";
export { drawLayout, type DrawnPiece } from "./draw-layout";
export { findRest, type RestSpace } from "./find-rests";
export { proposeSplits, type SplitQuestion } from "./propose-splits";
export { chooseLayout, seedsFor } from "./choose-layout";
