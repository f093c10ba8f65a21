import { decimate, type Point3, type TriangleMesh } from "@peltry/geometry";
import { readFileSync } from "node:fs";
import { formFromScan, girthAt, readMesh, type Colour } from "@peltry/forms";
import { drawSurface, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const scanFile = new URL("../../../test-fixtures/leg-scan/scan-20k.ply", import.meta.url);
const truthFile = new URL("../../../test-fixtures/leg-scan/truth.json", import.meta.url);

/** The generator set the scan this much above the floor of the clean leg, mm. */
const STANDS = 15;

interface Truth {
  readonly colours: Record<"main" | "patch" | "line", Colour>;
  readonly clean: { readonly patchAreaMm2: number; readonly girths: { zMm: number; tapeMm: number }[] };
  readonly seams: { readonly id: string; readonly lengthMm: number }[];
}

/** A scan with drawn lines and a painted patch becomes a form with named borders. */
export function run(): ExampleResult {
  const truth = JSON.parse(readFileSync(truthFile, "utf8")) as Truth;
  const scan = readMesh(new Uint8Array(readFileSync(scanFile)), { unit: "mm" });
  const { form, report } = formFromScan(scan, {
    up: "z",
    regions: [
      { id: "coat", colour: truth.colours.main },
      { id: "patch", colour: truth.colours.patch },
    ],
    line: truth.colours.line,
  });
  const girths = truth.clean.girths.filter(({ zMm }) => zMm > 150 && zMm < 760);
  const worstGirth = girths
    .map(({ zMm, tapeMm }) => Math.abs(girthAt(form, zMm + STANDS).tape - tapeMm))
    .reduce((a, b) => Math.max(a, b), 0);
  const lines = form.curves.filter(({ kind }) => kind === "drawn" || kind === "border");
  const patch = report.regions.find(({ id }) => id === "patch")!;
  const { mesh: coarse } = decimate(form.mesh, { triangles: 1800, labels: form.regionOf });
  const colourOf = nearestColour(coarse, form.mesh, (t) =>
    form.regionOf[t] === 1 ? [0.95, 0.9, 0.74] : [0.58, 0.66, 0.71],
  );
  const paths = lines.map(({ path, closed }) => (closed ? [...path, path[0]] : path));
  const svg = picture(
    560,
    400,
    "The repaired scan from four sides with its patch and the lines that were found",
    [0, 90, 180, 270]
      .map((turn, i) => {
        const box = [10 + 138 * i, 10, 128, 350] as const;
        return (
          drawSurface(coarse, box, {
            turn,
            scale: 0.36,
            colourOf,
            overlay: visible(form.mesh, paths, turn),
          }) + words(74 + 138 * i, 388, `turned ${turn}°`, 'text-anchor="middle"')
        );
      })
      .join("\n"),
  );
  return {
    figures: {
      trianglesIn: scan.mesh.triangles.length / 3,
      islands: report.repair.islandsRemoved,
      holes: report.repair.holesFilled,
      duplicates: report.repair.duplicatesRemoved,
      linesDrawn: lines.filter(({ kind }) => kind === "drawn").length,
      linesPainted: truth.seams.length,
      patchFound: rounded(patch.areaMm2 / 100, 1),
      patchTrue: rounded(truth.clean.patchAreaMm2 / 100, 1),
      patchPercent: rounded(100 * (patch.areaMm2 / truth.clean.patchAreaMm2 - 1), 1),
      worstGirth: rounded(worstGirth, 1),
      girthsChecked: girths.length,
    },
    files: { "scan.svg": svg },
  };
}

/** Only the stretches of lines that lie on the side towards the reader. */
function visible(
  mesh: { positions: Float64Array; triangles: Uint32Array },
  paths: readonly (readonly number[])[],
  turn: number,
): Point3[][] {
  const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const facing = new Float64Array(mesh.positions.length / 3);
  const p = mesh.positions;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [i, j, k] = [3 * mesh.triangles[t], 3 * mesh.triangles[t + 1], 3 * mesh.triangles[t + 2]];
    const u = [p[j] - p[i], p[j + 1] - p[i + 1], p[j + 2] - p[i + 2]];
    const v = [p[k] - p[i], p[k + 1] - p[i + 1], p[k + 2] - p[i + 2]];
    const n = -s * (u[1] * v[2] - u[2] * v[1]) + c * (u[0] * v[1] - u[1] * v[0]);
    for (const at of [i, j, k]) facing[at / 3] += n;
  }
  const lines: number[][] = [];
  for (const path of paths) {
    let run: number[] = [];
    for (const v of [...path, -1]) {
      if (v >= 0 && facing[v] > 0) run.push(v);
      else {
        if (run.length > 1) lines.push(run);
        run = [];
      }
    }
  }
  return lines.map((line) => line.map((v): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]));
}

/** Colour of the nearest triangle of a finer mesh, by middles. */
function nearestColour(
  coarse: TriangleMesh,
  fine: TriangleMesh,
  colourOf: (t: number) => readonly [number, number, number],
): (t: number) => readonly [number, number, number] {
  const middle = ({ positions: p, triangles }: TriangleMesh, t: number): Point3 => {
    const sum = (k: number): number =>
      p[3 * triangles[3 * t] + k] + p[3 * triangles[3 * t + 1] + k] + p[3 * triangles[3 * t + 2] + k];
    return [sum(0) / 3, sum(1) / 3, sum(2) / 3];
  };
  const middles = Array.from({ length: fine.triangles.length / 3 }, (_, t) => middle(fine, t));
  // Once for all views.
  const colours = Array.from({ length: coarse.triangles.length / 3 }, (_, t) => {
    const [x, y, z] = middle(coarse, t);
    let [best, least] = [0, Infinity];
    middles.forEach(([a, b, c], i) => {
      const d = (a - x) ** 2 + (b - y) ** 2 + (c - z) ** 2;
      if (d < least) [best, least] = [i, d];
    });
    return colourOf(best);
  });
  return (t) => colours[t];
}
