import { partNumber, shown } from "../parts/number";
import { fail, type Issue } from "@peltry/issues";
import {
  distance,
  meshTopology,
  signedArea,
  simplifyPolyline,
  type Point,
  type TriangleMesh,
} from "@peltry/geometry";
import type { Edge, Panel } from "@peltry/pattern";
import type { Form } from "../types";
import { needDensity, needInner, thicknessMap } from "./foam";
import { girthAt } from "./girth-at";
import { clipMesh, cutMesh, limbAxis, splitPieces, trianglesAbove, type SheetMesh } from "./sheet-mesh";
import { foldedTriangles, unrollSheet } from "./unroll-sheet";

/** How foam is cut from sheets: thickness of the sheet, what of it to leave, how fine. */
export interface FoamSlabOptions {
  /** Thickness of the foam sheet, mm. */
  readonly sheetThickness: number;
  /** kg/m³, for the mass; 30 by default. */
  readonly density?: number | undefined;
  /** Padding thinner than this is left to the bevel, mm; 3 by default. */
  readonly least?: number | undefined;
  /** Id of the foam as a fabric; `foam` by default. */
  readonly fabric?: string | undefined;
  /** True for a pair of limbs: a mirrored copy of each is cut as well. True by default. */
  readonly mirrored?: boolean | undefined;
}

/** One piece of foam sheet. */
export interface FoamSlab {
  readonly id: string;
  /** 0 lies on the body. */
  readonly layer: number;
  /** Flat piece, its outline at true size; top of the wearer is up. */
  readonly panel: Panel;
  /** mm². */
  readonly area: number;
  /** Foam left after the bevel, mm³, and its mass in g. */
  readonly volume: number;
  readonly mass: number;
  /** Width over which the edge tapers to nothing, mm: least, mean, most round the outline. */
  readonly bevel: { readonly least: number; readonly mean: number; readonly most: number };
  /** Heights that it reaches on the body, mm above the floor. */
  readonly from: number;
  readonly to: number;
  /** Change of edge length by flattening that 95 of 100 edges stay under, as a fraction: foam gives a few hundredths. */
  readonly strain: number;
}

/** A strap that holds the padding to the limb. */
export interface FoamStrap {
  readonly name: string;
  /** mm above the floor. */
  readonly height: number;
  /** Girth of the body there, mm. */
  readonly girth: number;
  /** Length to cut from elastic that is worn 10 % stretched, mm, without overlap. */
  readonly cutLength: number;
}

/** Slabs to cut from foam sheets, with volume, mass and notes on bevels. */
export interface FoamSlabs {
  readonly slabs: readonly FoamSlab[];
  readonly straps: readonly FoamStrap[];
  /** Layers at the thickest place. */
  readonly layers: number;
  readonly issues: readonly Issue[];
}

/** Strain that straps are worn at: a judgement well under the all-day pressure limit for wide elastic. */
const STRAP_STRAIN = 0.1;
/** Scraps smaller than this are left to the bevel of their neighbours, mm². */
const LEAST_AREA = 1500;

/**
 * Foam sheets that build the padding up: the level sets of its thickness, one sheet a layer, each unrolled flat with its
 * bevel, and where straps go.
 *
 * @throws forms/no-inner, forms/bad-sheet, forms/bad-density, forms/bad-part
 * @remarks Layer k covers what is thicker than k sheets and lies half a sheet further out; a piece that runs right round
 * the limb is slit where it is thinnest. Sheets are unrolled about the limb and relaxed to true edge lengths. Cutting and
 * sanding foam makes dust: wear a mask, mind the label of any glue.
 */
export function foamSlabs(form: Form, options: FoamSlabOptions): FoamSlabs {
  const inner = needInner(form);
  const sheet = options.sheetThickness;
  if (typeof sheet !== "number" || !(sheet >= 1 && sheet <= 200)) {
    fail(
      "forms/bad-sheet",
      `Foam sheet of ${shown(sheet)} mm is not made.`,
      { path: ["sheetThickness"] },
      { found: shown(sheet), limit: "1 to 200", fix: "Give the thickness in mm." },
    );
  }
  const density = needDensity(options.density ?? 30);
  const least = Math.min(partNumber(options.least ?? 3, "least", 0, 200), sheet / 2);
  const thickness = thicknessMap(form);
  const most = thickness.reduce((a, b) => Math.max(a, b), 0);
  const layers = Math.ceil((most - least) / sheet);
  const slabs: FoamSlab[] = [];
  const straps: FoamStrap[] = [];
  const issues: Issue[] = [];
  const whole: SheetMesh = {
    outer: form.mesh.positions,
    inner,
    triangles: form.mesh.triangles,
    value: thickness,
  };
  const axis = limbAxis(inner, form.mesh.triangles);
  for (let layer = 0; layer < layers; layer++) {
    const level = layer * sheet + least;
    // Whole triangles are unrolled first and clipped in the flat: slivers along the level never meet the relaxation.
    const flatPieces = splitPieces(trianglesAbove(whole, level)).flatMap((piece) => {
      const open = cutMesh(piece, axis);
      const { flat, strain } = unrollSheet(middleSurface(open, layer, sheet), axis);
      return splitPieces(clipMesh({ ...open, flat }, level)).map((part) => ({ part, strain }));
    });
    flatPieces.forEach(({ part, strain }) => {
      const number = slabs.filter((slab) => slab.layer === layer).length;
      const id = `foam-${layer + 1}${String.fromCharCode(97 + (number % 26))}`;
      const slab = makeSlab(part, strain, id, layer, sheet, density, options);
      if (slab.area < LEAST_AREA) return;
      slabs.push(slab);
      if (layer === 0) straps.push(...strapsFor(form, slab));
      const folded = foldedTriangles(part.flat!, part.triangles);
      if (folded > 0) {
        issues.push({
          code: "forms/foam-folded",
          severity: "warning",
          message: `Foam piece ${id} folds over itself when it is laid flat: ${folded} of its triangles lie upside down.`,
          at: { panel: id },
          found: folded,
          limit: 0,
          fix: "Cut it from paper first and slit it where it buckles, or use a coarser form.",
        });
      }
      if (slab.strain > 0.12) {
        issues.push({
          code: "forms/foam-strained",
          severity: "note",
          message: `Foam piece ${id} is bent both ways: edges change by up to ${Math.round(100 * slab.strain)} %.`,
          at: { panel: id },
          found: Math.round(1000 * slab.strain) / 1000,
          limit: 0.12,
          fix: "Slit it in from the edge where it buckles, or use thinner sheet in more layers.",
        });
      }
    });
  }
  return { slabs, straps, layers: Math.max(0, layers), issues };
}

function makeSlab(
  piece: SheetMesh,
  strain: number,
  id: string,
  layer: number,
  sheet: number,
  density: number,
  options: FoamSlabOptions,
): FoamSlab {
  const flat = piece.flat!;
  const { loops } = meshTopology({ positions: piece.inner, triangles: piece.triangles });
  const rings = loops.map((loop) => loop.map((v): Point => [flat[2 * v], flat[2 * v + 1]]));
  const outerRing = rings.reduce(
    (best, ring, i) => (Math.abs(signedArea(ring)) > Math.abs(signedArea(rings[best])) ? i : best),
    0,
  );
  const outline = tidy(rings[outerRing]);
  let volume = 0;
  let area = 0;
  for (let t = 0; t < piece.triangles.length; t += 3) {
    const corners = [0, 1, 2].map((k) => piece.triangles[t + k]);
    const [a, b, c] = corners.map((v): Point => [flat[2 * v], flat[2 * v + 1]]);
    const flatArea = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2;
    area += flatArea;
    const mean =
      corners.reduce((sum, v) => sum + Math.min(sheet, Math.max(0, piece.value[v] - layer * sheet)), 0) / 3;
    volume += flatArea * mean;
  }
  const bevel = bevelWidths(piece, flat, loops[outerRing], layer, sheet);
  const heights = Array.from({ length: piece.inner.length / 3 }, (_, v) => piece.inner[3 * v + 1]);
  const holes = rings.filter((_, i) => i !== outerRing).map((ring) => tidy(ring).reverse());
  const panel: Panel = {
    id,
    name: `Foam layer ${layer + 1}, piece ${id.slice(-1)}`,
    fabric: options.fabric ?? "foam",
    edges: [rawEdge(`${id}-edge`, outline)],
    ...(holes.length > 0 ? { holes: holes.map((ring, i) => [rawEdge(`${id}-hole-${i + 1}`, ring)]) } : {}),
    darts: [],
    markings: [],
    count: 1,
    mirrored: options.mirrored ?? true,
    layer: "padding",
    notes: [
      `Bevel the edge over ${Math.round(bevel.least)} to ${Math.round(bevel.most)} mm so that it runs out to nothing.`,
      layer === 0 ? "Lies on the body." : `Lies on layer ${layer}.`,
    ],
  };
  return {
    id,
    layer,
    panel,
    area,
    volume,
    mass: (volume / 1e9) * density * 1000,
    bevel,
    from: heights.reduce((a, b) => Math.min(a, b)),
    to: heights.reduce((a, b) => Math.max(a, b)),
    strain,
  };
}

/** The middle of the layer, no further out than the padding itself. */
function middleSurface(piece: SheetMesh, layer: number, sheet: number): TriangleMesh {
  const positions = new Float64Array(piece.inner.length);
  for (let v = 0; v < piece.value.length; v++) {
    const share = piece.value[v] > 0 ? Math.min(1, ((layer + 0.5) * sheet) / piece.value[v]) : 0;
    for (let k = 3 * v; k < 3 * v + 3; k++)
      positions[k] = piece.inner[k] + share * (piece.outer[k] - piece.inner[k]);
  }
  return { positions, triangles: piece.triangles };
}

/** Distance in the flat from each outline vertex to where the sheet is at its full thickness. */
function bevelWidths(
  piece: SheetMesh,
  flat: Float64Array,
  loop: readonly number[],
  layer: number,
  sheet: number,
): FoamSlab["bevel"] {
  const full: number[] = [];
  const top = piece.value.reduce((a, b) => Math.max(a, b), 0);
  const level = Math.min((layer + 1) * sheet, layer * sheet + 0.95 * (top - layer * sheet));
  for (let v = 0; v < piece.value.length; v++) if (piece.value[v] >= level) full.push(v);
  const step = Math.max(1, Math.floor(full.length / 400));
  const widths = loop
    .filter((_, i) => i % Math.max(1, Math.floor(loop.length / 60)) === 0)
    .map((v) => {
      let best = Infinity;
      for (let i = 0; i < full.length; i += step) {
        best = Math.min(
          best,
          Math.hypot(flat[2 * v] - flat[2 * full[i]], flat[2 * v + 1] - flat[2 * full[i] + 1]),
        );
      }
      return best;
    });
  return {
    least: Math.min(...widths),
    mean: widths.reduce((a, b) => a + b, 0) / widths.length,
    most: Math.max(...widths),
  };
}

function tidy(ring: readonly Point[]): Point[] {
  const run = simplifyPolyline([...ring, ring[0]], 0.4).slice(0, -1);
  const list = run.length >= 3 ? [...run] : [...ring];
  return signedArea(list) < 0 ? list.reverse() : list;
}

function rawEdge(id: string, ring: readonly Point[]): Edge {
  const points = [...ring];
  if (distance(points[0], points[points.length - 1]) > 0) points.push(points[0]);
  return { id, role: "raw", points };
}

/** One strap near the upper and one near the lower end of a piece, where the body is there to hold them. */
function strapsFor(form: Form, slab: FoamSlab): FoamStrap[] {
  const span = slab.to - slab.from;
  const places = span < 120 ? [0.5] : [0.14, 0.86];
  return places.map((share, i) => {
    const height = slab.from + share * span;
    const { tape } = girthAt(form, height, "inner");
    return {
      name: `${slab.id} ${places.length === 1 ? "strap" : i === 0 ? "lower strap" : "upper strap"}`,
      height,
      girth: tape,
      cutLength: tape / (1 + STRAP_STRAIN),
    };
  });
}
