import type { Energy } from "./energy";
import { arapBarrier } from "./energy-arap";
import { dirichlet } from "./energy-dirichlet";

/** Energy of a mode that knows no limits, whatever the share of the shape-preserving one. */
export function plainEnergy(mode: "shape-preserving" | "flip-free"): () => Energy {
  const energy = mode === "flip-free" ? dirichlet : arapBarrier;
  return () => energy;
}
