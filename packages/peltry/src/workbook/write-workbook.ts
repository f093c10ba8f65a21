import { writeSvg, type PrintJob, type Tiling } from "@peltry/print";
import type { MadeCostume } from "../run/make-costume";
import { escapeHtml, htmlPage, type Section } from "./html";
import { collectFacts } from "./facts";
import { panelSection } from "./section-panels";
import { formSection } from "./section-parts";
import { wearSection } from "./section-wearing";
import { workSection } from "./section-work";
import {
  cautionSection,
  layoutSection,
  materialSection,
  measureSection,
  printSection,
  remarkSection,
  sewingSection,
} from "./sections";

/** The workbook: one self-contained page, and the same facts as JSON. */
export function writeWorkbook(
  costume: MadeCostume,
  job: PrintJob,
  tilings: ReadonlyMap<string, Tiling>,
): { html: string; json: string } {
  const facts = collectFacts(costume, tilings);
  const picture = (panel: string): string =>
    new TextDecoder().decode(writeSvg(job, { panel, edgeLengths: true }));
  const sections: Section[] = [
    cautionSection(costume),
    printSection(facts),
    formSection(costume, facts),
    panelSection(costume, facts, picture),
    materialSection(costume, facts),
    layoutSection(costume, facts),
    sewingSection(costume),
    workSection(costume),
    wearSection(costume),
    ...(costume.body ? [measureSection(costume)] : []),
    remarkSection(costume),
  ];
  const lead =
    `<p>${escapeHtml(costume.read.project.note ?? "")}</p>` +
    `<p>${facts.panels.length} panels to cut ${facts.totals.pieces} pieces, ${facts.seams.length} seams of ` +
    `${(facts.totals.seamMm / 1000).toFixed(1)} m together. Computed from the project file; try it on in a cheap cloth before you cut the good one.</p>`;
  return {
    html: htmlPage(`${costume.pattern.name}: workbook`, lead, sections),
    json: `${JSON.stringify(facts, null, 2)}\n`,
  };
}
