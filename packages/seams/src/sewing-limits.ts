import { meshArea, type Point } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { dartFigures } from "./dart-figures";
import type { FoundGroup, Verified } from "./finish-plan";
import {
  GIVEN,
  necks,
  RIM,
  sharpCorners,
  tightBends,
  type FlatOutline,
  type OutlineFault,
} from "./flat-outline";
import type { SewabilityRules } from "./types";

/** The search measures panels on a coarser copy, which has a few percent less area than the form. */
const COPY = 0.9;

/** Groups whose darts came out too small to be sewn on the full form: their cloth is eased instead. */
export function crumbs(rules: SewabilityRules, groups: readonly FoundGroup[], done: Verified): FoundGroup[] {
  let at = 0;
  return groups.filter((group) => {
    const cuts = group.paths.map(() => at++);
    if (group.locked || (group.kind !== "dart" && group.kind !== "fold")) return false;
    return cuts.some((cut) => {
      const dart = dartFigures(done, cut);
      return dart && (dart.length < rules.minDartLength || dart.mouth < rules.minDartWidth);
    });
  });
}

/** What a maker should know about the suggested cuts as they finally lie, one issue a cut and kind. */
export function sewingIssues(
  rules: SewabilityRules,
  ids: readonly string[],
  done: Pick<Verified, "cutting" | "flat">,
): Issue[] {
  const out = new Map<string, Issue>();
  const tell = (
    code: string,
    cut: number,
    found: number,
    limit: number,
    message: string,
    fix: string,
  ): void => {
    const key = `${code} ${cut}`;
    const known = out.get(key);
    if (known && (known.found as number) <= found) return;
    out.set(key, { code, severity: "note", message, at: { seam: ids[cut] }, found, limit, fix });
  };
  const each = (faults: readonly OutlineFault[], run: (fault: OutlineFault) => void): void =>
    faults.filter(({ cut }) => cut >= 0).forEach(run);
  done.cutting.patches.forEach((patch, i) => {
    const outline = outlineOf(done, i);
    const cut = outline.cut.reduce((last, each) => Math.max(last, each), -1);
    const area = meshArea(patch.mesh);
    if (cut >= 0 && area < COPY * rules.minPanelArea)
      tell(
        "seams/small-panel",
        cut,
        area,
        rules.minPanelArea,
        `${ids[cut]} leaves a panel of only ${(area / 100).toFixed(1)} cm² (${patch.id}).`,
        "Sew it by hand, or take a cloth that gives more.",
      );
    each(necks(outline, rules.minNeck), ({ cut, found }) =>
      tell(
        "seams/narrow-neck",
        cut,
        found,
        rules.minNeck,
        `At ${ids[cut]} the panel is only ${found.toFixed(0)} mm wide.`,
        "Take narrow allowances there, or a cloth that gives more.",
      ),
    );
    each(sharpCorners(outline, rules.minJunctionAngle), ({ cut, found }) =>
      tell(
        "seams/sharp-corner",
        cut,
        found,
        rules.minJunctionAngle,
        `The panel runs to a corner of ${found.toFixed(0)}° at ${ids[cut]}.`,
        "Move the end of the cut along the edge, or reject it.",
      ),
    );
    each(tightBends(outline, rules.minSeamRadius), ({ cut, found }) =>
      tell(
        "seams/tight-bend",
        cut,
        found,
        rules.minSeamRadius,
        `${ids[cut]} bends with a radius of ${found.toFixed(0)} mm.`,
        "Sew it slowly with a short stitch, or by hand.",
      ),
    );
  });
  ids.forEach((id, cut) => {
    const dart = dartFigures(done, cut);
    if (dart && dart.angle > rules.maxDartAngle)
      tell(
        "seams/wide-dart",
        cut,
        -dart.angle,
        rules.maxDartAngle,
        `${id} takes up ${dart.angle.toFixed(0)}°: cut it open and sew it as a seam.`,
        "Cut the wedge out, leaving the allowance.",
      );
  });
  return [...out.values()].map((issue) => ({ ...issue, found: Math.abs(issue.found as number) }));
}

/** The outline of a final panel with the numbers of the cuts on its edges. */
function outlineOf({ cutting, flat }: Pick<Verified, "cutting" | "flat">, index: number): FlatOutline {
  const lines = new Map(cutting.seams.map((seam) => [seam.id, seam.lines]));
  const { positions } = flat.panels[index];
  const points: Point[] = [];
  const cut: number[] = [];
  for (const edge of cutting.patches[index].loops[0]) {
    const own = edge.seam === undefined ? [] : (lines.get(edge.seam) ?? []);
    const suggested = own.find((line) => line.startsWith("#"));
    const number = edge.seam === undefined ? RIM : suggested ? Number(suggested.slice(1)) : GIVEN;
    for (const v of edge.path.slice(0, -1)) {
      points.push([positions[2 * v], positions[2 * v + 1]]);
      cut.push(number);
    }
  }
  return { points, cut: Int32Array.from(cut) };
}
