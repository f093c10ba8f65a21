import { distance, pointInOutline, signedArea, type Point } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { edgesOutline, type Edge, type Panel } from "@peltry/pattern";
import { EDGE_STRAIN } from "./defaults";
import { clipRuns } from "./internal/clips";
import { joinCorner, LEAST_TURN, outward, turnAt, type CornerJoin } from "./internal/corner";
import { foldedDart } from "./internal/folded-dart";
import { findMerges } from "./internal/merges";
import { notchMarks } from "./internal/notch-marks";
import { prepareRing } from "./internal/prepare";
import { endDirection, rawOutline, startDirection, stripPath, type RawOutline } from "./internal/raw-outline";
import { subtract, unite, type TracedPath } from "./internal/region";
import { checkRules, resolveCorner, resolveWidths } from "./internal/resolve";
import { parted } from "./internal/simple";
import { neighbourLine, turnedFlap, type TurnedEnd } from "./internal/turned-back";
import type { AllowanceRules, CornerResult, EdgeWidth, FoldedDart, Merge, PanelAllowance } from "./types";

/** Longest mitre over the width. @source the default of SVG 2, section 13.5.5, stroke-miterlimit */
export const MITRE_LIMIT = 4;

/**
 * The cut line of a panel: its sew line with an allowance on every edge, corners treated one by one.
 *
 * The cut line goes round counter-clockwise, never crosses or touches itself, and keeps at least each edge's width
 * from that edge, save where a treatment ends an allowance by design (squared, butt, turned-back, a cut-off at a fold).
 * Where a bay is narrower than two allowances they merge, which is reported.
 *
 * @param panel - a panel, or its outline as edges in counter-clockwise order
 * @param rules - widths and treatments; a number is the width of every edge but folds
 * @returns plain data; `issues` holds repairs and remarks
 * @throws PeltryError `allowance/bad-width`, `allowance/bad-mitre-limit`, `allowance/bad-rule`, or a fault of the
 * outline by the codes of `checkOutline`: `pattern/not-a-number`, `pattern/open-outline`, `pattern/crossing-outline`,
 * `pattern/zero-length-edge`, `pattern/short-edge`, `pattern/no-edges`, `pattern/no-area`
 * @remarks One raw outline from per-edge strips and joins, then one union by positive winding: the union of panel,
 * strips and joins is exact on a grid of 0.0001 mm. About n log n; 10,000 points take some 0.2 s.
 */
export function addAllowance(
  panel: Panel | readonly Edge[],
  rules: AllowanceRules | number = {},
): PanelAllowance {
  const given = typeof rules === "number" ? { width: rules } : rules;
  checkRules(given);
  const whole: Pick<Panel, "edges" | "holes" | "darts"> & { id?: string } =
    "edges" in panel ? panel : { edges: panel, darts: [] };
  const outer = workRing(whole.edges, given, whole.id, false, whole.darts);
  const inner = (whole.holes ?? []).map((hole) => workRing(hole, given, whole.id, true, whole.darts));
  const rings = [outer, ...inner];
  const issues = rings.flatMap((ring) => ring.issues);

  // Only the outer outline is traced back to its sew points.
  const bare = (path: TracedPath): Point[] => path.points;
  let paths = unite([
    outer.raw.path,
    ...outer.raw.pieces,
    ...inner.flatMap((ring) => [ring.raw.path, ...ring.raw.pieces].map(bare)),
    ...rings.flatMap((ring) => ring.flaps),
  ]);
  const foldedDarts: FoldedDart[] = [];
  const dartPieces: Point[][] = [];
  for (const dart of whole.darts.filter((one) => !one.cut)) {
    const legs = legsOf(rings, dart.legs);
    if (!legs) continue;
    const widest = Math.max(...rings.flatMap((ring) => ring.widths.map((one) => one.width)));
    const length = Math.max(...legs.map((leg) => distance(leg.points[0], leg.points[leg.points.length - 1])));
    const base = paths.map((path) => path.points);
    const { pieces, result } = foldedDart(
      dart,
      legs,
      base,
      length + (widest + 1) * (given.mitreLimit ?? MITRE_LIMIT),
      given.dartsPressed ?? "after",
    );
    dartPieces.push(...pieces);
    foldedDarts.push(result);
  }
  if (dartPieces.length > 0)
    paths = unite([...paths, ...dartPieces.flatMap((piece) => unite([piece]).map(bare))]);
  const cuts = rings.flatMap((ring) => ring.cuts);
  if (cuts.length > 0) paths = subtract(paths, cuts);

  const cut = largestOf(paths);
  const merges = findMerges(
    cut,
    outer.ring,
    outer.widths.map((one) => one.width),
    outer.covered,
  );
  issues.push(...merges.map((merge) => mergeIssue(merge, whole.id)));
  const { outline: cutLine, grown } = parted(cut.points, false);
  if (grown > 0) {
    issues.push({
      code: "allowance/repaired-touch",
      severity: "note",
      message: `The cut line touched itself; it was moved out by ${grown} mm.`,
      at: place(whole.id),
      found: grown,
      fix: "Nothing to do.",
    });
  }
  const sewLine = edgesOutline(outer.ring);
  const holes = paths
    .filter((path) => path !== cut && signedArea(path.points) < 0)
    .map((path) => parted(path.points, true).outline);
  issues.push(...holeIssues(holes, inner, sewLine, whole.id));

  const sides = rings.flatMap((ring) => ring.ring.map((edge, i) => ({ edge, width: ring.widths[i].width })));
  const strain = given.edgeStrain ?? EDGE_STRAIN[given.cloth ?? ((given.pileMm ?? 0) > 0 ? "pile" : "woven")];
  const lines = [cutLine, ...holes];
  return {
    cutLine,
    holes,
    sewLine,
    widths: rings.flatMap((ring) => ring.widths),
    corners: rings.flatMap((ring) => ring.corners),
    notches: rings.flatMap((ring, r) =>
      ring.ring.flatMap((edge, i) =>
        notchMarks(edge, ring.widths[i].width, r === 0 ? cutLine : lines.flat(), given),
      ),
    ),
    clips: sides.flatMap(({ edge, width }) =>
      edge.role === "fold" || edge.role === "raw"
        ? []
        : clipRuns(edge, width, strain, given.pressing ?? "open"),
    ),
    trimStrips:
      (given.pileMm ?? 0) > 0
        ? sides
            .filter(({ edge, width }) => width > 0 && edge.role !== "raw")
            .map(({ edge, width }) => ({
              edge: edge.id,
              width,
              outlines: unite([stripPath(edge.points, width)]).map((path) => path.points),
            }))
        : [],
    foldedDarts,
    merges,
    issues,
  };
}

interface WorkedRing {
  readonly ring: readonly Edge[];
  readonly widths: EdgeWidth[];
  readonly corners: CornerResult[];
  readonly raw: RawOutline;
  /** Closed counter-clockwise pieces of allowances that are folded back. */
  readonly flaps: Point[][];
  /** Closed pieces to take away at folds. */
  readonly cuts: Point[][];
  /** Edges of which a flap or a dart covers stretches by design. */
  readonly covered: readonly boolean[];
  readonly issues: Issue[];
}

function workRing(
  edges: readonly Edge[],
  rules: AllowanceRules,
  panel: string | undefined,
  hole: boolean,
  darts: Panel["darts"],
): WorkedRing {
  const { ring, issues } = prepareRing(edges, panel, hole);
  const resolved = resolveWidths(ring, rules, panel);
  const folded = new Set(darts.filter((dart) => !dart.cut).flatMap((dart) => dart.legs));
  const widths = resolved.widths.map((one) =>
    folded.has(one.edge) ? { ...one, width: 0, from: "folded-dart" } : one,
  );
  const limit = rules.mitreLimit ?? MITRE_LIMIT;
  const n = ring.length;
  const asked = ring.map((edge, i) => resolveCorner(ring[(i + n - 1) % n], edge, rules));
  const turns = ring.map((edge, i) => turnAt(endDirection(ring[(i + n - 1) % n]), startDirection(edge)));
  // Which edge of corner i is turned back: the one before it, the one after it, or none.
  const turned = asked.map((rule, i): "before" | "after" | undefined => {
    if (rule.treatment !== "turned-back") return undefined;
    const degrees = (turns[i] * 180) / Math.PI;
    if (degrees < LEAST_TURN || degrees > 180 - LEAST_TURN) return undefined;
    const before = ring[(i + n - 1) % n];
    const side = rule.turned ?? (before.role === "hem" && ring[i].role !== "hem" ? "before" : "after");
    return widths[side === "before" ? (i + n - 1) % n : i].width > 0 ? side : undefined;
  });
  const isFlap = ring.map((_, i) => turned[i] === "after" || turned[(i + 1) % n] === "before");
  const bare = widths.map((one, i) => (isFlap[i] ? 0 : one.width));

  const corner = (i: number, before: number, after: number) => ({
    at: ring[i].points[0],
    into: endDirection(ring[(i + n - 1) % n]),
    out: startDirection(ring[i]),
    before,
    after,
  });
  const full = ring.map((_, i): CornerJoin => {
    const shape = corner(i, widths[(i + n - 1) % n].width, widths[i].width);
    return joinCorner(shape, asked[i].treatment, limit, asked[i].length);
  });
  const joins = ring.map((_, i): CornerJoin => {
    const before = (i + n - 1) % n;
    if (!isFlap[i] && !isFlap[before]) return full[i];
    return joinCorner(corner(i, bare[before], bare[i]), "mitred", limit);
  });
  const flaps: Point[][] = [];
  ring.forEach((edge, i) => {
    if (!isFlap[i]) return;
    const next = (i + 1) % n;
    const ends: { first?: TurnedEnd; last?: TurnedEnd } = {};
    const closing: Point[][] = [];
    if (turned[i] === "after") {
      const neighbour = ring[(i + n - 1) % n];
      ends.first = {
        corner: edge.points[0],
        fold: startDirection(edge),
        neighbour: neighbourLine(neighbour.points, bare[(i + n - 1) % n], false),
      };
    } else closing.push(...joinPieces(corner(i, widths[(i + n - 1) % n].width, widths[i].width), full[i]));
    if (turned[next] === "before") {
      ends.last = {
        corner: edge.points[edge.points.length - 1],
        fold: endDirection(edge),
        neighbour: neighbourLine(ring[next].points, bare[next], true),
      };
    } else closing.push(...joinPieces(corner(next, widths[i].width, widths[next].width), full[next]));
    flaps.push(...turnedFlap(edge.points, widths[i].width, ends, closing));
  });
  const corners = ring.map((edge, i): CornerResult => {
    const before = (i + n - 1) % n;
    const wide = Math.max(widths[before].width, widths[i].width);
    const isTurned = turned[i] !== undefined;
    const points = isTurned ? joins[i].points : full[i].points;
    const why = isTurned
      ? undefined
      : asked[i].treatment === "turned-back" && full[i].used !== "inner" && full[i].used !== "none"
        ? "the corner is too flat, too sharp or too narrow to fold back"
        : full[i].why;
    return {
      before: ring[before].id,
      after: edge.id,
      point: edge.points[0],
      angle: 180 - (turns[i] * 180) / Math.PI,
      asked: asked[i].treatment,
      used: isTurned ? "turned-back" : full[i].used,
      ...(why === undefined ? {} : { why }),
      points,
      ratio: wide > 0 ? Math.max(...points.map((p) => distance(p, edge.points[0]))) / wide : 0,
    };
  });
  const cuts = ring.flatMap((edge, i) =>
    edge.role === "fold"
      ? [beyondFold(edge, Math.max(widths[(i + n - 1) % n].width, widths[(i + 1) % n].width), limit)]
      : [],
  );
  return {
    ring,
    widths,
    corners,
    raw: rawOutline(ring, bare, joins),
    flaps,
    cuts,
    covered: ring.map((edge, i) => isFlap[i] || edge.role === "dart"),
    issues: [...issues, ...resolved.issues],
  };
}

function joinPieces(
  shape: { at: Point; into: Point; out: Point; before: number; after: number },
  join: CornerJoin,
): Point[][] {
  if (join.used === "inner") return join.pieces;
  const cap = (d: Point, width: number): Point => {
    const out = outward(d);
    return [shape.at[0] + out[0] * width, shape.at[1] + out[1] * width];
  };
  return [
    [shape.at, cap(shape.into, shape.before), ...join.points, cap(shape.out, shape.after)],
    ...join.pieces,
  ];
}

/** The other side of a fold, as far as a neighbour's allowance can reach: the cloth is mirrored there, not cut. */
function beyondFold(edge: Edge, width: number, limit: number): Point[] {
  const [a, b] = [edge.points[0], edge.points[edge.points.length - 1]];
  const length = distance(a, b);
  const way: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const out = outward(way);
  const more = width * limit + 1;
  const at = (along: number, away: number): Point => [
    a[0] + way[0] * along + out[0] * away,
    a[1] + way[1] * along + out[1] * away,
  ];
  return [at(-more, 0), at(-more, more), at(length + more, more), at(length + more, 0)];
}

function legsOf(rings: readonly WorkedRing[], ids: readonly [string, string]): [Edge, Edge] | undefined {
  for (const { ring } of rings) {
    const [into, out] = ids.map((id) => ring.find((edge) => edge.id === id));
    if (into && out) return [into, out];
  }
  return undefined;
}

function largestOf(paths: readonly TracedPath[]): TracedPath {
  let best: TracedPath | undefined;
  let most = 0;
  for (const path of paths) {
    const area = signedArea(path.points);
    if (area > most) [best, most] = [path, area];
  }
  return (
    best ??
    fail(
      "pattern/no-area",
      "The outline is smaller than a hundredth of a millimetre.",
      {},
      { fix: "Check the unit: mm are meant." },
    )
  );
}

const place = (panel: string | undefined): { panel?: string } => (panel === undefined ? {} : { panel });

function mergeIssue(merge: Merge, panel: string | undefined): Issue {
  const round = (x: number): number => Math.round(x * 10) / 10;
  return {
    code: "allowance/bay-merged",
    severity: "warning",
    message:
      `The allowances of ${merge.edges.join(", ")} run into each other: ${round(merge.length)} mm of sew line lie up to ` +
      `${round(merge.depth)} mm behind the cut line and cannot be cut apart there.`,
    at: { ...place(panel), edge: merge.edges[0], point: merge.point },
    found: merge.depth,
    fix: "Make the allowance narrower than half of the bay, or face this stretch.",
  };
}

function holeIssues(
  holes: readonly (readonly Point[])[],
  inner: readonly WorkedRing[],
  sewLine: readonly Point[],
  panel: string | undefined,
): Issue[] {
  const issues: Issue[] = [];
  for (const ring of inner) {
    const sew = edgesOutline(ring.ring);
    if (holes.some((hole) => pointInOutline(hole[0], sew) !== "outside")) continue;
    issues.push({
      code: "allowance/hole-closed",
      severity: "warning",
      message: "The allowance of the hole meets in its middle: nothing is left to cut out.",
      at: { ...place(panel), edge: ring.ring[0].id },
      fix: "Cut the hole open with a slit that branches to its corners, or face it.",
    });
  }
  for (const hole of holes) {
    if (pointInOutline(hole[0], sewLine) !== "outside") continue;
    issues.push({
      code: "allowance/pocket-closed",
      severity: "warning",
      message: "The allowance closes the mouth of a bay: an inner cut line is left behind it.",
      at: { ...place(panel), point: hole[0] },
      fix: "Make the allowance at the mouth narrower than half of its width.",
    });
  }
  return issues;
}
