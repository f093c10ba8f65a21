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
