import type { Point, Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Edge, Panel } from "@peltry/pattern";
import type { Form } from "../types";
import { arcPoints } from "./flat-shapes";
import { bulkStrips, skinStrips, sweepYarn } from "./horn-layers";
import {
  branchSweep,
  coneSweep,
  leanSweep,
  mirrorSweep,
  spiralSweep,
  type BentCone,
  type Branch,
} from "./horn-sweeps";
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
import { isRight, type Side } from "../build/mirror-form";
import { spiralFigures, type ShellParameters, type SpiralFigures } from "./spiral";
import { coverSweep, type WornPiece } from "./worn-piece";
import { sweepCore, sweepMesh, sweepSkin, sweepSolid, type Sweep } from "./sweep";

/** Shape, layers and stand of horns or antlers. Lengths in mm, angles in degrees. */
export interface HornOptions {
  readonly name?: string | undefined;
  /** A spiral by its shell parameters and the diameter of its base, mm … */
  readonly spiral?: (ShellParameters & { readonly baseDiameter: number }) | undefined;
  /** … or a bent cone. One of the two. */
  readonly cone?: BentCone | undefined;
  /** Tines of an antler: each a bent cone on the stem. */
  readonly branches?: readonly Branch[] | undefined;
  /** How it leans where it stands, degrees outward and backward. */
  readonly lean?: { readonly outDeg?: number; readonly backDeg?: number } | undefined;
  /** Side of the wearer: outward is +x on the left (default), −x on the right. */
  readonly side?: Side | undefined;
  /** A pair, or a single one; a pair by default. */
  readonly single?: boolean | undefined;
  /** Core wire: diameter, metal and how many strands. 3 mm aluminium, doubled, by default; `false` for none. */
  readonly wire?:
    | false
    | { readonly diameterMm: number; readonly metal: "steel" | "aluminium"; readonly strands?: number }
    | undefined;
  /** Foam that makes the bulk: sheet thickness, mm, and density; 10 mm soft foam by default. */
  readonly bulk?: { readonly sheetMm?: number; readonly kgPerM3?: Stated } | undefined;
  /** Skin: `fabric` in strips, as many as make them 45 mm wide at the base, or `yarn` wound on. */
  readonly skin?:
    | { readonly kind: "fabric"; readonly strips?: number; readonly fabric?: string; readonly gsm?: Stated }
    | { readonly kind: "yarn"; readonly diameterMm?: number; readonly tex?: Stated }
    | undefined;
  /** Base disc: sheet thickness, mm, tabs round it and their length, mm. */
  readonly base?:
    { readonly thicknessMm?: number; readonly tabs?: number; readonly tabMm?: number } | undefined;
}

/** A horn with its figures; all of one of the pair. */
export interface MadeHorn extends MadePart {
  /** Along the middle of the stem and of every branch, mm. */
  readonly coreLength: number;
  /** Yarn to wind, mm; 0 for a fabric skin. */
  readonly yarnLength: number;
  /** Solid inside the skin, mm³. */
  readonly volume: number;
  readonly skinArea: number;
  readonly baseDiameter: number;
  /** Highest point over the base, mm. */
  readonly rise: number;
  /** Closed-form figures of the spiral, in its own frame. */
  readonly spiral?: SpiralFigures;
}

/**
 * A horn, a pair of them, or antlers: a round section swept along a spiral or a bent line, with branches. Frame: middle of
 * the base at the origin, +y up out of the head, curling backward (−z), outward +x.
 *
 * @throws forms/bad-part
 * @source shell parameters after Raup 1966 (from memory); lengths, areas, volumes and centres derived here
 * @remarks Horns catch on door frames and hair, and hit people: soft tips, and a base that gives way before a neck does.
 */
export function makeHorn(options: HornOptions): MadeHorn {
  const stemAndSpiral = mainStem(options);
  const place = placer(options);
  const stem = place(stemAndSpiral.sweep);
  const branches = (options.branches ?? []).map((branch) => place(branchSweep(stemAndSpiral.sweep, branch)));
  const sweeps = [stem, ...branches];
  const name = options.name ?? (branches.length > 0 ? "antler" : "horn");
  const built = sweeps.map((sweep, k) => buildSweep(options, sweep, k === 0 ? "horn" : `branch-${k}`));
  const baseDiameter = 2 * stem.radii[0];
  const disc = baseDisc(options, baseDiameter);
  const weighed = [...built.flatMap((each) => each.weighed), disc.weighed];
  const needs = mergeNeeds(weighed.map((each) => each.need));
  const { massG, massRangeG } = totalMass(needs);
  const copies = options.single ? 1 : 2;
  const pair = (panel: Panel): Panel => (copies === 2 ? { ...panel, mirrored: true } : panel);
  const issues = sweeps.flatMap((sweep, k) => sweepIssues(sweep, k));
  return {
    name,
    form: hornForm(name, stem),
    worn: built.flatMap((each) => each.worn),
    pattern: sewTogether(
      name,
      [...built.flatMap((each) => each.panels), disc.panel].map(pair),
      built.flatMap((each) => each.joins),
    ),
    needs,
    copies,
    massG,
    massRangeG,
    centreOfMass: [0, 1, 2].map((k) =>
      weighed.reduce((sum, each) => sum + (each.need.massG * each.at[k]) / massG, 0),
    ) as unknown as Point3,
    coreLength: sweeps.reduce((sum, sweep) => sum + sweep.length, 0),
    yarnLength: built.reduce((sum, each) => sum + each.yarn, 0),
    volume: built.reduce((sum, each) => sum + each.volume, 0),
    skinArea: built.reduce((sum, each) => sum + each.area, 0),
    baseDiameter,
    rise: Math.max(...sweeps.flatMap((sweep) => sweep.middles.map((p) => p[1]))),
    ...(stemAndSpiral.spiral ? { spiral: stemAndSpiral.spiral } : {}),
    issues,
  };
}

function mainStem(options: HornOptions): { sweep: Sweep; spiral?: SpiralFigures } {
  if ((options.spiral === undefined) === (options.cone === undefined))
    partWord(options.spiral ? "both" : "neither", "spiral or cone", ["exactly one of the two"]);
  if (options.cone) return { sweep: coneSweep(options.cone) };
  const { baseDiameter, ...shell } = options.spiral!;
  const { sweep, tipDistance } = spiralSweep(shell, baseDiameter);
  return { sweep, spiral: spiralFigures(shell, tipDistance) };
}

function placer(options: HornOptions): (sweep: Sweep) => Sweep {
  const { outDeg = 0, backDeg = 0 } = options.lean ?? {};
  const right = isRight(options.side);
  return (sweep) => {
    const leant = leanSweep(sweep, outDeg, backDeg);
    return right ? mirrorSweep(leant) : leant;
  };
}

/** A strip of skin about this wide at the base still goes under a presser foot, mm. Common practice, no source. */
const STRIP_WIDTH = 45;

interface Weighed {
  readonly need: PartNeed;
  readonly at: Point3;
}

function buildSweep(options: HornOptions, sweep: Sweep, prefix: string) {
  const solid = sweepSolid(sweep);
  const skin = sweepSkin(sweep);
  const weighed: Weighed[] = [];
  let core = 0;
  if (options.wire !== false) {
    const { diameterMm, metal, strands = 2 } = options.wire ?? { diameterMm: 3, metal: "aluminium" as const };
    const density = wireDensity(
      partNumber(diameterMm, "wire.diameterMm", 0.5, 8),
      partWord(metal, "wire.metal", ["steel", "aluminium"]),
    );
    const count = Math.round(partNumber(strands, "wire.strands", 1, 8));
    core = (diameterMm * Math.sqrt(count)) / 2;
    weighed.push({ need: need("core wire", count * sweep.length, "mm", density), at: sweepCore(sweep) });
  }
  const sheet = partNumber(options.bulk?.sheetMm ?? 10, "bulk.sheetMm", 1, 100);
  const foam = options.bulk?.kgPerM3
    ? statedDensity(options.bulk.kgPerM3, "bulk.kgPerM3", [5, 2000], "kgPerM3")
    : PART_DENSITIES.softFoam;
  const strips = bulkStrips(sweep, core, sheet, `${prefix}-bulk`);
  const coreVolume = Math.min(solid.volume, Math.PI * core * core * sweep.length);
  weighed.push({ need: need("bulk foam", solid.volume - coreVolume, "mm3", foam), at: solid.centre });
  const skinning = options.skin ?? { kind: "fabric" };
  partWord(skinning.kind, "skin.kind", ["fabric", "yarn"]);
  const panels: Panel[] = strips.map((strip) => strip.panel);
  const joins: Join[] = [];
  const worn: WornPiece[] = [];
  let yarn = 0;
  if (skinning.kind === "yarn") {
    const diameter = partNumber(skinning.diameterMm ?? 4, "skin.diameterMm", 0.3, 30);
    yarn = sweepYarn(sweep, diameter);
    worn.push(woundPiece(sweep));
    const density = skinning.tex
      ? statedDensity(skinning.tex, "skin.tex", [5, 20000], "tex")
      : { low: 4.5e-4, high: 5.5e-4, source: "450 to 550 g/km, worsted-weight yarn, from memory" };
    weighed.push({ need: need("yarn", yarn, "mm", density), at: skin.centre });
  } else {
    const girth = 2 * Math.PI * sweep.radii[0];
    const usual = Math.min(12, Math.max(3, Math.round(girth / STRIP_WIDTH)));
    const count = Math.round(partNumber(skinning.strips ?? usual, "skin.strips", 3, 24));
    const cover = skinStrips(sweep, count, {
      prefix: `${prefix}-skin`,
      name: prefix === "horn" ? "Horn skin" : `${prefix.replace("-", " ")} skin`,
      fabric: skinning.fabric ?? "skin",
    });
    panels.push(...cover.flat().map((strip) => strip.panel));
    worn.push(...cover.flat().map((strip) => strip.worn));
    cover.forEach((strip, k) =>
      strip.forEach(({ panel }, length) => {
        joins.push({
          a: [panel.id, "right"],
          b: [cover[(k + 1) % count][length].panel.id, "left"],
          ...(k === count - 1 ? { note: "Last seam: close by hand over the bulk.", hand: true } : {}),
        });
        const next = strip[length + 1];
        if (next) joins.push({ a: [panel.id, "tip"], b: [next.panel.id, "base"] });
      }),
    );
    const cloth = skinning.gsm
      ? statedDensity(skinning.gsm, "skin.gsm", [20, 3000], "gsm")
      : PART_DENSITIES.cloth;
    weighed.push({ need: need("skin", skin.area, "mm2", cloth), at: skin.centre });
  }
  return { panels, joins, weighed, worn, yarn, volume: solid.volume, area: skin.area };
}

/** The surface of a sweep that yarn covers: laid out as girth by length, to be looked at only. */
function woundPiece(sweep: Sweep): WornPiece {
  const rows = sweep.middles.flatMap((_, i) => (i % FORM_STRIDE === 0 ? [i] : []));
  const step = sweep.length / (rows.length - 1);
  return coverSweep(sweep, {
    rows,
    span: [0, 2 * Math.PI],
    columns: 24,
    flatAt: (r, share) => [2 * Math.PI * sweep.radii[rows[r]] * (share - 0.5), r * step],
  });
}

/** One need a layer: stem and branches together. */
function mergeNeeds(needs: readonly PartNeed[]): PartNeed[] {
  const merged = new Map<string, PartNeed>();
  for (const each of needs) {
    const old = merged.get(each.layer);
    merged.set(
      each.layer,
      old
        ? {
            ...old,
            amount: old.amount + each.amount,
            massG: old.massG + each.massG,
            massRangeG: [old.massRangeG[0] + each.massRangeG[0], old.massRangeG[1] + each.massRangeG[1]],
          }
        : each,
    );
  }
  return [...merged.values()];
}

/** Disc under the horn with tabs that go through or under the band. */
function baseDisc(options: HornOptions, diameter: number): { panel: Panel; weighed: Weighed } {
  const thickness = partNumber(options.base?.thicknessMm ?? 1.5, "base.thicknessMm", 0.2, 20);
  const tabs = Math.round(partNumber(options.base?.tabs ?? 4, "base.tabs", 0, 12));
  const long = partNumber(options.base?.tabMm ?? 20, "base.tabMm", 3, 100);
  const radius = diameter / 2;
  const points: Point[] = [];
  // A tab takes a third of its share of the rim, and is as wide outside as at the rim.
  const share = 360 / Math.max(1, tabs);
  const wide = Math.min(20, share / 3, (12 / radius) * (180 / Math.PI));
  for (let k = 0; k < Math.max(1, tabs); k++) {
    const middle = k * share;
    if (tabs > 0) {
      const side = radius * Math.sin((wide * Math.PI) / 180);
      const near = radius * Math.cos((wide * Math.PI) / 180);
      const turn = (x: number, y: number): Point => {
        const angle = (middle * Math.PI) / 180;
        return [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)];
      };
      points.push(turn(near, -side), turn(near + long, -side), turn(near + long, side), turn(near, side));
    }
    const [from, to] = tabs > 0 ? [middle + wide, middle + share - wide] : [0, 360];
    const arc = arcPoints([0, 0], radius, [from, to], Math.max(4, Math.round(share / 6)));
    points.push(...arc.slice(tabs > 0 ? 1 : 0, -1));
  }
  const edges: Edge[] = [{ id: "rim", role: "raw", points: [...points, points[0]] }];
  const panel = plainPanel({
    id: "base-disc",
    name: "Base disc with tabs",
    fabric: "base-board",
    layer: "facing",
    edges,
    notes: [
      "Tabs go through slots in the band and are sewn or laced down; glue alone does not carry a horn.",
    ],
  });
  const area = Math.PI * radius * radius + tabs * 2 * radius * Math.sin((wide * Math.PI) / 180) * long;
  const weighed = {
    need: need("base disc", area * thickness, "mm3", PART_DENSITIES.boardDisc),
    at: [0, 0, 0] as Point3,
  };
  return { panel, weighed };
}

function sweepIssues(sweep: Sweep, branch: number): Issue[] {
  let worst = 0;
  for (let i = 1; i < sweep.middles.length; i++) {
    const [p, q] = [sweep.sides[i - 1].t, sweep.sides[i].t];
    const step = Math.hypot(...sweep.middles[i].map((x, k) => x - sweep.middles[i - 1][k]));
    worst = Math.max(worst, (Math.hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2]) / step) * sweep.radii[i]);
  }
  if (worst <= 0.95) return [];
  return [
    {
      code: "forms/horn-folds",
      severity: "warning",
      message: `${branch === 0 ? "The horn" : `Branch ${branch}`} bends so sharply that it meets itself on the inner side.`,
      at: { path: [branch === 0 ? "spiral" : "branches"] },
      found: Math.round(100 * worst) / 100,
      limit: 0.95,
      fix: "Raise D, lower W or bend it less; or make the base thinner.",
      source: "a tube folds where its radius meets its radius of bend: derived here",
    },
  ];
}

const COLUMNS = 24;
const FORM_STRIDE = 3;

function hornForm(name: string, sweep: Sweep): Form {
  const rows = sweep.middles.flatMap((_, i) => (i % FORM_STRIDE === 0 ? [i] : []));
  const thin: Sweep = {
    length: sweep.length,
    middles: rows.map((i) => sweep.middles[i]),
    radii: rows.map((i) => sweep.radii[i]),
    sides: rows.map((i) => sweep.sides[i]),
  };
  const mesh = sweepMesh(thin, COLUMNS, false);
  const line = (id: string, label: string, column: number, kind: "drawn" | "level") => ({
    id,
    name: label,
    kind,
    path: [...rows.map((_, r) => r * COLUMNS + column), rows.length * COLUMNS],
    closed: false,
  });
  return {
    name,
    mesh,
    regions: [{ id: "skin", name: "skin" }],
    regionOf: new Int32Array(mesh.triangles.length / 3),
    curves: [
      line("front-seam", "Front seam", 0, "drawn"),
      line("back-seam", "Back seam", COLUMNS / 2, "drawn"),
      line("outer-line", "Outer line", COLUMNS / 4, "level"),
      line("inner-line", "Inner line", (3 * COLUMNS) / 4, "level"),
      {
        id: "rim-base",
        name: "Base",
        kind: "rim",
        path: Array.from({ length: COLUMNS }, (_, c) => c),
        closed: true,
      },
    ],
    landmarks: [{ id: "tip", vertex: rows.length * COLUMNS }],
  };
}
