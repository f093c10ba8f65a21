import { shown } from "../parts/number";
import { fail, type Issue } from "@peltry/issues";
import { checkOpening, checkPressure, negativeEase, type OpeningCheck } from "@peltry/measure";
import type { Point } from "@peltry/geometry";
import type { Edge, Panel } from "@peltry/pattern";
import type { Form } from "../types";
import { girthAt } from "./girth-at";
import { createProfile } from "./profile";
import { meshTube, tubeCurves } from "./tube-mesh";

/** What the stretch tube over the pads is built from. */
export interface BuildSleeveOptions {
  /** The padded limb that the sleeve goes over. */
  readonly over: Form;
  /** Heights of its ends on that form, mm above the floor; the form's own ends where left out. */
  readonly from?: number | undefined;
  readonly to?: number | undefined;
  /** Strain round the limb when worn, as a fraction; 0.15 by default. */
  readonly strain?: number | undefined;
  /** Usable stretch of the cloth, as a fraction; 0.6 by default. */
  readonly stretch?: number | undefined;
  /** Tension of the cloth at the worn strain on the return curve, N/cm, for the pressure. */
  readonly tension?: number | undefined;
  /** What has to pass the lower end, mm: the heel-ankle girth, with the shoe if it stays on. */
  readonly heelGirth?: number | undefined;
  readonly triangles?: number | undefined;
  /** Fabric id; `sleeve` by default. */
  readonly fabric?: string | undefined;
}

/** A level of the sleeve. */
export interface SleeveLevel {
  /** mm above the floor, on the padded limb. */
  readonly height: number;
  /** Girth that it lies on, mm, and girth to cut. */
  readonly girth: number;
  readonly cutGirth: number;
  /** mmHg, where a tension is given. */
  readonly pressure?: number;
}

/** The sleeve at rest: a round tube of the cut girths, and its one flat piece. */
export interface BuiltSleeve extends Form {
  readonly levels: readonly SleeveLevel[];
  readonly panel: Panel;
  readonly opening?: OpeningCheck;
  readonly issues: readonly Issue[];
}

/**
 * The stretch tube that holds the pads: at each level cut to the padded girth over (1 + strain).
 *
 * Curves: `rim-top`, `rim-bottom`, `inner-seam`.
 *
 * @throws forms/bad-sleeve, forms/no-section
 * @remarks Pressure by Laplace is a mean: flats get less, edges more. Take it off when anything tingles or goes numb.
 */
export function buildSleeve(options: BuildSleeveOptions): BuiltSleeve {
  const { low, high, strain, stretch } = settle(options);
  const steps = Math.max(12, Math.ceil((high - low) / 20));
  const middles: [number, number][] = [];
  const levels: SleeveLevel[] = [];
  const issues: Issue[] = [];
  for (let k = 0; k <= steps; k++) {
    const height = low + ((high - low) * k) / steps;
    const cut = girthAt(options.over, height);
    const { cutGirth } = negativeEase(cut.tape, strain);
    middles.push(middleOf(cut.segments));
    const pressed =
      options.tension === undefined
        ? undefined
        : checkPressure({
            tension: options.tension,
            girth: cut.tape,
            name: `The sleeve at ${Math.round(height)} mm`,
          });
    levels.push({
      height,
      girth: cut.tape,
      cutGirth,
      ...(pressed ? { pressure: pressed.pressure.mmHg } : {}),
    });
    // One remark for the whole sleeve, at its tightest place, is enough.
    if (pressed && pressed.issues.length > 0 && (issues[0]?.found ?? 0) < pressed.issues[0].found!)
      issues.splice(0, 1, pressed.issues[0]);
  }
  if (strain > stretch) {
    issues.push({
      code: "forms/sleeve-overstretched",
      severity: "warning",
      message: `The sleeve is worn at ${Math.round(100 * strain)} %, the cloth gives ${Math.round(100 * stretch)} %.`,
      at: {},
      found: strain,
      limit: stretch,
      fix: "Cut it wider or use a cloth with more stretch.",
    });
  }
  const opening =
    options.heelGirth === undefined
      ? undefined
      : checkOpening({
          name: "The lower end",
          girth: levels[0].cutGirth,
          stretch,
          passes: [{ name: "the heel", girth: options.heelGirth }],
        });
  if (opening) issues.push(...opening.issues);
  return {
    ...sleeveForm(levels, middles, options),
    levels,
    panel: sleevePanel(levels, options.fabric ?? "sleeve"),
    ...(opening ? { opening } : {}),
    issues,
  };
}

function settle(options: BuildSleeveOptions): { low: number; high: number; strain: number; stretch: number } {
  const p = options.over.mesh.positions;
  let [bottom, top] = [Infinity, -Infinity];
  for (let k = 1; k < p.length; k += 3) {
    bottom = Math.min(bottom, p[k]);
    top = Math.max(top, p[k]);
  }
  const low = options.from ?? bottom + 1;
  const high = options.to ?? top - 1;
  const strain = options.strain ?? 0.15;
  const stretch = options.stretch ?? 0.6;
  const bad = (what: string, found: unknown, limit: string): never =>
    fail(
      "forms/bad-sleeve",
      `${what} of the sleeve is ${shown(found)}.`,
      { path: [what] },
      { found: shown(found), limit, fix: "Choose a value in that range." },
    );
  for (const [what, value] of Object.entries({ from: low, to: high, strain, stretch }))
    if (typeof value !== "number") bad(what, value, "a number");
  const triangles = options.triangles ?? 4000;
  if (!(Number.isInteger(triangles) && triangles >= 100 && triangles <= 400_000))
    bad("triangles", triangles, "100 to 400000");
  if (!(low >= bottom && low < high - 20))
    bad("from", low, `${Math.round(bottom)} to ${Math.round(high - 20)}`);
  if (!(high <= top)) bad("to", high, `up to ${Math.round(top)}`);
  if (!(strain >= 0 && strain <= 1.5)) bad("strain", strain, "0 to 1.5");
  if (!(stretch >= 0 && stretch <= 3)) bad("stretch", stretch, "0 to 3");
  return { low, high, strain, stretch };
}

function middleOf(segments: Float64Array): [number, number] {
  let [x, z] = [0, 0];
  for (let k = 0; k < segments.length; k += 2) {
    x += (2 * segments[k]) / segments.length;
    z += (2 * segments[k + 1]) / segments.length;
  }
  return [x, z];
}

function sleeveForm(
  levels: readonly SleeveLevel[],
  middles: readonly (readonly [number, number])[],
  options: BuildSleeveOptions,
): Form {
  const knots = (value: (i: number) => number): ((height: number) => number) =>
    createProfile(levels.map((level, i) => [level.height, value(i)]));
  const girth = knots((i) => levels[i].cutGirth);
  const x = knots((i) => middles[i][0]);
  const z = knots((i) => middles[i][1]);
  const low = levels[0].height;
  const high = levels[levels.length - 1].height;
  const mean = levels.reduce((sum, level) => sum + level.cutGirth, 0) / levels.length;
  const columns = Math.max(
    24,
    4 * Math.round(Math.sqrt(((options.triangles ?? 4000) * mean) / (2 * (high - low))) / 4),
  );
  const rows = Math.max(8, Math.round(((high - low) * columns) / mean));
  // Chords of a round tube fall short: the radius makes up for it, so that the mesh has the girth to cut.
  const grown = Math.PI / columns / Math.sin(Math.PI / columns);
  const tube = meshTube(
    (share, along) => {
      const height = high + along * (low - high);
      const radius = (grown * girth(height)) / (2 * Math.PI);
      // Share 0 inner (−x), ¼ front, as on the leg.
      const turn = 2 * Math.PI * share;
      return [x(height) - radius * Math.cos(turn), height, z(height) + radius * Math.sin(turn)];
    },
    columns,
    Array.from({ length: rows + 1 }, (_, r) => r / rows),
  );
  return {
    name: "sleeve",
    mesh: { positions: tube.positions, triangles: tube.triangles },
    regions: [{ id: options.fabric ?? "sleeve", name: "sleeve" }],
    regionOf: new Int32Array(tube.triangles.length / 3),
    curves: tubeCurves(
      tube,
      [{ id: "inner-seam", name: "Inner seam", column: 0, seam: true }],
      [
        { id: "rim-top", name: "Upper rim" },
        { id: "rim-bottom", name: "Lower rim" },
      ],
    ),
    landmarks: [],
  };
}

/** Half the cut girth to either side of a centre line; up the page is up the limb. */
function sleevePanel(levels: readonly SleeveLevel[], fabric: string): Panel {
  let up = 0;
  const rows = levels.map((level, i) => {
    // The cloth follows the slope of the limb: length along the surface of a round tube.
    if (i > 0)
      up += Math.hypot(
        level.height - levels[i - 1].height,
        (level.girth - levels[i - 1].girth) / (2 * Math.PI),
      );
    return { up, half: level.cutGirth / 2 };
  });
  const right = rows.map(({ up: y, half }): Point => [half, y]);
  const left = rows.map(({ up: y, half }): Point => [-half, y]).reverse();
  const edge = (id: string, role: Edge["role"], points: Point[], name: string): Edge => ({
    id,
    role,
    points,
    name,
  });
  return {
    id: "sleeve",
    name: "Sleeve",
    fabric,
    edges: [
      edge("sleeve-bottom", "hem", [left[left.length - 1], right[0]], "lower end"),
      edge("sleeve-right", "seam", right, "seam"),
      edge("sleeve-top", "hem", [right[right.length - 1], left[0]], "upper end"),
      edge("sleeve-left", "seam", left, "seam"),
    ],
    darts: [],
    markings: [],
    stretch: 0,
    count: 1,
    mirrored: true,
    notes: ["Greatest stretch goes round the limb."],
  };
}
