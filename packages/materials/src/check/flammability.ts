/** A burning result as a laboratory reports it. */
export interface BurnResult {
  readonly surface: "plain" | "raised";
  /** s; mean over the specimens. */
  readonly burnTimeS: number;
  /** Raised surfaces: the base ignited or fused, away from where the flame touched. */
  readonly baseBurn?: boolean;
}

/**
 * Class of a clothing textile by its burning time: 1, 2 or 3; class 3 may not be used in clothing. Only for results of a
 * test report: never a guess from fibre content.
 *
 * @source 16 CFR 1610.4
 */
export function clothingFlammabilityClass({ surface, burnTimeS, baseBurn }: BurnResult): 1 | 2 | 3 {
  if (surface === "plain") return burnTimeS >= 3.5 ? 1 : 3;
  if (burnTimeS > 7 || baseBurn !== true) return 1;
  return burnTimeS >= 4 ? 2 : 3;
}

/**
 * Which of the two drapery tests a cloth goes to. Clothing is not in the scope of either.
 *
 * @source NFPA 701 (2010), scope: test method 1 up to 700 g/m², method 2 above and for coated blackout linings
 */
export function draperyTestMethod(massPerAreaGsm: number, coatedBlackout = false): 1 | 2 {
  return massPerAreaGsm > 700 || coatedBlackout ? 2 : 1;
}
