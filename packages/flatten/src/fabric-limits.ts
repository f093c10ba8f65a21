import type { FabricBehaviour, StrainRange } from "@peltry/pattern";

/** What the strain-limited energy needs: the box in the solver's axes (x across, y along the grain). */
export interface FabricLimits {
  /** Smallest and largest stretch ratio across and along, and tangent of the shear, with their weights. */
  readonly acrossMin: number;
  readonly acrossMax: number;
  readonly acrossWeight: number;
  readonly alongMin: number;
  readonly alongMax: number;
  readonly alongWeight: number;
  readonly shearMin: number;
  readonly shearMax: number;
  readonly shearWeight: number;
  /** Limits in any direction; the smaller one at least what the box implies. */
  readonly anyMin: number;
  readonly anyMax: number;
  /** Worn over flat of the solver's own coordinates: the stretch wanted everywhere. */
  readonly targetAcross: number;
  readonly targetAlong: number;
  /** Share of the shape-preserving energy mixed in, so that the free part of the shape stays calm. */
  readonly pull: number;
}

/** Share of each range left as a margin, so that an iteration's rest lies inside the true limit. */
const MARGIN = 0.02;

/** The box of a fabric for the solver. Missing parts do not limit. */
export function fabricLimits(
  fabric: FabricBehaviour | undefined,
  anyDirection: StrainRange | undefined,
  target: { along: number; across: number },
  pull: number,
): FabricLimits {
  const free: StrainRange = { min: -Infinity, max: Infinity };
  const narrow = ({ min, max }: StrainRange) => {
    const margin = Number.isFinite(max - min) ? MARGIN * 0.5 * (max - min) : 0;
    return [1 + min + margin, 1 + max - margin];
  };
  const [acrossMin, acrossMax] = narrow(fabric?.across ?? free);
  const [alongMin, alongMax] = narrow(fabric?.along ?? free);
  const [shearMin, shearMax] = narrow(fabric?.shear ?? free).map((angle) => tangent(angle - 1));
  const [anyMin, anyMax] = narrow(anyDirection ?? free);
  const weights = [fabric?.across, fabric?.along, fabric?.shear].map((range) => range?.stiffness ?? 1);
  const mean = (weights[0] + weights[1] + weights[2]) / 3;
  const share = weights.map((w) => Math.min(4, Math.max(0.25, w / mean)));
  return {
    acrossMin,
    acrossMax,
    acrossWeight: share[0],
    alongMin,
    alongMax,
    alongWeight: share[1],
    shearMin,
    shearMax,
    shearWeight: share[2],
    anyMin: Math.max(anyMin, leastStretch(acrossMin, alongMin, Math.max(-shearMin, shearMax))),
    anyMax,
    targetAcross: 1 + target.across,
    targetAlong: 1 + target.along,
    pull,
  };
}

/** Tangent of a shear; without bound from a right angle on. */
function tangent(angle: number): number {
  return Math.abs(angle) < 1.57 ? Math.tan(angle) : Math.sign(angle) * Infinity;
}

/** Smallest stretch in any direction of a cloth stretched by p and q along its axes, with a shear of the given tangent. */
function leastStretch(p: number, q: number, shear: number): number {
  if (!(p > 0 && q > 0)) return -Infinity;
  const twice = (2 * p * q) / Math.sqrt(1 + shear * shear);
  return 0.5 * (Math.sqrt(p * p + q * q + twice) - Math.sqrt(Math.max(0, p * p + q * q - twice)));
}
