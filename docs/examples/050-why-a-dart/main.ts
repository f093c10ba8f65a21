import { flatten, rampColour, strainColours } from "@peltry/flatten";
import type { TriangleMesh } from "@peltry/geometry";
import { cutIntoPatches } from "@peltry/seams";
import { drawFlat, fit, pairs, picture, rampLegend, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const [RADIUS, RINGS, COLUMNS] = [120, 14, 48];

/** A cap of a ball up to `reach` degrees from its pole: a stand-in for a haunch or a hock. */
function cap(reach: number): TriangleMesh {
  const positions: number[] = [0, RADIUS, 0];
  const triangles: number[] = [];
  for (let j = 1; j <= RINGS; j++) {
    const t = ((reach * Math.PI) / 180) * (j / RINGS);
    for (let i = 0; i < COLUMNS; i++) {
      const a = (2 * Math.PI * i) / COLUMNS;
      positions.push(
        RADIUS * Math.sin(t) * Math.sin(a),
        RADIUS * Math.cos(t),
        RADIUS * Math.sin(t) * Math.cos(a),
      );
      const [own, next] = [1 + (j - 1) * COLUMNS + i, 1 + (j - 1) * COLUMNS + ((i + 1) % COLUMNS)];
      if (j === 1) triangles.push(0, own, next);
      else triangles.push(own - COLUMNS, own, next, own - COLUMNS, next, next - COLUMNS);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** The same cap with no dart, one, and three. */
export function run(): ExampleResult {
  const reach = 50;
  const mesh = cap(reach);
  const slit = (column: number, from: number): number[] =>
    Array.from({ length: RINGS + 1 - from }, (_, k) =>
      k + from === 0 ? 0 : 1 + (k + from - 1) * COLUMNS + column,
    );
  const ways = [
    { name: "no dart", slits: [] as number[][] },
    { name: "one dart", slits: [slit(0, 1)] },
    { name: "three darts", slits: [slit(0, 3), slit(16, 3), slit(32, 3)] },
  ];
  const limit = 0.12;
  const made = ways.map(({ name, slits }) => {
    const { patches } = cutIntoPatches(mesh, { lines: slits.map((path, i) => ({ id: `dart-${i}`, path })) });
    const panel = flatten(patches[0].mesh, { anyDirection: { min: -0.005, max: 0.005 }, pile: [0, 0, -1] });
    return { name, mesh: patches[0].mesh, panel };
  });
  const svg = picture(
    660,
    300,
    "A cap of a ball laid flat with no dart, one and three, coloured by strain",
    [
      ...made.map(({ name, mesh: own, panel }, i) => {
        const frame = fit(pairs(panel.positions), [15 + 215 * i, 30, 195, 195], 0.8);
        return (
          drawFlat(own, panel.positions, frame, {
            colours: strainColours(
              panel.strain.major.map((v, t) => (-panel.strain.minor[t] > v ? panel.strain.minor[t] : v)),
              limit,
            ),
            outline: panel.loops,
          }) +
          words(
            112 + 215 * i,
            20,
            `${name}: ${(100 * panel.certificate.maxStrain).toFixed(1)} %`,
            'text-anchor="middle"',
          )
        );
      }),
      rampLegend(190, 255, 280, limit, rampColour),
    ].join("\n"),
  );
  // Gauss: the integral of curvature over a cap is 2π (1 − cos reach); on a mesh the angle defects sum to nearly that.
  const theory = 2 * Math.PI * (1 - Math.cos((reach * Math.PI) / 180));
  return {
    figures: {
      reach,
      noDart: rounded(100 * made[0].panel.certificate.maxStrain, 1),
      oneDart: rounded(100 * made[1].panel.certificate.maxStrain, 1),
      threeDarts: rounded(100 * made[2].panel.certificate.maxStrain, 1),
      curvatureTheory: rounded((theory * 180) / Math.PI, 1),
      curvatureMesh: rounded((made[0].panel.certificate.totalCurvature * 180) / Math.PI, 1),
    },
    files: { "cap.svg": svg },
  };
}
