import type { Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Marking, Panel } from "@peltry/pattern";
import { edgesArea, rectangleEdges } from "./flat-shapes";
import { need, plainPanel, sewTogether, totalMass, type Join, type MadePart } from "./made-part";
import { PART_DENSITIES, statedDensity, type Stated } from "./material-densities";
import { partNumber, partWord } from "./number";
import type { WornPiece } from "./worn-piece";

/** Something that stands on the band. */
export interface Carried {
  readonly name: string;
  /** Mass of one, g. */
  readonly massG: number;
  /** Centre of one over its base, in the part's own frame (y up out of the head, x outward, z forward), mm. */
  readonly centre: Point3;
  /** Where it stands: angle round the head from the brow, degrees; positive to the wearer's +x side. */
  readonly aroundDeg: number;
  /** Height of its base over the middle of the band, mm. */
  readonly height?: number;
  /** Diameter of its round base, or length of the edge by which it is sewn on, mm. */
  readonly baseDiameter?: number;
  /** `round`, the default: a plate that can tip on the band. `edge`: sewn on along a line. */
  readonly base?: "round" | "edge";
  /** True where a mirrored one stands on the other side. */
  readonly pair?: boolean;
}

/** Head, band and what stands on it. Lengths in mm. */
export interface HeadbandOptions {
  readonly name?: string | undefined;
  /** Head girth with hair flat, mm, and what lies between head and band: wig or hood, mm thick. */
  readonly headGirth: number;
  readonly wigThickness?: number | undefined;
  /** Length over breadth of the head, 1.28 by default (mean of the 2012 survey). */
  readonly headRatio?: number | undefined;
  /** `around`: a closed ring; `over`: a bow over the head from ear to ear. */
  readonly style?: "around" | "over" | undefined;
  /** Length of the bow over the head, mm, for style `over`: ear to ear over the crown. */
  readonly overLength?: number | undefined;
  readonly width?: number | undefined;
  /** Usable stretch taken up when worn, as a fraction: negative ease. 0 by default. */
  readonly strain?: number | undefined;
  /** Overlap of an adjustable closing at the back, mm; 0 for a sewn ring. */
  readonly overlap?: number | undefined;
  readonly fabric?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
  /** Stiffener inside, mm thick; 2 by default. */
  readonly stiffenerMm?: number | undefined;
  readonly carries?: readonly Carried[] | undefined;
}

/** A headband with the places and the load of what it carries. */
export interface MadeHeadband extends MadePart {
  /** Girth over head and wig, mm. */
  readonly girth: number;
  /** Finished width, mm. */
  readonly width: number;
  /** Where each carried thing stands: mm along the band from its middle, and place on the head. */
  readonly fixings: readonly {
    readonly name: string;
    readonly along: number;
    readonly at: Point3;
    readonly gap?: number;
  }[];
  /** Band and all that stands on it: mass, g, and centre over the middle of the band, mm (z forward, y up). */
  readonly load: { readonly massG: number; readonly centre: Point3 };
  /** What stands on it by a round base: mass, g, centre over the middle of the base and its diameter, mm. */
  readonly bases: readonly {
    readonly name: string;
    readonly massG: number;
    readonly centre: Point3;
    readonly diameterMm: number;
  }[];
}

/**
 * A band round or over the head that carries ears or horns. Frame: middle of the head at the level of the band, y up,
 * z forward, x to the wearer's left.
 *
 * @throws forms/bad-part
 * @source girth over a wig: L + 2 π d (Steiner); head length over breadth 1.28 from Gordon et al. 2014
 */
export function makeHeadband(options: HeadbandOptions): MadeHeadband {
  const wig = partNumber(options.wigThickness ?? 0, "wigThickness", 0, 60);
  const girth = partNumber(options.headGirth, "headGirth", 400, 700) + 2 * Math.PI * wig;
  const style = partWord(options.style ?? "around", "style", ["around", "over"]);
  const width = partNumber(options.width ?? 30, "width", 5, 120);
  const strain = partNumber(options.strain ?? 0, "strain", 0, 0.6);
  const whole =
    style === "around" ? girth : partNumber(options.overLength ?? 0.62 * girth, "overLength", 150, 600);
  const overlap = partNumber(options.overlap ?? 0, "overlap", 0, 150);
  const length = whole / (1 + strain);
  const ring = headRing(girth, partNumber(options.headRatio ?? 1.28, "headRatio", 1, 1.7));
  const stands = (options.carries ?? []).map((carried) => stand(carried, ring, style));
  const fixings = stands.flatMap(({ carried, at, along, up }) =>
    (carried.pair ? [1, -1] : [1]).map((side) => ({
      name: carried.name + (carried.pair ? (side > 0 ? ", left" : ", right") : ""),
      along: (side * along) / (1 + strain),
      at: [side * at[0], at[1], at[2]] as Point3,
      centre: [side * up[0], up[1], up[2]] as Point3,
      overBase: [side * carried.centre[0], carried.centre[1], carried.centre[2]] as Point3,
      massG: carried.massG,
      base: carried.baseDiameter ?? 0,
      tips: carried.base !== "edge",
    })),
  );
  const issues = crowded(fixings, length);
  const panels = bandPanels(options, length + overlap, width, overlap, fixings, style);
  const joins: Join[] = [
    {
      a: ["band", "top"],
      b: ["band-lining", "bottom"],
      note: "Right sides together; turn after the other long seam.",
    },
    { a: ["band", "bottom"], b: ["band-lining", "top"] },
    ...(style === "around" && overlap === 0
      ? (["band", "band-lining"] as const).map((id): Join => ({
          a: [id, "right"],
          b: [id, "left"],
          note: "Close to a ring.",
        }))
      : []),
  ];
  const cloth = options.fabricGsm
    ? statedDensity(options.fabricGsm, "fabricGsm", [20, 3000], "gsm")
    : PART_DENSITIES.cloth;
  const area = edgesArea(panels[0].edges);
  const stiff = partNumber(options.stiffenerMm ?? 2, "stiffenerMm", 0, 20);
  const needs = [need("cloth, two layers", 2 * area, "mm2", cloth)];
  if (stiff > 0) needs.push(need("stiffener (foam sheet)", area * stiff, "mm3", PART_DENSITIES.foamSheet));
  const mass = totalMass(needs);
  const loadMass = mass.massG + fixings.reduce((sum, each) => sum + each.massG, 0);
  const own: Point3 = style === "around" ? [0, 0, 0] : [0, whole / Math.PI, 0];
  const name = options.name ?? "headband";
  return {
    name,
    worn: [wornBand(style, ring, whole, { length, width })],
    pattern: sewTogether(name, panels, joins),
    needs,
    copies: 1,
    ...mass,
    centreOfMass: own,
    girth,
    width,
    fixings: fixings.map(({ name: of, along, at }) => ({ name: of, along, at })),
    bases: fixings
      .filter((each) => each.base > 0 && each.tips)
      .map(({ name: of, massG, overBase, base }) => ({
        name: of,
        massG,
        centre: overBase,
        diameterMm: base,
      })),
    load: {
      massG: loadMass,
      centre: [0, 1, 2].map(
        (k) =>
          (mass.massG * own[k] + fixings.reduce((sum, each) => sum + each.massG * each.centre[k], 0)) /
          loadMass,
      ) as unknown as Point3,
    },
    issues,
  };
}

interface HeadRing {
  readonly half: number;
  readonly long: number;
  /** Arc length from the brow to an angle round, mm. */
  readonly arc: (deg: number) => number;
  /** Angle of the ellipse, radians, at an arc length from the brow. */
  readonly angleAt: (arc: number) => number;
}

/** An ellipse of the given girth and length over breadth. */
function headRing(girth: number, ratio: number): HeadRing {
  const steps = 720;
  const point = (k: number): [number, number] => {
    const t = (2 * Math.PI * k) / steps;
    return [Math.sin(t), ratio * Math.cos(t)];
  };
  const sums = [0];
  for (let k = 1; k <= steps; k++) {
    const [p, q] = [point(k - 1), point(k)];
    sums.push(sums[k - 1] + Math.hypot(q[0] - p[0], q[1] - p[1]));
  }
  const scale = girth / sums[steps];
  return {
    half: scale,
    long: ratio * scale,
    arc: (deg) => {
      const k = (Math.abs(deg) / 360) * steps;
      const i = Math.min(steps - 1, Math.floor(k));
      return Math.sign(deg) * scale * (sums[i] + (k - i) * (sums[i + 1] - sums[i]));
    },
    angleAt: (arc) => {
      const wanted = Math.min(sums[steps], Math.abs(arc) / scale);
      const i = Math.max(
        1,
        sums.findIndex((sum) => sum >= wanted - 1e-12),
      );
      const share = (wanted - sums[i - 1]) / (sums[i] - sums[i - 1]);
      return (Math.sign(arc) * 2 * Math.PI * (i - 1 + share)) / steps;
    },
  };
}

/** The outer band where it lies: round the head from the middle of the back, or over it from ear to ear. */
function wornBand(
  style: "around" | "over",
  ring: HeadRing,
  whole: number,
  { length, width }: { readonly length: number; readonly width: number },
): WornPiece {
  const columns = 96;
  const place = (share: number, y: number): Point3 => {
    const turn =
      style === "around" ? ring.angleAt(whole * (share - 0.5)) : (whole / ring.half) * (share - 0.5);
    return style === "around"
      ? [ring.half * Math.sin(turn), y - width / 2, ring.long * Math.cos(turn)]
      : [ring.half * Math.sin(turn), ring.half * Math.cos(turn), width / 2 - y];
  };
  const shares = Array.from({ length: columns + 1 }, (_, c) => c / columns);
  const positions = Float64Array.from(shares.flatMap((s) => [...place(s, 0), ...place(s, width)]));
  const flat = Float64Array.from(shares.flatMap((s) => [length * s, 0, length * s, width]));
  const triangles = shares
    .slice(1)
    .flatMap((_, c) => [2 * c, 2 * c + 2, 2 * c + 3, 2 * c, 2 * c + 3, 2 * c + 1]);
  return { panel: "band", mesh: { positions, triangles: Uint32Array.from(triangles) }, flat };
}

function stand(
  carried: Carried,
  ring: HeadRing,
  style: "around" | "over",
): { carried: Carried; at: Point3; along: number; up: Point3 } {
  partNumber(carried.massG, "carries.massG", 0, 1e4);
  carried.centre.forEach((value) => partNumber(value, "carries.centre", -2000, 2000));
  const deg = partNumber(carried.aroundDeg, "carries.aroundDeg", -180, 180);
  const height = partNumber(carried.height ?? 0, "carries.height", -100, 250);
  const angle = (deg * Math.PI) / 180;
  const at: Point3 =
    style === "around"
      ? [ring.half * Math.sin(angle), height, ring.long * Math.cos(angle)]
      : // Over the crown the angle counts from the top down to the ear.
        [ring.half * Math.sin(angle), ring.half * Math.cos(angle) + height, 0];
  const along = style === "around" ? ring.arc(deg) : ring.half * angle;
  const c = carried.centre;
  return { carried, at, along, up: [at[0] + c[0], at[1] + c[1], at[2] + c[2]] };
}

function crowded(
  fixings: readonly { readonly along: number; readonly base: number; readonly name: string }[],
  length: number,
): Issue[] {
  const sorted = [...fixings].sort((p, q) => p.along - q.along);
  const issues: Issue[] = [];
  for (let k = 0; k < sorted.length; k++) {
    const [p, q] = [sorted[k], sorted[k + 1]];
    if (q && q.along - p.along < (p.base + q.base) / 2) {
      issues.push({
        code: "forms/band-crowded",
        severity: "warning",
        message: `${p.name} and ${q.name} stand ${Math.round(q.along - p.along)} mm apart; their bases need ${Math.round((p.base + q.base) / 2)} mm.`,
        at: { path: ["carries"] },
        found: Math.round(q.along - p.along),
        limit: Math.round((p.base + q.base) / 2),
        fix: "Set them further round the head or make their bases smaller.",
      });
    }
    if (Math.abs(p.along) + p.base / 2 > length / 2 + 0.5) {
      issues.push({
        code: "forms/off-the-band",
        severity: "warning",
        message: `${p.name} stands past the end of the band.`,
        at: { path: ["carries"] },
        found: Math.round(Math.abs(p.along) + p.base / 2),
        limit: Math.round(length / 2),
        fix: "Set it nearer the middle or make the band longer.",
      });
    }
  }
  return issues;
}

function bandPanels(
  options: HeadbandOptions,
  length: number,
  width: number,
  overlap: number,
  fixings: readonly { readonly name: string; readonly along: number; readonly base: number }[],
  style: "around" | "over",
): Panel[] {
  const end = style === "around" && overlap === 0 ? "raw" : "opening";
  const middle = (length - overlap) / 2;
  const markings: Marking[] = fixings
    .filter((each) => Math.abs(each.along) < middle)
    .map((each, k) => ({
      id: `fixing-${k + 1}`,
      kind: "line",
      points: [
        [middle + each.along, 0.1],
        [middle + each.along, width - 0.1],
      ],
      label: each.name,
    }));
  if (overlap > 0)
    markings.push({
      id: "overlap",
      kind: "line",
      points: [
        [length - overlap, 0.1],
        [length - overlap, width - 0.1],
      ],
      label: "overlap",
    });
  const fabric = options.fabric ?? "band";
  // A band that stretches lies across the grain, where cloth gives; one that must not, along it.
  const grain = (options.strain ?? 0) > 0 ? 90 : 0;
  const edges = rectangleEdges(length, width, ["raw", end, "raw", end]);
  return [
    plainPanel({ id: "band", name: "Headband", fabric, edges, markings, grain }),
    plainPanel({
      id: "band-lining",
      name: "Headband, lining",
      fabric: "band-lining",
      layer: "lining",
      edges,
      grain,
    }),
  ];
}
