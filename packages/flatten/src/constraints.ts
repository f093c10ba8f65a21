import { vertexDistance } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { EXACT_WEIGHT, type SideTerms } from "./side-terms";
import { grainAngle, targets, type PartInput } from "./shape-parts";

/** Side terms of the constraints and of the pull on outline lengths. May turn and shift x to meet a fold. */
export function constraintTerms(
  inputs: readonly PartInput[],
  firsts: readonly number[],
  x: Float64Array,
): SideTerms {
  const terms: SideTerms = { rods: [], pairs: [], rails: [] };
  inputs.forEach((input, k) => {
    const first = firsts[k];
    const own = x.subarray(2 * first, 2 * (first + input.sheet.vertexCount));
    addOutlinePull(input, first, terms);
    for (const constraint of input.options.constraints ?? []) {
      if (constraint.kind === "true-length")
        addLengths(input, constraint.path, first, EXACT_WEIGHT, true, terms);
      else if (constraint.kind === "straight") addLine(constraint.path, first, x, terms);
      else if (constraint.kind === "fold") addFold(constraint.path, first, own, terms);
      else addFixed(input, constraint, first, own, terms);
    }
  });
  return terms;
}

function addOutlinePull(input: PartInput, first: number, terms: SideTerms): void {
  const weight = input.options.edgeLengthWeight ?? 0;
  if (weight === 0) return;
  for (const loop of input.sheet.loops) addLengths(input, [...loop, loop[0]], first, weight, false, terms);
}

function addLengths(
  input: PartInput,
  path: readonly number[],
  first: number,
  weight: number,
  exact: boolean,
  terms: SideTerms,
): void {
  const { along, across } = targets(input);
  const p = input.sheet.mesh.positions;
  for (let i = 0; i + 1 < path.length; i++) {
    const [a, b] = [path[i], path[i + 1]];
    const length = vertexDistance(p, a, b);
    terms.rods.push({
      i: first + a,
      j: first + b,
      sx: 1 / (1 + across),
      sy: 1 / (1 + along),
      length,
      weight,
      exact,
      force: 0,
    });
  }
}

/** Best line through the path: through its mean, along its largest spread. */
function addLine(path: readonly number[], first: number, x: Float64Array, terms: SideTerms): void {
  let mx = 0;
  let my = 0;
  for (const v of path) {
    mx += x[2 * (first + v)] / path.length;
    my += x[2 * (first + v) + 1] / path.length;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const v of path) {
    const dx = x[2 * (first + v)] - mx;
    const dy = x[2 * (first + v) + 1] - my;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy) + Math.PI / 2;
  const nx = Math.cos(angle);
  const ny = Math.sin(angle);
  for (const v of path) {
    terms.rails.push({
      vertex: first + v,
      nx,
      ny,
      offset: nx * mx + ny * my,
      weight: EXACT_WEIGHT,
      force: 0,
    });
  }
}

/** Turns and shifts the part so that the fold runs along x = 0 with the pile as near to −y as that allows. */
function addFold(path: readonly number[], first: number, x: Float64Array, terms: SideTerms): void {
  const a = path[0];
  const b = path[path.length - 1];
  const sx = x[2 * b] - x[2 * a];
  const sy = x[2 * b + 1] - x[2 * a + 1];
  // The end that lies lower stays lower.
  const down = sy < 0 || (sy === 0 && sx < 0);
  const turn = (down ? -Math.PI / 2 : Math.PI / 2) - Math.atan2(sy, sx);
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  for (let v = 0; v < x.length; v += 2) {
    const px = x[v];
    x[v] = c * px - s * x[v + 1];
    x[v + 1] = s * px + c * x[v + 1];
  }
  let mean = 0;
  for (const v of path) mean += x[2 * v] / path.length;
  for (let v = 0; v < x.length; v += 2) x[v] -= mean;
  for (const v of path) {
    terms.rails.push({ vertex: first + v, nx: 1, ny: 0, offset: 0, weight: EXACT_WEIGHT, force: 0 });
  }
}

function addFixed(
  input: PartInput,
  constraint: { readonly vertices: readonly number[]; readonly at: readonly (readonly [number, number])[] },
  first: number,
  x: Float64Array,
  terms: SideTerms,
): void {
  const { vertices, at } = constraint;
  if (vertices.length !== at.length) {
    fail(
      "flatten/bad-constraint",
      `A fixed constraint names ${vertices.length} vertices but ${at.length} places.`,
      { path: ["constraints"] },
      { fix: "Give one place for each vertex." },
    );
  }
  const { along, across } = targets(input);
  const turn = -Math.PI / 2 - grainAngle(input);
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const goals = at.map(([px, py]) => [(c * px - s * py) * (1 + across), (s * px + c * py) * (1 + along)]);
  moveNear(x, vertices, goals);
  vertices.forEach((v, i) => {
    terms.rails.push({
      vertex: first + v,
      nx: 1,
      ny: 0,
      offset: goals[i][0],
      weight: EXACT_WEIGHT,
      force: 0,
    });
    terms.rails.push({
      vertex: first + v,
      nx: 0,
      ny: 1,
      offset: goals[i][1],
      weight: EXACT_WEIGHT,
      force: 0,
    });
  });
}

/** Rigid motion that brings the vertices nearest to their goals (least squares). */
function moveNear(x: Float64Array, vertices: readonly number[], goals: number[][]): void {
  const n = vertices.length;
  if (n === 0) return;
  let [ax, ay, bx, by] = [0, 0, 0, 0];
  vertices.forEach((v, i) => {
    ax += x[2 * v] / n;
    ay += x[2 * v + 1] / n;
    bx += goals[i][0] / n;
    by += goals[i][1] / n;
  });
  let cos = 0;
  let sin = 0;
  vertices.forEach((v, i) => {
    const [px, py] = [x[2 * v] - ax, x[2 * v + 1] - ay];
    const [qx, qy] = [goals[i][0] - bx, goals[i][1] - by];
    cos += px * qx + py * qy;
    sin += px * qy - py * qx;
  });
  const size = Math.hypot(cos, sin);
  const [c, s] = size > 0 ? [cos / size, sin / size] : [1, 0];
  for (let v = 0; v < x.length; v += 2) {
    const [px, py] = [x[v] - ax, x[v + 1] - ay];
    x[v] = c * px - s * py + bx;
    x[v + 1] = s * px + c * py + by;
  }
}
