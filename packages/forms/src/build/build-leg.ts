import { fail, throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { power } from "@peltry/geometry";
import type { Form, FormCurve, FormRegion } from "../types";
import { borderCurves, carvePatch, type ParameterMesh, type PatchField } from "./carve-patch";
import { gridLeg, type LegGrid } from "./leg-mesh";
import { createLegBody } from "./leg-body";
import {
  createLegSurface,
  placePadding,
  type LegSurface,
  type Silhouette,
  type TargetGirth,
} from "./leg-surface";
import {
  bodyLevels,
  levelHeight,
  type BodyLevels,
  type LevelName,
  type LevelRef,
  type MeasureValues,
  type Posture,
} from "./levels";
import { isRight, mirrorForm, type Side } from "./mirror-form";
import { checkPads, HIND_LEG_PADS, type Pad } from "./pads";

/** A line of the leg that can become a seam. */
export type LegLine = "inner-seam" | "outer-seam" | "front-line" | "back-line";

/** What a leg is built from: measures, posture, pads or target girths, patches, fineness. */
export interface BuildLegOptions extends WorkOptions {
  readonly name?: string | undefined;
  /** Leg of the wearer; the left one by default. */
  readonly side?: Side | undefined;
  /** Taken or completed measures; see {@link bodyLevels} for which. */
  readonly measures: MeasureValues;
  readonly posture?: Posture | undefined;
  /** Upper rim: below the seat fold (a tube), or a waist (leg and half hip in one surface). `upperThigh` by default. */
  readonly top?: "upperThigh" | "waistNatural" | "waistNavel" | undefined;
  /** Lower rim; `ankle` by default. */
  readonly bottom?: LevelRef | undefined;
  /** Padding lumps; {@link HIND_LEG_PADS} by default, an empty list for the bare leg. */
  readonly pads?: readonly Pad[] | undefined;
  /** Girths wanted once padded. An even layer over (or under) the pads brings them about. */
  readonly targetGirths?: readonly TargetGirth[] | undefined;
  /** Side-view outline wanted. */
  readonly silhouette?: Silhouette | undefined;
  /** About how many triangles, 2,000 to 200,000; 20,000 by default. */
  readonly triangles?: number | undefined;
  /** Lines that are to be seams; the inner seam by default. */
  readonly seams?: readonly LegLine[] | undefined;
  /** Name of the main cloth region; `coat` by default. */
  readonly region?: string | undefined;
  /** Areas of another cloth. Their borders become mesh edges. */
  readonly patches?: readonly Patch[] | undefined;
}

/** A rounded area of another cloth on the limb. */
export interface Patch {
  readonly id: string;
  readonly name?: string | undefined;
  /** Its middle: height, and direction in degrees as for pads (0 front, 90 outer, 180 back, 270 inner). */
  readonly at: LevelRef;
  readonly angle: number;
  /** How far it runs up and down, mm, and to either side, degrees. It may run over the upper or lower rim. */
  readonly up: number;
  readonly down: number;
  readonly spread: number;
  /** Superellipse exponent of the outline: 2 an ellipse (default), 3 squarer. */
  readonly power?: number | undefined;
}

/** A built leg with what was remarked on the way. */
export interface BuiltLeg extends Form {
  readonly levels: BodyLevels;
  readonly issues: readonly Issue[];
}

/**
 * The outer surface of a padded leg: a tube from thigh rim to ankle rim, or leg and half hip in one surface, open along
 * the plane of symmetry. Floor at y = 0, front +z, outer side +x on the left leg and −x on the right one. The body inside
 * comes as `inner`.
 *
 * Named curves: `inner-seam`, `outer-seam`, `front-line`, `back-line` from rim to rim, level rings by level name,
 * `rim-ankle`, `rim-top`, and with the hip `rim-front-rise` and `rim-back-rise`.
 *
 * @throws forms/missing-measure, forms/bad-measure, forms/levels-cross, forms/bad-posture, forms/bad-pad,
 * forms/bad-level, forms/unknown-level, forms/bad-size, forms/bad-part
 * @remarks Sections are superellipse quarters scaled to the taped girth; the girth at a named level is exact. 20,000
 * triangles take some tens of milliseconds.
 */
export function buildLeg(options: BuildLegOptions): BuiltLeg {
  throwIfCancelled(options.signal);
  const top = options.top ?? "upperThigh";
  const withHip = top !== "upperThigh";
  const triangles = checkSize(options.triangles ?? 20_000);
  const pads = options.pads ?? HIND_LEG_PADS;
  checkPads(pads);
  const levels = bodyLevels(options.measures, options.posture ?? {}, withHip);
  const body = createLegBody(options.measures, levels, withHip);
  const low = levelHeight(levels, options.bottom ?? "ankle");
  const high = levels.height[top]!;
  if (!(low > 0 && low < high - 100)) {
    fail(
      "forms/bad-level",
      `The lower rim at ${Math.round(low)} mm leaves no leg.`,
      { path: ["bottom"] },
      {
        found: Math.round(low),
        limit: `0 to ${Math.round(high - 100)}`,
        fix: "Choose a lower rim between floor and thigh.",
      },
    );
  }
  const padding = placePadding(levels, {
    pads,
    targets: options.targetGirths ?? [],
    silhouette: options.silhouette ?? {},
  });
  const surface = createLegSurface(body, padding, low, high);
  throwIfCancelled(options.signal);
  const named = (Object.entries(levels.height) as [LevelName, number][]).filter(
    ([, height]) => height <= high,
  );
  const marks = [...named.map(([, height]) => height), ...padding.targets.map((target) => target.height)];
  const grid = gridLeg(surface, triangles, marks);
  const region = options.region ?? "coat";
  const lines = legCurves(grid, named, withHip, options.seams ?? ["inner-seam"]);
  const { carved, regions } = carveAll(grid, lines, surface, levels, options.patches ?? [], region);
  const left: BuiltLeg = {
    name: options.name ?? (withHip ? "leg and half hip" : "leg"),
    mesh: { positions: carved.positions, triangles: carved.triangles },
    inner: carved.inner,
    regions,
    regionOf: carved.regionOf,
    curves: carved.curves,
    landmarks: legLandmarks(grid, levels, withHip),
    ...(withHip ? { symmetry: { point: [0, 0, 0] as const, normal: [1, 0, 0] as const } } : {}),
    levels,
    issues: surface.issues,
  };
  return isRight(options.side) ? mirrorForm(left) : left;
}

function carveAll(
  grid: LegGrid,
  curves: readonly FormCurve[],
  surface: LegSurface,
  levels: BodyLevels,
  patches: readonly Patch[],
  region: string,
): { carved: ParameterMesh; regions: FormRegion[] } {
  let carved: ParameterMesh = {
    positions: grid.mesh.positions,
    inner: grid.inner,
    triangles: grid.mesh.triangles,
    share: grid.share,
    height: grid.height,
    curves,
    regionOf: new Int32Array(grid.mesh.triangles.length / 3),
  };
  const regions: FormRegion[] = [{ id: region, name: region }];
  for (const patch of patches) {
    checkPatch(patch, regions);
    const index = regions.length;
    regions.push({ id: patch.id, name: patch.name ?? patch.id });
    carved = carvePatch(carved, surface, patchField(patch, levelHeight(levels, patch.at)), index);
    const borders = borderCurves(carved.triangles, carved.regionOf, index, patch.id, patch.name ?? patch.id);
    carved = { ...carved, curves: [...carved.curves, ...borders] };
  }
  return { carved, regions };
}

/** Superellipse in height and share of the way round, its reach changing smoothly from down to up. */
function patchField(patch: Patch, level: number): PatchField {
  const roundness = patch.power ?? 2;
  const middle = ((((patch.angle + 90) / 360) % 1) + 1) % 1;
  const mean = (patch.up + patch.down) / 2;
  return (share, height) => {
    const rise = height - level;
    const reach = mean + ((patch.up - patch.down) / 2) * Math.tanh((1.6 * rise) / mean);
    let side = share - middle;
    if (side > 0.5) side -= 1;
    if (side < -0.5) side += 1;
    const u = Math.abs(rise / reach);
    const v = Math.abs((360 * side) / patch.spread);
    return power(power(u, roundness) + power(v, roundness), 1 / roundness) - 1;
  };
}

function checkPatch(patch: Patch, regions: readonly FormRegion[]): void {
  const bad = (what: string, found: unknown, limit: string): never =>
    fail(
      "forms/bad-patch",
      `Patch “${String(patch.id).slice(0, 40)}” has ${what} ${String(found)}.`,
      { path: ["patches", regions.length - 1] },
      {
        found: String(found),
        limit,
        fix: "Choose a value in that range.",
      },
    );
  if (regions.some((each) => each.id === patch.id))
    bad("the id of another region:", patch.id, "one id a region");
  for (const what of ["up", "down"] as const)
    if (!(patch[what] >= 20 && patch[what] <= 2000)) bad(what, patch[what], "20 to 2000");
  if (!(patch.spread >= 10 && patch.spread <= 170)) bad("spread", patch.spread, "10 to 170");
  if (!Number.isFinite(patch.angle)) bad("angle", patch.angle, "degrees");
  if (!((patch.power ?? 2) >= 1.5 && (patch.power ?? 2) <= 6)) bad("power", patch.power, "1.5 to 6");
}

function checkSize(triangles: number): number {
  if (Number.isFinite(triangles) && triangles >= 500 && triangles <= 400_000) return triangles;
  fail(
    "forms/bad-size",
    `A form of ${triangles} triangles is not built.`,
    { path: ["triangles"] },
    {
      found: String(triangles),
      limit: "500 to 400000",
      fix: "Ask for 2,000 to 200,000 triangles.",
    },
  );
}

const LINE_NAMES: Readonly<Record<LegLine, string>> = {
  "inner-seam": "Inner seam",
  "outer-seam": "Outer seam",
  "front-line": "Front line",
  "back-line": "Back line",
};

function legCurves(
  grid: LegGrid,
  named: readonly (readonly [LevelName, number])[],
  withHip: boolean,
  seams: readonly LegLine[],
): FormCurve[] {
  const { rows, columns } = grid;
  const quarter = columns / 4;
  const column = (c: number, to: number): number[] => rows.slice(0, to + 1).map((row) => row.first + c);
  const last = rows.length - 1;
  const lines: [LegLine, number[]][] = [
    ["inner-seam", column(0, grid.crotchRow)],
    ["front-line", column(quarter, last)],
    ["outer-seam", column(2 * quarter, last)],
    ["back-line", column(3 * quarter, last)],
  ];
  const curves: FormCurve[] = lines.map(([id, path]) => ({
    id,
    name: LINE_NAMES[id],
    kind: seams.includes(id) ? "drawn" : "level",
    path,
    closed: false,
  }));
  const ring = (row: { first: number; count: number }): number[] =>
    Array.from({ length: row.count }, (_, c) => row.first + c);
  for (const [name, height] of named) {
    const row = rows.find(
      (each, i) => i > 0 && i < last && Math.abs(each.height - height) < 1e-9 && isLevel(grid, each),
    );
    if (row)
      curves.push({
        id: `level-${name}`,
        name: `Level ${name}`,
        kind: "level",
        path: ring(row),
        closed: true,
      });
  }
  curves.push({ id: "rim-ankle", name: "Ankle rim", kind: "rim", path: ring(rows[0]), closed: true });
  curves.push({
    id: "rim-top",
    name: withHip ? "Waist rim" : "Thigh rim",
    kind: "rim",
    path: ring(rows[last]),
    closed: !withHip,
  });
  if (withHip) {
    const open = rows.slice(grid.crotchRow + 1);
    const crotch = rows[grid.crotchRow].first;
    curves.push({
      id: "rim-front-rise",
      name: "Front rise",
      kind: "rim",
      path: [crotch, ...open.map((row) => row.first)],
      closed: false,
    });
    curves.push({
      id: "rim-back-rise",
      name: "Back rise",
      kind: "rim",
      path: [crotch, ...open.map((row) => row.first + columns)],
      closed: false,
    });
  }
  return curves;
}

function isLevel(grid: LegGrid, row: { readonly first: number; readonly count: number }): boolean {
  for (let c = 0; c < row.count; c++)
    if (Math.abs(grid.height[row.first + c] - grid.height[row.first]) > 1e-6) return false;
  return true;
}

function legLandmarks(grid: LegGrid, levels: BodyLevels, withHip: boolean): { id: string; vertex: number }[] {
  const quarter = grid.columns / 4;
  const near = (height: number, c: number): number => {
    let best = grid.rows[0];
    for (const row of grid.rows) {
      if (Math.abs(grid.height[row.first + c] - height) < Math.abs(grid.height[best.first + c] - height))
        best = row;
    }
    return best.first + c;
  };
  const list = [
    { id: "kneecap", vertex: near(levels.height.knee!, quarter) },
    { id: "hollow-of-knee", vertex: near(levels.height.knee!, 3 * quarter) },
    { id: "calf-back", vertex: near(levels.height.calf!, 3 * quarter) },
    { id: "shin", vertex: near(levels.height.calf!, quarter) },
  ];
  if (withHip) {
    list.push(
      { id: "crotch", vertex: grid.rows[grid.crotchRow].first },
      { id: "hip-side", vertex: near(levels.height.hip!, 2 * quarter) },
      { id: "seat", vertex: near(levels.height.hip!, 3 * quarter) },
      { id: "waist-side", vertex: grid.rows[grid.rows.length - 1].first + 2 * quarter },
    );
  }
  return list;
}
