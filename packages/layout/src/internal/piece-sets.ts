/** A set of pieces to lay everything on. */
export interface PieceSet {
  readonly set: readonly number[];
  readonly cost: number;
  /** Share of their cloth that the panels need. */
  readonly fill: number;
}

/** Sets are listed in full over this many pieces. */
const MOST_LISTED = 12;

/**
 * Sets of pieces worth trying: all sets of the dozen that give most cloth for their price, and what is touched now
 * without one or two of it.
 */
export function listSets(
  pieces: readonly number[],
  touched: readonly number[],
  priceOfCloth: (piece: number) => number,
): number[][] {
  const rank = new Map(pieces.map((piece) => [piece, priceOfCloth(piece)]));
  const pool = [...pieces].sort((a, b) => rank.get(a)! - rank.get(b)! || a - b).slice(0, MOST_LISTED);
  const sets: number[][] = [];
  for (let mask = 1; mask < 1 << pool.length; mask++) sets.push(pool.filter((_, k) => (mask >> k) & 1));
  if (pool.length === pieces.length) return sets;
  for (const [i, one] of touched.entries()) {
    for (const other of touched.slice(i)) sets.push(touched.filter((b) => b !== one && b !== other));
  }
  return sets;
}
