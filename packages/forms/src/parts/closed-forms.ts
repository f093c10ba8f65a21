import { partNumber } from "./number";

/** A cone that stands upright, and the sector of a circle that it unrolls to. Lengths in mm. */
export interface ConeFigures {
  readonly radius: number;
  readonly height: number;
  /** Radius of the sector. */
  readonly slant: number;
  /** Angle of the sector, degrees. */
  readonly sectorDeg: number;
  readonly girth: number;
  /** Lateral area, mm². */
  readonly area: number;
  /** mm³. */
  readonly volume: number;
}

/**
 * Figures of an upright cone.
 *
 * @param radius of the base, mm
 * @param height mm
 * @throws forms/bad-part
 * @source s = √(r² + h²), angle 360° r / s: elementary geometry
 */
export function coneFigures(radius: number, height: number): ConeFigures {
  partNumber(radius, "radius", 1e-6, 1e5);
  partNumber(height, "height", 0, 1e5);
  const slant = Math.hypot(radius, height);
  return {
    radius,
    height,
    slant,
    sectorDeg: 360 * (radius / slant),
    girth: 2 * Math.PI * radius,
    area: Math.PI * radius * slant,
    volume: (Math.PI * radius * radius * height) / 3,
  };
}

/**
 * The cone that a sector of a circle rolls up to: r = f s, h = s √(1 − f²). A third of a circle gives r = s / 3.
 *
 * @param fraction of the full circle, over 0 up to 1
 * @param slant radius of the circle, mm
 * @throws forms/bad-part
 * @source elementary geometry
 */
export function coneFromSector(fraction: number, slant: number): ConeFigures {
  partNumber(fraction, "fraction", 1e-6, 1);
  partNumber(slant, "slant", 1e-6, 1e5);
  return coneFigures(fraction * slant, slant * Math.sqrt(1 - fraction * fraction));
}

/** The ring sector of a cone with its tip cut off; a rectangle where both radii are equal. */
export interface FrustumFigures {
  readonly slant: number;
  readonly area: number;
  readonly volume: number;
  /** Radii of the ring, mm; Infinity for a rectangle. */
  readonly outerRadius: number;
  readonly innerRadius: number;
  /** Angle of the ring, degrees; 0 for a rectangle. */
  readonly sectorDeg: number;
}

/**
 * Figures of a frustum, R the larger radius.
 *
 * @param large radius, mm
 * @param small radius, mm, not more than the large one
 * @param height mm
 * @throws forms/bad-part
 * @source s = √((R − r)² + h²), radii R s / (R − r) and r s / (R − r), angle 360° (R − r) / s: elementary geometry
 */
export function frustumFigures(large: number, small: number, height: number): FrustumFigures {
  partNumber(large, "large", 1e-6, 1e5);
  partNumber(small, "small", 0, large);
  partNumber(height, "height", 0, 1e5);
  const by = large - small;
  const slant = Math.hypot(by, height);
  return {
    slant,
    area: Math.PI * (large + small) * slant,
    volume: (Math.PI * height * (large * large + large * small + small * small)) / 3,
    outerRadius: by === 0 ? Infinity : (large * slant) / by,
    innerRadius: by === 0 ? Infinity : (small * slant) / by,
    sectorDeg: slant === 0 ? 360 : (360 * by) / slant,
  };
}

/** A cone whose tip does not stand over the middle of its round base, unrolled. */
export interface ObliqueConeFigures {
  readonly angleDeg: number;
  readonly area: number;
  readonly shortest: number;
  readonly longest: number;
  /** The rim keeps its length 2 π R. */
  readonly rim: number;
  /** Flat outline of the rim from the shortest line round to it again, tip at the origin. */
  readonly flatRim: readonly (readonly [number, number])[];
}

/**
 * Unrolls an oblique cone.
 *
 * @param radius of the base, mm
 * @param offset of the tip from over the middle, mm
 * @param height mm, over 0
 * @param steps round the rim
 * @throws forms/bad-part
 * @source ρ(t) = √((R cos t − d)² + (R sin t)² + h²), dφ = √(R² − ρ′²) / ρ dt, derived here
 */
export function obliqueCone(radius: number, offset: number, height: number, steps = 720): ObliqueConeFigures {
  partNumber(radius, "radius", 1e-6, 1e5);
  partNumber(offset, "offset", 0, 1e5);
  partNumber(height, "height", 1e-6, 1e5);
  partNumber(steps, "steps", 12, 1e5);
  const rho = (t: number): number =>
    Math.sqrt((radius * Math.cos(t) - offset) ** 2 + (radius * Math.sin(t)) ** 2 + height ** 2);
  const turn = (t: number): number => {
    const slope = (radius * offset * Math.sin(t)) / rho(t);
    return Math.sqrt(Math.max(0, radius * radius - slope * slope)) / rho(t);
  };
  const flatRim: [number, number][] = [];
  let [angle, area] = [0, 0];
  const h = (2 * Math.PI) / Math.round(steps);
  for (let k = 0; k <= Math.round(steps); k++) {
    const t = k * h;
    flatRim.push([rho(t) * Math.cos(angle), rho(t) * Math.sin(angle)]);
    // Simpson's rule on each step.
    const part = (f: (x: number) => number): number => (h / 6) * (f(t) + 4 * f(t + h / 2) + f(t + h));
    if (k === Math.round(steps)) break;
    area += part((x) => (rho(x) ** 2 * turn(x)) / 2);
    angle += part(turn);
  }
  const [near, far] = [rho(0), rho(Math.PI)];
  return {
    angleDeg: (angle * 180) / Math.PI,
    area,
    shortest: Math.min(near, far),
    longest: Math.max(near, far),
    rim: 2 * Math.PI * radius,
    flatRim,
  };
}

/** One of n like pieces of a ball. */
export interface GoreFigures {
  readonly width: number;
  readonly length: number;
  /** Length of the flat curved edge, mm. */
  readonly edge: number;
  /** How much longer the edge is than the meridian it lies on, as a fraction: what the cloth has to take. */
  readonly excess: number;
}

/**
 * A gore of a ball, pole to pole.
 *
 * @param radius mm
 * @param count number of gores, 2 or more
 * @throws forms/bad-part
 * @source width 2 π R cos(latitude) / n; edge R ∫ √(1 + (π / n)² sin²) over the meridian, derived here
 */
export function sphereGore(radius: number, count: number): GoreFigures {
  partNumber(radius, "radius", 1e-6, 1e5);
  partNumber(count, "count", 2, 1000);
  const edge =
    radius *
    integrate((x) => Math.sqrt(1 + (Math.PI / count) ** 2 * Math.sin(x) ** 2), -Math.PI / 2, Math.PI / 2);
  const length = Math.PI * radius;
  return { width: (2 * Math.PI * radius) / count, length, edge, excess: edge / length - 1 };
}

/**
 * A strip wound round a cylinder.
 *
 * @param radius to the middle of what is wound, mm
 * @param pitch advance of a turn, mm
 * @param turns number
 * @returns length, mm; the angle to the round, degrees; and the width of a strip that lies edge to edge, mm
 * @throws forms/bad-part
 * @source N √((2 π r)² + p²): elementary geometry
 */
export function helixWrap(
  radius: number,
  pitch: number,
  turns: number,
): { readonly length: number; readonly angleDeg: number; readonly stripWidth: number } {
  partNumber(radius, "radius", 1e-6, 1e5);
  partNumber(pitch, "pitch", 0, 1e5);
  partNumber(turns, "turns", 0, 1e6);
  const round = 2 * Math.PI * radius;
  const angle = Math.atan2(pitch, round);
  return {
    length: turns * Math.hypot(round, pitch),
    angleDeg: (angle * 180) / Math.PI,
    stripWidth: pitch * Math.cos(angle),
  };
}

/**
 * Yarn, mm, that covers a frustum side by side, turn on turn.
 *
 * @param large radius, mm
 * @param small radius, mm
 * @param slant length along the side, mm
 * @param diameter of the yarn, mm
 * @throws forms/bad-part
 * @source ∫ √((2 π ρ / d)² + 1) ds, about π (R + r) s / d; derived here
 */
export function yarnCover(large: number, small: number, slant: number, diameter: number): number {
  partNumber(large, "large", 0, 1e5);
  partNumber(small, "small", 0, 1e5);
  partNumber(slant, "slant", 0, 1e5);
  partNumber(diameter, "diameter", 0.05, 200);
  return integrate(
    (s) => Math.hypot((2 * Math.PI * (large + ((small - large) * s) / (slant || 1))) / diameter, 1),
    0,
    slant,
  );
}

/**
 * A skirt cut as a part of a circle: inner radius C / (2 π f), hem C + 2 π f L.
 *
 * @param waist girth of the upper edge, mm
 * @param fraction of the full circle
 * @param length mm
 * @throws forms/bad-part
 * @source elementary geometry
 */
export function circleSkirt(
  waist: number,
  fraction: number,
  length: number,
): { readonly innerRadius: number; readonly outerRadius: number; readonly hem: number } {
  partNumber(waist, "waist", 1, 1e5);
  partNumber(fraction, "fraction", 0.01, 4);
  partNumber(length, "length", 0, 1e5);
  const innerRadius = waist / (2 * Math.PI * fraction);
  return { innerRadius, outerRadius: innerRadius + length, hem: waist + 2 * Math.PI * fraction * length };
}

/** A dart that makes a cup of flat cloth. */
export interface CupDart {
  /** Angle of the dart, degrees. */
  readonly angleDeg: number;
  /** Mouth at the ends of the legs, mm: chord and arc. */
  readonly intake: number;
  readonly intakeArc: number;
  /** Half the angle at the tip of the cone it makes, degrees. */
  readonly halfApexDeg: number;
  /** Depth of that cone over the length of the dart, mm. */
  readonly depth: number;
}

/**
 * The cone that a dart of length L and angle α makes: sin β = 1 − α / 2π, depth L cos β, mouth 2 L sin(α / 2).
 *
 * @throws forms/bad-part
 * @source Gauss–Bonnet: the angle taken out is the curvature put in; derived here
 */
export function cupFromDart(length: number, angleDeg: number): CupDart {
  partNumber(length, "length", 1e-6, 1e5);
  partNumber(angleDeg, "angleDeg", 0, 359);
  const alpha = (angleDeg * Math.PI) / 180;
  const sin = 1 - alpha / (2 * Math.PI);
  return {
    angleDeg,
    intake: 2 * length * Math.sin(alpha / 2),
    intakeArc: length * alpha,
    halfApexDeg: (Math.asin(sin) * 180) / Math.PI,
    depth: length * Math.sqrt(1 - sin * sin),
  };
}

/** The dart of a given length that makes a cup of a given depth. @throws forms/bad-part */
export function dartForCup(length: number, depth: number): CupDart {
  partNumber(length, "length", 1e-6, 1e5);
  partNumber(depth, "depth", 0, 0.95 * length);
  return cupFromDart(length, 360 * (1 - Math.sqrt(1 - (depth / length) ** 2)));
}

/** Integral by Gauss–Legendre of order five on 64 parts: exact to rounding for the smooth curves here. */
export function integrate(f: (x: number) => number, from: number, to: number, parts = 64): number {
  let sum = 0;
  const h = (to - from) / parts;
  for (let k = 0; k < parts; k++) {
    const middle = from + (k + 0.5) * h;
    for (let j = 0; j < 5; j++) sum += GAUSS_WEIGHTS[j] * f(middle + (GAUSS_NODES[j] * h) / 2);
  }
  return (sum * h) / 2;
}

const GAUSS_NODES = [-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664];
const GAUSS_WEIGHTS = [
  0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189,
];
