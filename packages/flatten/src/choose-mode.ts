import type { Energy } from "./energy";
import { withinFabric } from "./energy-fabric";
import { fabricLimits } from "./fabric-limits";
import { plainEnergy } from "./plain-energy";
import type { FlattenMode, FlattenOptions } from "./types";

/** Mode and energy that the options ask for; without a mode the fabric decides. */
export function chooseMode(
  options: Pick<FlattenOptions, "mode" | "fabric" | "anyDirection" | "targetStretch">,
): { mode: FlattenMode; energy(pull: number): Energy } {
  const { fabric, anyDirection, targetStretch } = options;
  const bounded = fabric !== undefined || anyDirection !== undefined;
  const mode = options.mode ?? (bounded ? "strain-limited" : "shape-preserving");
  if (mode !== "strain-limited") return { mode, energy: plainEnergy(mode) };
  const target = { along: targetStretch?.along ?? 0, across: targetStretch?.across ?? 0 };
  return { mode, energy: (pull) => withinFabric(fabricLimits(fabric, anyDirection, target, pull)) };
}
