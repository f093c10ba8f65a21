import type { BaseKey } from "../keys";

/** Figures of one sex in one survey; arrays run over `variables`. */
export interface SurveySex {
  readonly n: number;
  readonly mean: readonly number[];
  readonly sd: readonly number[];
  readonly p1: readonly number[];
  readonly p99: readonly number[];
  /** ×10⁴, lower triangle row by row, diagonal left out. */
  readonly correlation: readonly number[];
  readonly logMean: readonly number[];
  readonly logSd: readonly number[];
  readonly logCorrelation: readonly number[];
}

/** A body survey reduced to what the fill-in needs. Lengths mm, body mass kg. */
export interface Survey {
  readonly variables: readonly BaseKey[];
  readonly male: SurveySex;
  readonly female: SurveySex;
}
