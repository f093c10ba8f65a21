import type { Point, Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Marking, Panel } from "@peltry/pattern";
import type { Form } from "../types";
import { coneFromSector, integrate, sphereGore } from "./closed-forms";
import { arcPoints, discEdges, edgesArea, rectangleEdges } from "./flat-shapes";
import {
  need,
  plainPanel,
  sewTogether,
  totalMass,
  type Join,
  type MadePart,
  type PartNeed,
} from "./made-part";
import { PART_DENSITIES, statedDensity, wireDensity, type Density } from "./material-densities";
import { partNumber, partWord } from "./number";
import { createSweep, sweepMesh, sweepSkin, sweepSolid, type Sweep } from "./sweep";

export interface TailOptions {
  readonly name?: string | undefined;
  /** `cone`: one straight cone; `curved`: a tapered tube with a bend, of two sides; `puff`: a ball of gores. */
  readonly style?: "cone" | "curved" | "puff" | undefined;
  /** From base to tip along the side of a cone or the middle of a curved tail; diameter of a puff, mm. */
  readonly length: number;
  /** Girth of the base, mm. For a cone `circleFraction` may stand in its place: a third of a circle is 1/3. */
  readonly baseGirth?: number | undefined;
  readonly circleFraction?: number | undefined;
  /** Curved: girth at the tip, mm; 40 by default. And where it is fullest: girth there, at a share of the length. */
  readonly tipGirth?: number | undefined;
  readonly fullest?: { readonly at: number; readonly girth: number } | undefined;
  /** Curved: how far it turns up from base to the middle and from there to the tip, degrees; 60 and 0 by default. */
  readonly bendDeg?: readonly [number, number] | undefined;
  /** Share of a cone's girth that is cut from a second cloth below; 0 by default. */
  readonly underside?: { readonly share: number; readonly fabric: string } | undefined;
  /** Gores of a puff; 6 by default. */
  readonly gores?: number | undefined;
  readonly fabric?: string | undefined;
  readonly fabricGsm?: number | undefined;
  readonly stuffingKgPerM3?: number | undefined;
  /** Core wire through the length, mm diameter, and its metal. */
  readonly wire?: { readonly diameterMm: number; readonly metal: "steel" | "aluminium" } | undefined;
  /** Opening left in a seam for stuffing, mm; 120 by default, less on small tails. */
  readonly stuffingOpening?: number | undefined;
  /** Band that carries it: girth where it is worn, finished width, and overlap at its opening, mm. */
  readonly band?: { readonly girth: number; readonly width?: number; readonly overlap?: number } | undefined;
}

export interface MadeTail extends MadePart {
  /** mm³. */
  readonly stuffingVolume: number;
  /** Most that a cloth side has to stretch between its seams, as a fraction; 0 where the shape unrolls. */
  readonly sideStrain: number;
  /** Turning moment of the hanging tail about its base, N cm: what the band has to hold. */
  readonly baseMomentNcm: number;
}

/**
 * A tail with its closing disc and, where asked, the band it hangs from. Frame: base disc at the origin, tail running
 * along +y of its own frame (curved tails turn toward +z).
 *
 * @throws forms/bad-part
 * @source cone sectors: elementary geometry. The flat side of a bent tube keeps both seam lengths when its middle turns by
 * 2/π of the bend, and then stretches at most 0.2105 κ r in between: derived here
 */
export function makeTail(options: TailOptions): MadeTail {
  const style = partWord(options.style ?? "cone", "style", ["cone", "curved", "puff"]);
  partNumber(options.length, "length", 20, 3000);
  if (style === "curved") return curvedTail(options);
  return style === "puff" ? puffTail(options) : coneTail(options);
}

function coneTail(options: TailOptions): MadeTail {
  const slant = options.length;
  const fraction =
    options.circleFraction !== undefined
      ? partNumber(options.circleFraction, "circleFraction", 0.01, 0.95)
      : partNumber(options.baseGirth ?? slant, "baseGirth", 30, 0.95 * 2 * Math.PI * slant) /
        (2 * Math.PI * slant);
  const cone = coneFromSector(fraction, slant);
  const fabric = options.fabric ?? "fur";
  const under = options.underside;
  const share = under ? partNumber(under.share, "underside.share", 0.1, 0.6) : 0;
  const open = openingShare(options, slant);
  const upper = sectorPanel({ id: "tail", name: "Tail", fabric }, slant, cone.sectorDeg * (1 - share), open);
  const panels = [upper];
  const joins: Join[] = [];
  if (under) {
    panels.push(
      sectorPanel(
        { id: "underside", name: "Tail, underside", fabric: under.fabric },
        slant,
        cone.sectorDeg * share,
        open,
      ),
    );
    joins.push(
      ...sideJoins(["tail", "right"], ["underside", "left"], false),
      ...sideJoins(["tail", "left"], ["underside", "right"], true),
    );
  } else joins.push(...sideJoins(["tail", "right"], ["tail", "left"], true));
  const arcs = panels.map((panel) => [panel.id, "base"] as const);
  const disc = basePanel(cone.radius, fabric, under ? [1 - share, share] : [1]);
  panels.push(disc);
  arcs.forEach((arc, k) => joins.push({ a: arc, b: ["base", `rim-${k + 1}`], note: "Closing disc" }));
  const sweep = createSweep(
    line(13, (t): Point3 => [0, cone.height * t, 0]),
    line(13, (t) => cone.radius * (1 - t)),
    [0, 0, 1],
  );
  return finish(options, {
    panels,
    joins,
    sweep,
    volume: cone.volume,
    skin: cone.area + Math.PI * cone.radius ** 2,
    centre: [0, cone.height / 4, 0],
    skinCentre: [0, cone.height / 3, 0],
    radius: cone.radius,
    strain: 0,
  });
}

/** A sector with its tip at the top: left and right side parted at the stuffing opening, base arc below. */
function sectorPanel(
  given: Pick<Panel, "id" | "name" | "fabric">,
  slant: number,
  angleDeg: number,
  open: readonly [number, number],
): Panel {
  const steps = Math.max(12, Math.ceil(angleDeg / 2));
  const [from, to] = [-90 - angleDeg / 2, -90 + angleDeg / 2];
  const base = arcPoints([0, 0], slant, [from, to], steps);
  const side = (corner: Point, share: number): Point => [corner[0] * share, corner[1] * share];
  const [left, right] = [base[0], base[steps]];
  const tip: Point = [0, 0];
  const [a, b] = [side(right, open[1]), side(right, open[0])];
  const [c, d] = [side(left, open[0]), side(left, open[1])];
  return plainPanel({
    ...given,
    edges: [
      { id: "base", role: "raw", points: base },
      { id: "right-low", role: "raw", points: [right, a] },
      { id: "right-open", role: "raw", points: [a, b] },
      { id: "right-high", role: "raw", points: [b, tip] },
      { id: "left-high", role: "raw", points: [tip, c] },
      { id: "left-open", role: "raw", points: [c, d] },
      { id: "left-low", role: "raw", points: [d, left] },
    ],
    pile: 90,
    notes: ["Pile runs from the base to the tip (up the page)."],
  });
}

const LATER = "Leave open to turn and stuff, then close by hand with a ladder stitch.";

function sideJoins(a: readonly [string, string], b: readonly [string, string], opening: boolean): Join[] {
  return ["low", "open", "high"].map((part): Join => ({
    a: [a[0], `${a[1]}-${part}`],
    b: [b[0], `${b[1]}-${part}`],
    ...(opening && part === "open" ? { note: LATER, hand: true } : {}),
  }));
}

/** Shares of the side, from the tip, between which the seam is left open to stuff. */
function openingShare(options: TailOptions, side: number): [number, number] {
  const open = Math.min(partNumber(options.stuffingOpening ?? 120, "stuffingOpening", 20, 1000), 0.4 * side);
  const low = 0.85;
  return [low - open / side, low];
}

function basePanel(radius: number, fabric: string, shares: readonly number[]): Panel {
  if (shares.length === 1) {
    const [edge] = discEdges(radius, ["rim-1"]);
    return plainPanel({ id: "base", name: "Closing disc", fabric, edges: [edge], pile: -90 });
  }
  const ends = shares.reduce<number[]>((list, share) => [...list, list[list.length - 1] + share], [0]);
  const sides = 96;
  const steps = shares.map((share) => Math.max(6, Math.round(sides * share)));
  const grow = shares.map(
    (share, k) => (Math.PI * share) / steps[k] / Math.sin((Math.PI * share) / steps[k]),
  );
  const drawn = radius * Math.max(...grow);
  const at = (share: number): Point => [
    drawn * Math.sin(2 * Math.PI * share),
    -drawn * Math.cos(2 * Math.PI * share),
  ];
  const edges = shares.map((share, k) => ({
    id: `rim-${k + 1}`,
    role: "raw" as const,
    points: Array.from({ length: steps[k] + 1 }, (_, i) =>
      at(i === steps[k] && k === shares.length - 1 ? 0 : ends[k] + (share * i) / steps[k]),
    ),
  }));
  return plainPanel({ id: "base", name: "Closing disc", fabric, edges, pile: -90 });
}

function curvedTail(options: TailOptions): MadeTail {
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
  const side = sidePanel(
    fabric,
    place(2 / Math.PI),
    shares.map((t) => (2 / Math.PI) * turn(t)),
    shares.map(radius),
    options,
  );
  const mirror: Panel = { ...side, id: "side-right", name: "Tail, right side", edges: mirrored(side) };
  const joins: Join[] = [
    ...["low", "open", "high"].map((part): Join => ({
      a: ["side-left", `under-${part}`],
      b: ["side-right", `under-${part}`],
      ...(part === "open" ? { note: LATER, hand: true } : {}),
    })),
    { a: ["side-left", "top"], b: ["side-right", "top"] },
    { a: ["side-left", "tip"], b: ["side-right", "tip"], note: "Tip: gather and close by hand.", hand: true },
    { a: ["side-left", "base"], b: ["base", "rim-1"], note: "Closing disc" },
    { a: ["side-right", "base"], b: ["base", "rim-2"], note: "Closing disc" },
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
  return finish(options, {
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
  });
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

/** Left side, flat: the middle turned by 2/π of the bend, half the girth wide; x across, y along. */
function sidePanel(
  fabric: string,
  middle: readonly Point3[],
  turns: readonly number[],
  radii: readonly number[],
  options: TailOptions,
): Panel {
  const flat = (i: number, side: 1 | -1): Point => {
    const half = (side * Math.PI * radii[i]) / 2;
    // Along the page: y up the tail, x toward the inner side of a positive bend.
    return [middle[i][2] + half * Math.cos(turns[i]), middle[i][1] - half * Math.sin(turns[i])];
  };
  const last = middle.length - 1;
  const inner = middle.map((_, i) => flat(i, 1));
  const outer = middle.map((_, i) => flat(i, -1));
  const open = openingShare(options, options.length);
  const [from, to] = [Math.round((1 - open[1]) * last), Math.round((1 - open[0]) * last)];
  const down = [...outer].reverse();
  return plainPanel({
    id: "side-left",
    name: "Tail, left side",
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
    notes: ["Pile runs from the base to the tip (up the page)."],
  });
}

/** The edges of a panel turned over about the y axis, counter-clockwise again. */
function mirrored(panel: Panel): Panel["edges"] {
  return panel.edges
    .map((edge) => ({ ...edge, points: edge.points.map(([x, y]): Point => [-x, y]).reverse() }))
    .reverse();
}

function puffTail(options: TailOptions): MadeTail {
  const fabric = options.fabric ?? "fur";
  const radius = options.length / 2;
  const count = Math.round(partNumber(options.gores ?? 6, "gores", 4, 16));
  // The ball is cut off where the closing disc sits.
  const baseRadius =
    partNumber(options.baseGirth ?? 1.2 * radius * Math.PI, "baseGirth", 20, 1.9 * Math.PI * radius) /
    (2 * Math.PI);
  const low = -Math.acos(baseRadius / radius);
  const gore = (id: string, name: string): Panel => gorePanel({ id, name, fabric }, radius, count, low);
  const panels = Array.from({ length: count }, (_, k) => gore(`gore-${k + 1}`, `Puff, gore ${k + 1}`));
  const joins = panels.map((panel, k): Join => ({
    a: [panel.id, "right"],
    b: [panels[(k + 1) % count].id, "left"],
    ...(k === count - 1 ? { note: `${LATER} A third of the seam is enough.` } : {}),
  }));
  const ids = panels.map((_, k) => `rim-${k + 1}`);
  const steps = Math.ceil(96 / count);
  const disc = plainPanel({
    id: "base",
    name: "Closing disc",
    fabric,
    edges: discEdges(baseRadius, ids),
    pile: -90,
  });
  panels.forEach((panel, k) =>
    joins.push({ a: [panel.id, "base"], b: ["base", ids[k]], note: "Closing disc" }),
  );
  const height = radius * (1 - Math.sin(low));
  const heightOf = (lat: number): number => radius * (Math.sin(lat) - Math.sin(low));
  const lats = line(4 * steps, (t) => low + (Math.PI / 2 - low) * 0.97 * t);
  const sweep = createSweep(
    lats.map((lat): Point3 => [0, heightOf(lat), 0]),
    lats.map((lat) => radius * Math.cos(lat)),
    [0, 0, 1],
  );
  // Ball cut by a plane: volume and centre of the larger cap, from its flat face.
  const volume = (Math.PI * height * height * (3 * radius - height)) / 3;
  const fromBase = (height * (4 * radius - height)) / (4 * (3 * radius - height));
  const area = 2 * Math.PI * radius * height;
  return finish(options, {
    panels: [...panels, disc],
    joins,
    sweep,
    volume,
    skin: area + Math.PI * baseRadius ** 2,
    centre: [0, fromBase, 0],
    skinCentre: [0, (area * height) / 2 / (area + Math.PI * baseRadius ** 2), 0],
    radius: baseRadius,
    strain: sphereGore(radius, count).excess,
  });
}

function gorePanel(
  given: Pick<Panel, "id" | "name" | "fabric">,
  radius: number,
  count: number,
  low: number,
): Panel {
  const steps = 48;
  const at = (k: number, side: 1 | -1): Point => {
    const lat = low + ((Math.PI / 2 - low) * k) / steps;
    return [(side * Math.PI * radius * Math.cos(lat)) / count, radius * (lat - low)];
  };
  const right = Array.from({ length: steps + 1 }, (_, k): Point =>
    k === steps ? [0, radius * (Math.PI / 2 - low)] : at(k, 1),
  );
  const left = right.map(([x, y]): Point => [-x, y]).reverse();
  return plainPanel({
    ...given,
    edges: [
      { id: "base", role: "raw", points: [left[steps], right[0]] },
      { id: "right", role: "raw", points: right },
      { id: "left", role: "raw", points: left },
    ],
    pile: 90,
  });
}

function line<T>(count: number, of: (t: number) => T): T[] {
  return Array.from({ length: count }, (_, k) => of(k / (count - 1)));
}

interface TailShape {
  readonly panels: readonly Panel[];
  readonly joins: readonly Join[];
  readonly sweep: Sweep;
  readonly volume: number;
  readonly skin: number;
  readonly centre: Point3;
  readonly skinCentre: Point3;
  readonly radius: number;
  readonly strain: number;
  readonly issues?: readonly Issue[];
}

function finish(options: TailOptions, shape: TailShape): MadeTail {
  const name = options.name ?? "tail";
  const fur = options.fabricGsm
    ? statedDensity(partNumber(options.fabricGsm, "fabricGsm", 20, 3000), "gsm")
    : PART_DENSITIES.fur;
  const fill: Density = options.stuffingKgPerM3
    ? statedDensity(partNumber(options.stuffingKgPerM3, "stuffingKgPerM3", 1, 500), "kgPerM3")
    : PART_DENSITIES.wadding;
  const weighed: { need: PartNeed; at: Point3 }[] = [
    { need: need("skin", shape.skin, "mm2", fur), at: shape.skinCentre },
    { need: need("stuffing", shape.volume, "mm3", fill), at: shape.centre },
  ];
  if (options.wire) {
    const metal = partWord(options.wire.metal, "wire.metal", ["steel", "aluminium"]);
    const density = wireDensity(partNumber(options.wire.diameterMm, "wire.diameterMm", 0.5, 8), metal);
    weighed.push({ need: need("core wire", shape.sweep.length, "mm", density), at: middleOf(shape.sweep) });
  }
  const { massG, massRangeG } = totalMass(weighed.map((each) => each.need));
  const centreOfMass = [0, 1, 2].map((k) =>
    weighed.reduce((sum, each) => sum + (each.need.massG * each.at[k]) / massG, 0),
  ) as unknown as Point3;
  const panels = [...shape.panels];
  const joins = [...shape.joins];
  const needs = weighed.map((each) => each.need);
  if (options.band) {
    const band = bandPanel(options.band, shape.radius);
    panels.push(band);
    joins.push({
      a: ["band", "bottom"],
      b: ["band", "top"],
      note: "Fold along the middle and sew to a tube; turn it.",
    });
    needs.push(
      need("band (not in the mass)", edgesArea(band.edges), "mm2", {
        low: 0,
        high: 0,
        source: "worn on the waist",
      }),
    );
  }
  return {
    name,
    form: tailForm(name, shape.sweep),
    pattern: sewTogether(name, panels, joins),
    needs,
    copies: 1,
    massG,
    massRangeG,
    centreOfMass,
    stuffingVolume: shape.volume,
    sideStrain: shape.strain,
    baseMomentNcm: (massG / 1000) * 9.80665 * (Math.hypot(...centreOfMass) / 10),
    issues: shape.issues ?? [],
  };
}

function middleOf(sweep: Sweep): Point3 {
  const half = sweep.middles[Math.floor(sweep.middles.length / 2)];
  return half;
}

/** A band cut double: the tail's base is marked on it, its ends overlap at the opening. */
function bandPanel(band: NonNullable<TailOptions["band"]>, radius: number): Panel {
  const girth = partNumber(band.girth, "band.girth", 300, 2500);
  const width = partNumber(band.width ?? 40, "band.width", 10, 200);
  const length = girth + partNumber(band.overlap ?? 60, "band.overlap", 0, 300);
  const middle = girth / 2;
  const half = Math.min(radius, length / 4);
  const markings: Marking[] = [
    {
      id: "fold",
      kind: "line",
      points: [
        [0, width],
        [length, width],
      ],
      label: "fold",
    },
    {
      id: "tail-from",
      kind: "line",
      points: [
        [middle - half, 0],
        [middle - half, 2 * width],
      ],
      label: "tail",
    },
    {
      id: "tail-to",
      kind: "line",
      points: [
        [middle + half, 0],
        [middle + half, 2 * width],
      ],
      label: "tail",
    },
    {
      id: "overlap",
      kind: "line",
      points: [
        [girth, 0],
        [girth, 2 * width],
      ],
      label: "overlap",
    },
  ];
  return plainPanel({
    id: "band",
    name: "Tail band",
    fabric: "band",
    edges: rectangleEdges(length, 2 * width, ["raw", "opening", "raw", "opening"]),
    markings,
    notes: ["Sew the closing disc between the two tail lines; hook-and-loop or a buckle at the overlap."],
  });
}

const COLUMNS = 32;

function tailForm(name: string, sweep: Sweep): Form {
  // A pointed end is one vertex already: leave the last ring out where it has no girth.
  const rows = sweep.radii[sweep.radii.length - 1] < 1e-9 ? sweep.middles.length - 1 : sweep.middles.length;
  const cut: Sweep = {
    ...sweep,
    middles: sweep.middles.slice(0, rows),
    radii: sweep.radii.slice(0, rows),
    sides: sweep.sides.slice(0, rows),
  };
  const mesh = sweepMesh(cut, COLUMNS, false);
  if (rows < sweep.middles.length) mesh.positions.set(sweep.middles[rows], 3 * rows * COLUMNS);
  const along = (column: number): number[] => [
    ...Array.from({ length: rows }, (_, i) => i * COLUMNS + column),
    rows * COLUMNS,
  ];
  return {
    name,
    mesh,
    regions: [{ id: "coat", name: "coat" }],
    regionOf: new Int32Array(mesh.triangles.length / 3),
    curves: [
      { id: "under-seam", name: "Under seam", kind: "drawn", path: along(COLUMNS / 2), closed: false },
      { id: "top-line", name: "Top line", kind: "level", path: along(0), closed: false },
      {
        id: "rim-base",
        name: "Base",
        kind: "rim",
        path: Array.from({ length: COLUMNS }, (_, c) => c),
        closed: true,
      },
    ],
    landmarks: [{ id: "tip", vertex: rows * COLUMNS }],
    symmetry: { point: [0, 0, 0], normal: [1, 0, 0] },
  };
}
