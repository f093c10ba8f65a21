import {
  distanceToOutline,
  pointInOutline,
  polylineLength,
  power,
  type Outline,
  type Point,
  type Point3,
} from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { addDart, edgesOutline, mirrorPanel, type Edge, type Marking, type Panel } from "@peltry/pattern";
import { dartForCup, type CupDart } from "./closed-forms";
import { edgesArea } from "./flat-shapes";
import {
  need,
  plainPanel,
  sewTogether,
  totalMass,
  type Join,
  type MadePart,
  type PartNeed,
} from "./made-part";
import { PART_DENSITIES, statedDensity, wireDensity, type Stated } from "./material-densities";
import { partNumber, partWord } from "./number";
import { placeFlat, type WornPiece } from "./worn-piece";

/** Shape, size, lining and fixing of ears. Lengths in mm. */
export interface EarsOptions {
  readonly name?: string | undefined;
  /** From the fixing edge to the tip, and across at the widest, mm. */
  readonly length: number;
  readonly width: number;
  /** Finished fixing edge, mm; half the width by default. */
  readonly baseWidth?: number | undefined;
  /** How far up the widest place is, 0.2 to 0.8 of the length; 0.45 by default. */
  readonly widestAt?: number | undefined;
  /** `round` or `pointed` tip. */
  readonly tip?: "round" | "pointed" | undefined;
  /** How far the tip leans outward, mm. */
  readonly lean?: number | undefined;
  /** Depth of the cup at the base, mm; 0 leaves it flat. Made by one dart in the fixing edge. */
  readonly cupDepth?: number | undefined;
  /** Length of that dart, mm; 0.4 of the ear by default. */
  readonly dartLength?: number | undefined;
  /** Width of the rim of long pile that shows inside, mm: marked on the lining. */
  readonly fringe?: number | undefined;
  readonly fabric?: string | undefined;
  readonly lining?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
  readonly liningGsm?: Stated | undefined;
  /** Wire along the rim, and a sheet of foam between the layers, mm thick. */
  readonly wire?: { readonly diameterMm: number; readonly metal: "steel" | "aluminium" } | undefined;
  readonly foamMm?: number | undefined;
}

/** Ears with their figures; all of one ear unless it says otherwise. */
export interface MadeEars extends MadePart {
  /** The dart that makes the cup; undefined for a flat ear. */
  readonly cup?: CupDart;
  /** Finished length of the fixing edge, mm, and of the opening through which the ear is turned. */
  readonly fixingEdge: number;
  readonly turnOpening: number;
}

/**
 * A pair of ears from one: outer petal and lining, cut with mirrored copies, sewn round the rim, turned through the fixing
 * edge. Frame: middle of the fixing edge at the origin, +y to the tip, hollow side +z, +x outward: the left
 * ear.
 *
 * @throws forms/bad-part
 * @source cup from a dart: sin β = 1 − α / 2π (Gauss–Bonnet), derived here; the petal itself is a judgement
 */
export function makeEars(options: EarsOptions): MadeEars {
  const length = partNumber(options.length, "length", 15, 1000);
  const width = partNumber(options.width, "width", 10, 800);
  const baseWidth = partNumber(options.baseWidth ?? width / 2, "baseWidth", 8, 800);
  const dartLength = partNumber(options.dartLength ?? 0.4 * length, "dartLength", 5, 0.85 * length);
  const depth = partNumber(options.cupDepth ?? 0, "cupDepth", 0, 0.9 * dartLength);
  const cup = depth > 0 ? dartForCup(dartLength, depth) : undefined;
  const base = baseWidth + (cup?.intake ?? 0);
  const issues: Issue[] = [];
  if (base > 1.6 * Math.max(width, baseWidth)) issues.push(tooDeep(base, width));
  // Seen from behind, the left ear leans to the left of the page.
  const outer = mirrorPanel(petal(options, length, Math.max(width, base), base, cup));
  const lining = liningOf(outer, options);
  const cut = (panel: Panel): Panel => ({ ...panel, count: 1, mirrored: true });
  const part = (id: string): [string, string] => ["ear", id];
  const joins: Join[] = [
    { a: part("front"), b: ["ear-lining", "front"], note: "Right sides together, round the rim." },
    { a: part("back"), b: ["ear-lining", "back"] },
    ...fixingEdges(outer).map((id): Join => ({
      a: part(id),
      b: ["ear-lining", id],
      note: "Turn through here; close by hand. Fixing edge.",
      hand: true,
    })),
  ];
  const name = options.name ?? "ears";
  const { needs, centre } = weigh(options, outer, depth);
  const fixingEdge = baseWidth;
  return {
    name,
    worn: [wornEar(outer, cup, 1), wornEar(lining, cup, -1)].filter((each) => each !== undefined),
    pattern: sewTogether(name, [cut(outer), cut(lining)], joins),
    needs,
    copies: 2,
    ...totalMass(needs),
    centreOfMass: centre,
    ...(cup ? { cup } : {}),
    fixingEdge,
    turnOpening: fixingEdge,
    issues,
  };
}

function tooDeep(base: number, width: number): Issue {
  return {
    code: "forms/ear-base-wide",
    severity: "warning",
    message: "The dart of the cup makes the flat ear much wider at the base than at its widest.",
    at: { path: ["cupDepth"] },
    found: Math.round(base),
    limit: Math.round(1.6 * width),
    fix: "Make the cup shallower, the dart longer or the fixing edge shorter.",
    source: "judgement",
  };
}

const STEPS = 48;

function petal(options: EarsOptions, length: number, width: number, base: number, cup?: CupDart): Panel {
  const at = partNumber(options.widestAt ?? 0.45, "widestAt", 0.2, 0.8);
  const blunt = partWord(options.tip ?? "pointed", "tip", ["round", "pointed"]) === "round" ? 0.5 : 0.85;
  const lean = partNumber(options.lean ?? 0, "lean", -length, length);
  // Half-width: from the base up to the widest place as a sine, from there to the tip as a power of the rest.
  const half = (t: number): number =>
    t < at
      ? base / 2 + ((width - base) / 2) * Math.sin((Math.PI * t) / (2 * at))
      : (width / 2) * power(1 - ((t - at) / (1 - at)) ** 2, blunt);
  const point = (t: number, side: 1 | -1): Point => [side * half(t) + lean * t * t, length * t];
  // Closer together at the tip, where a round tip turns fast.
  const ts = Array.from({ length: STEPS + 1 }, (_, k) => Math.sin((Math.PI * k) / (2 * STEPS)));
  const right = ts.map((t, k): Point => (k === STEPS ? [lean, length] : point(t, 1)));
  const left = ts.map((t, k): Point => (k === STEPS ? [lean, length] : point(t, -1))).reverse();
  const edges: Edge[] = [
    { id: "base", role: "raw", points: [left[STEPS], right[0]] },
    { id: "back", role: "raw", points: right, name: "outer rim" },
    { id: "front", role: "raw", points: left, name: "inner rim" },
  ];
  const flat = plainPanel({ id: "ear", name: "Ear", fabric: options.fabric ?? "fur", edges, pile: 90 });
  if (!cup) return flat;
  return addDart(flat, "base", {
    id: "cup",
    at: base / 2,
    intake: cup.intake,
    length: options.dartLength ?? 0.4 * length,
  });
}

function fixingEdges(panel: Panel): string[] {
  return panel.edges.filter((edge) => edge.id.startsWith("base")).map((edge) => edge.id);
}

function liningOf(outer: Panel, options: EarsOptions): Panel {
  const turned = mirrorPanel(outer);
  const fringe = partNumber(options.fringe ?? 0, "fringe", 0, options.width / 3);
  const panel: Panel = {
    ...turned,
    id: "ear-lining",
    name: "Ear, lining",
    fabric: options.lining ?? "lining",
    layer: "lining",
  };
  const { pile, ...noPile } = panel;
  const smooth: Panel = { ...noPile, ...(pile === undefined ? {} : { grain: pile }) };
  return fringe > 0 ? { ...smooth, markings: fringeLines(turned, fringe) } : smooth;
}

/** The line inside both rims up to which long pile may show, in one run over the tip. */
function fringeLines(panel: Panel, fringe: number): Marking[] {
  const outline: Outline = panel.edges.flatMap((edge) => edge.points.slice(0, -1));
  const rims = panel.edges.filter((edge) => edge.id === "back" || edge.id === "front");
  const rim = rims.flatMap((edge, k) => (k === 0 ? edge.points : edge.points.slice(1)));
  const inner: Point[] = [];
  for (let i = 1; i + 1 < rim.length; i++) {
    const [p, q] = [rim[i - 1], rim[i + 1]];
    const long = Math.hypot(q[0] - p[0], q[1] - p[1]) || 1;
    const at: Point = [
      rim[i][0] - (fringe * (q[1] - p[1])) / long,
      rim[i][1] + (fringe * (q[0] - p[0])) / long,
    ];
    if (pointInOutline(at, outline) === "inside" && distanceToOutline(at, rim) > 0.97 * fringe)
      inner.push(at);
  }
  return inner.length < 2
    ? []
    : [{ id: "fringe", kind: "line", points: inner, label: "fringe: long pile shows outside this line" }];
}

/** How far the lining lies inside the outer petal, mm: so that pictures tell them apart. */
const LINING_INSIDE = 1;

/** A petal bent to the cone that its dart makes; flat without one. Seen from outside, flat x runs toward −x. */
function wornEar(panel: Panel, cup: CupDart | undefined, side: 1 | -1): WornPiece | undefined {
  const inside = side > 0 ? 0 : LINING_INSIDE;
  if (!cup) {
    const outline = edgesOutline(panel.edges);
    return placeFlat(panel.id, outline, areaCentre(panel), ([x, y]) => [-side * x, y, inside]);
  }
  const { tip, length } = panel.darts[0];
  const ring = edgesOutline(panel.edges);
  const at = ring.findIndex((p) => p[0] === tip[0] && p[1] === tip[1]);
  const outline = [...ring.slice(at + 1), ...ring.slice(0, at)];
  const alpha = (cup.angleDeg * Math.PI) / 180;
  const beta = (cup.halfApexDeg * Math.PI) / 180;
  // The open dart points down: angles are counted from it, so that both legs come to lie on one line.
  const place = ([x, y]: Point): Point3 => {
    const far = Math.hypot(x - tip[0], y - tip[1]);
    const flatAngle = Math.atan2(x - tip[0], -(y - tip[1]));
    const turn = flatAngle < 0 ? flatAngle + 2 * Math.PI : flatAngle;
    const angle = (2 * Math.PI * (turn - alpha / 2)) / (2 * Math.PI - alpha);
    const r = far * Math.sin(beta);
    return [
      -side * (tip[0] + r * Math.sin(angle)),
      tip[1] - r * Math.cos(angle),
      (far - length) * Math.cos(beta) + inside,
    ];
  };
  return placeFlat(panel.id, outline, tip, place, { open: true });
}

function weigh(options: EarsOptions, outer: Panel, depth: number): { needs: PartNeed[]; centre: Point3 } {
  const area = edgesArea(outer.edges);
  const fur = options.fabricGsm
    ? statedDensity(options.fabricGsm, "fabricGsm", [20, 3000], "gsm")
    : PART_DENSITIES.fur;
  const cloth = options.liningGsm
    ? statedDensity(options.liningGsm, "liningGsm", [20, 3000], "gsm")
    : PART_DENSITIES.cloth;
  const needs = [need("outer", area, "mm2", fur), need("lining", area, "mm2", cloth)];
  if (options.foamMm) {
    const foam = partNumber(options.foamMm, "foamMm", 0.5, 30);
    needs.push(need("foam sheet", area * foam, "mm3", PART_DENSITIES.foamSheet));
  }
  const rims = outer.edges.filter((edge) => edge.id === "back" || edge.id === "front");
  if (options.wire) {
    const metal = partWord(options.wire.metal, "wire.metal", ["steel", "aluminium"]);
    const density = wireDensity(partNumber(options.wire.diameterMm, "wire.diameterMm", 0.5, 5), metal);
    needs.push(
      need(
        "rim wire",
        rims.reduce((sum, edge) => sum + polylineLength(edge.points), 0),
        "mm",
        density,
      ),
    );
  }
  const flat = areaCentre(outer);
  // The cup is deepest at the base and gone at the end of its dart: its middle lies about a third of it forward.
  return { needs, centre: [-flat[0], flat[1], depth / 3] };
}

function areaCentre(panel: Panel): Point {
  let [twice, x, y] = [0, 0, 0];
  for (const { points } of panel.edges)
    for (let k = 1; k < points.length; k++) {
      const [p, q] = [points[k - 1], points[k]];
      const part = p[0] * q[1] - q[0] * p[1];
      twice += part;
      x += part * (p[0] + q[0]);
      y += part * (p[1] + q[1]);
    }
  return [x / (3 * twice), y / (3 * twice)];
}
