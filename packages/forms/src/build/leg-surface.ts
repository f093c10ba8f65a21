import type { Issue } from "@peltry/issues";
import { bump } from "./bump";
import { levelHeight, type BodyLevels, type LevelRef } from "./levels";
import type { LegBody } from "./leg-body";
import { padAround, padAtHeight, type PlacedPad } from "./pads";
import { createProfile, type Profile } from "./profile";
import {
  runLength,
  SAMPLES,
  sectionNormals,
  sectionPoints,
  tapeBothHalves,
  tapeLength,
  type SectionShape,
} from "./section";
import { createTable, fillRow, lookUp, type SectionTable } from "./surface";

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
  /** Shares between which the surface lies at a height: 0 and 1 below the crotch. */
  readonly openShares: (height: number) => readonly [number, number];
  /** Length of the padded section's run below the crotch, and of the body's, mm. */
  readonly outerRun: (height: number) => number;
  readonly innerRun: (height: number) => number;
  readonly issues: readonly Issue[];
}

/** Step of the tables, mm: the surface between is off by less than a thousandth. */
const STEP = 4;
/** Padding fades out within this distance of the plane between the legs, mm. */
const WALL_FADE = 55;
/** A side-view outline shapes the form this far round from front and back, degrees. */
const SILHOUETTE_SPREAD = 115;

/** About the crotch, columns let go of front and back within this height, mm. */
const LOOSE = 320;

/** Builds the body and the padded surface as tables. */
export function createLegSurface(body: LegBody, padding: Padding, low: number, high: number): LegSurface {
  const withHip = high > body.crotch + 1;
  const issues: Issue[] = [];
  const layer = solveLayer(body, padding, low, high, issues);
  const top = withHip ? body.crotch : high;
  const legRows = Math.max(8, Math.ceil((top - low) / STEP));
  const legHeight = (row: number): number => low + ((top - low) * row) / legRows;
  const span = high - body.crotch;
  const hipRows = withHip ? Math.max(8, Math.ceil(span / STEP)) : 0;
  // Above the crotch the opening grows with the root of the height: rows are spaced to follow it.
  const hipHeight = (row: number): number => body.crotch + span * (row / hipRows) ** 2;
  const make = (count: number, at: (row: number) => number): { outer: SectionTable; body: SectionTable } => {
    const [outer, bare] = [createTable(count + 1), createTable(count + 1)];
    for (let row = 0; row <= count; row++) {
      const height = at(row);
      const shape = body.shapeAt(height);
      const points = sectionPoints(shape);
      const padded = paddedSection(body, padding, layer, shape, height, points);
      fillRow(outer, row, padded, smooth(0.45 + (height - body.crotch) / LOOSE), {
        table: bare,
        run: points,
      });
    }
    return { outer, body: bare };
  };
  const leg = make(legRows, legHeight);
  const hip = withHip ? make(hipRows, hipHeight) : undefined;
  const outside = { leg: leg.outer, hip: hip?.outer };
  const inside = { leg: leg.body, hip: hip?.body };
  const hipRow = (height: number): number => hipRows * Math.sqrt(Math.max(0, height - body.crotch) / span);
  const look =
    (tables: { readonly leg: SectionTable; readonly hip: SectionTable | undefined }) =>
    (share: number, height: number): [number, number] => {
      const out: [number, number] = [0, 0];
      if (tables.hip && height > body.crotch) {
        lookUp(tables.hip, share, hipRow(height), out);
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
    openShares: (height) => {
      if (!outside.hip || height <= body.crotch) return [0, 1];
      const row = hipRow(height);
      const i = Math.min(hipRows - 1, Math.floor(row));
      const at = (list: Float64Array): number => list[i] + (row - i) * (list[i + 1] - list[i]);
      return [at(outside.hip.leave), at(outside.hip.meet)];
    },
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
    const shape = body.shapeAt(height);
    const points = sectionPoints(shape);
    const bare = girthOf(body, points, height);
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
          paddedSection(body, padding, () => layer, shape, height, points),
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
  return height <= body.crotch ? tapeLength(points) : tapeBothHalves(points);
}

/** The body's section carried outward by the thickness of the padding. */
function paddedSection(
  body: LegBody,
  padding: Padding,
  layer: Profile,
  shape: SectionShape,
  height: number,
  points: Float64Array,
): Float64Array {
  const thickness = thicknessAround(shape, points, padding, layer, height);
  const normals = sectionNormals(points);
  const out = new Float64Array(points.length);
  const nearCrotch = smooth(1 - (body.crotch - height) / 80);
  for (let k = 0; k < SAMPLES; k++) {
    const x = points[2 * k];
    let nx = normals[2 * k];
    // Nothing may reach across the plane between the legs: there padding moves along it, forward or back.
    if (nearCrotch > 0 && nx < 0 && x < WALL_FADE) nx *= 1 - nearCrotch * (1 - smooth(x / WALL_FADE));
    out[2 * k] = x + thickness[k] * nx;
    out[2 * k + 1] = points[2 * k + 1] + thickness[k] * normals[2 * k + 1];
  }
  return out;
}

/** 0 below 0, 1 above 1, twice smooth between. */
function smooth(t: number): number {
  const u = Math.min(1, Math.max(0, t));
  return u * u * u * (10 - u * (15 - 6 * u));
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
  const near = padding.pads
    .map((pad) => ({ pad, thickness: padAtHeight(pad, height) }))
    .filter(({ thickness }) => thickness !== 0);
  const ahead = padding.silhouette.front ? padding.silhouette.front(height) - shape.front : 0;
  const behind = padding.silhouette.back ? shape.back - padding.silhouette.back(height) : 0;
  for (let k = 0; k < SAMPLES; k++) {
    const angle =
      Math.atan2(points[2 * k] - shape.centre, points[2 * k + 1] - shape.middle) * (180 / Math.PI);
    let sum = even + ahead * side(angle) + behind * side(180 - Math.abs(angle));
    for (const { pad, thickness } of near) sum += thickness * padAround(pad, angle);
    out[k] = takesAway || sum < 0 ? notBelowZero(sum) : sum;
  }
  return out;
}

function side(angle: number): number {
  return bump(angle / SILHOUETTE_SPREAD);
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
