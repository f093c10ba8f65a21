import { polylineLength } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { findEdge, findPanel } from "../outline";
import type { Edge, EdgeRef, Notch, Pattern, Seam } from "../types";
import { CHECK_LIMITS, mm, seamLengthTolerance } from "./limits";

/** Faults of seams and notches: lengths that differ, ease that does not add up, marks that do not meet. */
export function checkSeams(pattern: Pattern): Issue[] {
  return [
    ...pattern.seams.flatMap((seam) => seamFaults(pattern, seam)),
    ...pattern.panels.flatMap((panel) => {
      const edges = [...panel.edges, ...(panel.holes ?? []).flat()];
      return edges.flatMap((edge) => notchFaults(pattern, { panel: panel.id, edge: edge.id }, edge));
    }),
  ];
}

function edgeOf(pattern: Pattern, ref: EdgeRef): Edge | undefined {
  const panel = findPanel(pattern, ref.panel);
  return panel && findEdge(panel, ref.edge);
}

/**
 * The lengths that meet in a seam, mm, after the declared ease is taken off the eased side.
 *
 * @returns undefined when a side is missing
 */
export function seamLengths(
  pattern: Pattern,
  seam: Seam,
): { a: number; b: number; sewnA: number; sewnB: number } | undefined {
  const edgeA = edgeOf(pattern, seam.a);
  const edgeB = edgeOf(pattern, seam.b);
  if (!edgeA || !edgeB) return undefined;
  const a = polylineLength(edgeA.points);
  const b = polylineLength(edgeB.points);
  const keep = 1 - (seam.ease?.fraction ?? 0);
  return {
    a,
    b,
    sewnA: seam.ease?.side === "a" ? a * keep : a,
    sewnB: seam.ease?.side === "b" ? b * keep : b,
  };
}

function seamFaults(pattern: Pattern, seam: Seam): Issue[] {
  const lengths = seamLengths(pattern, seam);
  if (!lengths || ![lengths.a, lengths.b].every(Number.isFinite)) return [];
  const at = { seam: seam.id, panel: seam.a.panel, edge: seam.a.edge };
  const issues: Issue[] = [];
  if (seam.ease && !(seam.ease.fraction >= 0 && seam.ease.fraction < 1)) {
    issues.push({
      code: "pattern/bad-ease",
      severity: "error",
      message: `The ease of seam ${seam.id} is ${seam.ease.fraction}; it is a part of the eased side's length.`,
      at,
      found: seam.ease.fraction,
      limit: "0 up to 1",
      fix: "Write 0.03 for 3 %.",
    });
    return issues;
  }
  const limit = seamLengthTolerance(Math.max(lengths.sewnA, lengths.sewnB));
  const difference = lengths.sewnA - lengths.sewnB;
  if (Math.abs(difference) > limit) {
    const longer = difference > 0 ? "a" : "b";
    const long = Math.max(lengths.a, lengths.b);
    const fraction = Math.round((1 - Math.min(lengths.a, lengths.b) / long) * 1e4) / 1e4;
    issues.push({
      code: "pattern/seam-lengths-differ",
      severity: "error",
      message:
        `Seam ${seam.id} joins ${seam.a.panel}/${seam.a.edge} of ${mm(lengths.a)} to ${seam.b.panel}/${seam.b.edge} of ${mm(lengths.b)}` +
        `${seam.ease ? `, side ${seam.ease.side} eased by ${seam.ease.fraction * 100} %` : ""}: ${mm(Math.abs(difference))} apart.`,
      at,
      found: Math.abs(difference),
      limit,
      fix: `Make the sides equal, or declare ease { side: ${longer}, fraction: ${fraction} }.`,
    });
  }
  return [...issues, ...matchPointFaults(seam, lengths.a, lengths.b)];
}

function matchPointFaults(seam: Seam, lengthA: number, lengthB: number): Issue[] {
  const issues: Issue[] = [];
  for (const point of seam.matchPoints) {
    for (const [side, at, length] of [
      ["a", point.a, lengthA],
      ["b", point.b, lengthB],
    ] as const) {
      if (at >= -CHECK_LIMITS.notchMm && at <= length + CHECK_LIMITS.notchMm) continue;
      issues.push({
        code: "pattern/match-point-off-edge",
        severity: "error",
        message: `Match point ${point.id} of seam ${seam.id} is at ${mm(at)} of side ${side}, which is ${mm(length)} long.`,
        at: { seam: seam.id, panel: seam[side].panel, edge: seam[side].edge },
        found: at,
        limit: length,
        fix: "Give a length between 0 and the edge's length.",
      });
    }
  }
  const along = [...seam.matchPoints].sort((one, two) => one.a - two.a);
  for (let i = 1; i < along.length; i++) {
    const step = along[i].b - along[i - 1].b;
    if (along[i].a === along[i - 1].a || (seam.reversed ? step < 0 : step > 0)) continue;
    issues.push({
      code: "pattern/match-points-cross",
      severity: "error",
      message: `Match points ${along[i - 1].id} and ${along[i].id} of seam ${seam.id} come in another order on the other side.`,
      at: { seam: seam.id, panel: seam.b.panel, edge: seam.b.edge },
      fix: seam.reversed
        ? "On side b, count from that edge's own first point."
        : "Check whether the seam is reversed.",
    });
  }
  return issues;
}

function notchFaults(pattern: Pattern, here: EdgeRef, edge: Edge): Issue[] {
  const length = polylineLength(edge.points);
  const issues: Issue[] = [];
  for (const notch of edge.notches ?? []) {
    if (!(notch.at >= -CHECK_LIMITS.notchMm && notch.at <= length + CHECK_LIMITS.notchMm)) {
      issues.push({
        code: "pattern/notch-off-edge",
        severity: "error",
        message: `A notch is at ${mm(notch.at)}, but the edge is ${mm(length)} long.`,
        at: here,
        found: notch.at,
        limit: length,
        fix: "Give a length between 0 and the edge's length.",
      });
      continue;
    }
    if (notch.match !== undefined) issues.push(...matchFaults(pattern, here, edge, notch));
  }
  return issues;
}

function matchFaults(pattern: Pattern, here: EdgeRef, edge: Edge, notch: Notch): Issue[] {
  const seam = pattern.seams.find((one) => one.id === edge.seam);
  const point = seam?.matchPoints.find((one) => one.id === notch.match);
  if (!seam || !point) {
    return [
      {
        code: "pattern/unmatched-notch",
        severity: "error",
        message: `The notch at ${mm(notch.at)} stands for match point ${notch.match}, which its seam does not have.`,
        at: here,
        fix: "Add the match point to the seam, or take the match off the notch.",
      },
    ];
  }
  const sideA = seam.a.panel === here.panel && seam.a.edge === here.edge;
  const wanted = sideA ? point.a : point.b;
  const issues: Issue[] = [];
  if (Math.abs(notch.at - wanted) > CHECK_LIMITS.notchMm) {
    issues.push({
      code: "pattern/notch-off-match",
      severity: "error",
      message: `The notch is at ${mm(notch.at)}, its match point ${point.id} at ${mm(wanted)}.`,
      at: { ...here, seam: seam.id },
      found: notch.at,
      limit: wanted,
      fix: "Move the notch or the match point.",
    });
  }
  const partner = edgeOf(pattern, sideA ? seam.b : seam.a)?.notches?.find((one) => one.match === notch.match);
  if (!partner || partner.kind !== notch.kind) {
    issues.push({
      code: "pattern/unmatched-notch",
      severity: "error",
      message: partner
        ? `The notch at ${mm(notch.at)} is ${notch.kind}, its partner on the other side of seam ${seam.id} is ${partner.kind}.`
        : `The notch at ${mm(notch.at)} has no partner on the other side of seam ${seam.id}.`,
      at: { ...here, seam: seam.id },
      fix: "Put the same kind of notch on both sides.",
    });
  }
  return issues;
}
