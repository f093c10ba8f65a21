import { flatten, rampColour, strainColours } from "@peltry/flatten";
import type { TriangleMesh } from "@peltry/geometry";
import {
  drawFlat,
  fit,
  INK,
  onPage,
  pairs,
  pathData,
  picture,
  rampLegend,
  short,
  words,
} from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

/** A tube opened along its inner side; `place` gives radius and the middle's place at a share of its length. */
function openTube(place: (share: number) => { r: number; y: number; z: number }): TriangleMesh {
  const [columns, rows] = [24, 30];
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= rows; j++) {
    const { r, y, z } = place(j / rows);
    for (let i = 0; i <= columns; i++) {
      const a = (2 * Math.PI * i) / columns;
      positions.push(r * Math.sin(a), y, z + r * Math.cos(a));
      if (i === columns || j === rows) continue;
      const [p, q] = [j * (columns + 1) + i, (j + 1) * (columns + 1) + i];
      triangles.push(p, p + 1, q + 1, p, q + 1, q);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** A straight tail is a cone and unrolls without strain; a bent one does not. */
export function run(): ExampleResult {
  const [wide, narrow, length] = [70, 25, 420];
  const straight = openTube((s) => ({ r: wide + (narrow - wide) * s, y: length * s, z: 0 }));
  const bent = openTube((s) => ({
    r: wide + (narrow - wide) * s,
    y: 420 * Math.sin(0.9 * s),
    z: 420 * (1 - Math.cos(0.9 * s)),
  }));
  const cone = flatten(straight, { pile: [0, 1, 0] });
  const tail = flatten(bent, { pile: [0, 1, 0] });
  // Closed form: a frustum of slant l unrolls to a ring sector of angle 2π (R − r) / l and outer radius R l / (R − r).
  const slant = Math.hypot(length, wide - narrow);
  const angle = (2 * Math.PI * (wide - narrow)) / slant;
  const outer = (wide * slant) / (wide - narrow);
  const ends = [cone.positions.subarray(0, 2), cone.positions.subarray(48, 50)];
  const chord = Math.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]);
  // Chord of the sector whose 24 facets each have the facet's own angle at the apex.
  const facet = 2 * Math.asin((wide * Math.sin(Math.PI / 24)) / outer);
  const chordTrue = 2 * outer * Math.sin(12 * facet);
  const limit = 0.15;
  const sector = Array.from({ length: 49 }, (_, i): [number, number] => {
    const a = -angle / 2 + (angle * (i % 49)) / 48;
    return [outer * Math.sin(a), outer * Math.cos(a)];
  });
  const inner = sector.map(([x, y]): [number, number] => [
    (x * (outer - slant)) / outer,
    (y * (outer - slant)) / outer,
  ]);
  const theory = [...sector, ...inner.reverse()];
  const [f0, f1, f2] = [
    fit(theory, [10, 30, 190, 260]),
    fit(pairs(cone.positions), [220, 30, 190, 260]),
    fit(pairs(tail.positions), [430, 30, 190, 260]),
  ];
  const svg = picture(
    640,
    360,
    "A cone's sector by formula, the same cone flattened, and a bent tail flattened with its strain",
    [
      `<path d="${pathData(theory.map((p) => onPage(f0, p)))}" fill="none" stroke="${INK.line}" stroke-dasharray="5 4"/>`,
      drawFlat(straight, cone.positions, f1, {
        colours: strainColours(cone.strain.major, limit),
        outline: cone.loops,
      }),
      drawFlat(bent, tail.positions, f2, {
        colours: strainColours(tail.strain.major, limit),
        outline: tail.loops,
      }),
      words(105, 20, "by formula", 'text-anchor="middle"'),
      words(315, 20, `straight: ${short(100 * cone.certificate.maxStrain)} %`, 'text-anchor="middle"'),
      words(525, 20, `bent: ${short(100 * tail.certificate.maxStrain)} %`, 'text-anchor="middle"'),
      rampLegend(180, 315, 280, limit, rampColour),
    ].join("\n"),
  );
  return {
    figures: {
      sectorDegrees: rounded((angle * 180) / Math.PI, 1),
      outerRadius: rounded(outer, 1),
      chordTrue: rounded(chordTrue, 3),
      chordFound: rounded(chord, 3),
      coneStrainPercent: rounded(100 * cone.certificate.maxStrain, 4),
      tailStrainPercent: rounded(100 * tail.certificate.maxStrain, 1),
      tailP95Percent: rounded(100 * tail.certificate.p95Strain, 1),
    },
    files: { "cone.svg": svg },
  };
}
