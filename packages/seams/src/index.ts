export {
  cutIntoPatches,
  type CutOptions,
  type Patch,
  type PatchCutting,
  type PatchEdge,
  type PatchSeam,
  type SeamLine,
} from "./cut-into-patches";
export { isTube, openTubes, type CarriedLine, type OpenedForm } from "./open-tubes";
export { patternFromPatches, type PanelInfo, type PatternOptions } from "./pattern-from-patches";
export {
  SEWING_RULES,
  sewingOrder,
  type SewingPlan,
  type SewingRules,
  type SewingStep,
} from "./sewing-order";
export { planSeams } from "./plan-seams";
export { planLimits, type LimitPlan } from "./plan-limits";
export { decide, REJECT_RADIUS } from "./decisions";
export { SEWABILITY } from "./sewability";
export type {
  CostField,
  GivenSeam,
  PlanCurvePoint,
  PlanOptions,
  PlanPanel,
  SeamArc,
  SeamCost,
  SeamDecision,
  SeamFabric,
  SeamKind,
  SeamPlan,
  SeamZone,
  SewabilityRules,
  StandingCut,
} from "./types";
export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
