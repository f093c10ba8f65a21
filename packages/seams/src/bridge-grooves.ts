import { createSurfaceLocator, triangleArea, type TriangleMesh } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { bridgeForm, FEATURE, vertexAreas, type BridgedForm } from "./bridge-form";
import type { Verified } from "./finish-plan";
import { usedShares } from "./panel-use";
import { triangleMiddle, type PlanInput } from "./plan-input";
import { overrun, type SearchState } from "./search/search-state";
import type { SearchSurface } from "./search/search-surface";

/** Cloth that stands off by less lies on the form, and by more than the other is no cover of it any more, mm. */
const LIES_ON = 1;
const MOST_OFF = 15;
/** Share of what is over the limits that must lie where the cloth bridges. */
const AT_GROOVES = 0.5;

/** The question whether a form's grooves are what keeps a plan from its limits. */
export interface Bridge {
  /** The form as the cloth lies on it, made when first asked for. */
  readonly form: () => BridgedForm;
  /** Whether most of what is over the limits lies in grooves that the cloth would bridge. */
  readonly wouldHelp: (surface: SearchSurface, state: SearchState) => boolean;
  /** The same for a plan on the full form. */
  readonly wouldHelpPlan: (input: PlanInput, done: Verified) => boolean;
  readonly issue: () => Issue;
}

/** Prepares the bridging of a form's grooves. */
export function createBridge(mesh: TriangleMesh): Bridge {
  let made: BridgedForm | undefined;
  const form = (): BridgedForm => (made ??= bridgeForm(mesh));
  const offOf = (t: number): number => {
    const { off } = form();
    return [0, 1, 2].reduce((most, k) => Math.max(most, Math.abs(off[mesh.triangles[3 * t + k]])), 0);
  };
  const helps = (over: readonly { excess: number; triangle: () => number }[]): boolean => {
    const worst = form().off.reduce((most, d) => Math.max(most, Math.abs(d)), 0);
    if (worst < LIES_ON || worst > MOST_OFF) return false;
    let all = 0;
    let there = 0;
    for (const { excess, triangle } of over) {
      all += excess;
      if (offOf(triangle()) >= LIES_ON) there += excess;
    }
    return all > 0 && there >= AT_GROOVES * all;
  };
  return {
    form,
    wouldHelp: (surface, state) => {
      const locator = createSurfaceLocator(mesh);
      return helps(
        state.patches.flatMap((patch, i) =>
          state.measures[i].accepted
            ? []
            : Array.from(patch.baseTriangle, (base, t) => ({
                excess: state.sheets[i].area[t] * overrun(state.used[i][t]),
                triangle: () => locator.nearest(triangleMiddle(surface.mesh, base)).place.triangle,
              })).filter(({ excess }) => excess > 0),
        ),
      );
    },
    wouldHelpPlan: (input, { panels, lines }) =>
      helps(
        panels.flatMap(({ patch, flat, region, triangles }) =>
          Array.from(usedShares(flat, input.fabrics[region]), (used, t) => ({
            excess: triangleArea(patch.mesh, t) * overrun(used),
            triangle: () => lines.refinement.baseTriangle[triangles[t]],
          })).filter(({ excess }) => excess > 0),
        ),
      ),
    issue: () => {
      const { off } = form();
      const worst = off.reduce((most, d) => Math.max(most, d), 0);
      const area = vertexAreas(mesh).reduce((sum, a, v) => sum + (off[v] >= LIES_ON ? a : 0), 0);
      return {
        code: "seams/bridged",
        severity: "note",
        message: `Grooves narrower than about ${FEATURE} mm are bridged, for this cloth cannot follow them: on ${(area / 100).toFixed(0)} cm² it stands up to ${worst.toFixed(0)} mm off the form.`,
        at: {},
        found: Math.round(worst * 10) / 10,
        fix: "Stitch or glue the cloth down in the grooves, round the form off, or take a cloth that gives more.",
      };
    },
  };
}
