import { direction, distance, polylineLength, type Point } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Edge, Panel } from "@peltry/pattern";
import type { AllowanceRules, CornerResult, EdgeWidth } from "../types";
import { joinCorner, LEAST_TURN, outward, turnAt, type CornerJoin } from "./corner";
import { MITRE_LIMIT } from "./limits";
import { prepareRing } from "./prepare";
import { endDirection, rawOutline, startDirection, type RawOutline } from "./raw-outline";
import { resolveCorner, resolveWidths } from "./resolve";
import { neighbourLine, turnedFlap, type TurnedEnd } from "./turned-back";

/** A ring made ready: what to unite, and what was decided on the way. */
export interface WorkedRing {
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

/** Decides widths and corners of a ring and lays out its raw cut line. */
export function workRing(
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

  const corner = (i: number, before: number, after: number) => {
    const [one, two] = [ring[(i + n - 1) % n].points, ring[i].points];
    return {
      at: two[0],
      into: endDirection(ring[(i + n - 1) % n]),
      out: startDirection(ring[i]),
      before,
      after,
      room: [polylineLength(one), polylineLength(two)] as const,
      bay: [
        stretch([...one.slice(-3)].reverse(), turns[(i + n - 1) % n]),
        stretch(two.slice(0, 3), turns[(i + 1) % n]),
      ] as const,
    };
  };
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
    const join = isTurned ? joins[i] : full[i];
    const points = [
      ...join.points,
      ...join.pieces.flatMap((piece) => piece.filter((p) => p !== edge.points[0])),
    ];
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
  const cuts = ring.flatMap((edge, i) => {
    if (edge.role !== "fold") return [];
    const next = (i + 1) % n;
    // Where the outline turns inward at an end of the fold, its line runs on through the panel itself.
    const past = (corner: number, neighbour: number): number =>
      turns[corner] > 0 ? widths[neighbour].width * limit + 1 : 0;
    return [beyondFold(edge, past(i, (i + n - 1) % n), past(next, next))];
  });
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

/**
 * Room on the first stretch of a line for a bay at its beginning: half of it where the other end turns inward too.
 *
 * @param line - its first two or three points
 * @param last - turn of the outline where the line is one stretch and ends
 */
function stretch([a, b, c]: readonly Point[], last: number): number {
  const turn = c === undefined ? last : turnAt(direction(a, b), direction(b, c));
  // Seen from the other end a bend inward has the other sign; any bend of the line itself counts as one.
  return distance(a, b) * (c === undefined ? (turn < 0 ? 0.5 : 1) : turn === 0 ? 1 : 0.5);
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
function beyondFold(edge: Edge, pastFirst: number, pastLast: number): Point[] {
  const [a, b] = [edge.points[0], edge.points[edge.points.length - 1]];
  const length = distance(a, b);
  const way: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const out = outward(way);
  const deep = Math.max(pastFirst, pastLast, 1);
  const at = (along: number, away: number): Point => [
    a[0] + way[0] * along + out[0] * away,
    a[1] + way[1] * along + out[1] * away,
  ];
  return [at(-pastFirst, 0), at(-pastFirst, deep), at(length + pastLast, deep), at(length + pastLast, 0)];
}
