/**
 * Seeded random numbers in [0, 1): the same seed gives the same run on every machine.
 *
 * @param seed - any integer
 * @returns a function that gives the next number
 * @source mulberry32, a public-domain 32-bit generator by T. Ettinger (from memory)
 */
export function createRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
