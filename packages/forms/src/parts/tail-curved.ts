import type { Point, Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Panel } from "@peltry/pattern";
import { integrate } from "./closed-forms";
import { discEdges } from "./flat-shapes";
import { plainPanel, type Join } from "./made-part";
import { partNumber } from "./number";
import { createSweep, sweepSkin, sweepSolid } from "./sweep";
import { LATER, line, openingShare, type TailOptions, type TailShape } from "./tail-shape";
import { between, coverBase, coverSweep } from "./worn-piece";

/** A tapered tube with a bend, of two sides. */
export function curvedTail(options: TailOptions): TailShape {
  const { length } = options;
  const fabric = options.fabric ?? "fur";
  const baseGirth = partNumber(options.baseGirth ?? length / 2, "baseGirth", 30, 2 * length);
  const tipGirth = partNumber(options.tipGirth ?? 40, "tipGirth", 10, 4 * length);
  const radius = radiusAlong(options, baseGirth, tipGirth);
  const [first, second] = options.bendDeg ?? [60, 0];
  const bends = [partNumber(first, "bendDeg", -360, 360), partNumber(second, "bendDeg", -360, 360)].map(
    (deg) => (deg * Math.PI) / 180,
  );
  const rows = 160;
  // The bend of each half fades in and out, so that the curve has no kink at the middle.
  const turn = (t: number): number => bends[0] * ease(2 * t) + bends[1] * ease(2 * t - 1);
  const curvature = (t: number): number =>
    (bends[0] * slope(2 * t) + bends[1] * slope(2 * t - 1)) * (2 / length);
  const place = (share: number): Point3[] => {
    const points: Point3[] = [[0, 0, 0]];
    for (let i = 1; i <= rows; i++) {
      const [p, part] = [points[i - 1], [(i - 1) / rows, i / rows]];
      points.push([
        0,
        p[1] + integrate((t) => length * Math.cos(share * turn(t)), part[0], part[1], 1),
        p[2] + integrate((t) => length * Math.sin(share * turn(t)), part[0], part[1], 1),
      ]);
    }
    return points;
  };
  const shares = line(rows + 1, (t) => t);
  const tangents = shares.map((t): Point3 => [0, Math.cos(turn(t)), Math.sin(turn(t))]);
  const sweep = createSweep(place(1), shares.map(radius), [0, 0, 1], tangents);
  const issues: Issue[] = [];
  const sharpest = Math.max(...shares.map((t) => Math.abs(curvature(t)) * radius(t)));
  if (sharpest > 0.9) issues.push(tooSharp(sharpest));
  const flatLines = sideLines(
    place(2 / Math.PI),
    shares.map((t) => (2 / Math.PI) * turn(t)),
    shares.map(radius),
  );
  const side = sidePanel(fabric, flatLines, options);
  const mirror: Panel = { ...side, id: "side-left", name: "Tail, left side", edges: mirrored(side) };
  const joins: Join[] = [
    ...["low", "open", "high"].map((part): Join => ({
      a: ["side-right", `under-${part}`],
      b: ["side-left", `under-${part}`],
      ...(part === "open" ? { note: LATER, hand: true } : {}),
    })),
    { a: ["side-right", "top"], b: ["side-left", "top"] },
    { a: ["side-right", "tip"], b: ["side-left", "tip"], note: "Tip: gather and close by hand.", hand: true },
    { a: ["side-right", "base"], b: ["base", "rim-1"], note: "Closing disc" },
    { a: ["side-left", "base"], b: ["base", "rim-2"], note: "Closing disc" },
  ];
  const disc = plainPanel({
    id: "base",
    name: "Closing disc",
    fabric,
    edges: discEdges(radius(0), ["rim-1", "rim-2"]),
    pile: -90,
  });
  const solid = sweepSolid(sweep);
  const skin = sweepSkin(sweep);
  const flatRows = shares.flatMap((_, i) => (i % 4 === 0 ? [i] : []));
  const cover = (panel: string, turned: boolean) =>
    coverSweep(sweep, {
      panel,
      rows: flatRows,
      span: turned ? [0, Math.PI] : [Math.PI, 2 * Math.PI],
      columns: 24,
      flatAt: (r, share) => {
        const [inner, outer] = [flatLines.inner[flatRows[r]], flatLines.outer[flatRows[r]]];
        return turned
          ? between([[-inner[0], inner[1]]], [[-outer[0], outer[1]]])(0, share)
          : between([outer], [inner])(0, share);
      },
    });
  return {
    panels: [side, mirror, disc],
    joins,
    sweep,
    volume: solid.volume,
    skin: skin.area + Math.PI * radius(0) ** 2,
    centre: solid.centre,
    skinCentre: skin.centre,
    radius: radius(0),
    strain: SIDE_STRAIN * sharpest,
    issues,
    worn: [
      cover("side-right", false),
      cover("side-left", true),
      coverBase(
        "base",
        sweep,
        disc.edges.flatMap((edge) => edge.points.slice(0, -1)),
        0,
      ),
    ],
  };
}

/** Most of sin φ − 2 φ / π, where cos φ = 2 / π: how far the middle of a flat side falls behind a bent tube. */
const SIDE_STRAIN = Math.sqrt(1 - 4 / Math.PI ** 2) - (2 / Math.PI) * Math.acos(2 / Math.PI);

function ease(x: number): number {
  const t = Math.min(1, Math.max(0, x));
  return t * t * (3 - 2 * t);
}

function slope(x: number): number {
  return x <= 0 || x >= 1 ? 0 : 6 * x * (1 - x);
}

function radiusAlong(options: TailOptions, baseGirth: number, tipGirth: number): (t: number) => number {
  const [base, tip] = [baseGirth / (2 * Math.PI), tipGirth / (2 * Math.PI)];
  const full = options.fullest;
  if (!full) return (t) => base + (tip - base) * t;
  const at = partNumber(full.at, "fullest.at", 0.05, 0.95);
  const most = partNumber(full.girth, "fullest.girth", 20, 4 * options.length) / (2 * Math.PI);
  return (t) =>
    t < at ? base + (most - base) * ease(t / at) : most + (tip - most) * ease((t - at) / (1 - at));
}

function tooSharp(sharpest: number): Issue {
  return {
    code: "forms/tail-folds",
    severity: "warning",
    message: "The tail bends so sharply that its inner side folds.",
    at: { path: ["bendDeg"] },
    found: Math.round(100 * sharpest) / 100,
    limit: 0.9,
    fix: "Bend it less, or make it thinner or longer.",
    source: "a tube folds where its radius meets its radius of bend: derived here",
  };
}

interface SideLines {
  readonly inner: readonly Point[];
  readonly outer: readonly Point[];
}

/** Right side, flat: the middle turned by 2/π of the bend, half the girth wide; x across, y along. */
function sideLines(middle: readonly Point3[], turns: readonly number[], radii: readonly number[]): SideLines {
  const flat = (i: number, side: 1 | -1): Point => {
    const half = (side * Math.PI * radii[i]) / 2;
    // Along the page: y up the tail, x toward the inner side of a positive bend.
    return [middle[i][2] + half * Math.cos(turns[i]), middle[i][1] - half * Math.sin(turns[i])];
  };
  return { inner: middle.map((_, i) => flat(i, 1)), outer: middle.map((_, i) => flat(i, -1)) };
}

function sidePanel(fabric: string, { inner, outer }: SideLines, options: TailOptions): Panel {
  const last = inner.length - 1;
  const open = openingShare(options, options.length);
  const [from, to] = [Math.round((1 - open[1]) * last), Math.round((1 - open[0]) * last)];
  const down = [...outer].reverse();
  return plainPanel({
    id: "side-right",
    name: "Tail, right side",
    fabric,
    edges: [
      { id: "base", role: "raw", points: [outer[0], inner[0]] },
      { id: "top", role: "raw", points: inner, name: "inner side of the bend" },
      { id: "tip", role: "raw", points: [inner[last], outer[last]] },
      { id: "under-high", role: "raw", points: down.slice(0, last - to + 1) },
      { id: "under-open", role: "raw", points: down.slice(last - to, last - from + 1) },
      { id: "under-low", role: "raw", points: down.slice(last - from) },
    ],
    pile: 90,
    notes: ["Pile, where the cloth has one, runs from the base to the tip (up the page)."],
  });
}

/** The edges of a panel turned over about the y axis, counter-clockwise again. */
function mirrored(panel: Panel): Panel["edges"] {
  return panel.edges
    .map((edge) => ({ ...edge, points: edge.points.map(([x, y]): Point => [-x, y]).reverse() }))
    .reverse();
}
