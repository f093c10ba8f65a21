/** A piece of padding: outer and body positions, triangles, and a number at each vertex. */
export interface SheetMesh {
  readonly outer: Float64Array;
  readonly inner: Float64Array;
  readonly triangles: Uint32Array;
  readonly value: Float64Array;
  /** x, y of each vertex once unrolled. */
  readonly flat?: Float64Array;
}

/** Whole triangles that reach above a level. */
export function trianglesAbove(mesh: SheetMesh, level: number): SheetMesh {
  const builder = new Builder(mesh);
  const { triangles, value } = mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t], triangles[t + 1], triangles[t + 2]];
    if (corners.some((v) => value[v] > level)) builder.fan(corners.map((v) => builder.keep(v)));
  }
  return builder.done();
}

/** The part of a piece where the value is above a level, cut through triangles along the level. */
export function clipMesh(mesh: SheetMesh, level: number): SheetMesh {
  const builder = new Builder(mesh);
  const { triangles, value } = mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const above = corners.filter((v) => value[v] > level).length;
    if (above === 0) continue;
    const polygon: number[] = [];
    for (let k = 0; k < 3; k++) {
      const [a, b] = [corners[k], corners[(k + 1) % 3]];
      if (value[a] > level) polygon.push(builder.keep(a));
      if (value[a] > level !== value[b] > level)
        polygon.push(builder.between(a, b, (level - value[a]) / (value[b] - value[a])));
    }
    builder.fan(polygon);
  }
  return builder.done();
}

/** Connected pieces, largest first. */
export function splitPieces(mesh: SheetMesh): SheetMesh[] {
  const count = mesh.value.length;
  const parent = Int32Array.from({ length: count }, (_, v) => v);
  const find = (v: number): number => {
    while (parent[v] !== v) v = parent[v] = parent[parent[v]];
    return v;
  };
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const a = find(mesh.triangles[t]);
    parent[find(mesh.triangles[t + 1])] = a;
    parent[find(mesh.triangles[t + 2])] = a;
  }
  const groups = new Map<number, number[]>();
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const root = find(mesh.triangles[t]);
    const list = groups.get(root);
    if (list) list.push(t);
    else groups.set(root, [t]);
  }
  return [...groups.values()]
    .sort((a, b) => b.length - a.length || a[0] - b[0])
    .map((list) => {
      const builder = new Builder(mesh);
      for (const t of list) builder.fan([0, 1, 2].map((k) => builder.keep(mesh.triangles[t + k])));
      return builder.done();
    });
}

/** The upright line through the middle of a limb: x and z by height. */
export type LimbAxis = (height: number) => readonly [number, number];

/** Middle of a form's body at each height. */
export function limbAxis(positions: Float64Array, triangles: Uint32Array): LimbAxis {
  const bands = 48;
  let [low, high] = [Infinity, -Infinity];
  for (const v of triangles) {
    low = Math.min(low, positions[3 * v + 1]);
    high = Math.max(high, positions[3 * v + 1]);
  }
  const step = (high - low) / bands || 1;
  const box = Array.from({ length: bands + 1 }, () => [Infinity, -Infinity, Infinity, -Infinity]);
  for (const v of triangles) {
    const s = (positions[3 * v + 1] - low) / step;
    for (const b of [Math.floor(s), Math.min(bands, Math.ceil(s))]) {
      const [x, z] = [positions[3 * v], positions[3 * v + 2]];
      box[b] = [
        Math.min(box[b][0], x),
        Math.max(box[b][1], x),
        Math.min(box[b][2], z),
        Math.max(box[b][3], z),
      ];
    }
  }
  const middle = box.map(([a, b, c, d]): [number, number] => [(a + b) / 2, (c + d) / 2]);
  // Bands that no vertex fell into take their neighbour's middle.
  for (let i = 1; i <= bands; i++) if (!Number.isFinite(middle[i][0])) middle[i] = middle[i - 1];
  return (height) => {
    const s = Math.min(bands, Math.max(0, (height - low) / step));
    const i = Math.min(bands - 1, Math.floor(s));
    const t = s - i;
    return [
      middle[i][0] + t * (middle[i + 1][0] - middle[i][0]),
      middle[i][1] + t * (middle[i + 1][1] - middle[i][1]),
    ];
  };
}

/** Direction of each vertex about the axis, radians, 0 front, and its distance from it. */
export function directions(
  positions: Float64Array,
  axis: LimbAxis,
): { angle: Float64Array; radius: Float64Array } {
  const count = positions.length / 3;
  const angle = new Float64Array(count);
  const radius = new Float64Array(count);
  for (let v = 0; v < count; v++) {
    const [cx, cz] = axis(positions[3 * v + 1]);
    const [x, z] = [positions[3 * v] - cx, positions[3 * v + 2] - cz];
    angle[v] = Math.atan2(x, z);
    radius[v] = Math.hypot(x, z);
  }
  return { angle, radius };
}

/**
 * Opens a piece that runs right round the limb along the direction in which it is thinnest; any other piece stays as
 * it is.
 */
export function cutMesh(mesh: SheetMesh, axis: LimbAxis): SheetMesh {
  const { angle } = directions(mesh.inner, axis);
  if (!goesRound(mesh.triangles, angle)) return mesh;
  const cut = thinnest(angle, mesh.value);
  const side = angle.map((a) => Math.atan2(Math.sin(a - cut), Math.cos(a - cut)));
  settleOnCut(mesh.triangles, side);
  const builder = new Builder(mesh);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = [mesh.triangles[t], mesh.triangles[t + 1], mesh.triangles[t + 2]];
    const near = corners.every((v) => Math.abs(side[v]) < 1.6);
    const signs = near ? [1, -1].filter((sign) => corners.some((v) => side[v] * sign > 0)) : [0];
    for (const sign of signs.length > 0 ? signs : [1]) {
      const polygon: number[] = [];
      for (let k = 0; k < 3; k++) {
        const [a, b] = [corners[k], corners[(k + 1) % 3]];
        if (sign === 0 || side[a] * sign >= 0) polygon.push(builder.keep(a, side[a] === 0 ? sign : 0));
        if (sign !== 0 && side[a] * side[b] < 0)
          polygon.push(builder.between(a, b, side[a] / (side[a] - side[b]), sign));
      }
      builder.fan(polygon);
    }
  }
  return builder.done();
}

/** Middle of the direction band with the least padding; the inner side, where a slit shows least, when all are alike. */
function thinnest(angle: Float64Array, value: Float64Array): number {
  const bands = 24;
  const sum = new Float64Array(bands);
  const count = new Float64Array(bands);
  const bandOf = (a: number): number =>
    ((Math.floor((bands * (a + Math.PI)) / (2 * Math.PI)) % bands) + bands) % bands;
  for (let v = 0; v < angle.length; v++) {
    sum[bandOf(angle[v])] += value[v];
    count[bandOf(angle[v])]++;
  }
  const mean = (b: number): number => (count[b] > 0 ? sum[b] / count[b] : Infinity);
  let best = bandOf(-Math.PI / 2);
  for (let b = 0; b < bands; b++) if (mean(b) < 0.95 * mean(best)) best = b;
  return ((best + 0.5) * 2 * Math.PI) / bands - Math.PI;
}

/** A vertex that the cut nearly meets lies on it, so that no slivers are left along the slit. */
function settleOnCut(triangles: Uint32Array, side: Float64Array): void {
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k], triangles[t + ((k + 1) % 3)]];
      if (side[a] * side[b] >= 0 || Math.abs(side[a]) > 1.6 || Math.abs(side[b]) > 1.6) continue;
      const u = side[a] / (side[a] - side[b]);
      if (u < 0.25) side[a] = 0;
      else if (u > 0.75) side[b] = 0;
    }
  }
}

/** Whether some closed path in the piece turns once about the axis. */
function goesRound(triangles: Uint32Array, angle: Float64Array): boolean {
  const unrolled = new Float64Array(angle.length).fill(NaN);
  const near = new Map<number, number[]>();
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k], triangles[t + ((k + 1) % 3)]];
      (near.get(a) ?? near.set(a, []).get(a)!).push(b);
      (near.get(b) ?? near.set(b, []).get(b)!).push(a);
    }
  }
  for (const start of near.keys()) {
    if (!Number.isNaN(unrolled[start])) continue;
    unrolled[start] = angle[start];
    const stack = [start];
    while (stack.length > 0) {
      const v = stack.pop()!;
      for (const w of near.get(v)!) {
        const step = Math.atan2(Math.sin(angle[w] - angle[v]), Math.cos(angle[w] - angle[v]));
        if (Number.isNaN(unrolled[w])) {
          unrolled[w] = unrolled[v] + step;
          stack.push(w);
        } else if (Math.abs(unrolled[w] - unrolled[v] - step) > 3) return true;
      }
    }
  }
  return false;
}

/** Collects vertices and triangles of a new piece. */
class Builder {
  private readonly outer: number[] = [];
  private readonly inner: number[] = [];
  private readonly value: number[] = [];
  private readonly flat: number[] = [];
  private readonly triangles: number[] = [];
  private readonly seen = new Map<string, number>();

  constructor(private readonly from: SheetMesh) {}

  keep(v: number, side = 0): number {
    return this.add(`${v} ${side}`, v, v, 0);
  }

  between(a: number, b: number, t: number, side = 0): number {
    return a < b ? this.add(`${a} ${b} ${side}`, a, b, t) : this.add(`${b} ${a} ${side}`, b, a, 1 - t);
  }

  fan(polygon: readonly number[]): void {
    for (let k = 1; k + 1 < polygon.length; k++) {
      const [a, b, c] = [polygon[0], polygon[k], polygon[k + 1]];
      if (a !== b && b !== c && c !== a) this.triangles.push(a, b, c);
    }
  }

  done(): SheetMesh {
    return {
      outer: Float64Array.from(this.outer),
      inner: Float64Array.from(this.inner),
      triangles: Uint32Array.from(this.triangles),
      value: Float64Array.from(this.value),
      ...(this.from.flat ? { flat: Float64Array.from(this.flat) } : {}),
    };
  }

  private add(key: string, a: number, b: number, t: number): number {
    const old = this.seen.get(key);
    if (old !== undefined) return old;
    const { outer, inner, value, flat } = this.from;
    const v = this.value.length;
    for (let k = 0; k < 3; k++) {
      this.outer.push(outer[3 * a + k] + t * (outer[3 * b + k] - outer[3 * a + k]));
      this.inner.push(inner[3 * a + k] + t * (inner[3 * b + k] - inner[3 * a + k]));
    }
    this.value.push(value[a] + t * (value[b] - value[a]));
    if (flat)
      for (let k = 0; k < 2; k++) this.flat.push(flat[2 * a + k] + t * (flat[2 * b + k] - flat[2 * a + k]));
    this.seen.set(key, v);
    return v;
  }
}
