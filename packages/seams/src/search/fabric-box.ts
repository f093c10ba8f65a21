import type { FabricBehaviour, StrainRange } from "@peltry/pattern";

/** What a cloth allows, for the search. Ratios are worn length over flat length. */
export interface FabricBox {
  /** Limits that do not know a grain; then the rest is unused. */
  readonly isotropic: boolean;
  readonly anyMin: number;
  readonly anyMax: number;
  readonly acrossMin: number;
  readonly acrossMax: number;
  readonly alongMin: number;
  readonly alongMax: number;
  /** Radians, positive. */
  readonly shearMax: number;
}

/** Narrowest usable range: keeps the projection from dividing by nothing. */
const LEAST = 1e-4;

/** The box of a fabric, its limits scaled by `share` (1 uses them whole). */
export function fabricBox(
  behaviour: FabricBehaviour | undefined,
  any: StrainRange | undefined,
  share = 1,
): FabricBox {
  const low = (r: StrainRange | undefined): number =>
    1 + Math.min(-LEAST, Math.max(-0.9, r?.min ?? -0.9)) * share;
  const high = (r: StrainRange | undefined): number => 1 + Math.max(LEAST, Math.min(9, r?.max ?? 9)) * share;
  const isotropic = behaviour === undefined;
  return {
    isotropic,
    anyMin: low(any),
    anyMax: high(any),
    acrossMin: low(behaviour?.across),
    acrossMax: high(behaviour?.across),
    alongMin: low(behaviour?.along),
    alongMax: high(behaviour?.along),
    shearMax: behaviour
      ? Math.max(1e-3, share * Math.min(behaviour.shear.max, Math.max(-behaviour.shear.min, 1e-3)))
      : Infinity,
  };
}

/** The least room of several cloths between their least and their most length, as a fraction: 0.06 for ± 3 %. */
export function roomOf(boxes: readonly FabricBox[]): number {
  return boxes.reduce((least, box) => {
    const ratios = box.isotropic
      ? [box.anyMax / box.anyMin]
      : [box.alongMax / box.alongMin, box.acrossMax / box.acrossMin];
    return Math.min(least, ...ratios.map((ratio) => ratio - 1));
  }, 2);
}

/** How much of its budget a strained spot uses: 1 at the limit. Rows of `f`: surface; columns: flat x (across), y (along). */
export function usedShare(box: FabricBox, f00: number, f01: number, f10: number, f11: number): number {
  let used = 0;
  if (Number.isFinite(box.anyMax)) {
    const e = (f00 + f11) / 2;
    const g = (f00 - f11) / 2;
    const r = (f10 + f01) / 2;
    const h = (f10 - f01) / 2;
    const q = Math.hypot(e, h);
    const s = Math.hypot(g, r);
    used = Math.max((q + s - 1) / (box.anyMax - 1), (1 - (q - s)) / (1 - box.anyMin));
  }
  if (box.isotropic) return used;
  const across = Math.hypot(f00, f10);
  const along = Math.hypot(f01, f11);
  const sine = Math.max(-1, Math.min(1, (f00 * f01 + f10 * f11) / (across * along)));
  return Math.max(
    used,
    across > 1 ? (across - 1) / (box.acrossMax - 1) : (1 - across) / (1 - box.acrossMin),
    along > 1 ? (along - 1) / (box.alongMax - 1) : (1 - along) / (1 - box.alongMin),
    Math.abs(Math.asin(sine)) / box.shearMax,
  );
}
