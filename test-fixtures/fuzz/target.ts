/** Numbers from 0 to 1, the same for the same seed. */
export type Random = () => number;

/** Something that takes input from outside: a case is made from random numbers alone, then run. */
export interface Target {
  readonly name: string;
  /** Group that `--only` chooses by. */
  readonly group: "readers" | "geometry";
  /** How long one case takes beside the cheapest: heavy targets get fewer cases. */
  readonly weight: number;
  readonly make: (random: Random) => unknown;
  readonly run: (input: never) => unknown;
  /** Throws when an accepted case gave something that must not be. */
  readonly check?: (result: never) => void;
}

export function target<Input, Result>(spec: {
  readonly name: string;
  readonly group: Target["group"];
  readonly weight: number;
  readonly make: (random: Random) => Input;
  readonly run: (input: Input) => Result | Promise<Result>;
  readonly check?: (result: Result) => void;
}): Target {
  return spec as unknown as Target;
}

/** A claim about a result that does not hold. */
export class BrokenPromise extends Error {}

export function promise(holds: boolean, what: string): void {
  if (!holds) throw new BrokenPromise(what);
}
