export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type { Finding, Subject } from "./finding";
export { checkWear, WEAR_CAUTION, type MovementThrough, type WearCase } from "./check-wear";
export { baseMoment, type BandBase } from "./base-on-band";
export {
  checkHead,
  HEAD_LIMITS,
  headMoment,
  type HeadCase,
  type HeadLoad,
  type HeadMoment,
} from "./head-load";
export {
  checkHeat,
  CLOTHING_ADJUSTMENT,
  WBGT_LIMITS,
  wbgt,
  wetBulb,
  WORK_WATTS,
  workShare,
  type HeatCase,
  type WorkClass,
  type WorkShare,
} from "./heat";
export {
  checkFooting,
  checkSight,
  FOOTING_LIMITS,
  nearestFloor,
  type FootingCase,
  type SightCase,
} from "./footing";
export {
  checkChildren,
  checkDressing,
  checkFlame,
  checkToilet,
  fitsSmallParts,
  type ChildrenCase,
  type Cord,
  type DressingCase,
  type FlameCase,
} from "./people";
export {
  estimateThread,
  STITCHES,
  THREAD_WASTE,
  threadRatio,
  type SeamRun,
  type Stitch,
} from "./estimate-thread";
export { estimateWork, WORK_RATES, type WorkCase, type WorkEstimate, type WorkRates } from "./estimate-work";
export { planEvenings, type Evening, type Task } from "./plan-evenings";
