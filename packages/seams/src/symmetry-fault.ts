// Whether a form is its own mirror image: not triangle for triangle, but as a surface.
import {
  createSurfaceLocator,
  meshArea,
  triangleArea,
  vertexPoint,
  type Point3,
  type TriangleMesh,
} from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { distanceToLine } from "./lines-in-space";
import type { Plane } from "./mirror-plane";
import { isPileNeeded } from "./own-frame";
import { triangleMiddle, type PlanInput } from "./plan-input";

/**
 * How far a point's image may lie from the surface, as a share of an edge of the search's mesh: that mesh has forgotten
 * details of this size itself.
 */
const REACH = 0.15;
/** Borders of regions and given lines run along edges: in a mesh that is not mirrored they may be off by most of one. */
const ALONG_EDGES = 0.75;

/** How far apart a form and its image may lie. */
export interface SymmetryReach {
  /** mm, for its surface. */
  readonly surface: number;
  /** mm, for lines that run along edges of the given mesh. */
  readonly lines: number;
}

/** What counts as symmetric when the search works on so many triangles. */
export function symmetryReach(mesh: TriangleMesh, triangles: number): SymmetryReach {
  const edge = (count: number): number => Math.sqrt((2.3 * meshArea(mesh)) / count);
  const surface = REACH * edge(triangles);
  return { surface, lines: surface + ALONG_EDGES * edge(mesh.triangles.length / 3) };
}

/** What keeps a form from being its own mirror image in a plane, where it is worst; undefined when nothing does. */
export function symmetryFault(input: PlanInput, plane: Plane, reach: SymmetryReach): Issue | undefined {
  return (
    surfaceFault(input, plane, reach) ?? regionFault(input, plane, reach) ?? lineFault(input, plane, reach)
  );
}

function surfaceFault({ mesh }: PlanInput, plane: Plane, reach: SymmetryReach): Issue | undefined {
  const { nearest } = createSurfaceLocator(mesh);
  const used = new Set(mesh.triangles);
  const worst = farthest([...used], (v) => nearest(plane.image(vertexPoint(mesh, v))).distance);
  if (!(worst.far > reach.surface)) return undefined;
  return notKept(
    `The form is not its own mirror image: at vertex ${worst.of} the two sides are ${worst.far.toFixed(1)} mm apart.`,
    { vertex: worst.of },
    worst.far,
    reach.surface,
    "Move the plane into the middle of the form, mend the side that is off, or leave symmetry out.",
  );
}

function regionFault({ mesh, regions }: PlanInput, plane: Plane, reach: SymmetryReach): Issue | undefined {
  const count = regions.reduce((most, r) => Math.max(most, r), 0) + 1;
  if (count === 1) return undefined;
  const locators = Array.from({ length: count }, (_, r) => {
    const own = Array.from(regions.keys()).filter((t) => regions[t] === r);
    const triangles = Uint32Array.from(
      own.flatMap((t) => Array.from(mesh.triangles.subarray(3 * t, 3 * t + 3))),
    );
    return own.length > 0 ? createSurfaceLocator({ positions: mesh.positions, triangles }) : undefined;
  });
  const worst = farthest(
    Array.from(regions.keys()),
    (t) => locators[regions[t]]!.nearest(plane.image(triangleMiddle(mesh, t))).distance,
  );
  if (!(worst.far > reach.lines)) return undefined;
  return notKept(
    `Region ${regions[worst.of]} is not the same on both sides: triangle ${worst.of} is ${worst.far.toFixed(1)} mm off its image.`,
    { triangle: worst.of },
    worst.far,
    reach.lines,
    "Give both sides the same regions, or leave symmetry out.",
  );
}

function lineFault({ mesh, fixed }: PlanInput, plane: Plane, reach: SymmetryReach): Issue | undefined {
  const lines = fixed.map(({ path, closed }) =>
    (closed ? [...path, path[0]] : path).map((v) => vertexPoint(mesh, v)),
  );
  for (const [i, line] of lines.entries()) {
    const gap = (p: Point3): number =>
      lines.reduce((least, other) => Math.min(least, distanceToLine(p, other)), Infinity);
    const worst = farthest(Array.from(line.keys()), (k) => gap(plane.image(line[k])));
    if (!(worst.far > reach.lines)) continue;
    const { id, path } = fixed[i];
    return notKept(
      `Given seam ${id} has no mirror image: its vertex ${path[worst.of % path.length]} is ${worst.far.toFixed(1)} mm off.`,
      { seam: id, vertex: path[worst.of % path.length] },
      worst.far,
      reach.lines,
      "Draw it on both sides, or leave symmetry out.",
    );
  }
  return undefined;
}

/** Pile that lies this much otherwise than the image of the other side's counts, degrees, where it does on so much of the area. */
const PILE_ANGLE = 25;
const PILE_SHARE = 0.05;

/** Says where the pile is not the same on both sides: cuts come in pairs all the same. */
export function pileNotes(input: PlanInput, plane: Plane): Issue[] {
  if (!isPileNeeded(input)) return [];
  const { mesh, pile } = input;
  const { nearest } = createSurfaceLocator(mesh);
  const origin = plane.image([0, 0, 0]);
  const pileOf = (t: number): Point3 => [pile[3 * t], pile[3 * t + 1], pile[3 * t + 2]];
  const angle = Array.from({ length: mesh.triangles.length / 3 }, (_, t) => {
    const image = plane.image(pileOf(t)).map((x, k) => x - origin[k]);
    const other = pileOf(nearest(plane.image(triangleMiddle(mesh, t))).place.triangle);
    const sizes = Math.hypot(...image) * Math.hypot(...other);
    const cos = image.reduce((sum, x, k) => sum + x * other[k], 0) / sizes;
    return sizes > 1e-9 ? (Math.acos(Math.max(-1, Math.min(1, cos))) * 180) / Math.PI : 0;
  });
  const astray = angle.reduce((sum, a, t) => sum + (a > PILE_ANGLE ? triangleArea(mesh, t) : 0), 0);
  if (!(astray > PILE_SHARE * meshArea(mesh))) return [];
  const worst = farthest(Array.from(angle.keys()), (t) => angle[t]);
  return [
    {
      code: "seams/pile-not-mirrored",
      severity: "note",
      message: `The pile of the two sides is not in mirror image: it differs by up to ${worst.far.toFixed(0)}°. Cuts come in mirror pairs all the same, but what the cloth asks differs from side to side.`,
      at: { path: ["pile"], triangle: worst.of },
      found: worst.far,
      limit: PILE_ANGLE,
      fix: "Let the pile of one side lie as the image of the other's, or leave symmetry out.",
    },
  ];
}

/** The issue that the form could not be parted into a half and its image. */
export function notParted(): Issue {
  return notKept(
    "The form cannot be parted along its plane of symmetry: it only touches it, or folds over there.",
    {},
    undefined,
    undefined,
    "Move the plane into the middle of the form, or leave symmetry out.",
  );
}

/** The issue that a plan was made without regard to symmetry. */
function notKept(
  message: string,
  at: Issue["at"],
  found: number | undefined,
  limit: number | undefined,
  fix: string,
): Issue {
  return {
    code: "seams/symmetry-not-kept",
    severity: "note",
    message: `${message} So the two halves were planned as one form.`,
    at: { path: ["symmetry"], ...at },
    ...(found === undefined ? {} : { found, limit: limit! }),
    fix,
  };
}

function farthest(list: readonly number[], gap: (one: number) => number): { of: number; far: number } {
  let [of, far] = [-1, -Infinity];
  for (const one of list) {
    const d = gap(one);
    if (d > far) [of, far] = [one, d];
  }
  return { of, far };
}
