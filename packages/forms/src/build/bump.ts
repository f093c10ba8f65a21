/** A smooth hump: 1 at 0, falling to 0 at ±1 and 0 beyond, twice differentiable. */
export function bump(u: number): number {
  const rest = 1 - u * u;
  return rest > 0 ? rest * rest * rest : 0;
}
