import { pointInOutline, type Point, type Point3 } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import {
  edgesFromOutline,
  letInMarkings,
  markingMethod,
  panelOutline,
  type Marking,
  type Panel,
} from "@peltry/pattern";
import type { ReadProject } from "../project/read-project";
import type { Spot } from "../project/schema";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import type { MadePart, WornPanel } from "./made-part";
import type { Cloth } from "./resolve-cloth";

/** Points round a spot. */
const ROUND = 32;

/**
 * Spots and stripes of a part: each is carried from its place on the worn surface onto the panel that lies there, and
 * made as both piles ask: sewn on top, let in as a panel of its own, or laid on shaved ground.
 *
 * @throws `run/unknown-fabric`, `run/spot-misses`
 */
export function addSpots(
  made: MadePart,
  input: { readonly read: ReadProject; readonly index: number; readonly cloths: ReadonlyMap<string, Cloth> },
): MadePart {
  const { spots } = made.part;
  if (!spots?.length) return made;
  const issues: Issue[] = [...made.issues];
  let pattern = made.pattern;
  spots.forEach((spot, i) => {
    const at = input.read.place(["parts", input.index, "spots", i]);
    const cloth =
      input.cloths.get(spot.fabric) ??
      fail("run/unknown-fabric", `The project has no fabric "${spot.fabric}".`, at, {
        found: spot.fabric,
        limit: [...input.cloths.keys()].join(", "),
        fix: "Add it under fabrics:.",
      });
    const hit =
      findPlace(made, spot) ??
      fail("run/spot-misses", `Spot "${spot.id}" of part "${made.part.id}" meets no panel there.`, at, {
        fix: "Give up from 0 (lower edge) to 1 (upper edge) and aroundDeg from 0 (front) over 90 (outer side).",
      });
    const panel = pattern.panels.find((each) => each.id === hit.worn.panel)!;
    const base = input.cloths.get(panel.fabric)!;
    const [width, height] = located(input.read, ["parts", input.index, "spots", i], () => [
      asMm(spot.widthMm),
      asMm(spot.heightMm ?? spot.widthMm),
    ]);
    const points = ovalOn(hit, width / 2, height / 2);
    const outline = panelOutline(panel);
    if (points.some((p) => pointInOutline(p, outline) !== "inside")) {
      issues.push({
        code: "run/spot-over-the-edge",
        severity: "warning",
        message: `Spot "${spot.id}" runs over the edge of ${panel.name}; it was left out.`,
        at: { ...at, panel: panel.id },
        fix: "Make it smaller, move it away from the seam, or give the part a patch.",
      });
      return;
    }
    const choice = spot.method ?? markingMethod(base.pileMm, cloth.pileMm).method;
    const marking: Marking = {
      id: spot.id,
      kind: "area",
      points,
      label: `${made.part.name}: ${spot.name ?? spot.id}`,
      fabric: cloth.id,
      method: choice,
      ...(cloth.hasPile && panel.pile !== undefined ? { pile: panel.pile } : {}),
    };
    const marked = pattern.panels.map((each) =>
      each.id === panel.id ? { ...each, markings: [...each.markings, marking] } : each,
    );
    if (choice === "let-in") {
      const done = letInMarkings({ ...pattern, panels: marked });
      pattern = done.pattern;
      issues.push(...done.issues.map((issue) => ({ ...issue, at: { ...issue.at, ...at } })));
    } else {
      pattern = { ...pattern, panels: [...marked, layOn(panel, marking, choice, base, cloth)] };
    }
  });
  return { ...made, pattern, issues };
}

interface Place {
  readonly worn: WornPanel;
  readonly at: Point;
  /** Steps in the flat for one mm upward and one mm to the right on the surface, seen from outside. */
  readonly up: Point;
  readonly right: Point;
}

/** Where a level ray from the middle of the part leaves its surface. */
function findPlace(made: MadePart, spot: Spot): Place | undefined {
  const all = made.worn.filter((worn) => worn.panel !== undefined);
  const ys = all.flatMap(({ mesh }) => [...mesh.positions].filter((_, i) => i % 3 === 1));
  const [low, high] = [
    ys.reduce((a, b) => Math.min(a, b), Infinity),
    ys.reduce((a, b) => Math.max(a, b), -Infinity),
  ];
  const y = low + spot.up * (high - low);
  const middle = middleAt(all, y, (high - low) / 20);
  // The outer side lies at +x on the left of the wearer, at −x on the right.
  const outward = "side" in made.part && made.part.side === "right" ? -1 : 1;
  const angle = (outward * spot.aroundDeg * Math.PI) / 180;
  const way: Point3 = [Math.sin(angle), 0, Math.cos(angle)];
  let best: { place: Place; far: number } | undefined;
  for (const worn of all)
    for (let t = 0; t < worn.mesh.triangles.length; t += 3) {
      const hit = rayHits(worn, t, middle, way);
      if (hit && (!best || hit.far > best.far)) best = hit;
    }
  return best?.place;
}

function middleAt(all: readonly WornPanel[], y: number, near: number): Point3 {
  let [x0, x1, z0, z1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { mesh } of all)
    for (let i = 0; i < mesh.positions.length; i += 3) {
      if (Math.abs(mesh.positions[i + 1] - y) > near) continue;
      x0 = Math.min(x0, mesh.positions[i]);
      x1 = Math.max(x1, mesh.positions[i]);
      z0 = Math.min(z0, mesh.positions[i + 2]);
      z1 = Math.max(z1, mesh.positions[i + 2]);
    }
  return [(x0 + x1) / 2, y, (z0 + z1) / 2];
}

const minus = (a: Point3, b: Point3): Point3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const dot = (a: Point3, b: Point3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Point3, b: Point3): Point3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** @source T. Möller, B. Trumbore 1997, Fast, Minimum Storage Ray/Triangle Intersection, J. Graphics Tools 2(1) */
function rayHits(
  worn: WornPanel,
  t: number,
  from: Point3,
  way: Point3,
): { place: Place; far: number } | undefined {
  const { positions: p, triangles } = worn.mesh;
  const ids = [triangles[t], triangles[t + 1], triangles[t + 2]];
  const [a, b, c] = ids.map((v): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]);
  const [e, f] = [minus(b, a), minus(c, a)];
  const h = cross(way, f);
  const det = dot(e, h);
  if (Math.abs(det) < 1e-12) return undefined;
  const s = minus(from, a);
  const u = dot(s, h) / det;
  const q = cross(s, e);
  const v = dot(way, q) / det;
  const far = dot(f, q) / det;
  if (u < -1e-9 || v < -1e-9 || u + v > 1 + 1e-9 || far <= 0) return undefined;
  const [A, B, C] = ids.map((id): Point => [worn.flat[2 * id], worn.flat[2 * id + 1]]);
  const flat = (x: number, y: number): Point => [
    x * (B[0] - A[0]) + y * (C[0] - A[0]),
    x * (B[1] - A[1]) + y * (C[1] - A[1]),
  ];
  const n = cross(e, f);
  const size = Math.hypot(...n);
  const out: Point3 = [n[0] / size, n[1] / size, n[2] / size];
  // Up the surface, and to the right of it as seen from outside.
  const rise = Math.hypot(out[0], out[2]);
  if (rise < 1e-6) return undefined;
  const up: Point3 = [(-out[0] * out[1]) / rise, rise, (-out[2] * out[1]) / rise];
  const right = cross(up, out);
  const inFlat = (w: Point3): Point => {
    const [ee, ef, ff, we, wf] = [dot(e, e), dot(e, f), dot(f, f), dot(w, e), dot(w, f)];
    const d = ee * ff - ef * ef;
    return flat((we * ff - wf * ef) / d, (wf * ee - we * ef) / d);
  };
  const [x, y] = flat(u, v);
  return { far, place: { worn, at: [A[0] + x, A[1] + y], up: inFlat(up), right: inFlat(right) } };
}

/** An oval on the surface, carried by the panel's own strain at its middle; counter-clockwise. */
function ovalOn({ at, up, right }: Place, across: number, along: number): Point[] {
  return Array.from({ length: ROUND }, (_, k): Point => {
    const angle = (2 * Math.PI * k) / ROUND;
    const [x, y] = [across * Math.cos(angle), along * Math.sin(angle)];
    return [at[0] + x * right[0] + y * up[0], at[1] + x * right[1] + y * up[1]];
  });
}

/** The piece that is laid on: cut as drawn, without allowance. */
function layOn(
  panel: Panel,
  marking: Marking,
  method: "applied" | "shaved",
  base: Cloth,
  cloth: Cloth,
): Panel {
  const name = marking.label!;
  const note =
    method === "shaved"
      ? `${name}: shave the ground of ${base.name} to ${Math.round(cloth.pileMm)} mm inside the marked line, then sew the piece on round its edge.`
      : `${name}: sew it on top of ${base.name} along the marked line, with a close zigzag or a turned edge.`;
  const { pile } = marking;
  return {
    id: `${panel.id}-${marking.id}`,
    name,
    fabric: cloth.id,
    edges: edgesFromOutline([...marking.points], { role: "raw", prefix: "side-" }),
    darts: [],
    markings: [],
    ...(cloth.hasPile ? { pile: pile ?? -90 } : {}),
    count: panel.count,
    mirrored: panel.mirrored,
    layer: "facing",
    notes: [note],
  };
}
