export { issueText, placeText, type Issue, type Place, type Severity } from "./issue";
export { fail, isPeltryError, PeltryError } from "./peltry-error";
export { throwIfCancelled, type Progress, type WorkOptions } from "./work";
