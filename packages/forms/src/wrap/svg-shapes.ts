import { SVGPathData } from "svg-pathdata";
import type { Point } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { apply, arcPoints, cubicPoints, type Affine, type Run } from "./curve-runs";

/** Attributes of an element by name. */
export type Attributes = Readonly<Record<string, string>>;

/**
 * Runs of one SVG shape under a transform; empty for elements that draw no line.
 *
 * @throws `forms/bad-path` when path data cannot be read
 * @source W3C, Scalable Vector Graphics (SVG) 2, chapters 9 (paths) and 10 (basic shapes)
 */
export function shapeRuns(
  tag: string,
  attributes: Attributes,
  m: Affine,
  name: string,
  at: { line: number },
): Run[] {
  const n = (key: string): number => parseLength(attributes[key] ?? "0", at);
  const run = (points: Point[], closed: boolean): Run[] => [
    { points: points.map((p) => apply(m, p[0], p[1])), closed, name },
  ];
  switch (tag) {
    case "path":
      return pathRuns(attributes.d ?? "", m, name, at);
    case "rect":
      return rectRuns(n("x"), n("y"), n("width"), n("height"), attributes.rx, attributes.ry, m, name, at);
    case "circle":
      return ellipse(n("cx"), n("cy"), n("r"), n("r"), m, name);
    case "ellipse":
      return ellipse(n("cx"), n("cy"), n("rx"), n("ry"), m, name);
    case "line":
      return run(
        [
          [n("x1"), n("y1")],
          [n("x2"), n("y2")],
        ],
        false,
      );
    case "polyline":
    case "polygon":
      return run(pointList(attributes.points ?? "", at), tag === "polygon");
    default:
      return [];
  }
}

/** A length as a number of user units; CSS units become px at 96 to the inch. */
export function parseLength(text: string, at: { line: number }): number {
  const match = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(px|mm|cm|in|pt|pc|q|%)?\s*$/i.exec(
    text.slice(0, 100),
  );
  const unit = (match?.[2] ?? "px").toLowerCase();
  if (!match || unit === "%")
    fail("forms/bad-svg", `“${text.slice(0, 30)}” on line ${at.line} is no length.`, at, {
      found: text.slice(0, 30),
      fix: "Write lengths as numbers or in mm.",
    });
  return Number(match[1]) * PX_PER_UNIT[unit];
}

/** @source W3C, CSS Values and Units Module Level 3, 6.2 (1in = 96px = 25.4mm) */
const PX_PER_UNIT: Readonly<Record<string, number>> = {
  px: 1,
  in: 96,
  mm: 96 / 25.4,
  cm: 960 / 25.4,
  pt: 96 / 72,
  pc: 16,
  q: 24 / 25.4,
};

function pointList(text: string, at: { line: number }): Point[] {
  const numbers =
    text.trim() === ""
      ? []
      : text
          .trim()
          .split(/[\s,]+/)
          .map(Number);
  if (numbers.some((x) => !Number.isFinite(x)))
    fail("forms/bad-svg", `The points on line ${at.line} are not all numbers.`, at, {
      fix: "Save the drawing again.",
    });
  return Array.from({ length: numbers.length >> 1 }, (_, i): Point => [numbers[2 * i], numbers[2 * i + 1]]);
}

function scaleOf(m: Affine): number {
  return Math.max(Math.hypot(m[0], m[1]), Math.hypot(m[2], m[3]));
}

function ellipse(cx: number, cy: number, rx: number, ry: number, m: Affine, name: string): Run[] {
  if (!(rx > 0) || !(ry > 0)) return [];
  const place = (c: number, s: number): Point => apply(m, cx + rx * c, cy + ry * s);
  return [{ points: arcPoints(0, 2 * Math.PI, place, Math.max(rx, ry) * scaleOf(m)), closed: true, name }];
}

function rectRuns(
  x: number,
  y: number,
  w: number,
  h: number,
  rxText: string | undefined,
  ryText: string | undefined,
  m: Affine,
  name: string,
  at: { line: number },
): Run[] {
  if (!(w > 0) || !(h > 0)) return [];
  const rx = Math.min(w / 2, parseLength(rxText ?? ryText ?? "0", at));
  const ry = Math.min(h / 2, parseLength(ryText ?? rxText ?? "0", at));
  const points: Point[] = [];
  const corners: [number, number, number][] = [
    [x + w - rx, y + ry, -90],
    [x + w - rx, y + h - ry, 0],
    [x + rx, y + h - ry, 90],
    [x + rx, y + ry, 180],
  ];
  for (const [cx, cy, from] of corners) {
    const place = (c: number, s: number): Point => apply(m, cx + rx * c, cy + ry * s);
    const start = (from * Math.PI) / 180;
    points.push(place(Math.cos(start), Math.sin(start)));
    if (rx > 0 && ry > 0) points.push(...arcPoints(start, Math.PI / 2, place, Math.max(rx, ry) * scaleOf(m)));
  }
  return [{ points, closed: true, name }];
}

function pathRuns(data: string, m: Affine, name: string, at: { line: number }): Run[] {
  let commands;
  try {
    commands = new SVGPathData(data).toAbs().normalizeHVZ(false, true, true).normalizeST().commands;
  } catch (error) {
    fail(
      "forms/bad-path",
      `The path on line ${at.line} cannot be read: ${error instanceof Error ? error.message.slice(0, 100) : "unknown fault"}.`,
      at,
      { fix: "Save the drawing again." },
    );
  }
  const runs: Run[] = [];
  let run: Run | undefined;
  let [x, y]: Point = [0, 0];
  let start: Point = [0, 0];
  const open = (): Point[] => {
    if (!run) {
      run = { points: [apply(m, x, y)], closed: false, name };
      runs.push(run);
    }
    return run.points;
  };
  for (const c of commands) {
    if (c.type === SVGPathData.CLOSE_PATH) {
      if (run) run.closed = true;
      run = undefined;
      [x, y] = start;
    } else if (c.type === SVGPathData.MOVE_TO) {
      run = undefined;
      [x, y] = [c.x, c.y];
      start = [x, y];
    } else {
      const points = open();
      const from = points[points.length - 1];
      if (c.type === SVGPathData.LINE_TO) points.push(apply(m, c.x, c.y));
      else if (c.type === SVGPathData.CURVE_TO)
        points.push(...cubicPoints(from, apply(m, c.x1, c.y1), apply(m, c.x2, c.y2), apply(m, c.x, c.y)));
      else if (c.type === SVGPathData.QUAD_TO) {
        const lift = (a: number, b: number): number => a + (2 / 3) * (b - a);
        points.push(
          ...cubicPoints(
            from,
            apply(m, lift(x, c.x1), lift(y, c.y1)),
            apply(m, lift(c.x, c.x1), lift(c.y, c.y1)),
            apply(m, c.x, c.y),
          ),
        );
      } else if (c.type === SVGPathData.ARC) points.push(...svgArc(x, y, c, m));
      if ("x" in c) x = c.x;
      if ("y" in c) y = c.y;
    }
  }
  for (const { points } of runs) {
    if (points.some((p) => !Number.isFinite(p[0]) || !Number.isFinite(p[1])))
      fail("forms/bad-path", `The path on line ${at.line} has a number that is too large.`, at, {
        fix: "Save the drawing again.",
      });
  }
  return runs;
}

/** @source W3C, SVG 2, appendix B.2.4 (from endpoints to middle and angles) */
function svgArc(
  x1: number,
  y1: number,
  c: { rX: number; rY: number; xRot: number; lArcFlag: 0 | 1; sweepFlag: 0 | 1; x: number; y: number },
  m: Affine,
): Point[] {
  let [rx, ry] = [Math.abs(c.rX), Math.abs(c.rY)];
  if (rx === 0 || ry === 0 || (x1 === c.x && y1 === c.y)) return [apply(m, c.x, c.y)];
  const phi = (c.xRot * Math.PI) / 180;
  const [cos, sin] = [Math.cos(phi), Math.sin(phi)];
  const [hx, hy] = [(x1 - c.x) / 2, (y1 - c.y) / 2];
  const px = cos * hx + sin * hy;
  const py = -sin * hx + cos * hy;
  const grow = (px / rx) ** 2 + (py / ry) ** 2;
  if (grow > 1) {
    rx *= Math.sqrt(grow);
    ry *= Math.sqrt(grow);
  }
  const top = Math.max(0, (rx * ry) ** 2 - (rx * py) ** 2 - (ry * px) ** 2);
  const factor = (c.lArcFlag === c.sweepFlag ? -1 : 1) * Math.sqrt(top / ((rx * py) ** 2 + (ry * px) ** 2));
  const qx = (factor * rx * py) / ry;
  const qy = (-factor * ry * px) / rx;
  const mx = cos * qx - sin * qy + (x1 + c.x) / 2;
  const my = sin * qx + cos * qy + (y1 + c.y) / 2;
  const from = Math.atan2((py - qy) / ry, (px - qx) / rx);
  let sweep = Math.atan2((-py - qy) / ry, (-px - qx) / rx) - from;
  if (c.sweepFlag && sweep < 0) sweep += 2 * Math.PI;
  if (!c.sweepFlag && sweep > 0) sweep -= 2 * Math.PI;
  const place = (u: number, v: number): Point =>
    apply(m, mx + cos * rx * u - sin * ry * v, my + sin * rx * u + cos * ry * v);
  const points = arcPoints(from, sweep, place, Math.max(rx, ry) * scaleOf(m));
  points[points.length - 1] = apply(m, c.x, c.y);
  return points;
}
