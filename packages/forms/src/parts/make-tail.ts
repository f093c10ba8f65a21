import type { Point3 } from "@peltry/geometry";
import type { Marking, Panel } from "@peltry/pattern";
import type { Form } from "../types";
import { edgesArea, rectangleEdges } from "./flat-shapes";
import { need, plainPanel, sewTogether, totalMass, type PartNeed } from "./made-part";
import { PART_DENSITIES, statedDensity, wireDensity, type Density } from "./material-densities";
import { partNumber, partWord } from "./number";
import { sweepMesh, type Sweep } from "./sweep";
import { coneTail } from "./tail-cone";
import { curvedTail } from "./tail-curved";
import { puffTail } from "./tail-puff";
import type { MadeTail, TailOptions, TailShape } from "./tail-shape";

/**
 * A tail with its closing disc and, where asked, the band it hangs from. Frame: base disc at the origin, tail running
 * along +y of its own frame (curved tails turn toward +z).
 *
 * @throws forms/bad-part
 * @source cone sectors: elementary geometry. The flat side of a bent tube keeps both seam lengths when its middle turns by
 * 2/π of the bend, and then stretches at most 0.2105 κ r in between: derived here
 */
export function makeTail(options: TailOptions): MadeTail {
  const style = partWord(options.style ?? "cone", "style", ["cone", "curved", "puff"]);
  partNumber(options.length, "length", 20, 3000);
  const shapes = { cone: coneTail, curved: curvedTail, puff: puffTail };
  return finish(options, shapes[style](options));
}

function finish(options: TailOptions, shape: TailShape): MadeTail {
  const name = options.name ?? "tail";
  const fur = options.fabricGsm
    ? statedDensity(options.fabricGsm, "fabricGsm", [20, 3000], "gsm")
    : PART_DENSITIES.fur;
  const fill: Density = options.stuffingKgPerM3
    ? statedDensity(options.stuffingKgPerM3, "stuffingKgPerM3", [1, 500], "kgPerM3")
    : PART_DENSITIES.wadding;
  const weighed: { need: PartNeed; at: Point3 }[] = [
    { need: need("skin", shape.skin, "mm2", fur), at: shape.skinCentre },
    { need: need("stuffing", shape.volume, "mm3", fill), at: shape.centre },
  ];
  if (options.wire) {
    const metal = partWord(options.wire.metal, "wire.metal", ["steel", "aluminium"]);
    const density = wireDensity(partNumber(options.wire.diameterMm, "wire.diameterMm", 0.5, 8), metal);
    weighed.push({ need: need("core wire", shape.sweep.length, "mm", density), at: middleOf(shape.sweep) });
  }
  const { massG, massRangeG } = totalMass(weighed.map((each) => each.need));
  const centreOfMass = [0, 1, 2].map((k) =>
    weighed.reduce((sum, each) => sum + (each.need.massG * each.at[k]) / massG, 0),
  ) as unknown as Point3;
  const panels = [...shape.panels];
  const joins = [...shape.joins];
  const needs = weighed.map((each) => each.need);
  if (options.band) {
    const band = bandPanel(options.band, shape.radius);
    panels.push(band);
    joins.push({
      a: ["band", "bottom"],
      b: ["band", "top"],
      note: "Fold along the middle and sew to a tube; turn it.",
      hand: false,
    });
    needs.push(
      need("band (not in the mass)", edgesArea(band.edges), "mm2", {
        low: 0,
        high: 0,
        source: "worn on the waist",
      }),
    );
  }
  return {
    name,
    form: tailForm(name, shape.sweep),
    worn: shape.worn,
    pattern: sewTogether(name, panels, joins),
    needs,
    copies: 1,
    massG,
    massRangeG,
    centreOfMass,
    stuffingVolume: shape.volume,
    sideStrain: shape.strain,
    baseMomentNcm: (massG / 1000) * 9.80665 * (Math.hypot(...centreOfMass) / 10),
    issues: shape.issues ?? [],
  };
}

function middleOf(sweep: Sweep): Point3 {
  const half = sweep.middles[Math.floor(sweep.middles.length / 2)];
  return half;
}

/** A band cut double: the tail's base is marked on it, its ends overlap at the opening. */
function bandPanel(band: NonNullable<TailOptions["band"]>, radius: number): Panel {
  const girth = partNumber(band.girth, "band.girth", 300, 2500);
  const width = partNumber(band.width ?? 40, "band.width", 10, 200);
  const length = girth + partNumber(band.overlap ?? 60, "band.overlap", 0, 300);
  const middle = girth / 2;
  const half = Math.min(radius, length / 4);
  const markings: Marking[] = [
    {
      id: "fold",
      kind: "line",
      points: [
        [0, width],
        [length, width],
      ],
      label: "fold",
    },
    {
      id: "tail-from",
      kind: "line",
      points: [
        [middle - half, 0],
        [middle - half, 2 * width],
      ],
      label: "tail",
    },
    {
      id: "tail-to",
      kind: "line",
      points: [
        [middle + half, 0],
        [middle + half, 2 * width],
      ],
      label: "tail",
    },
    {
      id: "overlap",
      kind: "line",
      points: [
        [girth, 0],
        [girth, 2 * width],
      ],
      label: "overlap",
    },
  ];
  return plainPanel({
    id: "band",
    name: "Tail band",
    fabric: "band",
    edges: rectangleEdges(length, 2 * width, ["raw", "opening", "raw", "opening"]),
    markings,
    // Along the grain, so that it does not give under the tail.
    grain: 0,
    notes: ["Sew the closing disc between the two tail lines; hook-and-loop or a buckle at the overlap."],
  });
}

const COLUMNS = 32;

function tailForm(name: string, sweep: Sweep): Form {
  // A pointed end is one vertex already: leave the last ring out where it has no girth.
  const rows = sweep.radii[sweep.radii.length - 1] < 1e-9 ? sweep.middles.length - 1 : sweep.middles.length;
  const cut: Sweep = {
    ...sweep,
    middles: sweep.middles.slice(0, rows),
    radii: sweep.radii.slice(0, rows),
    sides: sweep.sides.slice(0, rows),
  };
  const mesh = sweepMesh(cut, COLUMNS, false);
  if (rows < sweep.middles.length) mesh.positions.set(sweep.middles[rows], 3 * rows * COLUMNS);
  const along = (column: number): number[] => [
    ...Array.from({ length: rows }, (_, i) => i * COLUMNS + column),
    rows * COLUMNS,
  ];
  return {
    name,
    mesh,
    regions: [{ id: "coat", name: "coat" }],
    regionOf: new Int32Array(mesh.triangles.length / 3),
    curves: [
      { id: "under-seam", name: "Under seam", kind: "drawn", path: along(COLUMNS / 2), closed: false },
      { id: "top-line", name: "Top line", kind: "level", path: along(0), closed: false },
      {
        id: "rim-base",
        name: "Base",
        kind: "rim",
        path: Array.from({ length: COLUMNS }, (_, c) => c),
        closed: true,
      },
    ],
    landmarks: [{ id: "tip", vertex: rows * COLUMNS }],
    symmetry: { point: [0, 0, 0], normal: [1, 0, 0] },
  };
}
