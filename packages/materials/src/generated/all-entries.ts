// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.
import { pileFabric } from "../pile-fabric";
import { stretchKnit } from "../stretch-knit";
import { mesh } from "../mesh";
import { coatedFabric } from "../coated-fabric";
import { woven } from "../woven";
import { felt } from "../felt";
import { foamOpen } from "../foam-open";
import { foamClosed } from "../foam-closed";
import { foamClay } from "../foam-clay";
import { thermoplastic } from "../thermoplastic";
import { filling } from "../filling";
import { frame } from "../frame";
import { yarn } from "../yarn";
import { fastener } from "../fastener";
import { leather } from "../leather";
import { adhesive } from "../adhesive";
import { tape } from "../tape";
import { paint } from "../paint";
import { dye } from "../dye";
import { coating } from "../coating";
import { wrapFilm } from "../wrap-film";
import type { MaterialEntry } from "../entry/types";

/** Entries of all families, in the order of the families. */
export const ALL_ENTRIES: readonly MaterialEntry[] = [
  ...pileFabric,
  ...stretchKnit,
  ...mesh,
  ...coatedFabric,
  ...woven,
  ...felt,
  ...foamOpen,
  ...foamClosed,
  ...foamClay,
  ...thermoplastic,
  ...filling,
  ...frame,
  ...yarn,
  ...fastener,
  ...leather,
  ...adhesive,
  ...tape,
  ...paint,
  ...dye,
  ...coating,
  ...wrapFilm,
];
