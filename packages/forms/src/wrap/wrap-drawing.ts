import type { Outline, Polyline } from "@peltry/geometry";
import { signedArea } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { joinRuns, type Run } from "./curve-runs";

/** The outlines of cut-open wrap pieces, in mm, y up. */
export interface WrapDrawing {
  /** Closed outlines, counter-clockwise, with the id or layer that each came with. */
  readonly outlines: readonly { readonly name: string; readonly points: Outline }[];
  /** Open lines: folds, stitch lines, notes. */
  readonly lines: readonly { readonly name: string; readonly points: Polyline }[];
  /** How the drawing's numbers became mm. */
  readonly mmPerUnit: number;
  /** Where that comes from, in words. */
  readonly scale: string;
  readonly issues: readonly Issue[];
}

/** Options that the drawing readers share. */
export interface DrawingOptions {
  /** mm in one unit of the drawing; taken from the file when left away. */
  readonly mmPerUnit?: number | undefined;
  /** Line ends closer than this are one point, mm. Default 0.2. */
  readonly joinWithin?: number | undefined;
  /** Read only these ids or layers. */
  readonly only?: readonly string[] | undefined;
}

/** Most points that a drawing may unfold to. */
export const MOST_POINTS = 2_000_000;

/** Sorts runs in mm into outlines and lines. */
export function toDrawing(
  runs: readonly Run[],
  options: DrawingOptions,
  mmPerUnit: number,
  scale: string,
  issues: Issue[],
): WrapDrawing {
  const wanted = options.only ? runs.filter((run) => options.only!.includes(run.name)) : runs;
  const joined = joinRuns(wanted.map(withoutRepeats), options.joinWithin ?? 0.2);
  const closed = joined.filter(
    (run) => run.closed && run.points.length > 2 && Math.abs(signedArea(run.points)) > 1e-6,
  );
  const open = joined.filter((run) => !run.closed);
  if (closed.length === 0) {
    issues.push({
      code: "forms/no-outline",
      severity: "warning",
      message: `The drawing has no closed outline${open.length > 0 ? `; ${open.length} lines stay open` : ""}.`,
      at: {},
      found: 0,
      limit: 1,
      fix: "Close the outlines in the drawing program, or raise joinWithin.",
    });
  }
  return {
    outlines: closed.map(({ name, points }) => ({
      name,
      points: signedArea(points) > 0 ? points : points.slice().reverse(),
    })),
    lines: open.map(({ name, points }) => ({ name, points })),
    mmPerUnit,
    scale,
    issues,
  };
}

function withoutRepeats(run: Run): Run {
  const points = run.points.filter(
    (p, i) => i === 0 || Math.hypot(p[0] - run.points[i - 1][0], p[1] - run.points[i - 1][1]) > 1e-9,
  );
  const [a, b] = [points[0], points[points.length - 1]];
  const back = points.length > 3 && Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-6;
  return { ...run, points: back ? points.slice(0, -1) : points, closed: run.closed || back };
}
