import { fail } from "./peltry-error";

/** What a long computation reports while it runs. `done` goes from 0 to 1 and never falls. */
export interface Progress {
  readonly stage: string;
  readonly done: number;
}

/** Shared options of long work. */
export interface WorkOptions {
  /** Stops the work: it throws a `PeltryError` with code `work/cancelled` (unless the function says otherwise). */
  readonly signal?: { readonly aborted: boolean } | undefined;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
}

/** Throws `work/cancelled` when the signal has been raised. */
export function throwIfCancelled(signal: WorkOptions["signal"]): void {
  if (signal?.aborted)
    fail("work/cancelled", "The work was cancelled.", {}, { fix: "Run it again without cancelling." });
}
