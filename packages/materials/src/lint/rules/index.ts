import type { LintRule } from "../context";
import { allergens } from "./allergens";
import { casNumber } from "./cas-number";
import { entryStatus } from "./entry-status";
import { fibreSums } from "./fibre-sums";
import { fileName } from "./file-name";
import { glueGate } from "./glue-gate";
import { hazardsCopied } from "./hazards-copied";
import { knownIds } from "./known-ids";
import { memoryStatus } from "./memory-status";
import { method } from "./method";
import { ownSources } from "./own-sources";
import { parents } from "./parents";
import { plausible } from "./plausible";
import { rangeOrder } from "./range-order";
import { requiredCautions } from "./required-cautions";
import { shape } from "./shape";
import { sourced } from "./sourced";
import { statusLadder } from "./status-ladder";
import { uniqueId } from "./unique-id";
import { unitSlip } from "./unit-slip";
import { words } from "./words";

/** All rules for entries, in the order of their messages. */
export const RULES: readonly LintRule[] = [
  shape,
  fileName,
  uniqueId,
  knownIds,
  parents,
  sourced,
  method,
  rangeOrder,
  plausible,
  unitSlip,
  memoryStatus,
  statusLadder,
  entryStatus,
  ownSources,
  fibreSums,
  casNumber,
  hazardsCopied,
  requiredCautions,
  allergens,
  glueGate,
  words,
];
