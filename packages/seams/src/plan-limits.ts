import type { TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { verify } from "./finish-plan";
import { curveTo, suggestedTotals } from "./plan-curve";
import { inputOf, planOf, solvePlan, type Solved } from "./plan-seams";
import type { PlanOptions, SeamPlan } from "./types";

/** A plan for one limit. */
export interface LimitPlan {
  readonly limit: number;
  readonly plan: SeamPlan;
}

/**
 * Plans one form for several strain limits, so that their seams can be compared. A plan that keeps a limit keeps every looser
 * one too, and is carried over where the search finds nothing cheaper there: a looser limit never costs more seam.
 *
 * @param limits - strain within ± these fractions in every direction
 * @param options - as for {@link planSeams}, `limit` apart; fabrics that state limits of their own are not changed
 * @returns one plan for each limit, in the order given
 * @throws `seams/bad-option` for no limits, and the errors of {@link planSeams}
 */
export function planLimits(
  mesh: TriangleMesh,
  limits: readonly number[],
  options: Omit<PlanOptions, "limit"> = {},
): LimitPlan[] {
  if (limits.length === 0) {
    fail(
      "seams/bad-option",
      "There are no limits to plan for.",
      { path: ["limits"] },
      { fix: "Give at least one." },
    );
  }
  // Every limit is read before the first is planned.
  for (const limit of limits) inputOf(mesh, { ...options, limit });
  const found = new Map<number, SeamPlan>();
  let tighter: Solved | undefined;
  for (const limit of [...new Set(limits)].sort((a, b) => a - b)) {
    const own = solvePlan(mesh, { ...options, limit });
    tighter = (tighter && carried(mesh, { ...options, limit }, tighter, own)) ?? own;
    found.set(limit, planOf(tighter));
  }
  return limits.map((limit) => ({ limit, plan: found.get(limit)! }));
}

/** The plan of a tighter limit at a looser one, where that is the better; undefined where it is not. */
function carried(mesh: TriangleMesh, options: PlanOptions, tighter: Solved, own: Solved): Solved | undefined {
  if (!keepsLimits(tighter)) return undefined;
  if (keepsLimits(own) && suggestedTotals(own.groups).cost <= suggestedTotals(tighter.groups).cost)
    return undefined;
  const input = inputOf(mesh, options);
  const lain = tighter.done.panels.map(({ flat }) => flat.positions);
  let patch = 0;
  const done = verify(input, tighter.groups, () => lain[patch++], {}, tighter.done.fine);
  if (!done || !keepsLimits({ done })) return undefined;
  return { ...own, groups: tighter.groups, input, done, curve: curveTo(own.curve, tighter.groups, done) };
}

function keepsLimits({ done }: Pick<Solved, "done">): boolean {
  return done.valid && done.within;
}
