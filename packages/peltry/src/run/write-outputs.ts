import { writePattern, type Pattern } from "@peltry/pattern";
import {
  createPrintJob,
  tilePages,
  writeDxf,
  writeGlb,
  writePdf,
  writeSvg,
  type GlbPiece,
  type Tiling,
} from "@peltry/print";
import { throwIfCancelled, type Issue, type WorkOptions } from "@peltry/issues";
import { OUTPUT_MARK } from "../output/write-folder";
import { parseColour } from "../workbook/raster";
import { writeWorkbook } from "../workbook/write-workbook";
import type { MadeCostume } from "./make-costume";
import type { MadePart } from "./made-part";

/** Paper of the tiled patterns unless the project names others. */
const PAPERS = ["A4", "Letter"];

/** The files of one costume by name, and what was remarked while writing. */
export interface Outputs {
  readonly files: Map<string, Uint8Array | string>;
  readonly tilings: ReadonlyMap<string, Tiling>;
  readonly issues: readonly Issue[];
}

/**
 * Writes everything: tiled PDFs, one SVG a panel, DXF, GLB a part, `pattern.json`, layout drawings, the workbook as one
 * HTML file and the same facts as JSON.
 *
 * @param font - bytes of a font for texts that go beyond Western European letters
 */
export async function writeOutputs(
  costume: MadeCostume,
  font: Uint8Array | undefined,
  work: WorkOptions = {},
): Promise<Outputs> {
  const files = new Map<string, Uint8Array | string>();
  const issues: Issue[] = [];
  const job = createPrintJob(costume.pattern, { cutLines: Object.fromEntries(costume.allowances) });
  const tilings = new Map<string, Tiling>();
  const paper = costume.read.project.paper;
  for (const size of paper?.sizes ?? PAPERS) {
    throwIfCancelled(work.signal);
    const page = {
      size: size as "A4",
      ...(paper?.overlapMm === undefined ? {} : { overlap: paper.overlapMm }),
    };
    tilings.set(size, tilePages(job, page));
    const bytes = await writePdf(job, {
      page,
      ...(font ? { font } : {}),
      title: costume.pattern.name,
      onIssue: (issue) => issues.push(issue),
    });
    files.set(`pattern-${size}.pdf`, bytes);
  }
  for (const panel of costume.pattern.panels)
    files.set(`panels/${panel.id}.svg`, writeSvg(job, { panel: panel.id }));
  files.set("pattern.dxf", writeDxf(job));
  for (const part of costume.parts)
    files.set(`form-${part.part.id}.glb`, writeGlb(glbPieces(part), { name: part.part.name }));
  files.set("pattern.json", patternText(costume.pattern));
  for (const drawing of costume.layout.drawings)
    files.set(`layout/${drawing.piece.replace("/", "-")}.svg`, drawing.svg);
  const book = writeWorkbook(costume, job, tilings);
  files.set("workbook.html", book.html);
  files.set("workbook.json", book.json);
  files.set(
    OUTPUT_MARK,
    `${JSON.stringify({ madeBy: "peltry", project: costume.read.project.name }, null, 2)}\n`,
  );
  return { files, tilings, issues };
}

function patternText(pattern: Pattern): string {
  return `${writePattern(pattern).trimEnd()}\n`;
}

function glbPieces(part: MadePart): GlbPiece[] {
  return part.worn.map(({ name, mesh, flat, cloth }) => {
    const [r, g, b] = parseColour(cloth?.fabric.colour);
    return {
      name,
      mesh,
      flat,
      color: [r / 255, g / 255, b / 255] as const,
    };
  });
}
