import { shown } from "../parts/number";
import { fail } from "@peltry/issues";
import { meshArea, meshTopology } from "@peltry/geometry";
import type { Form } from "../types";

/** Foam between body and outer surface. */
export interface FoamVolume {
  /** mm³. */
  readonly volume: number;
  readonly litres: number;
  /** g, for the density given. */
  readonly mass: number;
  /** Outer surface that is to be covered, mm². */
  readonly coverArea: number;
}

/**
 * Volume and mass of the padding: the space between outer surface and body, closed along the rims.
 *
 * @param form with a body surface
 * @param density kg/m³: 14 to 40 for flexible polyurethane foam, 45 to 200 for EVA (from memory)
 * @throws forms/no-inner, forms/bad-density
 * @source divergence theorem
 */
export function foamVolume(form: Form, density = 30): FoamVolume {
  const inner = needInner(form);
  needDensity(density);
  const { positions: p, triangles } = form.mesh;
  let six = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    six += six3(p, a, p, b, p, c) - six3(inner, a, inner, b, inner, c);
  }
  for (const loop of meshTopology(form.mesh).loops) {
    for (let i = 0; i < loop.length; i++) {
      // The wall along a rim runs against the surface's own border.
      const [a, b] = [loop[i], loop[(i + 1) % loop.length]];
      six += six3(p, b, p, a, inner, a) + six3(p, b, inner, a, inner, b);
    }
  }
  const volume = Math.max(0, six / 6);
  return {
    volume,
    litres: volume / 1e6,
    mass: (volume / 1e9) * density * 1000,
    coverArea: meshArea(form.mesh),
  };
}

/** The density itself where it is a foam's, kg/m³. @throws forms/bad-density */
export function needDensity(density: number): number {
  if (typeof density !== "number" || !(density > 0 && density < 3000)) {
    fail(
      "forms/bad-density",
      `A density of ${shown(density)} kg/m³ is no foam's.`,
      { path: ["density"] },
      { found: shown(density), limit: "0 to 3000", fix: "Give kg/m³." },
    );
  }
  return density;
}

/**
 * Thickness of the padding at each vertex, mm: distance from the body's vertex to the outer one.
 *
 * @throws forms/no-inner
 */
export function thicknessMap(form: Form): Float64Array {
  const inner = needInner(form);
  const p = form.mesh.positions;
  const out = new Float64Array(p.length / 3);
  for (let v = 0; v < out.length; v++) {
    out[v] = Math.hypot(
      p[3 * v] - inner[3 * v],
      p[3 * v + 1] - inner[3 * v + 1],
      p[3 * v + 2] - inner[3 * v + 2],
    );
  }
  return out;
}

/** The body surface. @throws forms/no-inner */
export function needInner(form: Form): Float64Array {
  if (form.inner && form.inner.length === form.mesh.positions.length) return form.inner;
  fail(
    "forms/no-inner",
    "The form has no body surface inside.",
    {},
    { fix: "Build it with pads, or use padForm." },
  );
}

function six3(p: Float64Array, a: number, q: Float64Array, b: number, r: Float64Array, c: number): number {
  const [i, j, k] = [3 * a, 3 * b, 3 * c];
  return (
    p[i] * (q[j + 1] * r[k + 2] - q[j + 2] * r[k + 1]) +
    p[i + 1] * (q[j + 2] * r[k] - q[j] * r[k + 2]) +
    p[i + 2] * (q[j] * r[k + 1] - q[j + 1] * r[k])
  );
}
