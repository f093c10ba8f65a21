import { isPeltryError } from "@peltry/issues";
import { createRandom } from "@peltry/geometry";
import { BrokenPromise, type Random, type Target } from "./target";

/** How one case ended. A fault is anything that a caller could not have been ready for. */
export type Outcome =
  | { readonly kind: "accepted" }
  | { readonly kind: "refused"; readonly code: string }
  | { readonly kind: "fault"; readonly what: string };

/** The random numbers of one case: the same for the same seed and number, whatever ran before. */
export function caseRandom(seed: number, number: number): Random {
  return createRandom((Math.imul(seed, 0x9e3779b1) ^ Math.imul(number + 1, 0x85ebca6b)) >>> 0);
}

/** Makes and runs one case. */
export async function runCase(target: Target, seed: number, number: number): Promise<Outcome> {
  const outcome = await attempt(target, target.make(caseRandom(seed, number)));
  const polluted = pollution();
  return polluted ? { kind: "fault", what: `prototype pollution: ${polluted}` } : outcome;
}

async function attempt(target: Target, input: unknown): Promise<Outcome> {
  let result: unknown;
  try {
    result = await target.run(input as never);
  } catch (error) {
    if (!isPeltryError(error)) return { kind: "fault", what: describeError(error) };
    const sound =
      /^[a-z]+\/[a-z0-9-]+$/.test(error.code) && error.issues.every((issue) => issue.message !== "");
    return sound
      ? { kind: "refused", code: error.code }
      : { kind: "fault", what: `issue without code or message: ${error.code}` };
  }
  try {
    target.check?.(result as never);
    structuredClone(result);
  } catch (error) {
    const what =
      error instanceof BrokenPromise
        ? `broken promise: ${error.message}`
        : `not cloneable: ${describeError(error)}`;
    return { kind: "fault", what };
  }
  return { kind: "accepted" };
}

function describeError(error: unknown): string {
  if (!(error instanceof Error)) return `threw ${String(error)}`;
  const place = /\bat [^\n]*/.exec(error.stack?.split("\n").slice(1).join("\n") ?? "")?.[0] ?? "";
  return `${error.name}: ${error.message.slice(0, 160)} ${place.replace(/\(.*[\\/]/, "(")}`;
}

/** Names what a case left on the built-in prototypes. */
function pollution(): string | undefined {
  for (const [name, prototype] of [
    ["Object", Object.prototype],
    ["Array", Array.prototype],
    ["Function", Function.prototype],
  ] as const) {
    const keys = Object.keys(prototype);
    if (keys.length === 0) continue;
    for (const key of keys) delete (prototype as unknown as Record<string, unknown>)[key];
    return `${name}.prototype got ${keys.join(", ")}`;
  }
  return undefined;
}
