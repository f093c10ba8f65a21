export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export { checkFlat } from "./check-flat";
export { createFlattener, type Flattener } from "./create-flattener";
export { flatten } from "./flatten";
export { flattenTogether } from "./flatten-together";
export { measureStrain } from "./measure-strain";
export { rampColour, strainColours, type Colour } from "./strain-colours";
export type {
  FlatCertificate,
  FlatCheck,
  FlatPanel,
  FlatPanels,
  FlattenConstraint,
  FlattenMode,
  FlattenOptions,
  FlattenPatch,
  FlattenTogetherOptions,
  PanelGrain,
  PanelStrain,
  SeamLengths,
  SeamPair,
  SeamSide,
} from "./types";
