import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { addAllowance } from "@peltry/allowance";
import * as forms from "@peltry/forms";
import {
  angleDefects,
  meshArea,
  perimeter,
  signedArea,
  type Point,
  type TriangleMesh,
} from "@peltry/geometry";
import * as measure from "@peltry/measure";
import { diagnoseScale, tileCount } from "@peltry/print";
import { headMoment, threadRatio, type SeamRun } from "@peltry/wear";

/** A closed form: what goes in, what comes out, and the formula by which the figures were computed outside this code. */
interface Oracle {
  readonly topic: string;
  readonly name: string;
  readonly inputs: Readonly<Record<string, number>>;
  readonly outputs: Readonly<Record<string, number>>;
  readonly formula: string;
}

const ORACLES = JSON.parse(
  readFileSync(new URL("geometry-oracles.json", import.meta.url), "utf8"),
) as readonly Oracle[];

type Answer = Readonly<Record<string, number>>;
type Given = Oracle["inputs"];
const deg = (radians: number): number => (radians * 180) / Math.PI;

/** What the packages say, under the names of the table. */
const ANSWERS: Readonly<Record<string, (given: Given, oracle: Oracle) => Answer>> = {
  cone: ({ r, h }) => {
    const cone = forms.coneFigures(r!, h!);
    return { slant: cone.slant, sector_deg: cone.sectorDeg, lateral_area: cone.area, volume: cone.volume };
  },
  frustum: ({ R, r, h }): Answer => {
    const one = forms.frustumFigures(R!, r!, h!);
    return R === r
      ? {
          slant: one.slant,
          area: one.area,
          rectangle_height: one.slant,
          rectangle_width: one.area / one.slant,
        }
      : {
          slant: one.slant,
          area: one.area,
          outer_radius: one.outerRadius,
          inner_radius: one.innerRadius,
          sector_deg: one.sectorDeg,
        };
  },
  "oblique cone": ({ R, apex_offset, h }) => {
    const cone = forms.obliqueCone(R!, apex_offset!, h!);
    return {
      total_angle_deg: cone.angleDeg,
      lateral_area: cone.area,
      shortest_generator: cone.shortest,
      longest_generator: cone.longest,
      boundary_length: cone.rim,
    };
  },
  "sphere gores": ({ n, R }) => {
    const gore = forms.sphereGore(R!, n!);
    return {
      equator_width_arc: gore.width,
      gore_length: gore.length,
      seam_edge_length_flat: gore.edge,
      edge_excess_pct: 100 * gore.excess,
    };
  },
  "Gauss-Bonnet": ({ a, h }) => {
    const cap = capMesh(a!, h!);
    const onBorder = Uint8Array.from({ length: cap.positions.length / 3 }, (_, v) =>
      v > RINGS_INSIDE ? 1 : 0,
    );
    const whole = angleDefects(cap, onBorder).inner.reduce((sum, defect) => sum + defect, 0);
    return { total_curvature_deg: deg(whole), area: meshArea(cap) };
  },
  dart: ({ length, angle_deg }) => {
    const cup = forms.cupFromDart(length!, angle_deg!);
    return {
      intake_chord: cup.intake,
      intake_arc: cup.intakeArc,
      girth_removed_at_half_length: forms.cupFromDart(length! / 2, angle_deg!).intakeArc,
      cone_half_apex_deg: cup.halfApexDeg,
    };
  },
  Steiner: ({ L, target, w, h, d, t0 }): Answer => {
    if (target !== undefined) {
      const thickness = measure.paddingThickness(L!, target);
      return { thickness, foam_centreline_girth: measure.foamStripLength(L!, thickness) };
    }
    // By the mean thickness all round: Cauchy's formula.
    if (t0 !== undefined) return { perimeter: measure.paddedGirth(L!, t0) };
    const { cutLine } = addAllowance(
      outline([
        [0, 0],
        [w!, 0],
        [w!, h!],
        [0, h!],
      ]),
      { width: d!, corner: "rounded" },
    );
    return { perimeter: perimeter(cutLine), area: signedArea(cutLine) };
  },
  ellipse: ({ a, b }) => ({ perimeter_exact: measure.ellipseGirth(a!, b!) }),
  superellipse: ({ depth_over_breadth, girth_over_ellipse, a, b, n }): Answer =>
    n === undefined
      ? { exponent: measure.superellipseExponent(depth_over_breadth!, girth_over_ellipse!) }
      : { perimeter: measure.superellipseGirth(a!, b!, n) },
  "helix wrap": ({ r, pitch, turns }) => {
    const wrap = forms.helixWrap(r!, pitch!, turns!);
    return {
      length: wrap.length,
      helix_angle_deg: wrap.angleDeg,
      strip_width_no_gap: wrap.stripWidth,
    };
  },
  "yarn coverage": ({ R, r, slant, yarn_d }) => ({
    length_exact_spiral: forms.yarnCover(R!, r!, slant!, yarn_d!),
  }),
  "log-spiral horn": ({ W, turns, r0, T }) => {
    const horn = forms.spiralFigures({ whorl: W!, distance: 0.3, translation: T!, turns: turns! }, r0!);
    return {
      k: horn.growth,
      r_end: horn.baseDistance,
      arc_length: horn.length,
      arc_length_quad: horn.length,
      height: horn.height,
      aperture_radius_end_if_D_0p3: horn.baseRadius,
      // A section of half the distance: D = 1/3.
      lateral_area_if_aperture_is_c_r_c0p5: forms.spiralFigures(
        { whorl: W!, distance: 1 / 3, translation: T!, turns: turns! },
        r0!,
      ).area,
    };
  },
  "cone from a sector": ({ fraction, s }) => {
    const cone = forms.coneFromSector(fraction!, s!);
    return {
      base_radius: cone.radius,
      base_diameter: 2 * cone.radius,
      base_girth: cone.girth,
      height: cone.height,
    };
  },
  "circle skirt": ({ waist, fraction, length }) => {
    const skirt = forms.circleSkirt(waist!, fraction!, length!);
    return {
      inner_radius: skirt.innerRadius,
      outer_radius: skirt.outerRadius,
      hem: skirt.hem,
      hem_minus_waist: skirt.hem - waist!,
    };
  },
  mitre: ({ a, interior_deg }) => {
    const t = (interior_deg! * Math.PI) / 180;
    const wedge = outline([
      [0, 0],
      [400, 0],
      [400 * Math.cos(t), 400 * Math.sin(t)],
    ]);
    const made = addAllowance(wedge, { width: a! });
    const tip = made.corners.find(({ before, after }) => before === "e2" && after === "e0")!;
    const point = made.cutLine.reduce((p, q) =>
      Math.hypot(q[0] - tip.points[0]![0], q[1] - tip.points[0]![1]) <
      Math.hypot(p[0] - tip.points[0]![0], p[1] - tip.points[0]![1])
        ? q
        : p,
    );
    return {
      point_distance: Math.hypot(point[0], point[1]),
      miter_ratio: tip.ratio,
      // Along the edge that lies on the x axis, back past the corner.
      run_beyond_corner_along_edge: -point[0],
    };
  },
  "curved allowance": ({ a, rho }) => {
    const round = Array.from({ length: 720 }, (_, k): Point => {
      const t = (2 * Math.PI * k) / 720;
      return [rho! * Math.cos(t), rho! * Math.sin(t)];
    });
    const { cutLine } = addAllowance([{ id: "rim", role: "raw" as const, points: [...round, round[0]!] }], {
      width: a!,
    });
    const strain = (100 * (perimeter(cutLine) - perimeter(round))) / perimeter(round);
    return { edge_strain_pct: strain, turned_mismatch_pct: 2 * strain };
  },
  Laplace: ({ T_N_per_cm, girth_mm }): Answer => {
    if (T_N_per_cm === undefined)
      return { constant_mmHg_cm2_per_kgf: measure.bandagePressure(1, 1, 1, 1).mmHg };
    const { kPa, mmHg, gfPerCm2 } = measure.tubePressure(T_N_per_cm, girth_mm!);
    return { P_Pa: 1000 * kPa, P_mmHg: mmHg, P_gf_cm2: gfPerCm2 };
  },
  units: () => {
    const one = measure.pressureFromMmHg(1);
    return {
      mmHg_in_Pa: 1000 * one.kPa,
      gf_per_cm2_in_Pa: (1000 * one.kPa) / one.gfPerCm2,
      gf_cm2_20_in_mmHg: 20 / one.gfPerCm2,
      gf_cm2_40_in_mmHg: 40 / one.gfPerCm2,
      mmHg_32_in_kPa: measure.pressureFromMmHg(32).kPa,
    };
  },
  "negative ease": ({ strain_pct, reduction_pct }): Answer =>
    strain_pct === undefined
      ? { strain_pct: 100 * measure.strainFromReduction(reduction_pct! / 100) }
      : {
          reduction_pct: 100 * measure.reductionFromStrain(strain_pct / 100),
          cut_per_1000: measure.negativeEase(1000, strain_pct / 100).cutGirth,
        },
  tiling: ({ W, H, print_w, print_h, overlap }) => {
    const [cols, rows] = [tileCount(W!, print_w!, overlap!), tileCount(H!, print_h!, overlap!)];
    return { cols, rows, pages: cols * rows };
  },
  "print scale": () => {
    const cause = (id: string): number =>
      [0.75, 4 / 3, 0.940740740741, 0.97267253358]
        .flatMap((ratio) => diagnoseScale(100 * ratio).causes)
        .find((each) => each.id === id)?.ratio ?? Number.NaN;
    return { pdf72_read_as_96: cause("72-for-96"), css96_read_as_72: cause("96-for-72") };
  },
  "head torque": ({ mass_kg, offset_mm }) => ({
    moment_Ncm: headMoment([{ name: "load", massG: 1000 * mass_kg!, fromPivot: [0, 0, offset_mm!] }])
      .forwardNcm,
  }),
  "joint bend": ({ girth, flex_deg }) => {
    const extra = measure.jointFrontExtra(girth!, flex_deg!);
    return { extra_front_length: extra, as_pct_of_300mm: extra / 3 };
  },
  thread: ({ p, T, w, b, g }, { name, outputs }): Answer => {
    const ratio = (stitch: SeamRun["stitch"]): number =>
      threadRatio({
        stitch,
        stitchMm: p!,
        thicknessMm: T ?? 0,
        ...(w === undefined && b === undefined ? {} : { widthMm: w ?? b! }),
        ...(g === undefined ? {} : { gapMm: g }),
      }).ratio[0];
    if ("running_ratio" in outputs)
      return { running_ratio: ratio("running"), backstitch_ratio: ratio("back") };
    const stitch = /301|304|whip|ladder/.exec(name)![0] as SeamRun["stitch"];
    return { ratio: ratio(stitch) };
  },
};

/** Figures of the table for which the packages have no function: other approximations, sizes nobody asks for. */
const NOT_COMPUTED: Readonly<Record<string, readonly string[]>> = {
  "sphere gores": [
    "width_at_45deg_lat",
    "total_area_arc_gores",
    "equator_width_tangent",
    "total_area_tangent_gores",
    "edge_length_tangent",
    "circumscribed_polygon_girth_ratio",
  ],
  "Gauss-Bonnet": ["R", "half_angle_deg", "flat_disc_area"],
  ellipse: ["ramanujan1", "ramanujan2", "rel_err_R1", "rel_err_R2", "rms_approx"],
  "helix wrap": ["axial_length"],
  "yarn coverage": ["length_area_over_d", "turns"],
  "log-spiral horn": ["spiral_angle_deg"],
  "cone from a sector": ["half_apex_deg"],
  "print scale": ["a4_on_letter_fit", "letter_on_a4_fit", "mm_per_pt", "mm_per_css_px", "pdf_14400_units_mm"],
};

/** Relative: meshes and arcs of chords are near, everything else as exact as the table. */
const NEAR: Readonly<Record<string, number>> = {
  "Gauss-Bonnet": 1e-2,
  "curved allowance": 1e-3,
  mitre: 1e-5,
  "Steiner rectangle": 3e-4,
};

describe("closed forms of the handbook table", () => {
  it("are 105, and none is left out", () => {
    expect(ORACLES).toHaveLength(105);
    for (const { topic } of ORACLES) expect(Object.keys(ANSWERS)).toContain(topic);
  });
  for (const oracle of ORACLES)
    it(`${oracle.topic}: ${oracle.name} [oracle: ${oracle.formula}]`, () => {
      const answer = ANSWERS[oracle.topic]!(oracle.inputs, oracle);
      const left = NOT_COMPUTED[oracle.topic] ?? [];
      for (const [key, wanted] of Object.entries(oracle.outputs)) {
        if (left.includes(key)) continue;
        const near =
          NEAR[oracle.topic] ?? (oracle.name.startsWith("rectangle") ? NEAR["Steiner rectangle"]! : 1e-7);
        expect(Math.abs(answer[key]! - wanted), key).toBeLessThanOrEqual(
          near * Math.max(1e-6, Math.abs(wanted)),
        );
      }
    });
});

function outline(points: readonly Point[]) {
  return points.map((p, k) => ({
    id: `e${k}`,
    role: "raw" as const,
    points: [p, points[(k + 1) % points.length]!],
  }));
}

const RINGS = 120;
const AROUND = 240;
const RINGS_INSIDE = (RINGS - 1) * AROUND;

/** A cap of base radius a and height h as rings of triangles; the pole is vertex 0. */
function capMesh(a: number, h: number): TriangleMesh {
  const R = (a * a + h * h) / (2 * h);
  const psi = Math.acos((R - h) / R);
  const positions = [0, R, 0];
  for (let i = 1; i <= RINGS; i++)
    for (let j = 0; j < AROUND; j++) {
      const [t, u] = [(psi * i) / RINGS, (2 * Math.PI * j) / AROUND];
      positions.push(R * Math.sin(t) * Math.sin(u), R * Math.cos(t), R * Math.sin(t) * Math.cos(u));
    }
  const at = (i: number, j: number): number => (i === 0 ? 0 : 1 + (i - 1) * AROUND + (j % AROUND));
  const triangles: number[] = [];
  for (let i = 0; i < RINGS; i++)
    for (let j = 0; j < AROUND; j++) {
      if (i > 0) triangles.push(at(i, j), at(i + 1, j), at(i, j + 1));
      triangles.push(at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
    }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}
