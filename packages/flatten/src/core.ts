/**
 * The least that flattens: for cloth without limits and panels without ties, in less than 25 kB.
 */
export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export { checkFlat } from "./check-flat";
export { flattenPlain } from "./flatten-plain";
export { measureStrain } from "./measure-strain";
export type { FlatCertificate, FlatCheck, FlatPanel, PanelGrain, PanelStrain, PlainOptions } from "./types";
