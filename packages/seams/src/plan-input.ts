import { meshTopology, type Point3, type TriangleMesh } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { fabricBox, type FabricBox } from "./search/fabric-box";
import { DEFAULT_PRICES, type Prices } from "./search/greedy";
import { projectPile } from "./search/pile-field";
import { HARD_TO_SEW, SEWABILITY } from "./sewability";
import type {
  CostField,
  GivenSeam,
  PlanOptions,
  SeamCost,
  SeamFabric,
  SeamZone,
  SewabilityRules,
} from "./types";

/** Options checked and made whole. */
export interface PlanInput {
  readonly mesh: TriangleMesh;
  readonly regions: Int32Array;
  readonly fabrics: readonly SeamFabric[];
  readonly fixed: readonly Required<Pick<GivenSeam, "id" | "path" | "closed">>[];
  readonly weight: Float64Array;
  /** Makes the factor on the cost of a direction from a pile field. */
  readonly directionCost?: (
    pile: Float64Array,
  ) => (triangle: number, x: number, y: number, z: number) => number;
  readonly pile: Float64Array;
  /** The pile as it was given, x, y, z a triangle. */
  readonly givenPile: Float64Array;
  readonly prices: Prices;
  readonly rules: SewabilityRules;
  /** Rules to fall back on where nothing else keeps the limits; what the caller asks for stays. */
  readonly hardRules: SewabilityRules;
}

/**
 * Checks what planSeams was given.
 *
 * @throws `seams/bad-option`, `seams/bad-mesh`, `seams/not-a-surface`, `geometry/path-not-on-edges`
 */
export function readPlanInput(mesh: TriangleMesh, options: PlanOptions): PlanInput {
  checkMesh(mesh);
  const count = mesh.triangles.length / 3;
  const regions = readRegions(options, count);
  const regionCount = regions.reduce((top, r) => Math.max(top, r), 0) + 1;
  const fabrics = Array.from({ length: regionCount }, (_, r) => readFabric(options, r));
  const fixed = (options.fixed ?? []).map((line, i) => {
    const given: GivenSeam = isLine(line) ? line : { path: line };
    return { id: given.id ?? `given${i + 1}`, path: [...given.path], closed: given.closed ?? false };
  });
  checkLines(mesh, fixed);
  const pile = projectPile(mesh, options.pile ?? [0, -1, 0]);
  const cost: SeamCost = isSeamCost(options.cost) ? options.cost : { visibility: options.cost };
  const { maxSeamsAtPoint } = options.rules ?? {};
  const asked = {
    ...(maxSeamsAtPoint === undefined ? {} : { maxSeamsOnPlane: maxSeamsAtPoint }),
    ...definedOnly(options.rules ?? {}),
  };
  return {
    mesh,
    regions,
    fabrics,
    fixed,
    weight: readWeights(mesh, options, cost, regions, fabrics),
    directionCost: readDirection(cost),
    pile,
    givenPile: eachPile(options.pile ?? [0, -1, 0], count),
    prices: {
      perDart: cost.perDart ?? DEFAULT_PRICES.perDart,
      perSeam: cost.perSeam ?? DEFAULT_PRICES.perSeam,
    },
    rules: { ...SEWABILITY, ...asked },
    hardRules: { ...HARD_TO_SEW, ...asked },
  };
}

/** The limits of each region's fabric for the search, scaled by `share`. */
export function boxesOf(fabrics: readonly SeamFabric[], share = 1): FabricBox[] {
  return fabrics.map((fabric) => fabricBox(fabric.behaviour, fabric.anyDirection, share));
}

function eachPile(pile: ArrayLike<number>, count: number): Float64Array {
  if (pile.length !== 3 && pile.length !== 3 * count) {
    fail(
      "seams/bad-option",
      `The pile has ${pile.length} numbers; expected 3, or 3 for each of ${count} triangles.`,
      { path: ["pile"] },
      { found: pile.length },
    );
  }
  return Float64Array.from({ length: 3 * count }, (_, i) => pile[pile.length === 3 ? i % 3 : i]);
}

function definedOnly<T extends object>(value: T): Partial<T> {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as Partial<T>;
}

function isLine(line: GivenSeam | readonly number[]): line is GivenSeam {
  return !Array.isArray(line);
}

function isSeamCost(cost: PlanOptions["cost"]): cost is SeamCost {
  return typeof cost === "object" && cost !== null && !("length" in cost);
}

function checkMesh(mesh: TriangleMesh): void {
  const { positions, triangles } = mesh;
  if (triangles.length === 0 || triangles.length % 3 !== 0) {
    fail(
      "seams/bad-mesh",
      `The mesh has ${triangles.length} corners, which is no whole number of triangles.`,
      {},
      { found: triangles.length },
    );
  }
  const bad = positions.findIndex((x) => !Number.isFinite(x));
  if (bad >= 0) {
    fail(
      "seams/bad-mesh",
      `Coordinate ${bad} of the mesh is ${positions[bad]}.`,
      { index: bad, vertex: Math.floor(bad / 3) },
      { fix: "Repair the mesh first." },
    );
  }
  const n = positions.length / 3;
  const out = triangles.findIndex((v) => v >= n);
  if (out >= 0) {
    fail(
      "seams/bad-mesh",
      `Triangle ${Math.floor(out / 3)} uses vertex ${triangles[out]}, but there are ${n}.`,
      { triangle: Math.floor(out / 3) },
    );
  }
  const topology = meshTopology(mesh);
  if (
    topology.nonManifoldEdges.length +
      topology.inconsistentEdges.length +
      topology.nonManifoldVertices.length >
    0
  ) {
    const h = topology.nonManifoldEdges[0] ?? topology.inconsistentEdges[0];
    fail(
      "seams/not-a-surface",
      `The form has ${topology.nonManifoldEdges.length} edges with more than two triangles, ` +
        `${topology.inconsistentEdges.length} between triangles of opposite winding and ` +
        `${topology.nonManifoldVertices.length} vertices where it only touches itself.`,
      h === undefined ? { vertex: topology.nonManifoldVertices[0] } : { triangle: Math.floor(h / 3) },
      { fix: "Repair the mesh before planning seams." },
    );
  }
}

function readRegions(options: PlanOptions, count: number): Int32Array {
  const { regions } = options;
  if (regions === undefined) return new Int32Array(count);
  if (regions.length !== count) {
    fail(
      "seams/bad-option",
      `There are ${regions.length} region numbers for ${count} triangles.`,
      { path: ["regions"] },
      { found: regions.length, limit: count },
    );
  }
  return Int32Array.from({ length: count }, (_, t) => {
    const r = regions[t];
    if (!Number.isInteger(r) || r < 0 || r > 1e6) {
      fail(
        "seams/bad-option",
        `Region ${r} of triangle ${t} is not an index from 0.`,
        { path: ["regions", t], triangle: t },
        { found: r },
      );
    }
    return r;
  });
}

function readFabric(options: PlanOptions, region: number): SeamFabric {
  const fabric = options.fabrics?.[region] ?? {};
  const { behaviour, sewingCost = 1, widthMm, maxPileAngle } = fabric;
  let { anyDirection } = fabric;
  const at = { path: ["fabrics", region] };
  if (behaviour === undefined && anyDirection === undefined) {
    const { limit } = options;
    if (limit === undefined) {
      fail("seams/bad-option", `Region ${region} has no fabric limits, and no limit is given for all.`, at, {
        fix: "Give fabrics[region].behaviour, or limit.",
      });
    }
    if (!(limit > 0 && limit < 1)) {
      fail(
        "seams/bad-option",
        `The strain limit is ${limit}.`,
        { path: ["limit"] },
        { found: limit, limit: "above 0, below 1" },
      );
    }
    anyDirection = { min: -limit, max: limit };
  }
  const ranges = [behaviour?.along, behaviour?.across, behaviour?.shear, anyDirection];
  for (const range of ranges) {
    if (range && !(range.max >= 0 && range.min <= 0 && range.min > -1)) {
      fail("seams/bad-option", `A strain range from ${range.min} to ${range.max} does not hold 0.`, at, {
        limit: "min from above −1 to 0, max from 0",
      });
    }
  }
  for (const [name, value] of [
    ["sewingCost", sewingCost],
    ["widthMm", widthMm],
    ["maxPileAngle", maxPileAngle],
  ] as const) {
    if (value !== undefined && !(value > 0))
      fail(
        "seams/bad-option",
        `${name} is ${value}.`,
        { path: ["fabrics", region, name] },
        { found: value, limit: "above 0" },
      );
  }
  return { ...fabric, anyDirection, sewingCost };
}

function checkLines(mesh: TriangleMesh, lines: PlanInput["fixed"]): void {
  const n = mesh.positions.length / 3;
  const edges = new Set<number>();
  const { triangles } = mesh;
  if (lines.length === 0) return;
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h];
    const b = triangles[h - (h % 3) + ((h + 1) % 3)];
    edges.add(Math.min(a, b) * n + Math.max(a, b));
  }
  for (const { id, path, closed } of lines) {
    const run = closed ? [...path, path[0]] : path;
    for (let i = 1; i < run.length; i++) {
      if (edges.has(Math.min(run[i - 1], run[i]) * n + Math.max(run[i - 1], run[i]))) continue;
      fail(
        "geometry/path-not-on-edges",
        `Given seam ${id} steps from vertex ${run[i - 1]} to vertex ${run[i]}, which share no edge.`,
        { seam: id, index: i, vertex: run[i - 1] },
        { fix: "Insert the line into the mesh first, so that it follows edges." },
      );
    }
  }
}

function readDirection(cost: SeamCost): PlanInput["directionCost"] {
  const { alongPile = 1, acrossPile = 1 } = cost;
  if (alongPile === 1 && acrossPile === 1) return undefined;
  return (pile) => (t, x, y, z) => {
    const [a, b, c] = [pile[3 * t], pile[3 * t + 1], pile[3 * t + 2]];
    const size = a * a + b * b + c * c;
    if (size < 1e-9) return (alongPile + acrossPile) / 2;
    const cos2 = Math.min(1, (a * x + b * y + c * z) ** 2 / size);
    return acrossPile + (alongPile - acrossPile) * cos2;
  };
}

function readWeights(
  mesh: TriangleMesh,
  options: PlanOptions,
  cost: SeamCost,
  regions: Int32Array,
  fabrics: readonly SeamFabric[],
): Float64Array {
  const count = mesh.triangles.length / 3;
  const n = mesh.positions.length / 3;
  const visible = costAt(mesh, cost.visibility ?? 1, n, count);
  const weight = new Float64Array(count);
  for (let t = 0; t < count; t++) {
    const w = visible(t) * (fabrics[regions[t]].sewingCost ?? 1);
    if (!(w >= 0))
      fail(
        "seams/bad-option",
        `The seam cost of triangle ${t} is ${w}.`,
        { path: ["cost"], triangle: t },
        { found: w, limit: "from 0" },
      );
    // A way that costs nothing would wander; a thousandth keeps it short.
    weight[t] = Math.max(1e-3, w);
  }
  for (const zone of options.favoured ?? []) {
    const inside = insideZone(mesh, zone);
    for (let t = 0; t < count; t++) if (inside(t)) weight[t] *= zone.factor ?? 0.5;
  }
  for (const zone of options.forbidden ?? []) {
    const inside = insideZone(mesh, zone);
    for (let t = 0; t < count; t++) if (inside(t)) weight[t] = Infinity;
  }
  return weight;
}

function costAt(mesh: TriangleMesh, field: CostField, n: number, count: number): (t: number) => number {
  if (typeof field === "number") return () => field;
  if (typeof field === "function") return (t) => field(triangleMiddle(mesh, t), t);
  if (field.length === count) return (t) => field[t];
  if (field.length === n) {
    return (t) =>
      (field[mesh.triangles[3 * t]] + field[mesh.triangles[3 * t + 1]] + field[mesh.triangles[3 * t + 2]]) /
      3;
  }
  return fail(
    "seams/bad-option",
    `There are ${field.length} costs for ${count} triangles and ${n} vertices.`,
    { path: ["cost"] },
    { found: field.length },
  );
}

/** Centroid of a triangle. */
export function triangleMiddle(mesh: TriangleMesh, t: number): Point3 {
  const out: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < 3; k++)
    for (let i = 0; i < 3; i++) out[i] += mesh.positions[3 * mesh.triangles[3 * t + k] + i] / 3;
  return out;
}

function insideZone(mesh: TriangleMesh, zone: SeamZone): (t: number) => boolean {
  const listed = new Set<number>(zone.triangles ? Array.from(zone.triangles) : []);
  const { centre, radius = 0 } = zone;
  return (t) => {
    if (listed.has(t)) return true;
    if (!centre) return false;
    const p = triangleMiddle(mesh, t);
    return Math.hypot(p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]) <= radius;
  };
}
