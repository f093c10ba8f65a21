import type { Issue } from "@peltry/issues";
import { levelHeight, type BodyLevels, type LevelRef } from "./levels";
import type { LegBody } from "./leg-body";
import { padThickness, type PlacedPad } from "./pads";
import { createProfile, type Profile } from "./profile";
import { runLength, SAMPLES, sectionNormals, sectionPoints, tapeLength, type SectionShape } from "./section";
import { COLUMNS, lookUp, resampleRun, type SectionTable } from "./surface";

/** Girth wanted at a level once padded. */
export interface TargetGirth {
  readonly at: LevelRef;
  /** mm, as a tape shows it: round the leg below the crotch, round both halves of the hip above. */
  readonly girth: number;
}

/** Outline wanted in side view: height above the floor against how far forward (front) or back the form reaches, mm. */
export interface Silhouette {
  /** Points [z, y] from the floor up or from the top down. */
  readonly front?: readonly (readonly [number, number])[];
  readonly back?: readonly (readonly [number, number])[];
}

/** Padding of a limb. */
export interface Padding {
  readonly pads: readonly PlacedPad[];
  readonly targets: readonly { readonly height: number; readonly girth: number }[];
  readonly silhouette: { readonly front?: Profile; readonly back?: Profile };
}

/** Surface of the leg at a share of the way round (0 inner, ¼ front, ½ outer, ¾ back) and a height. */
export interface LegSurface {
  readonly low: number;
  readonly high: number;
  readonly crotch: number;
  /** Whether the surface opens to a half hip above the crotch. */
  readonly withHip: boolean;
  readonly outer: (share: number, height: number) => [number, number];
  readonly inner: (share: number, height: number) => [number, number];
  /** Length of the padded section's run below the crotch, and of the body's, mm. */
  readonly outerRun: (height: number) => number;
  readonly innerRun: (height: number) => number;
  readonly issues: readonly Issue[];
}

/** Step of the tables, mm: the surface between is off by less than a thousandth. */
const STEP = 4;
/** Padding fades out within this distance of the plane between the legs, mm. */
const WALL_FADE = 24;
/** A side-view outline shapes the form this far round from front and back, degrees. */
const SILHOUETTE_SPREAD = 115;

/** Builds the body and the padded surface as tables. */
export function createLegSurface(body: LegBody, padding: Padding, low: number, high: number): LegSurface {
  const withHip = high > body.crotch + 1;
  const issues: Issue[] = [];
  const layer = solveLayer(body, padding, low, high, issues);
  const padded = (height: number): Float64Array => paddedSection(body, padding, layer, height);
  const bare = (height: number): Float64Array => sectionPoints(body.shapeAt(height));

  const top = withHip ? body.crotch : high;
  const legRows = Math.max(8, Math.ceil((top - low) / STEP));
  const legHeight = (row: number): number => low + ((top - low) * row) / legRows;
  const span = high - body.crotch;
  const hipRows = withHip ? Math.max(8, Math.ceil(span / STEP)) : 0;
  // Above the crotch the opening grows with the root of the height: rows are spaced to follow it.
  const hipHeight = (row: number): number => body.crotch + span * (row / hipRows) ** 2;
  const build = (section: (height: number) => Float64Array): { leg: SectionTable; hip?: SectionTable } => {
    const make = (count: number, at: (row: number) => number, closed: boolean): SectionTable => {
      const rows: Float64Array[] = [];
      for (let row = 0; row <= count; row++) rows.push(resampleRun(section(at(row))));
      return { rows, closed };
    };
    return {
      leg: make(legRows, legHeight, true),
      ...(withHip ? { hip: make(hipRows, hipHeight, false) } : {}),
    };
  };
  const outside = build(padded);
  const inside = build(bare);
  const look =
    (tables: { leg: SectionTable; hip?: SectionTable }) =>
    (share: number, height: number): [number, number] => {
      const out: [number, number] = [0, 0];
      if (tables.hip && height > body.crotch) {
        lookUp(tables.hip, share, hipRows * Math.sqrt((height - body.crotch) / span), out);
      } else lookUp(tables.leg, share, (legRows * (height - low)) / (top - low), out);
      return out;
    };
  const run = (table: SectionTable): ((height: number) => number) => {
    const lengths = table.rows.map(runLength);
    return (height) => {
      const row = Math.min(legRows, Math.max(0, (legRows * (height - low)) / (top - low)));
      const i = Math.min(legRows - 1, Math.floor(row));
      return lengths[i] + (row - i) * (lengths[i + 1] - lengths[i]);
    };
  };
  return {
    low,
    high,
    crotch: body.crotch,
    withHip,
    outer: look(outside),
    inner: look(inside),
    outerRun: run(outside.leg),
    innerRun: run(inside.leg),
    issues,
  };
}

/** Even thickness over the pads that brings the girths to their targets. */
function solveLayer(body: LegBody, padding: Padding, low: number, high: number, issues: Issue[]): Profile {
  const targets = [...padding.targets].sort((a, b) => a.height - b.height);
  if (targets.length === 0) return () => 0;
  const knots: [number, number][] = targets.map(({ height, girth }) => {
    const bare = girthOf(body, sectionPoints(body.shapeAt(height)), height);
    if (girth < bare - 0.5) {
      issues.push({
        code: "forms/target-under-body",
        severity: "warning",
        message: `A girth of ${Math.round(girth)} mm is wanted at ${Math.round(height)} mm, but the body has ${Math.round(bare)} mm there.`,
        at: { path: ["targetGirths"] },
        found: Math.round(girth),
        limit: Math.round(bare),
        fix: "Padding only adds: ask for more, or check the measure.",
      });
    }
    const wanted = Math.max(girth, bare);
    let layer = 0;
    for (let i = 0; i < 12; i++) {
      const miss =
        wanted -
        girthOf(
          body,
          paddedSection(body, padding, () => layer, height),
          height,
        );
      if (Math.abs(miss) < 1e-4) break;
      // Steiner: an even layer adds 2π times its thickness.
      layer += miss / (2 * Math.PI);
    }
    return [height, layer];
  });
  // The layer runs out toward rims that have no target of their own.
  const reach = 60;
  if (knots[0][0] - low > reach) knots.unshift([low, 0]);
  if (high - knots[knots.length - 1][0] > reach) knots.push([high, 0]);
  return createProfile(knots);
}

/** Tape round a section; above the crotch round both halves. */
export function girthOf(body: Pick<LegBody, "crotch">, points: Float64Array, height: number): number {
  if (height <= body.crotch) return tapeLength(points);
  const both = new Float64Array(2 * points.length);
  both.set(points);
  for (let k = 0; k < points.length; k += 2) {
    both[points.length + k] = -points[k];
    both[points.length + k + 1] = points[k + 1];
  }
  return tapeLength(both);
}

/** The body's section carried outward by the thickness of the padding. */
function paddedSection(body: LegBody, padding: Padding, layer: Profile, height: number): Float64Array {
  const shape = body.shapeAt(height);
  const points = sectionPoints(shape);
  const thickness = thicknessAround(shape, points, padding, layer, height);
  const closed = shape.startFront === shape.startBack;
  const normals = sectionNormals(points, closed);
  const out = new Float64Array(points.length);
  const nearCrotch = Math.min(1, Math.max(0, 1 - (body.crotch - height) / 60));
  const opened = [
    opening(shape.startFront, shape.front, shape.middle),
    opening(shape.startBack, shape.back, shape.middle),
  ];
  for (let k = 0; k < SAMPLES; k++) {
    const x = points[2 * k];
    let nx = normals[2 * k];
    let nz = normals[2 * k + 1];
    if (nearCrotch > 0 && x < WALL_FADE) {
      // Nothing may cross the plane between the legs: there the cloth moves along it, forward or back.
      const free = x / WALL_FADE;
      const along = free * free * (3 - 2 * free);
      const sign = k < SAMPLES / 2 ? 1 : -1;
      const open = opened[k < SAMPLES / 2 ? 0 : 1];
      const wallX = nx * along;
      const wallZ = nz + (sign * open - nz) * (1 - along);
      nx += nearCrotch * (wallX - nx);
      nz += nearCrotch * (wallZ - nz);
    }
    out[2 * k] = x + thickness[k] * nx;
    out[2 * k + 1] = points[2 * k + 1] + thickness[k] * nz;
  }
  return out;
}

function opening(start: number, end: number, middle: number): number {
  return Math.abs(end - middle) > 1e-9 ? Math.min(1, Math.max(0, (start - middle) / (end - middle))) : 0;
}

function thicknessAround(
  shape: SectionShape,
  points: Float64Array,
  padding: Padding,
  layer: Profile,
  height: number,
): Float64Array {
  const out = new Float64Array(SAMPLES);
  const even = layer(height);
  const takesAway = even < 0 || padding.pads.some((pad) => pad.height < 0);
  const near = padding.pads.filter((pad) => padThickness(pad, height, pad.angle) !== 0);
  const ahead = padding.silhouette.front ? padding.silhouette.front(height) - shape.front : 0;
  const behind = padding.silhouette.back ? shape.back - padding.silhouette.back(height) : 0;
  for (let k = 0; k < SAMPLES; k++) {
    const angle =
      Math.atan2(points[2 * k] - shape.centre, points[2 * k + 1] - shape.middle) * (180 / Math.PI);
    let sum = even + ahead * side(angle) + behind * side(180 - Math.abs(angle));
    for (const pad of near) sum += padThickness(pad, height, angle);
    out[k] = takesAway || sum < 0 ? notBelowZero(sum) : sum;
  }
  return out;
}

function side(angle: number): number {
  const v = angle / SILHOUETTE_SPREAD;
  return v * v >= 1 ? 0 : (1 - v * v) ** 3;
}

/** Zero below zero, itself above 6 mm, smooth between. */
function notBelowZero(value: number): number {
  const knee = 6;
  if (value <= 0) return 0;
  return value >= knee ? value : (value * value * (2 * knee - value)) / (knee * knee);
}

/** Settles the levels of pads, targets and outlines. */
export function placePadding(
  levels: BodyLevels,
  given: {
    readonly pads: readonly Omit<PlacedPad, "level">[];
    readonly targets: readonly TargetGirth[];
    readonly silhouette: Silhouette;
  },
): Padding {
  const outline = (points: Silhouette["front"]): Profile | undefined =>
    points && points.length > 0
      ? createProfile([...points].sort((a, b) => a[1] - b[1]).map(([z, y]) => [y, z] as const))
      : undefined;
  const front = outline(given.silhouette.front);
  const back = outline(given.silhouette.back);
  return {
    pads: given.pads.map((pad) => ({ ...pad, level: levelHeight(levels, pad.at) })),
    targets: given.targets.map((target) => ({ height: levelHeight(levels, target.at), girth: target.girth })),
    silhouette: { ...(front ? { front } : {}), ...(back ? { back } : {}) },
  };
}

export { COLUMNS };
