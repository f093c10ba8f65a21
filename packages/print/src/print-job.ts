import { fail, type Issue, type Place } from "@peltry/issues";
import type { Outline, Point } from "@peltry/geometry";
import { TOLERANCE } from "@peltry/geometry";
import {
  assertPatternForm,
  checkOutline as checkShape,
  panelEdges,
  type Edge,
  type Panel,
  type Pattern,
  type Seam,
} from "@peltry/pattern";
import type { CutLine, CutLines, Printable, PrintJob, PrintPiece } from "./types";

/** What can be laid over a plain pattern. */
export interface PrintJobOptions {
  /** Cut lines by panel id. Without one the sew line is the only outline printed. */
  readonly cutLines?: CutLines;
  /** How far short of its tip a folded dart is punched, mm. Default 10 (common practice, no source). */
  readonly dartDrillMm?: number;
}

/** Stops at options that are no object: `null` is none. */
export function checkOptions(options: unknown): void {
  if (typeof options === "object" && options !== null) return;
  fail(
    "print/bad-options",
    "The options are not an object.",
    {},
    { found: String(options), fix: "Pass an object, or leave them out." },
  );
}

/**
 * Panels, their cut lines and seams, checked and ready to be drawn. All writers call this themselves; call it to check
 * once and write many times.
 *
 * @param pattern - a pattern, or a job (returned as it is when nothing is to be added)
 * @throws `print/empty-pattern`, `print/repeated-panel`, `print/open-outline`, `print/not-finite`, `print/too-large`,
 * `print/unknown-panel`, `print/bad-count`, `print/bad-cut-line`, `print/bad-options`; `pattern/bad-form` with the path to a
 * field of another kind
 */
export function createPrintJob(pattern: Printable, options: PrintJobOptions = {}): PrintJob {
  checkOptions(options);
  checkDartDrill(options.dartDrillMm);
  if (isPrintJob(pattern)) return withOptions(pattern, options);
  if (typeof pattern !== "object" || pattern === null || !Array.isArray(pattern.panels)) {
    fail(
      "print/not-a-pattern",
      "This is not a pattern: it has no list of panels.",
      {},
      {
        fix: "Pass a Pattern, or a job from createPrintJob.",
      },
    );
  }
  if (pattern.panels.length === 0) {
    fail("print/empty-pattern", "The pattern has no panels.", {}, { fix: "Add at least one panel." });
  }
  const seen = new Set<string>();
  for (const [index, panel] of pattern.panels.entries()) {
    if (typeof panel?.id !== "string") {
      fail(
        "print/not-a-pattern",
        `Panel ${index} has no id.`,
        { path: ["panels", index] },
        { fix: "Give every panel an id, a name and its edges." },
      );
    }
    if (seen.has(panel.id)) {
      fail(
        "print/repeated-panel",
        `Two panels have the id “${panel.id}”.`,
        { panel: panel.id },
        {
          fix: "Give every panel its own id.",
        },
      );
    }
    seen.add(panel.id);
    if (!Array.isArray(panel.edges)) {
      fail(
        "print/open-outline",
        `Panel “${panel.id}” has no edges.`,
        { panel: panel.id },
        { found: 0, limit: 3, fix: "Give the panel its outline as edges." },
      );
    }
  }
  // Files written by hand may leave out what is empty.
  const whole = {
    ...pattern,
    name: pattern.name ?? "",
    seams: pattern.seams ?? [],
    panels: pattern.panels.map((panel: Panel) =>
      panel.darts && panel.markings
        ? panel
        : { ...panel, darts: panel.darts ?? [], markings: panel.markings ?? [] },
    ),
  };
  assertPatternForm(whole);
  for (const panel of whole.panels) checkPanel(panel);
  const names = fabricNames(whole);
  const pieces = whole.panels.map((panel: Panel): PrintPiece => {
    const fabricName = names.get(panel.fabric);
    const own = panel.markings.flatMap(({ fabric }) =>
      fabric !== undefined && names.has(fabric) ? [fabric] : [],
    );
    return {
      panel,
      ...(fabricName !== undefined && { fabricName }),
      ...(own.length > 0 && { markingFabrics: Object.fromEntries(own.map((id) => [id, names.get(id)!])) }),
    };
  });
  const job: PrintJob = {
    format: "peltry-print-job",
    name: whole.name || "Pattern",
    pieces,
    seams: whole.seams,
    issues: whole.panels.flatMap((panel) => outlineRemarks(panel, whole.seams)),
  };
  return withOptions(job, options);
}

function withOptions(job: PrintJob, { cutLines, dartDrillMm }: PrintJobOptions): PrintJob {
  const cut = cutLines === undefined ? job : withCutLines(job, cutLines);
  if (dartDrillMm === undefined) return cut;
  return { ...cut, pieces: cut.pieces.map((piece) => ({ ...piece, dartDrillMm })) };
}

function checkDartDrill(short: unknown): void {
  if (short === undefined || (Number.isFinite(short) && (short as number) >= 0)) return;
  fail(
    "print/bad-length",
    `Darts cannot be punched ${String(short)} mm short of their tips.`,
    {},
    { found: String(short), limit: 0, fix: "Give a length of 0 mm or more." },
  );
}

const DRAWN_AS_IT_IS = ["crossing-outline", "touching-outline", "zero-length-edge", "no-area"];

/** Faults that can be drawn all the same, and edges whose seam is not there. */
function outlineRemarks(panel: Panel, seams: readonly Seam[]): Issue[] {
  const shapes = [panel.edges, ...(panel.holes ?? [])].flatMap((ring) => checkShape(ring, panel.id));
  const known = new Set(seams.map((seam) => seam.id));
  const loose = panelEdges(panel).filter((edge) => edge.seam !== undefined && !known.has(edge.seam));
  return [
    ...shapes
      .filter((issue) => DRAWN_AS_IT_IS.includes(issue.code.replace("pattern/", "")))
      .map((issue): Issue => ({ ...issue, severity: "warning" })),
    ...loose.map((edge): Issue => ({
      code: "pattern/missing-seam-partner",
      severity: "warning",
      message: `The edge belongs to seam ${edge.seam}, but there is no such seam: its id is printed in place of a letter.`,
      at: { panel: panel.id, edge: edge.id },
      fix: "Add the seam, or take it off the edge.",
    })),
  ];
}

/** True for a job made by {@link createPrintJob}. */
export function isPrintJob(value: unknown): value is PrintJob {
  return (value as { format?: unknown } | null)?.format === "peltry-print-job";
}

function withCutLines(job: PrintJob, cutLines: CutLines): PrintJob {
  const known = new Set(job.pieces.map((piece) => piece.panel.id));
  for (const id of Object.keys(cutLines)) {
    if (!known.has(id)) {
      fail(
        "print/unknown-panel",
        `There is a cut line for “${id}”, but no such panel.`,
        { panel: id },
        {
          limit: [...known].join(", "),
          fix: "Name cut lines by the ids of the pattern's panels.",
        },
      );
    }
  }
  const missing: Issue[] = [];
  const pieces = job.pieces.map((piece): PrintPiece => {
    const id = piece.panel.id;
    if (!Object.hasOwn(cutLines, id)) {
      if (piece.cut === undefined) missing.push(noCutLine(id));
      return piece;
    }
    return { ...piece, cut: checkedCut(cutLines[id]!, id) };
  });
  return { ...job, pieces, issues: [...job.issues, ...missing] };
}

function noCutLine(panel: string): Issue {
  return {
    code: "print/no-cut-line",
    severity: "warning",
    message: "This panel has no cut line while others have one: only its sew line is printed.",
    at: { panel },
    fix: "Add its allowance, or write on the print that allowance must be added.",
  };
}

function checkedCut(given: Outline | CutLine, panel: string): CutLine {
  const cut: CutLine = isOutline(given) ? { cutLine: given } : given;
  checkParts(cut, panel);
  checkOutline(cut.cutLine, { panel }, "cut line");
  for (const hole of cut.holes ?? []) checkOutline(hole, { panel }, "cut line of a hole");
  for (const mark of cut.notches ?? [])
    for (const line of mark.strokes) checkPoints(line, { panel }, "notch");
  for (const run of cut.clips ?? []) for (const line of run.marks) checkPoints(line, { panel }, "clip");
  for (const line of cut.lines ?? []) checkPoints(line.points, { panel }, "line");
  for (const { tip, peak } of cut.foldedDarts ?? []) checkPoints([tip, peak], { panel }, "folded dart");
  return cut;
}

/** What each part of a cut line is a list of: objects that hold lists of their own. */
const PARTS: readonly [keyof CutLine, readonly string[]][] = [
  ["holes", []],
  ["notches", ["strokes"]],
  ["clips", ["marks"]],
  ["trimStrips", []],
  ["foldedDarts", ["tip", "peak"]],
  ["lines", ["points"]],
];

/** Stops at a cut line whose parts are no lists, as may come from plain JavaScript. */
function checkParts(cut: CutLine | null, panel: string): void {
  const sound = (key: keyof CutLine, inner: readonly string[]): boolean => {
    const list: unknown = cut?.[key] ?? [];
    return (
      Array.isArray(list) &&
      list.every((one: unknown) =>
        inner.every((name) => Array.isArray((one as Record<string, unknown> | null)?.[name])),
      )
    );
  };
  const broken = typeof cut === "object" && cut ? PARTS.find(([key, inner]) => !sound(key, inner)) : ["it"];
  if (!broken) return;
  fail(
    "print/bad-cut-line",
    `The cut line of “${panel}” cannot be read: ${broken[0]} is not as it should be.`,
    { panel },
    { found: broken[0], fix: "Pass an outline, or what addAllowance gives." },
  );
}

function isOutline(value: Outline | CutLine): value is Outline {
  return Array.isArray(value);
}

function checkPanel(panel: Panel): void {
  const at: Place = { panel: panel.id };
  if (!Number.isInteger(panel.count) || panel.count < 1) {
    fail("print/bad-count", `Panel “${panel.name}” is to be cut ${String(panel.count)} times.`, at, {
      found: String(panel.count),
      limit: "a whole number from 1",
      fix: "Set how many to cut of each hand.",
    });
  }
  for (const key of ["pile", "stretch", "grain"] as const) {
    const angle = panel[key];
    if (angle !== undefined && !Number.isFinite(angle)) {
      fail("print/not-finite", `The ${key} direction of “${panel.name}” is ${angle}.`, at, {
        found: String(angle),
        fix: "Give degrees, or leave it out.",
      });
    }
  }
  checkLoop(panel.edges, panel.id);
  for (const hole of panel.holes ?? []) checkLoop(hole, panel.id);
  for (const dart of panel.darts) checkPoints([dart.tip], at, `tip of dart ${dart.id}`);
  for (const marking of panel.markings) checkPoints(marking.points, at, `marking ${marking.id}`);
}

function checkLoop(edges: readonly Edge[], panel: string): void {
  let count = 0;
  for (const [i, edge] of edges.entries()) {
    const at: Place = { panel, edge: edge.id };
    checkPoints(edge.points, at, "edge");
    count += Math.max(0, edge.points.length - 1);
    const end = edge.points[edge.points.length - 1];
    const next = edges[(i + 1) % edges.length]!;
    const start = next.points[0];
    if (end === undefined || start === undefined || edge.points.length < 2) {
      fail("print/open-outline", `Edge “${edge.id}” has fewer than two points.`, at, {
        found: edge.points.length,
        limit: 2,
        fix: "Give each edge both of its corners.",
      });
    }
    const gap = Math.hypot(start[0] - end[0], start[1] - end[1]);
    if (gap > TOLERANCE.join) {
      fail(
        "print/open-outline",
        `Edge “${edge.id}” ends ${gap.toFixed(2)} mm away from where “${next.id}” begins.`,
        at,
        {
          found: gap,
          limit: TOLERANCE.join,
          fix: "Close the outline: each edge ends where the next begins.",
        },
      );
    }
  }
  if (count < 3) {
    fail(
      "print/open-outline",
      `The outline has ${count} points; a flat piece has at least three.`,
      { panel },
      {
        found: count,
        limit: 3,
        fix: "Draw the whole outline.",
      },
    );
  }
}

function checkOutline(outline: Outline, at: Place, what: string): void {
  if (!Array.isArray(outline) || outline.length < 3) {
    fail(
      "print/open-outline",
      `The ${what} has ${outline?.length ?? 0} points; it needs at least three.`,
      at,
      {
        found: outline?.length ?? 0,
        limit: 3,
        fix: "Give the whole closed outline.",
      },
    );
  }
  checkPoints(outline, at, what);
}

/** 100 m: dashes, texts and pages along a panel beyond it would fill the memory. */
const FARTHEST_POINT = 100_000;

function checkPoints(points: readonly Point[], at: Place, what: string): void {
  if (!Array.isArray(points)) {
    fail("print/not-finite", `The ${what} has no list of points.`, at, {
      found: typeof points,
      fix: "Give its points as pairs of mm.",
    });
  }
  points.forEach((p: Point, index) => {
    if (!Number.isFinite(p?.[0]) || !Number.isFinite(p?.[1])) {
      fail(
        "print/not-finite",
        `Point ${index} of the ${what} is (${String(p?.[0])}, ${String(p?.[1])}).`,
        { ...at, index },
        {
          found: `${String(p?.[0])}, ${String(p?.[1])}`,
          fix: "Every coordinate is a finite number of mm.",
        },
      );
    }
    const far = Math.max(Math.abs(p[0]), Math.abs(p[1]));
    if (far > FARTHEST_POINT) {
      fail(
        "print/too-large",
        `Point ${index} of the ${what} lies ${far} mm from the origin.`,
        { ...at, index },
        { found: far, limit: FARTHEST_POINT, fix: "Check the unit of the drawing; coordinates are mm." },
      );
    }
  });
}

function fabricNames(pattern: Pattern): Map<string, string> {
  return new Map((pattern.fabrics ?? []).map((fabric) => [fabric.id, fabric.name]));
}
