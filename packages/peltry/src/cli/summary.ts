import { issueText, type Issue } from "@peltry/issues";
import type { MadeCostume } from "../run/make-costume";
import type { Outputs } from "../run/write-outputs";

/** What a run came to, as plain data. */
export interface Summary {
  readonly name: string;
  /** Undefined when nothing was written. */
  readonly folder?: string;
  readonly panels: number;
  readonly pieces: number;
  readonly seams: number;
  readonly worstSeamDifferenceMm: number;
  readonly flips: number;
  readonly overlaps: number;
  /** Pages by paper. */
  readonly pages: Readonly<Record<string, number>>;
  readonly fabricPieces: readonly string[];
  readonly unplaced: number;
  readonly files: readonly string[];
  /** How many findings of the wear checks there are of each level. */
  readonly wear: { readonly stops: number; readonly cautions: number; readonly notes: number };
  /** What a maker must see to before cutting. */
  readonly trouble: readonly Issue[];
  readonly warnings: readonly Issue[];
}

/** The facts of a run as the command line prints them. */
export function summarise(
  costume: MadeCostume,
  outputs: Outputs | undefined,
  folder: string | undefined,
): Summary {
  const level = (name: string): number => costume.wear.filter((one) => one.level === name).length;
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  return {
    name: costume.pattern.name,
    ...(folder === undefined ? {} : { folder }),
    panels: costume.pattern.panels.length,
    pieces: sum(costume.pattern.panels.map((panel) => panel.count * (panel.mirrored ? 2 : 1))),
    seams: costume.pattern.seams.length,
    worstSeamDifferenceMm: Number(Math.max(0, ...costume.parts.map((part) => part.worstSeamMm)).toFixed(3)),
    flips: sum(costume.parts.map((part) => part.flips)),
    overlaps: sum(costume.parts.map((part) => part.overlaps)),
    pages: Object.fromEntries(
      [...(outputs?.tilings ?? [])].map(([paper, tiling]) => [paper, tiling.pages.length]),
    ),
    fabricPieces: costume.layout.piecesTouched,
    unplaced: costume.layout.unplaced.length,
    files: outputs ? [...outputs.files.keys()].sort() : [],
    wear: {
      stops: level("stop"),
      cautions: level("caution"),
      notes: level("note"),
    },
    trouble: costume.issues.filter((issue) => issue.severity === "error"),
    warnings: costume.issues.filter((issue) => issue.severity === "warning"),
  };
}

/** The summary for a person. */
export function summaryText(summary: Summary): string {
  const pages = Object.entries(summary.pages)
    .map(([paper, count]) => `${count} ${paper}`)
    .join(" or ");
  const rows: (readonly [string, string])[] = [
    ["Panels", `${summary.panels}, cut ${summary.pieces} pieces`],
    ["Seams", `${summary.seams}; the two sides differ by ${summary.worstSeamDifferenceMm} mm at most`],
    ["Checked", `${summary.flips} turned-over spots, ${summary.overlaps} crossings of an outline`],
    ...(pages ? [["Pages", pages] as const] : []),
    [
      "Fabric",
      summary.unplaced
        ? `${summary.unplaced} pieces found no place`
        : `all placed on ${summary.fabricPieces.join(", ")}`,
    ],
    ["Wearing", wearText(summary.wear)],
    ...(summary.folder
      ? [["Folder", summary.folder] as const, ["Begin with", `${summary.folder}/workbook.html`] as const]
      : []),
  ];
  const table = rows.map(([key, value]) => `  ${key.padEnd(11)} ${value}`).join("\n");
  const list = (title: string, issues: readonly Issue[]): string =>
    issues.length ? `${title}\n${issues.map((issue) => `  - ${issueText(issue)}`).join("\n")}\n` : "";
  return `\n${summary.name}\n${table}\n${list("To mend before you cut:", summary.trouble)}${list("To look at:", summary.warnings)}`;
}

function wearText({ stops, cautions, notes }: Summary["wear"]): string {
  const count = (many: number, what: string): string => `${many} ${what}${many === 1 ? "" : "s"}`;
  return `${count(stops, "stop")}, ${count(cautions, "caution")}, ${count(notes, "note")}: read them in the workbook`;
}
