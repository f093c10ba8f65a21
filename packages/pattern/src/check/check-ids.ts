import type { Issue, Place } from "@peltry/issues";
import { panelEdges } from "../outline";
import type { Edge, EdgeRef, Panel, Pattern, Seam } from "../types";

/** Faults of names: two things with one id, ids that point nowhere, seams that lack a side. */
export function checkIds(pattern: Pattern): Issue[] {
  return [
    ...doubled(pattern.panels, (panel) => ({ panel: panel.id }), "panel"),
    ...doubled(pattern.seams, (seam) => ({ seam: seam.id }), "seam"),
    ...doubledLetters(pattern.seams),
    ...pattern.panels.flatMap((panel) => panelIds(panel)),
    ...pattern.seams.flatMap((seam) => seamSides(pattern, seam)),
    ...pattern.panels.flatMap((panel) => edgeSeams(pattern, panel)),
  ];
}

function doubled<T extends { readonly id: string }>(
  things: readonly T[],
  at: (thing: T) => Place,
  word: string,
): Issue[] {
  const seen = new Set<string>();
  const issues: Issue[] = [];
  for (const thing of things) {
    if (seen.has(thing.id)) {
      issues.push({
        code: `pattern/doubled-${word}-id`,
        severity: "error",
        message: `Two ${word}s are called ${thing.id}.`,
        at: at(thing),
        fix: "Give each its own id.",
      });
    }
    if (thing.id === "") {
      issues.push({
        code: "pattern/empty-id",
        severity: "error",
        message: `A ${word} has an empty id.`,
        at: at(thing),
        fix: "Give it an id.",
      });
    }
    seen.add(thing.id);
  }
  return issues;
}

function doubledLetters(seams: readonly Seam[]): Issue[] {
  const first = new Map<string, string>();
  const issues: Issue[] = [];
  for (const seam of seams) {
    const other = first.get(seam.letter);
    if (other !== undefined) {
      issues.push({
        code: "pattern/doubled-letter",
        severity: "warning",
        message: `Seams ${other} and ${seam.id} both carry the letter ${seam.letter}.`,
        at: { seam: seam.id },
        fix: "Give each seam its own letter.",
      });
    } else first.set(seam.letter, seam.id);
  }
  return issues;
}

function panelIds(panel: Panel): Issue[] {
  return [
    ...doubled(panelEdges(panel), (edge) => ({ panel: panel.id, edge: edge.id }), "edge"),
    ...doubled(panel.darts, () => ({ panel: panel.id }), "dart"),
    ...doubled(panel.markings, () => ({ panel: panel.id }), "marking"),
  ];
}

function seamSides(pattern: Pattern, seam: Seam): Issue[] {
  const issues: Issue[] = doubled(seam.matchPoints, () => ({ seam: seam.id }), "match-point");
  for (const side of ["a", "b"] as const) {
    const ref = seam[side];
    const place = { seam: seam.id, panel: ref.panel, edge: ref.edge };
    const panel = pattern.panels.find((one) => one.id === ref.panel);
    const edge = panel && panelEdges(panel).find((one) => one.id === ref.edge);
    if (!panel || !edge) {
      issues.push({
        code: "pattern/missing-seam-partner",
        severity: "error",
        message: `Side ${side} of seam ${seam.id} is edge ${ref.edge} of panel ${ref.panel}, but there is no such ${panel ? "edge" : "panel"}.`,
        at: place,
        fix: "Name an edge that is there, or leave the seam out.",
      });
    } else if (edge.seam !== seam.id) {
      issues.push({
        code: "pattern/one-sided-seam",
        severity: "error",
        message: `Seam ${seam.id} names this edge, but the edge names ${edge.seam === undefined ? "no seam" : `seam ${edge.seam}`}.`,
        at: place,
        fix: `Write seam: ${seam.id} on the edge, or name another edge in the seam.`,
      });
    }
  }
  if (same(seam.a, seam.b)) {
    issues.push({
      code: "pattern/seam-to-itself",
      severity: "error",
      message: `Both sides of seam ${seam.id} are one edge.`,
      at: { seam: seam.id, panel: seam.a.panel, edge: seam.a.edge },
      fix: "Split the edge in two, or give a copy of the panel its own id.",
    });
  }
  return issues;
}

function same(one: EdgeRef, two: EdgeRef): boolean {
  return one.panel === two.panel && one.edge === two.edge;
}

function edgeSeams(pattern: Pattern, panel: Panel): Issue[] {
  return panelEdges(panel).flatMap((edge) => edgeSeam(pattern, panel, edge));
}

function edgeSeam(pattern: Pattern, panel: Panel, edge: Edge): Issue[] {
  const at = { panel: panel.id, edge: edge.id };
  if (edge.seam === undefined) {
    if (edge.role !== "seam") return [];
    return [
      {
        code: "pattern/missing-seam-partner",
        severity: "error",
        message: "The edge is to be sewn, but no seam says to what.",
        at,
        fix: "Name its seam, or give it another role: hem, fold, opening or raw.",
      },
    ];
  }
  const seam = pattern.seams.find((one) => one.id === edge.seam);
  if (!seam) {
    return [
      {
        code: "pattern/missing-seam-partner",
        severity: "error",
        message: `The edge belongs to seam ${edge.seam}, but there is no such seam.`,
        at: { ...at, seam: edge.seam },
        fix: "Add the seam, or name another.",
      },
    ];
  }
  const here = { panel: panel.id, edge: edge.id };
  if (same(seam.a, here) || same(seam.b, here)) {
    if (edge.role === "seam" || edge.role === "dart" || edge.role === "opening") return [];
    return [
      {
        code: "pattern/role-with-seam",
        severity: "warning",
        message: `The edge is a ${edge.role} yet belongs to seam ${seam.id}.`,
        at: { ...at, seam: seam.id },
        fix: "Give it the role seam, or take the seam away.",
      },
    ];
  }
  return [
    {
      code: "pattern/one-sided-seam",
      severity: "error",
      message: `The edge names seam ${seam.id}, but that seam joins two other edges.`,
      at: { ...at, seam: seam.id },
      fix: "Name the edge as a side of the seam, or take the seam off the edge.",
    },
  ];
}
