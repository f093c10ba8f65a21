import { boundingSpan, type KnownSize } from "./known-size";
import type { TriangleMesh } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { shown } from "../parts/number";
import { needMesh } from "./check-mesh";
import { measureGirths } from "./girth";
import { MM_PER_UNIT } from "./units";
import type { LengthUnit } from "./raw-mesh";

export type { KnownSize } from "./known-size";

/** How a scan's size compares with what a tape says. */
export interface ScaleCheck {
  /** One entry a known size: what the mesh has, and taped over scanned. */
  readonly sizes: readonly { readonly known: KnownSize; readonly foundMm: number; readonly ratio: number }[];
  /** Factor that brings the mesh to the tape (middle of the ratios); 1 when all lie within their tolerance. */
  readonly factor: number;
  /** Unit that the file was most likely in, where the factor looks like a mix-up of units. */
  readonly unit?: LengthUnit;
  readonly issues: readonly Issue[];
}

/** Share by which a taped girth or height may differ from the scan before it is said: ISO 20685 allows 4 to 9 mm of 400 to 1000. */
const TOLERANCE = 0.015;

/**
 * Compares a scan with sizes that were taped on the body. Never throws for a scan of the wrong size.
 *
 * @param known - girths at heights above the mesh's lowest point, or the height of the whole
 * @throws `forms/bad-call` without a known size, or with one that is no positive number
 * @source ISO 20685-1:2018, largest mean difference of scan and tape (4 mm small girths and heights, 9 mm large girths)
 */
export function checkScale(mesh: TriangleMesh, known: readonly KnownSize[]): ScaleCheck {
  if (!Array.isArray(known) || known.length === 0)
    fail(
      "forms/bad-call",
      "There is no known size to check against.",
      {},
      { fix: "Pass a girth with its height, or the height of the whole." },
    );
  const { low, height } = boundingSpan(needMesh(mesh));
  const issues: Issue[] = [];
  const sizes = known.flatMap((size, i) => {
    const heights = [size?.atMm ?? 0, size?.ofHeightMm ?? 1];
    if (!isLength(size?.mm) || !heights.every(Number.isFinite) || !isLength(heights[1])) {
      fail(
        "forms/bad-call",
        `Known size ${i} is no positive length.`,
        { index: i },
        { found: shown(size?.mm), fix: "Pass the taped length, and the heights it was taken at, in mm." },
      );
    }
    const foundMm = size.kind === "height" ? height : girthAt(mesh, low, height, size);
    if (!(foundMm > 0)) {
      issues.push({
        code: "forms/nothing-at-level",
        severity: "warning",
        message: `The scan has no closed section at ${Math.round(size.atMm ?? 0)} mm above its lowest point.`,
        at: { index: i },
        fix: "Check the height of the girth.",
      });
      return [];
    }
    return [{ known: size, foundMm, ratio: size.mm / foundMm }];
  });
  const ratios = sizes.map(({ ratio }) => ratio).sort((a, b) => a - b);
  const middle = ratios.length > 0 ? ratios[ratios.length >> 1] : 1;
  const good = ratios.every((r) => Math.abs(r - 1) <= TOLERANCE);
  const unit = mistakenUnit(middle);
  if (!good && ratios.length > 0) issues.push(offScale(middle, unit));
  if (ratios.length > 1 && ratios[ratios.length - 1] / ratios[0] - 1 > 2 * TOLERANCE) {
    issues.push({
      code: "forms/scale-uneven",
      severity: "warning",
      message: `The known sizes disagree: ratios from ${ratios[0].toFixed(3)} to ${ratios[ratios.length - 1].toFixed(3)}.`,
      at: {},
      found: ratios[ratios.length - 1] / ratios[0],
      limit: 1 + 2 * TOLERANCE,
      fix: "Tape them again; a scan is wrong by one factor everywhere.",
    });
  }
  return { sizes, factor: good ? 1 : middle, ...(unit ? { unit } : {}), issues };
}

function isLength(value: unknown): boolean {
  return typeof value === "number" && value > 0 && value < Infinity;
}

function girthAt(mesh: TriangleMesh, low: number, height: number, size: KnownSize): number {
  // A mesh in wrong units has its levels elsewhere: the height, where known, says where.
  const level = low + (size.atMm ?? 0.5 * height) * (size.ofHeightMm ? height / size.ofHeightMm : 1);
  const [loop] = measureGirths(mesh, level);
  return loop ? loop.tapeMm : 0;
}

function mistakenUnit(factor: number): LengthUnit | undefined {
  return (Object.keys(MM_PER_UNIT) as LengthUnit[]).find(
    (unit) => unit !== "mm" && Math.abs(factor / MM_PER_UNIT[unit] - 1) < 0.08,
  );
}

function offScale(factor: number, unit: LengthUnit | undefined): Issue {
  return {
    code: "forms/scale-off",
    severity: "warning",
    message: `The tape says ${factor.toFixed(3)} times what the scan has${unit ? `: the file looks to be in ${unit}` : ""}.`,
    at: {},
    found: factor,
    limit: 1 + TOLERANCE,
    fix: unit ? `Read the file with unit "${unit}".` : "Scale the mesh by the factor, or tape again.",
    source: "ISO 20685-1:2018",
  };
}
