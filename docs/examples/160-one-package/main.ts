import { isPeltryError } from "@peltry/issues";
import { flatten, type FlatPanel } from "@peltry/flatten";
import { picture, drawFlat, fit, pairs } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

/** A part of a ball as any program may have it: plain numbers. */
function patch(): { positions: Float64Array; triangles: Uint32Array } {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= 10; j++) {
    for (let i = 0; i <= 10; i++) {
      const [u, v] = [(i - 5) * 0.06, (j - 5) * 0.06];
      positions.push(200 * Math.sin(u), 200 * Math.sin(v), 200 * Math.cos(u) * Math.cos(v));
      if (i < 10 && j < 10) {
        const a = 11 * j + i;
        triangles.push(a, a + 1, a + 12, a, a + 12, a + 11);
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** One package, no others: into a worker and back, and a broken call that says what to mend. */
export function run(): ExampleResult {
  const mesh = structuredClone(patch());
  const panel: FlatPanel = structuredClone(flatten(mesh));
  let code = "";
  let fix = "";
  try {
    flatten({ positions: mesh.positions, triangles: Uint32Array.of(0, 1, 9999) });
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    code = error.code;
    fix = error.issues[0].fix ?? "";
  }
  return {
    figures: {
      vertices: panel.positions.length / 2,
      maxStrainPercent: rounded(100 * panel.certificate.maxStrain, 2),
      flips: panel.certificate.flips,
      code,
      fix,
    },
    files: {
      "patch.svg": picture(
        300,
        220,
        "A patch of a ball laid flat",
        drawFlat(mesh, panel.positions, fit(pairs(panel.positions), [20, 20, 260, 180]), {
          outline: panel.loops,
        }),
      ),
    },
  };
}
