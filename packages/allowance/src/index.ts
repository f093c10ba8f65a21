export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type {
  AllowanceRules,
  ClipRun,
  Cloth,
  CornerResult,
  CornerRule,
  CornerTreatment,
  EdgeWidth,
  FoldedDart,
  Merge,
  NotchMark,
  NotchShape,
  PanelAllowance,
  Pressing,
  Stitch,
  TrimStrip,
} from "./types";
export { addAllowance } from "./add-allowance";
export {
  addPatternAllowance,
  type PatternAllowance,
  type PatternAllowanceRules,
  type SeamEnd,
} from "./add-pattern-allowance";
export { MITRE_LIMIT } from "./internal/limits";
export { ALLOWANCE_TABLE, EDGE_STRAIN, usualAllowance, type AllowanceRow } from "./defaults";
export { leastRadius, notchesNeeded } from "./internal/clips";
