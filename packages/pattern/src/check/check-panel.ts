import {
  distance,
  distanceToOutline,
  distanceToSegment,
  outlineCrossings,
  pointInOutline,
  polylineLength,
} from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { edgesOutline, panelEdges } from "../outline";
import type { Dart, Edge, Marking, Panel, Pattern } from "../types";
import { CHECK_LIMITS, mm } from "./limits";

/** Faults inside one panel: folds that bend, darts that do not close, markings outside, directions left out. */
export function checkPanelContents(panel: Panel, fabrics: Pattern["fabrics"]): Issue[] {
  const sound = panelEdges(panel).every(
    (edge) => edge.points.length > 1 && edge.points.flat().every(Number.isFinite),
  );
  return [
    ...countFaults(panel),
    ...directionFaults(panel),
    ...fabricFaults(panel, fabrics),
    ...(sound ? panelEdges(panel).flatMap((edge) => foldFaults(panel, edge)) : []),
    ...panel.darts.flatMap((dart) => (sound ? dartFaults(panel, dart) : [])),
    ...looseLegs(panel),
    ...panel.markings.flatMap((marking) => markingFaults(panel, marking, sound, fabrics)),
  ];
}

function countFaults(panel: Panel): Issue[] {
  if (Number.isInteger(panel.count) && panel.count > 0) return [];
  return [
    {
      code: "pattern/bad-count",
      severity: "error",
      message: `The panel is to be cut ${panel.count} times.`,
      at: { panel: panel.id },
      found: panel.count,
      limit: "1, 2, 3 …",
      fix: "Give a whole number from 1.",
    },
  ];
}

function directionFaults(panel: Panel): Issue[] {
  return (["pile", "stretch", "grain"] as const).flatMap((key) => {
    const angle = panel[key];
    if (angle === undefined || Number.isFinite(angle)) return [];
    return [
      {
        code: "pattern/not-a-number",
        severity: "error" as const,
        message: `The ${key} direction is ${angle}.`,
        at: { panel: panel.id, path: [key] },
        fix: "Give degrees counter-clockwise from +x.",
      },
    ];
  });
}

function fabricFaults(panel: Panel, fabrics: Pattern["fabrics"]): Issue[] {
  if (!fabrics) return [];
  const fabric = fabrics.find((one) => one.id === panel.fabric);
  const at = { panel: panel.id, material: panel.fabric };
  if (!fabric) {
    return [
      {
        code: "pattern/unknown-fabric",
        severity: "error",
        message: `The panel is of fabric ${panel.fabric}, which the pattern's list of fabrics does not have.`,
        at,
        fix: "Add the fabric to the list, or name another.",
      },
    ];
  }
  if ((fabric.pileMm ?? 0) <= 0 || panel.pile !== undefined) return [];
  return [
    {
      code: "pattern/pile-missing",
      severity: "warning",
      message: `Fabric ${fabric.name} has a pile of ${mm(fabric.pileMm ?? 0)}, but the panel does not say which way it lies.`,
      at,
      fix: "Give pile in degrees; -90 lies down the page.",
    },
  ];
}

function foldFaults(panel: Panel, edge: Edge): Issue[] {
  if (edge.role !== "fold") return [];
  const [first, last] = [edge.points[0], edge.points[edge.points.length - 1]];
  const off = Math.max(...edge.points.map((p) => distanceToSegment(p, first, last)));
  if (off <= CHECK_LIMITS.foldMm) return [];
  return [
    {
      code: "pattern/fold-not-straight",
      severity: "error",
      message: `The fold leaves its straight line by ${mm(off)}.`,
      at: { panel: panel.id, edge: edge.id },
      found: off,
      limit: CHECK_LIMITS.foldMm,
      fix: "Make it straight, or make it a seam and cut two.",
    },
  ];
}

function dartFaults(panel: Panel, dart: Dart): Issue[] {
  const issues: Issue[] = [];
  const say = (code: string, message: string, more: Partial<Issue> = {}): void => {
    issues.push({
      code,
      severity: "error",
      message: `Dart ${dart.id}: ${message}`,
      at: { panel: panel.id, edge: dart.legs[0] },
      ...more,
    });
  };
  const [into, out] = dart.legs.map((id) => panelEdges(panel).find((edge) => edge.id === id));
  if (!into || !out) {
    say("pattern/dart-leg-missing", `there is no edge ${into ? dart.legs[1] : dart.legs[0]}.`, {
      fix: "Name both legs.",
    });
    return issues;
  }
  const ring = [panel.edges, ...(panel.holes ?? [])].find((edges) => edges.includes(into)) ?? panel.edges;
  if (ring[(ring.indexOf(into) + 1) % ring.length] !== out) {
    say("pattern/dart-legs-apart", `leg ${out.id} does not follow leg ${into.id} in the outline.`, {
      fix: "Name the legs in outline order: into the tip, out of the tip.",
    });
    return issues;
  }
  for (const leg of [into, out]) {
    if (leg.role === "dart") continue;
    say("pattern/dart-leg-role", `leg ${leg.id} has the role ${leg.role}.`, {
      fix: "Give both legs the role dart.",
    });
  }
  const reach = (dart.tipRadius ?? 0) * 2 + CHECK_LIMITS.notchMm;
  const tip = into.points[into.points.length - 1];
  if (distance(tip, dart.tip) > reach) {
    say("pattern/dart-tip-off", `its legs meet ${mm(distance(tip, dart.tip))} from its tip.`, {
      found: distance(tip, dart.tip),
      limit: reach,
      fix: "Put the tip where the legs meet.",
    });
  }
  const [one, two] = [polylineLength(into.points), polylineLength(out.points)];
  if (Math.abs(one - two) > CHECK_LIMITS.dartLegMm) {
    say("pattern/dart-legs-unequal", `its legs are ${mm(one)} and ${mm(two)} long.`, {
      found: Math.abs(one - two),
      limit: CHECK_LIMITS.dartLegMm,
      fix: "True the dart: trueDart moves one mouth corner so that both legs are equal.",
    });
  }
  const mouth = distance(into.points[0], out.points[out.points.length - 1]);
  if (Math.abs(mouth - dart.intake) > CHECK_LIMITS.dartLegMm) {
    say(
      "pattern/dart-intake-off",
      `its intake is given as ${mm(dart.intake)}, its mouth is ${mm(mouth)} wide.`,
      {
        found: dart.intake,
        limit: mouth,
        fix: "Write the width of the mouth.",
      },
    );
  }
  if (Math.abs((one + two) / 2 - dart.length) > Math.max(1, dart.length * 0.01)) {
    say(
      "pattern/dart-length-off",
      `its length is given as ${mm(dart.length)}, its legs are ${mm((one + two) / 2)}.`,
      {
        severity: "warning",
        found: dart.length,
        limit: (one + two) / 2,
        fix: "Write the length of the legs.",
      },
    );
  }
  if (one < CHECK_LIMITS.smallDartLengthMm || mouth < CHECK_LIMITS.smallDartIntakeMm) {
    say("pattern/small-dart", `${mm(one)} long with ${mm(mouth)} intake is hard to sew.`, {
      severity: "note",
      fix: "Ease the fullness in instead.",
      source: "common practice, no source",
    });
  }
  return issues;
}

function looseLegs(panel: Panel): Issue[] {
  const legs = new Set(panel.darts.flatMap((dart) => dart.legs));
  return panelEdges(panel)
    .filter((edge) => edge.role === "dart" && !legs.has(edge.id))
    .map((edge) => ({
      code: "pattern/loose-dart-leg",
      severity: "error" as const,
      message: "The edge is a dart leg, but no dart names it.",
      at: { panel: panel.id, edge: edge.id },
      fix: "Add the dart, or give the edge another role.",
    }));
}

const POINTS_NEEDED = { line: 2, drill: 1, area: 3, text: 1 } as const;

function markingFaults(panel: Panel, marking: Marking, sound: boolean, fabrics: Pattern["fabrics"]): Issue[] {
  const issues: Issue[] = [];
  const at = { panel: panel.id, path: ["markings", marking.id] };
  const say = (code: string, message: string, more: Partial<Issue> = {}): void => {
    issues.push({ code, severity: "error", message: `Marking ${marking.id}: ${message}`, at, ...more });
  };
  const bad = marking.points.findIndex((p) => p.length !== 2 || !p.every(Number.isFinite));
  if (bad >= 0) {
    say("pattern/not-a-number", `point ${bad} is (${marking.points[bad].join(", ")}).`, {
      at: { ...at, index: bad },
    });
    return issues;
  }
  const needed = POINTS_NEEDED[marking.kind];
  if (marking.points.length < needed) {
    say(
      "pattern/marking-points",
      `a ${marking.kind} takes ${needed} point${needed > 1 ? "s" : ""}, it has ${marking.points.length}.`,
      {
        found: marking.points.length,
        limit: needed,
        fix: "Give its points.",
      },
    );
    return issues;
  }
  if (marking.kind === "area" && outlineCrossings(marking.points).length > 0) {
    say("pattern/crossing-outline", "its outline meets itself.", { fix: "Draw it as one plain round." });
  }
  if (marking.kind === "text" && !marking.label) {
    say("pattern/empty-text", "it has no words.", { severity: "warning", fix: "Give its label." });
  }
  if (
    marking.kind === "area" &&
    (marking.method === "applied" || marking.method === "let-in") &&
    !marking.fabric
  ) {
    say("pattern/marking-fabric", `it is ${marking.method}, but no fabric is named.`, {
      fix: "Name its fabric.",
    });
  }
  if (marking.fabric !== undefined && fabrics && !fabrics.some((fabric) => fabric.id === marking.fabric)) {
    say("pattern/unknown-fabric", `fabric ${marking.fabric} is not in the pattern's list.`, {
      fix: "Add it to the list.",
    });
  }
  if (sound) issues.push(...strays(panel, marking, at));
  return issues;
}

function strays(panel: Panel, marking: Marking, at: Issue["at"]): Issue[] {
  const outline = edgesOutline(panel.edges);
  const holes = (panel.holes ?? []).map(edgesOutline);
  let worst = 0;
  let where = marking.points[0];
  for (const p of marking.points) {
    const out = pointInOutline(p, outline) === "outside" ? distanceToOutline(p, outline) : 0;
    const inHole = Math.max(
      0,
      ...holes.map((hole) => (pointInOutline(p, hole) === "inside" ? distanceToOutline(p, hole) : 0)),
    );
    const off = Math.max(out, inHole);
    if (off > worst) [worst, where] = [off, p];
  }
  if (worst <= CHECK_LIMITS.outsideMm) return [];
  return [
    {
      code: "pattern/marking-outside",
      severity: "error",
      message: `Marking ${marking.id} reaches ${mm(worst)} outside the panel.`,
      at: { ...at, point: where },
      found: worst,
      limit: CHECK_LIMITS.outsideMm,
      fix: "Move it inside, or clip it to the outline.",
    },
  ];
}
