import { WebIO } from "@gltf-transform/core";
import { createRandom } from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sphericalCap } from "../../../test-fixtures/src/shapes";
import {
  createPrintJob,
  diagnoseScale,
  PAPERS,
  resolvePaper,
  SCALE_CAUSES,
  writeGlb,
  type Printable,
} from "../src/index";
import { hare } from "./fixtures";

const RUNS = { seed: 1, numRuns: 100 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const codeOf = (run: () => unknown): string => {
  try {
    run();
    return "none";
  } catch (error) {
    return isPeltryError(error) ? error.code : `untyped: ${String(error)}`;
  }
};

describe("properties of paper, jobs and scale", () => {
  it("a format is found by its name however it is spelt, and a size of one's own comes back [normal form]", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...Object.keys(PAPERS)),
        fc.boolean(),
        number(60, 5000),
        number(60, 5000),
        (name, upper, width, height) => {
          const spelt = upper ? name.toUpperCase() : ` ${name.toLowerCase()} `;
          expect(resolvePaper(spelt)).toEqual(resolvePaper(name));
          expect(resolvePaper({ width, height })).toMatchObject({ width, height });
          expect(resolvePaper({ roll: width })).toMatchObject({ width, height: Infinity });
        },
      ),
      RUNS,
    );
  });
  it("whatever is given for a paper or a pattern, the answer is a result or a typed error [totality]", () => {
    fc.assert(
      fc.property(fc.anything(), (value) => {
        expect(codeOf(() => resolvePaper(value as never))).toMatch(/^(none|print\/)/);
        expect(codeOf(() => createPrintJob(value as never))).toMatch(/^(none|print\/|pattern\/)/);
        expect(codeOf(() => createPrintJob({ ...hare(), panels: [value] } as never))).toMatch(
          /^(none|print\/|pattern\/)/,
        );
        expect(codeOf(() => diagnoseScale(value as never))).toMatch(/^(none|print\/)/);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
  it("a job made of a job is the same job, and holds every panel of the pattern [idempotence]", () => {
    fc.assert(
      fc.property(
        fc.subarray(
          hare().panels.map((panel) => panel.id),
          { minLength: 1 },
        ),
        (ids) => {
          const pattern: Printable = {
            ...hare(),
            panels: hare().panels.filter((panel) => ids.includes(panel.id)),
            seams: [],
          };
          const job = createPrintJob(pattern);
          expect(createPrintJob(job)).toBe(job);
          expect(job.pieces.map((piece) => piece.panel.id)).toEqual(ids);
        },
      ),
      RUNS,
    );
  });
  it("only the ratio counts: a square of any size printed at the scale of a known cause names that cause [scaling]", () => {
    fc.assert(
      fc.property(fc.constantFrom(...SCALE_CAUSES), number(80, 400), (cause, nominal) => {
        const found = diagnoseScale(nominal * cause.ratio, { nominal, reading: 0.001 * nominal });
        expect(found.ratio).toBeCloseTo(cause.ratio, 9);
        expect(found.causes.map((one) => one.id)).toContain(cause.id);
        expect(found.errorPerMetre).toBeCloseTo(10 * found.errorPercent, 9);
      }),
      RUNS,
    );
  });
});

describe("properties of the binary glTF", () => {
  it("positions in metres and flat places come back through an independent reader; the header tells the length [oracle: gltf-transform]", async () => {
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 1e6 }), number(5, 500), async (seed, textureMm) => {
        const mesh = sphericalCap(80, 70, { triangles: 60, jitter: 0.2, seed });
        const random = createRandom(seed);
        const flat = Float64Array.from({ length: (2 * mesh.positions.length) / 3 }, () => 200 * random());
        const bytes = writeGlb([{ name: "cap", mesh, flat }], { textureMm });
        expect(new DataView(bytes.buffer, bytes.byteOffset).getUint32(8, true)).toBe(bytes.length);
        const root = (await new WebIO().readBinary(bytes)).getRoot();
        const primitive = root.listMeshes()[0].listPrimitives()[0];
        const [place, uv] = [primitive.getAttribute("POSITION")!, primitive.getAttribute("TEXCOORD_0")!];
        expect(primitive.getIndices()!.getCount()).toBe(mesh.triangles.length);
        for (let v = 0; v < mesh.positions.length / 3; v++) {
          const p = place.getElement(v, [0, 0, 0]);
          p.forEach((x, k) => expect(Math.abs(1000 * x - mesh.positions[3 * v + k])).toBeLessThan(1e-3));
          const [u] = uv.getElement(v, [0, 0]);
          expect(Math.abs(u * textureMm - flat[2 * v])).toBeLessThan(1e-3);
        }
      }),
      { seed: 1, numRuns: 20 },
    );
  });
});
