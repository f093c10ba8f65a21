import { checkScale, clipMesh, formFromScan, readMesh, turnUp, type KnownSize } from "@peltry/forms";
import type { Issue } from "@peltry/issues";
import type { ProjectPart } from "../project/schema";
import { parseColour } from "../workbook/raster";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import type { FormInput, MadeForm } from "./make-form";

type ScanPart = Extract<ProjectPart, { kind: "scan" }>;

/** Reads a painted scan, checks its size against the tape, trims its ends and takes its regions and drawn lines. */
export function makeScan({ read, files, index }: FormInput, part: ScanPart): MadeForm {
  const path = ["parts", index];
  const bytes = files(part.file, read.place([...path, "file"]));
  const scan = located(read, [...path, "file"], () =>
    readMesh(bytes, part.unit === undefined ? {} : { unit: part.unit }),
  );
  return located(read, path, () => {
    const turned = { mesh: turnUp(scan.mesh, part.up ?? "y"), colors: scan.colors };
    const trimmed = trim(turned, part);
    const made = formFromScan(trimmed, {
      name: part.name,
      regions: Object.entries(part.colours).map(([id, colour]) => ({
        id,
        name: capital(id),
        colour: parseColour(colour),
      })),
      line: part.lineColour === undefined ? undefined : parseColour(part.lineColour),
      picked: part.lines?.map(({ id, points, closed }) => ({
        id,
        points: points.map((p) => turnPoint(p, part)),
        closed,
      })),
    });
    const issues: Issue[] = [...scan.report.issues, ...scaleIssues(turned.mesh, part), ...made.report.issues];
    return { form: made.form, issues };
  });
}

type Painted = { readonly mesh: ReturnType<typeof turnUp>; readonly colors?: Uint8Array | undefined };

function trim(scan: Painted, part: ScanPart): Painted {
  let kept = scan;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 1; i < scan.mesh.positions.length; i += 3) {
    low = Math.min(low, scan.mesh.positions[i]);
    high = Math.max(high, scan.mesh.positions[i]);
  }
  if (part.trim?.bottomMm)
    kept = clipMesh(kept.mesh, { point: [0, low + part.trim.bottomMm, 0], normal: [0, 1, 0] }, kept.colors);
  if (part.trim?.topMm)
    kept = clipMesh(kept.mesh, { point: [0, high - part.trim.topMm, 0], normal: [0, -1, 0] }, kept.colors);
  return kept;
}

function turnPoint(
  point: readonly [number, number, number],
  part: ScanPart,
): readonly [number, number, number] {
  const turned = turnUp(
    { positions: Float64Array.from(point), triangles: new Uint32Array(0) },
    part.up ?? "y",
  ).positions;
  return [turned[0], turned[1], turned[2]];
}

function scaleIssues(mesh: Painted["mesh"], part: ScanPart): readonly Issue[] {
  const known: KnownSize[] = [];
  if (part.knownGirth)
    known.push({ kind: "girth", atMm: asMm(part.knownGirth.atHeightMm), mm: asMm(part.knownGirth.girthMm) });
  if (part.knownHeightMm !== undefined) known.push({ kind: "height", mm: asMm(part.knownHeightMm) });
  return known.length === 0 ? [] : checkScale(mesh, known).issues;
}

function capital(id: string): string {
  const words = id.replace(/-/g, " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}
