/** A mesh after points were joined. */
export interface JoinedMesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly colors?: Uint8Array | undefined;
  /** How many vertices fewer there are. */
  readonly joined: number;
  /** New vertex of each old one. */
  readonly vertexOf: Int32Array;
}

/**
 * Joins vertices whose coordinates are the same number for number (−0 equals 0). For formats without connectivity.
 *
 * @remarks expected linear time; the first of equal vertices stays and keeps its colour
 */
export function joinEqualPoints(
  positions: Float64Array,
  triangles: Uint32Array,
  colors?: Uint8Array,
): JoinedMesh {
  const count = positions.length / 3;
  let size = 16;
  while (size < 2 * count) size *= 2;
  const table = new Int32Array(size).fill(-1);
  const bits = new Uint32Array(2);
  const float = new Float64Array(bits.buffer);
  const vertexOf = new Int32Array(count);
  const keep: number[] = [];
  for (let v = 0; v < count; v++) {
    let hash = 0x9e3779b9;
    for (let k = 0; k < 3; k++) {
      float[0] = positions[3 * v + k] + 0;
      hash = Math.imul(hash ^ bits[0], 0x85ebca6b);
      hash = Math.imul(hash ^ (hash >>> 13) ^ bits[1], 0xc2b2ae35);
      hash ^= hash >>> 16;
    }
    let slot = (hash >>> 0) & (size - 1);
    for (; table[slot] >= 0; slot = (slot + 1) & (size - 1)) {
      const other = 3 * keep[table[slot]];
      if (
        positions[other] === positions[3 * v] &&
        positions[other + 1] === positions[3 * v + 1] &&
        positions[other + 2] === positions[3 * v + 2]
      )
        break;
    }
    if (table[slot] < 0) table[slot] = keep.push(v) - 1;
    vertexOf[v] = table[slot];
  }
  return {
    ...pick(positions, colors, keep),
    triangles: triangles.map((v) => vertexOf[v]),
    joined: count - keep.length,
    vertexOf,
  };
}

function pick(
  positions: Float64Array,
  colors: Uint8Array | undefined,
  keep: readonly number[],
): { positions: Float64Array; colors?: Uint8Array | undefined } {
  const out = new Float64Array(3 * keep.length);
  const rgb = colors ? new Uint8Array(3 * keep.length) : undefined;
  keep.forEach((v, i) => {
    for (let k = 0; k < 3; k++) {
      out[3 * i + k] = positions[3 * v + k];
      if (rgb) rgb[3 * i + k] = colors![3 * v + k];
    }
  });
  return { positions: out, colors: rgb };
}

/**
 * Joins vertices that lie within a distance of each other, each to the first one near it.
 *
 * @param distance - mm
 * @remarks expected linear time while the distance is below the edge length
 */
export function joinNearPoints(
  positions: Float64Array,
  triangles: Uint32Array,
  distance: number,
): JoinedMesh {
  if (!(distance > 0)) return joinEqualPoints(positions, triangles);
  const count = positions.length / 3;
  const cells = new Map<string, number[]>();
  const vertexOf = new Int32Array(count);
  const keep: number[] = [];
  for (let v = 0; v < count; v++) {
    const cell = [0, 1, 2].map((k) => Math.floor(positions[3 * v + k] / distance));
    let found = -1;
    for (let i = 0; i < 27 && found < 0; i++) {
      const list = cells.get(
        `${cell[0] + (i % 3) - 1},${cell[1] + (Math.floor(i / 3) % 3) - 1},${cell[2] + Math.floor(i / 9) - 1}`,
      );
      for (const other of list ?? []) {
        const w = 3 * keep[other];
        const d = Math.hypot(
          positions[w] - positions[3 * v],
          positions[w + 1] - positions[3 * v + 1],
          positions[w + 2] - positions[3 * v + 2],
        );
        if (d <= distance) {
          found = other;
          break;
        }
      }
    }
    if (found < 0) {
      found = keep.push(v) - 1;
      const key = cell.join();
      const list = cells.get(key);
      if (list) list.push(found);
      else cells.set(key, [found]);
    }
    vertexOf[v] = found;
  }
  return {
    ...pick(positions, undefined, keep),
    triangles: triangles.map((v) => vertexOf[v]),
    joined: count - keep.length,
    vertexOf,
  };
}
