import type {
  Carried,
  EarsOptions,
  HalfMaskOptions,
  HeadbandOptions,
  HoodOptions,
  HornOptions,
  Stated,
  TailOptions,
} from "@peltry/forms";
import { resolveValue, type MaterialEntry } from "@peltry/materials";
import type { ReadyPart } from "../project/schema";
import { asMm } from "./lay-out-panels";

type Of<K extends ReadyPart["kind"]> = Extract<ReadyPart, { kind: K }>;

/** What the makers of parts need beside the part's own figures. */
export interface ReadyContext {
  /** Catalogue entry behind a fabric of the part; undefined where it names none. */
  readonly entryOf: (fabric: string | undefined) => MaterialEntry | undefined;
  /** Catalogue entry by id. */
  readonly material: (id: string) => MaterialEntry;
  /** A measure of the wearer, mm. */
  readonly measure: (key: "waistNatural" | "headGirth") => number;
}

const mm = (value: number | string | undefined): number | undefined =>
  value === undefined ? undefined : asMm(value);

/** Cloth without pile whose mass the catalogue does not know, g/m². */
const PLAIN_CLOTH: Stated = { low: 180, high: 320, source: "knit to fleece, from memory" };

/** g/m² of a cloth; undefined for a pile of unknown mass, so that the part's own default holds. */
export function gsmOf(entry: MaterialEntry | undefined): Stated | undefined {
  return spread(entry, "massPerArea") ?? (entry && entry.family !== "pile-fabric" ? PLAIN_CLOTH : undefined);
}

/** g/m² of a cloth or kg/m³ of a filling or foam, as far as the catalogue spreads; undefined where it is silent. */
function spread(entry: MaterialEntry | undefined, property: "massPerArea" | "density"): Stated | undefined {
  const found = entry && resolveValue(entry, property);
  if (!found) return undefined;
  const origin = found.picked.source === "memory" ? "from memory" : `grade ${found.grade}`;
  return { low: found.min, high: found.max, source: `catalogue entry ${entry.id}, ${origin}` };
}

export function tailOptions(part: Of<"tail">, context: ReadyContext): TailOptions {
  const { band, fullest } = part;
  return {
    style: part.style,
    length: asMm(part.lengthMm),
    baseGirth: mm(part.baseGirthMm),
    circleFraction: part.circleShare,
    tipGirth: mm(part.tipGirthMm),
    fullest: fullest && { at: fullest.at, girth: asMm(fullest.girthMm) },
    bendDeg: part.bendDeg,
    underside:
      part.undersideShare === undefined ? undefined : { share: part.undersideShare, fabric: "underside" },
    gores: part.gores,
    stuffingOpening: mm(part.stuffingOpeningMm),
    fabric: "coat",
    fabricGsm: gsmOf(context.entryOf(part.fabrics.coat)),
    stuffingKgPerM3:
      part.stuffing === undefined ? undefined : spread(context.material(part.stuffing), "density"),
    wire: part.wire,
    band: band && {
      girth: mm(band.girthMm) ?? context.measure("waistNatural"),
      ...(band.widthMm === undefined ? {} : { width: asMm(band.widthMm) }),
      ...(band.overlapMm === undefined ? {} : { overlap: asMm(band.overlapMm) }),
    },
  };
}

export function earsOptions(part: Of<"ears">, context: ReadyContext): EarsOptions {
  return {
    length: asMm(part.lengthMm),
    width: asMm(part.widthMm),
    baseWidth: mm(part.baseWidthMm),
    widestAt: part.widestAt,
    tip: part.tip,
    lean: mm(part.leanMm),
    cupDepth: mm(part.cupDepthMm),
    dartLength: mm(part.dartMm),
    fringe: mm(part.fringeMm),
    fabric: "coat",
    lining: "lining",
    fabricGsm: gsmOf(context.entryOf(part.fabrics.coat)),
    liningGsm: gsmOf(context.entryOf(part.fabrics.lining)),
    wire: part.wire,
    foamMm: part.foamMm,
  };
}

export function hornOptions(part: Of<"horn">, context: ReadyContext): HornOptions {
  const baseDiameter = asMm(part.baseDiameterMm);
  const gsm = gsmOf(context.entryOf(part.fabrics.skin));
  const foam = spread(context.entryOf(part.fabrics.bulk), "density");
  const { base } = part;
  return {
    spiral: part.spiral && { ...part.spiral, baseDiameter },
    cone: part.spiral
      ? undefined
      : {
          length: asMm(part.lengthMm ?? 0),
          baseDiameter,
          ...(part.tipDiameterMm === undefined ? {} : { tipDiameter: asMm(part.tipDiameterMm) }),
          ...(part.bendDeg === undefined ? {} : { bendDeg: part.bendDeg }),
        },
    branches: part.branches?.map((branch) => ({
      at: branch.at,
      angleDeg: branch.angleDeg,
      length: asMm(branch.lengthMm),
      baseDiameter: asMm(branch.baseDiameterMm),
      ...(branch.aroundDeg === undefined ? {} : { aroundDeg: branch.aroundDeg }),
      ...(branch.tipDiameterMm === undefined ? {} : { tipDiameter: asMm(branch.tipDiameterMm) }),
      ...(branch.bendDeg === undefined ? {} : { bendDeg: branch.bendDeg }),
    })),
    lean: { outDeg: part.leanOutDeg ?? 0, backDeg: part.leanBackDeg ?? 0 },
    single: !part.pair,
    wire: part.wire,
    bulk: {
      ...(part.bulkMm === undefined ? {} : { sheetMm: part.bulkMm }),
      ...(foam === undefined ? {} : { kgPerM3: foam }),
    },
    skin:
      part.skin === "yarn"
        ? { kind: "yarn", ...(part.yarnMm === undefined ? {} : { diameterMm: part.yarnMm }) }
        : {
            kind: "fabric",
            fabric: "skin",
            ...(part.strips === undefined ? {} : { strips: part.strips }),
            ...(gsm === undefined ? {} : { gsm }),
          },
    base: base && {
      ...(base.thicknessMm === undefined ? {} : { thicknessMm: base.thicknessMm }),
      ...(base.tabs === undefined ? {} : { tabs: base.tabs }),
      ...(base.tabMm === undefined ? {} : { tabMm: asMm(base.tabMm) }),
    },
  };
}

export function hoodOptions(part: Of<"hood">, context: ReadyContext): HoodOptions {
  return {
    headGirth: mm(part.headGirthMm) ?? context.measure("headGirth"),
    wigThickness: mm(part.wigMm),
    height: mm(part.heightMm),
    depth: mm(part.depthMm),
    width: mm(part.widthMm),
    faceHeight: mm(part.faceHeightMm),
    fabric: "coat",
    fabricGsm: gsmOf(context.entryOf(part.fabrics.coat)),
  };
}

export function halfMaskOptions(part: Of<"half-mask">, context: ReadyContext): HalfMaskOptions {
  const { window, nose } = part;
  return {
    headGirth: mm(part.headGirthMm) ?? context.measure("headGirth"),
    wigThickness: mm(part.wigMm),
    height: mm(part.heightMm),
    wrapDeg: part.wrapDeg,
    eyeSpacing: mm(part.eyeSpacingMm),
    eyeHeight: mm(part.eyeHeightMm),
    eyeRelief: mm(part.eyeReliefMm),
    window: window && { width: mm(window.widthMm), height: mm(window.heightMm) },
    nose: nose && { bridge: mm(nose.bridgeMm), width: mm(nose.widthMm), out: mm(nose.outMm) },
    fixing: part.fixing,
    elasticStrain: part.elasticStretchPercent === undefined ? undefined : part.elasticStretchPercent / 100,
    fabric: "coat",
    lining: "lining",
    fabricGsm: gsmOf(context.entryOf(part.fabrics.coat)),
    liningGsm: gsmOf(context.entryOf(part.fabrics.lining)),
    foamMm: part.foamMm,
  };
}

export function headbandOptions(
  part: Of<"headband">,
  context: ReadyContext,
  carries: readonly Carried[],
): HeadbandOptions {
  return {
    headGirth: mm(part.headGirthMm) ?? context.measure("headGirth"),
    wigThickness: mm(part.wigMm),
    style: part.style,
    overLength: mm(part.overMm),
    width: mm(part.widthMm),
    strain: part.stretchPercent === undefined ? undefined : part.stretchPercent / 100,
    overlap: mm(part.overlapMm),
    stiffenerMm: part.stiffenerMm,
    fabric: "band",
    fabricGsm: gsmOf(context.entryOf(part.fabrics.band)),
    carries,
  };
}
