export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type { Form, FormCurve, FormRegion } from "./types";
export { readMesh, type ReadMesh, type ReadMeshOptions, type ReadReport } from "./scan/read-mesh";
export { MESH_LIMITS, type FaceCounts, type LengthUnit, type MeshFormat } from "./scan/raw-mesh";
export { MM_PER_UNIT, type UnitReport } from "./scan/units";
export { repairMesh, type RepairedMesh, type RepairOptions, type RepairReport } from "./scan/repair-mesh";
export { buildLeg, type BuildLegOptions, type BuiltLeg, type LegLine, type Patch } from "./build/build-leg";
export type { Silhouette, TargetGirth } from "./build/leg-surface";
export {
  bodyLevels,
  LEVEL_NAMES,
  type BodyLevels,
  type LevelName,
  type LevelRef,
  type MeasureValues,
  type Posture,
} from "./build/levels";
export { HIND_LEG_PADS, type Pad } from "./build/pads";
export {
  formFromScan,
  type ScanForm,
  type ScanFormOptions,
  type ScanFormReport,
  type ScanRegion,
} from "./scan/form-from-scan";
export { turnUp, type UpAxis } from "./scan/turn-up";
export { measureGirths, type GirthLoop } from "./scan/girth";
export { checkScale, type KnownSize, type ScaleCheck } from "./scan/check-scale";
export { clipMesh, type ClippedMesh } from "./scan/clip-mesh";
export type { PickedLine } from "./scan/paint/picked-strokes";
export type { Colour } from "./scan/paint/classify-paint";
export {
  buildBootCover,
  type BootLine,
  type BuildBootCoverOptions,
  type BuiltBootCover,
} from "./build/build-boot-cover";
export { mirrorForm, type Side } from "./build/mirror-form";
export { plainSole } from "./build/sole-outline";
export {
  buildSleeve,
  type BuildSleeveOptions,
  type BuiltSleeve,
  type SleeveLevel,
} from "./build/build-sleeve";
export { padForm, type FormPad } from "./build/pad-form";
export {
  applyCorrections,
  type CorrectedForm,
  type Correction,
  type CorrectionReport,
} from "./build/correct-form";
export { girthAt, type Girth } from "./build/girth-at";
export { foamVolume, thicknessMap, type FoamVolume } from "./build/foam";
export {
  foamSlabs,
  type FoamSlab,
  type FoamSlabOptions,
  type FoamSlabs,
  type FoamStrap,
} from "./build/foam-slabs";
export { createProfile, type Profile } from "./build/profile";
export { readWrapSvg } from "./wrap/read-wrap-svg";
export { readWrapDxf } from "./wrap/read-wrap-dxf";
export { readWrapPhoto, type PhotoMark, type PhotoOptions, type WrapPhoto } from "./wrap/read-wrap-photo";
export { patternFromOutlines, type OutlinePatternOptions } from "./wrap/pattern-from-outlines";
export type { DrawingOptions, WrapDrawing } from "./wrap/wrap-drawing";
export {
  closureMarkings,
  placeClosure,
  type Closure,
  type ClosureKind,
  type ClosureOptions,
} from "./parts/closures";
export { makeTufts, TUFT_ROOT, TUFT_ROOT_MM, type MadeTufts, type TuftOptions } from "./parts/make-tufts";
export { makeHood, type HoodOptions, type MadeHood } from "./parts/make-hood";
export { makeHalfMask, type HalfMaskOptions, type MadeHalfMask } from "./parts/make-half-mask";
export { makeTail } from "./parts/make-tail";
export type { MadeTail, TailOptions } from "./parts/tail-shape";
export { makeEars, type EarsOptions, type MadeEars } from "./parts/make-ears";
export { makeHorn, type HornOptions, type MadeHorn } from "./parts/make-horn";
export type { BentCone, Branch } from "./parts/horn-sweeps";
export { makeHeadband, type Carried, type HeadbandOptions, type MadeHeadband } from "./parts/make-headband";
export type { MadePart, PartNeed } from "./parts/made-part";
export type { WornPiece } from "./parts/worn-piece";
export { PART_DENSITIES, type Density, type Stated } from "./parts/material-densities";
export { spiralFigures, type ShellParameters, type SpiralFigures } from "./parts/spiral";
export {
  circleSkirt,
  coneFigures,
  coneFromSector,
  cupFromDart,
  dartForCup,
  frustumFigures,
  helixWrap,
  obliqueCone,
  sphereGore,
  yarnCover,
  type ConeFigures,
  type CupDart,
  type FrustumFigures,
  type GoreFigures,
  type ObliqueConeFigures,
} from "./parts/closed-forms";
