import { describe, expect, it } from "vitest";
import { surfacePosition, type Point3, type TriangleMesh } from "@peltry/geometry";
import { diskSurface, sphericalCap } from "../../../test-fixtures/src/shapes";
import { inputOf } from "../src/plan-seams";
import { makeSearchForm } from "../src/search-form";
import { isSewable } from "../src/sewability";
import { bentOver } from "../src/search/bend";
import {
  allCuts,
  makeGroup,
  restartMarks,
  worstUse,
  type GreedyOptions,
  type Search,
} from "../src/search/greedy";
import { evaluate } from "../src/search/search-state";
import { FIRST_MARK, type SearchSurface } from "../src/search/search-surface";
import { bend, refill } from "../src/search/unstick";
import { distanceTo } from "./distance-to";

interface Stuck {
  readonly surface: SearchSurface;
  readonly search: Search;
  readonly options: GreedyOptions;
}

/** A form with one dart. */
function withDart(mesh: TriangleMesh, limit: number, line: readonly Point3[], locked = false): Stuck {
  const input = inputOf(mesh, { limit });
  const form = makeSearchForm(input, 2000);
  const surface = form.surface(1);
  restartMarks(FIRST_MARK);
  const path = form.toSearch(line, "start");
  const groups = [makeGroup(surface, "dart", [path], { round: 0, scale: 0, before: 0, after: 0, locked })];
  return {
    surface,
    search: { state: evaluate(surface, allCuts(groups), { steps: 260 })!, groups },
    options: {
      prices: input.prices,
      sewable: (...asked) => isSewable(input.rules, ...asked),
      lasting: () => true,
    },
  };
}

/** A disk of 100 mm slant that lacks 30° of a full turn at its middle, with a dart that ends beside it. */
const cone = (locked = false): Stuck => {
  const sine = 1 - 30 / 360;
  const at = (slant: number, round: number): Point3 => [
    slant * sine * Math.sin(round),
    (100 - slant) * Math.sqrt(1 - sine * sine),
    slant * sine * Math.cos(round),
  ];
  const mesh = diskSurface((w, a) => at(100 * w, a), { triangles: 800 });
  return withDart(mesh, 0.015, [at(100, 0), at(60, 0.15), at(30, 0.4), at(16, 1)], locked);
};

/** A cap with a dart that runs askew, half way up: the peak is over the limit. */
const cap = (locked = false): Stuck => {
  const at = (polar: number, round: number): Point3 => {
    const [p, a] = [(polar * Math.PI) / 180, (round * Math.PI) / 180];
    return [100 * Math.sin(p) * Math.sin(a), 100 * Math.cos(p), 100 * Math.sin(p) * Math.cos(a)];
  };
  const line = [at(60, 0), at(48, 8), at(40, 20), at(36, 32)];
  return withDart(sphericalCap(100, 60, { triangles: 1200 }), 0.04, line, locked);
};

describe("bend", () => {
  it("leads a dart to the point of a cone, which then lies flat [closed form: a cone is developable but at its point]", () => {
    const { surface, search, options } = cone();
    expect(search.state.accepted).toBe(false);
    const found = bend(surface, search, options)!;
    const [{ path }] = found.groups[0].cuts;
    const tip = surfacePosition(surface.mesh, path[path.length - 1]);
    expect(Math.hypot(tip[0], tip[2])).toBeLessThan(1e-9);
    expect(found.state.accepted).toBe(true);
  });

  it("leads a cut over a place and back to its way [metamorphic]", () => {
    const { surface, search } = cap();
    const [group] = search.groups;
    const [{ path }] = group.cuts;
    const place = path[Math.floor(path.length / 2)];
    const line = path.map((point) => surfacePosition(surface.mesh, point));
    const ways = bentOver(surface, group, place, []);
    expect(ways).toHaveLength(2);
    for (const over of ways) {
      const bent = over.cuts[0].path.map((point) => surfacePosition(surface.mesh, point));
      // Over a place that it runs through already it stays where it is, but for corners cut.
      for (const p of bent) expect(distanceTo(line, p)).toBeLessThan(1);
      expect(distanceTo(bent, surfacePosition(surface.mesh, place))).toBeLessThan(1e-9);
    }
    const away = { triangle: 0, weights: [1, 0, 0] } as const;
    // What another cut begins on stays.
    const other = makeGroup(surface, "dart", [[place, away]], {
      round: 1,
      scale: 0,
      before: 0,
      after: 0,
    });
    expect(bentOver(surface, group, place, [other])).toEqual([]);
    expect(distanceTo(line, surfacePosition(surface.mesh, away))).toBeGreaterThan(40);
    expect(bentOver(surface, group, away, [])).toEqual([]);
  });
});

describe("refill", () => {
  it("puts other cuts for the one that is in the way [invariant: what is left over the limits]", () => {
    const { surface, search, options } = cap();
    expect(worstUse(search.state)).toBeGreaterThan(1.5);
    const freed = refill(surface, search, options)!;
    expect(freed.groups).not.toContain(search.groups[0]);
    expect(freed.state.accepted).toBe(true);
    expect(freed.groups.length).toBeLessThanOrEqual(2);
    expect(refill(surface, freed, options)).toBeUndefined();
  });

  it("changes nothing that the person has locked [invariant]", () => {
    for (const { surface, search, options } of [cap(true), cone(true)]) {
      expect(refill(surface, search, options)).toBeUndefined();
      expect(bend(surface, search, options)).toBeUndefined();
    }
  });
});
