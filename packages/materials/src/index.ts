export { PeltryError, isPeltryError, type Issue } from "@peltry/issues";
export * from "./entry/types";
export * from "./entry/shared-types";
export { CHEMICAL_FAMILIES, CLOTH_FAMILIES, FAMILIES, type Family } from "./entry/families";
export {
  CONDITIONS,
  EXPECTED,
  PROPERTIES,
  propertyRule,
  type ConditionId,
  type PropertyId,
  type PropertyRule,
} from "./entry/properties";
export { catalogue, familyEntries, findEntry, material, sourceOf, sourceText } from "./query/catalogue";
export { caution, CAUTION_DEFERS_TO, cautions, cautionsOf, regionRules } from "./query/cautions";
export { middleOf, resolveValue, unknownValues, type ResolvedValue } from "./query/resolve-value";
export {
  fabricBehaviour,
  type BehaviourBasis,
  type BehaviourOptions,
  type BehaviourRange,
  type MaterialBehaviour,
} from "./query/fabric-behaviour";
export {
  adhesion,
  type Adhesion,
  type FaceAdhesion,
  type JointFace,
  type JointFaceDetail,
  type JointOptions,
} from "./joint/adhesion";
export { isLowSurfaceEnergy, LOW_SURFACE_ENERGY, type GateResult } from "./joint/gates";
export {
  glueCell,
  gluedAdhesives,
  gluedSubstrates,
  RATINGS,
  reasonCodes,
  reasonText,
  worseRating,
  type GlueCell,
  type Rating,
} from "./joint/glue-table";
export { heatLimits, type HeatLimit, type Side } from "./joint/heat-limit";
export { pileOf, type PileFacts } from "./query/pile";
export { findMaterials, type MaterialQuery } from "./query/find-materials";
export { colourDifference, hexToLab, type Lab } from "./query/colour";
export {
  CLO,
  clothingAreaFactor,
  ensembleInsulation,
  insulationBand,
  massAndWarmth,
  requireHeatModelRange,
  TOG,
  totalInsulation,
  type Estimate,
  type MassAndWarmth,
  type PieceSize,
} from "./query/warmth";
export { cleaningOf, type CleaningAnswer } from "./query/care";
export { hazardsOf, type HazardSummary } from "./query/hazard-summary";
export { heatBeside, heatContact, type HeatAnswer, type HotWork } from "./joint/heat-contact";
export { colouring, type ColouringAnswer, type ColouringOptions } from "./joint/colouring";
export { findSubstitutes, pieceArea, type Substitute, type SubstituteOptions } from "./stash/substitutes";
export { checkStash, queryStash, type OwnedPiece, type StashQuery } from "./stash/query-stash";
export type { Stash, StashItem } from "./stash/types";
export { clothingFlammabilityClass, draperyTestMethod, type BurnResult } from "./check/flammability";
export { isCasNumber } from "./check/cas-number";
export { substance, substances, vapourScreen, type VapourScreen } from "./check/vapour-screen";
export {
  duckMassPerArea,
  GSM_PER_OZ_YD2,
  hansenDistance,
  KG_M3_PER_LB_FT3,
  KPA_PER_PSI,
  N_CM_PER_LBF_IN,
  N_PER_LBF,
  ppmToMgPerM3,
  type Hansen,
} from "./check/units";
