import { shown } from "../parts/number";
import { fail, type Issue } from "@peltry/issues";
import { pathLength, type Point, type TriangleMesh } from "@peltry/geometry";
import type { Panel } from "@peltry/pattern";
import type { Form, FormCurve } from "../types";
import { bump } from "./bump";
import { girthAt } from "./girth-at";
import { levelHeight, type BodyLevels, type LevelRef } from "./levels";

/** What was found at the try-on, and what is to become of it. */
export type Correction =
  /** Wider or narrower round the limb at a level: `by` mm of girth, running out within `reach` mm (120) up and down. */
  | { readonly kind: "girth"; readonly at: LevelRef; readonly by: number; readonly reach?: number }
  /**
   * Longer or shorter along the limb at a level, all round or on one side only: `along` names the line that gets exactly
   * `by` mm longer, the other side of the limb keeps its length.
   */
  | {
      readonly kind: "length";
      readonly at: LevelRef;
      readonly by: number;
      /** Curve id such as `back-line` or `rim-back-rise`; all round where left out. */
      readonly along?: string;
      readonly reach?: number;
    }
  /** A pointed piece let into a seam: `width` mm in the middle, between two heights along a curve. */
  | {
      readonly kind: "gusset";
      readonly along: string;
      readonly from: LevelRef;
      readonly to: LevelRef;
      readonly width: number;
    };

/** One change as measured on the form before and after. */
export interface CorrectionReport {
  readonly kind: Correction["kind"];
  /** What was measured, such as `girth at 331 mm` or `length of back-line`. */
  readonly what: string;
  readonly before: number;
  readonly after: number;
}

/** A form after try-on corrections, with what each of them did. */
export interface CorrectedForm {
  readonly form: Form;
  readonly reports: readonly CorrectionReport[];
  /** Gussets, to be sewn into their slits. Edge `-a` goes up on the right of the piece, `-b` down on its left. */
  readonly gussets: readonly Panel[];
  /** Where each goes in: the line that it is let into, and the drawn curve of the form, low to high, that is the slit. */
  readonly slits: readonly { readonly gusset: string; readonly along: string; readonly curve: string }[];
  readonly issues: readonly Issue[];
}

/**
 * The form with try-on corrections worked in, so that the pattern can be made again. The input is not changed.
 *
 * @param form any form; named levels need the `levels` that {@link buildLeg} gives, else levels are mm above the floor
 * @throws forms/unknown-curve, forms/unknown-level, forms/bad-correction, forms/no-section
 * @remarks A correction moves vertices smoothly (twice differentiable), so curves, regions and triangles stay.
 */
export function applyCorrections(
  form: Form & { readonly levels?: BodyLevels },
  corrections: readonly Correction[],
): CorrectedForm {
  let current: Form & { readonly levels?: BodyLevels } = form;
  const reports: CorrectionReport[] = [];
  const gussets: { correction: Extract<Correction, { kind: "gusset" }>; index: number; path: number[] }[] =
    [];
  const levels: BodyLevels = form.levels ?? { height: {}, forward: {} };
  if (!Array.isArray(corrections))
    fail("forms/bad-correction", "The corrections are no list.", {}, { fix: "Pass a list, empty for none." });
  corrections.forEach((correction: Correction, i) => {
    checkCorrection(correction, i);
    if (correction.kind === "girth") {
      const height = levelHeight(levels, correction.at);
      const before = girthAt(current, height).tape;
      current = widen(current, height, correction.by, correction.reach ?? 120);
      reports.push({
        kind: "girth",
        what: `girth at ${Math.round(height)} mm`,
        before,
        after: girthAt(current, height).tape,
      });
    } else if (correction.kind === "length") {
      const path = correction.along === undefined ? undefined : curvePath(form, correction.along, i);
      const measure = (at: Form): number => (path ? pathLength(at.mesh.positions, path) : heightOf(at.mesh));
      const before = measure(current);
      current = lengthen(
        current,
        levelHeight(levels, correction.at),
        correction.by,
        correction.reach ?? 120,
        path,
        measure,
      );
      reports.push({
        kind: "length",
        what: path ? `length of ${correction.along}` : "height of the form",
        before,
        after: measure(current),
      });
    } else gussets.push({ correction, index: i, path: slitPath(current, levels, correction, i) });
  });
  // Their lengths come last: a later correction may change them.
  const made = gussets.map(({ correction, index, path }, k) => {
    const id = `gusset-${k + 1}`;
    const length = pathLength(current.mesh.positions, path);
    const report: CorrectionReport = {
      kind: "gusset",
      what: `width let into ${correction.along} over ${Math.round(length)} mm`,
      before: 0,
      after: correction.width,
    };
    const curve: FormCurve = {
      id: `${id}-slit`,
      name: `Gusset ${k + 1}`,
      kind: "drawn",
      path,
      closed: false,
    };
    return {
      index,
      report,
      curve,
      along: correction.along,
      panel: gussetPanel(id, length, correction.width, index),
    };
  });
  made.forEach(({ index, report }) => reports.splice(index, 0, report));
  return {
    form: made.length
      ? { ...current, curves: [...current.curves, ...made.map(({ curve }) => curve)] }
      : current,
    reports,
    gussets: made.map(({ panel }) => panel),
    slits: made.map(({ panel, along, curve }) => ({ gusset: panel.id, along, curve: curve.id })),
    issues: [],
  };
}

/** The longest run of the line between two heights, from its lower end to its upper one. */
function slitPath(
  form: Form,
  levels: BodyLevels,
  { along, from, to }: Extract<Correction, { kind: "gusset" }>,
  index: number,
): number[] {
  const path = curvePath(form, along, index);
  const [low, high] = [levelHeight(levels, from), levelHeight(levels, to)].sort((a, b) => a - b);
  const height = (v: number): number => form.mesh.positions[3 * v + 1];
  let best: number[] = [];
  let run: number[] = [];
  for (const v of path) {
    run = height(v) >= low - 1e-6 && height(v) <= high + 1e-6 ? [...run, v] : [];
    if (run.length > best.length) best = run;
  }
  return height(best[0]) <= height(best[best.length - 1]) ? best : best.reverse();
}

function checkCorrection(correction: Correction, i: number): void {
  const bad = (what: string, found: unknown, limit: string): never =>
    fail(
      "forms/bad-correction",
      `Correction ${i + 1} has ${what} ${shown(found)}.`,
      { path: ["corrections", i] },
      {
        found: shown(found),
        limit,
        fix: "Choose a value in that range.",
      },
    );
  if (typeof correction !== "object" || correction === null) bad("form", correction, "an object");
  if (correction.kind === "gusset") {
    if (typeof correction.width !== "number" || !(correction.width >= 5 && correction.width <= 400))
      bad("width", correction.width, "5 to 400 mm");
    return;
  }
  if (correction.kind !== "girth" && correction.kind !== "length")
    bad("kind", (correction as { kind: unknown }).kind, "girth, length, gusset");
  if (!(Number.isFinite(correction.by) && Math.abs(correction.by) <= 500))
    bad("by", correction.by, "-500 to 500 mm");
  const reach = correction.reach ?? 120;
  if (typeof reach !== "number" || !(reach >= 20 && reach <= 1000)) bad("reach", reach, "20 to 1000 mm");
}

function curvePath(form: Form, id: string, i: number): readonly number[] {
  const curve = form.curves.find((each) => each.id === id);
  if (curve) return curve.path;
  fail(
    "forms/unknown-curve",
    `The form has no curve “${shown(id)}”.`,
    { path: ["corrections", i] },
    {
      found: shown(id),
      limit: form.curves.map((each) => each.id).join(", "),
      fix: "Use one of the curves listed.",
    },
  );
}

type Mover = (x: number, y: number, z: number) => readonly [number, number, number];

/** The form with each vertex, and its partner on the body, moved. */
function move<T extends Form>(form: T, mover: Mover): T {
  const apply = (from: Float64Array): Float64Array => {
    const out = new Float64Array(from.length);
    for (let k = 0; k < from.length; k += 3) {
      const [x, y, z] = mover(from[k], from[k + 1], from[k + 2]);
      out[k] = x;
      out[k + 1] = y;
      out[k + 2] = z;
    }
    return out;
  };
  return {
    ...form,
    mesh: { positions: apply(form.mesh.positions), triangles: form.mesh.triangles },
    ...(form.inner ? { inner: apply(form.inner) } : {}),
  };
}

/** Scales level sections about their middle; the factor is found so that the girth comes out. */
function widen<T extends Form>(form: T, height: number, by: number, reach: number): T {
  const { tape, segments } = girthAt(form, height);
  const wanted = tape + by;
  if (wanted < 20)
    fail(
      "forms/bad-correction",
      `A girth of ${Math.round(wanted)} mm is left.`,
      {},
      { found: Math.round(wanted), limit: 20, fix: "Take less away." },
    );
  let [cx, cz] = [0, 0];
  for (let k = 0; k < segments.length; k += 2) {
    cx += (2 * segments[k]) / segments.length;
    cz += (2 * segments[k + 1]) / segments.length;
  }
  // Half of a symmetric form grows from the plane of symmetry.
  if (form.symmetry && Math.abs(form.symmetry.normal[0]) > 0.99 && crossesPlane(form, height))
    cx = form.symmetry.point[0];
  const at = (factor: number): T =>
    move(form, (x, y, z) => {
      const grow = (factor - 1) * bump((y - height) / reach);
      return [x + grow * (x - cx), y, z + grow * (z - cz)];
    });
  let factor = wanted / tape;
  for (let i = 0; i < 8; i++) {
    const got = girthAt(at(factor), height).tape;
    if (Math.abs(got - wanted) < 1e-6) break;
    factor *= wanted / got;
  }
  return at(factor);
}

function crossesPlane(form: Form, height: number): boolean {
  const { tape, along } = girthAt(form, height);
  return tape > 1.3 * along;
}

/** Stretches the form about a level; with a path, only on the path's side, and by what makes the path `by` longer. */
function lengthen<T extends Form>(
  form: T,
  height: number,
  by: number,
  reach: number,
  path: readonly number[] | undefined,
  measure: (form: Form) => number,
): T {
  const step = (y: number): number => {
    const u = Math.min(1, Math.max(0, (y - height) / reach + 0.5));
    return u * u * u * (10 - u * (15 - 6 * u));
  };
  const weight = path ? sideWeight(form, path, height) : () => 1;
  const at = (amount: number): T => move(form, (x, y, z) => [x, y + amount * step(y) * weight(x, z), z]);
  const before = measure(form);
  let amount = by;
  for (let i = 0; i < 20; i++) {
    const got = measure(at(amount)) - before;
    if (Math.abs(got - by) < 1e-7 || by === 0) break;
    // Where the path does not run upward the change is small: no more than four times is asked of it in one go.
    amount *= Math.min(4, Math.max(0.25, by / got || 1));
  }
  if (Math.abs(measure(at(amount)) - before - by) > 0.05) {
    fail(
      "forms/bad-correction",
      "That line cannot be made so much longer or shorter at that level.",
      {},
      {
        found: Math.round(measure(at(amount)) - before),
        limit: by,
        fix: "Choose a level that the line runs through, or a wider reach.",
      },
    );
  }
  return at(amount);
}

/** One on the path's side of the limb, falling smoothly to nothing on the far side. */
function sideWeight(form: Form, path: readonly number[], height: number): (x: number, z: number) => number {
  const p = form.mesh.positions;
  const { segments } = girthAt(form, height);
  let [cx, cz] = [0, 0];
  for (let k = 0; k < segments.length; k += 2) {
    cx += (2 * segments[k]) / segments.length;
    cz += (2 * segments[k + 1]) / segments.length;
  }
  const nearest = path.reduce(
    (best, v) => (Math.abs(p[3 * v + 1] - height) < Math.abs(p[3 * best + 1] - height) ? v : best),
    path[0],
  );
  // On half of a symmetric form a line in the plane of symmetry faces straight forward or back.
  const inPlane = form.symmetry !== undefined && Math.abs(p[3 * nearest] - form.symmetry.point[0]) < 1;
  const [dx, dz] = [inPlane ? 0 : p[3 * nearest] - cx, p[3 * nearest + 2] - cz];
  const length = Math.hypot(dx, dz) || 1;
  let far = 0;
  for (let k = 0; k < segments.length; k += 2)
    far = Math.min(far, ((segments[k] - cx) * dx + (segments[k + 1] - cz) * dz) / length);
  return (x, z) => {
    const along = ((x - cx) * dx + (z - cz) * dz) / length;
    const u = Math.min(1, Math.max(0, (along - far) / (length - far)));
    return u * u * u * (10 - u * (15 - 6 * u));
  };
}

function heightOf(mesh: TriangleMesh): number {
  let [low, high] = [Infinity, -Infinity];
  for (let k = 1; k < mesh.positions.length; k += 3) {
    low = Math.min(low, mesh.positions[k]);
    high = Math.max(high, mesh.positions[k]);
  }
  return high - low;
}

/** Two equal arcs, each as long as the slit, `width` apart in the middle. */
function gussetPanel(id: string, length: number, width: number, i: number): Panel {
  // Two half circles are the widest that two arcs of that length can stand apart.
  const least = (Math.PI / 2) * width;
  if (!(length >= least)) {
    fail(
      "forms/bad-correction",
      `A gusset ${Math.round(width)} mm wide does not fit a slit of ${Math.round(length)} mm.`,
      { path: ["corrections", i] },
      {
        found: Math.round(length),
        limit: Math.ceil(least),
        fix: "Make the slit longer or the gusset narrower.",
      },
    );
  }
  // Half angle a of an arc of length s with rise w/2: (1 − cos a) s / 2a = w/2.
  let [low, high] = [1e-9, Math.PI / 2];
  for (let k = 0; k < 80; k++) {
    const a = (low + high) / 2;
    if (((1 - Math.cos(a)) * length) / (2 * a) < width / 2) low = a;
    else high = a;
  }
  const half = (low + high) / 2;
  const radius = length / (2 * half);
  // An even number: the middle is a point of the arc, and the piece as wide as it is meant to be.
  const steps = Math.max(16, 2 * Math.ceil(length / 10));
  const arc = (sign: 1 | -1): Point[] =>
    Array.from({ length: steps + 1 }, (_, k) => {
      const t = half * ((2 * k) / steps - 1);
      const [x, y] = [sign * (radius * Math.cos(t) - radius * Math.cos(half)), sign * radius * Math.sin(t)];
      return [x, y];
    });
  const right = arc(1);
  const left = arc(-1);
  // Both arcs meet in the same two points exactly.
  left[0] = right[steps];
  left[steps] = right[0];
  return {
    id,
    name: "Gusset",
    fabric: "coat",
    edges: [
      { id: `${id}-a`, role: "seam", points: right, name: "gusset side" },
      { id: `${id}-b`, role: "seam", points: left, name: "gusset side" },
    ],
    darts: [],
    markings: [],
    pile: -90,
    count: 1,
    mirrored: true,
    notes: [`Let into the slit seam: each side is ${Math.round(length)} mm, as long as the slit.`],
  };
}
