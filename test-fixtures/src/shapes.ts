import { createRandom, type TriangleMesh } from "../../packages/geometry/src/index";

/** How a test shape is cut into triangles. */
export interface ShapeOptions {
  /** About how many triangles. */
  readonly triangles?: number;
  /** How far inner vertices are moved inside the parameter grid, as a fraction of a cell (0 to 0.3). */
  readonly jitter?: number;
  readonly seed?: number;
}

/** A grid of (u, v) in [0, 1]² laid over a surface; rows of v, columns of u. Seam sides are never welded. */
export function gridSurface(
  place: (u: number, v: number) => readonly [number, number, number],
  aspect: number,
  options: ShapeOptions = {},
): TriangleMesh {
  const { triangles = 1000, jitter = 0, seed = 1 } = options;
  const columns = Math.max(2, Math.round(Math.sqrt((triangles / 2) * aspect)));
  const rows = Math.max(2, Math.round(triangles / 2 / columns));
  const random = createRandom(seed);
  const positions = new Float64Array(3 * (columns + 1) * (rows + 1));
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      const [a, b] = [random() - 0.5, random() - 0.5];
      const u = (i + (i > 0 && i < columns ? 2 * jitter * a : 0)) / columns;
      const v = (j + (j > 0 && j < rows ? 2 * jitter * b : 0)) / rows;
      positions.set(place(u, v), 3 * (j * (columns + 1) + i));
    }
  }
  const list = new Uint32Array(6 * columns * rows);
  let k = 0;
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const a = j * (columns + 1) + i;
      const c = a + columns + 1;
      // Alternate diagonals, mirrored about the middle column so that a symmetric shape has a symmetric mesh.
      const left = i < columns / 2 === (j % 2 === 0);
      list.set(left ? [a, a + 1, c + 1, a, c + 1, c] : [a, a + 1, c, a + 1, c + 1, c], k);
      k += 6;
    }
  }
  return { positions, triangles: list };
}

/** Right circular cone band between slant distances, opened along one line. `halfAngle` in degrees. */
export function coneBand(
  halfAngle: number,
  from: number,
  to: number,
  options: ShapeOptions = {},
): TriangleMesh {
  const s = Math.sin((halfAngle * Math.PI) / 180);
  const c = Math.cos((halfAngle * Math.PI) / 180);
  return gridSurface(
    (u, v) => {
      const r = to + (from - to) * v;
      const a = 2 * Math.PI * u;
      return [r * s * Math.sin(a), -r * c, r * s * Math.cos(a)];
    },
    (Math.PI * s * (from + to)) / (to - from),
    options,
  );
}

/** Cylinder tube opened along one line. */
export function cylinder(radius: number, height: number, options: ShapeOptions = {}): TriangleMesh {
  return gridSurface(
    (u, v) => [radius * Math.sin(2 * Math.PI * u), height * v, radius * Math.cos(2 * Math.PI * u)],
    (2 * Math.PI * radius) / height,
    options,
  );
}

/** Oblique cone band over a circle of `radius` in y = 0 with its apex at (shift, height, 0), cut off at `keep` of the way up. */
export function obliqueCone(
  radius: number,
  height: number,
  shift: number,
  keep: number,
  options: ShapeOptions = {},
): TriangleMesh {
  return gridSurface(
    (u, v) => {
      const a = 2 * Math.PI * (u - 0.5);
      const t = keep * v;
      return [radius * Math.cos(a) * (1 - t) + shift * t, height * t, -radius * Math.sin(a) * (1 - t)];
    },
    (2 * Math.PI * radius) / (keep * Math.hypot(height, radius)),
    options,
  );
}

/** Spherical cap of angular radius `degrees` about +y. */
export function sphericalCap(radius: number, degrees: number, options: ShapeOptions = {}): TriangleMesh {
  const top = (degrees * Math.PI) / 180;
  return diskSurface((r, a) => {
    const t = r * top;
    return [radius * Math.sin(t) * Math.sin(a), radius * Math.cos(t), radius * Math.sin(t) * Math.cos(a)];
  }, options);
}

/** A disk of rings laid over a surface given in polar form, r in [0, 1]. Ring k has 6k vertices. */
export function diskSurface(
  place: (r: number, angle: number) => readonly [number, number, number],
  options: ShapeOptions = {},
): TriangleMesh {
  const { triangles = 1000, jitter = 0, seed = 1 } = options;
  const rings = Math.max(1, Math.round(Math.sqrt(triangles / 6)));
  const random = createRandom(seed);
  const points: number[] = [...place(0, 0)];
  for (let k = 1; k <= rings; k++) {
    for (let i = 0; i < 6 * k; i++) {
      const [a, b] = [random() - 0.5, random() - 0.5];
      const r = (k + (k < rings ? 2 * jitter * a : 0)) / rings;
      points.push(...place(r, (2 * Math.PI * (i + 2 * jitter * b)) / (6 * k)));
    }
  }
  const start = (k: number) => (k === 0 ? 0 : 1 + 3 * k * (k - 1));
  const at = (k: number, i: number) => (k === 0 ? 0 : start(k) + (i % (6 * k)));
  const list: number[] = [];
  for (let k = 1; k <= rings; k++) {
    for (let sector = 0; sector < 6; sector++) {
      for (let i = 0; i < k; i++) {
        const outer = sector * k + i;
        const inner = sector * (k - 1) + i;
        list.push(at(k, outer), at(k, outer + 1), at(k - 1, inner));
        if (i < k - 1) list.push(at(k - 1, inner), at(k, outer + 1), at(k - 1, inner + 1));
      }
    }
  }
  return { positions: Float64Array.from(points), triangles: Uint32Array.from(list) };
}

/** One gore of a sphere cut into `count`, between latitudes ±`reach` degrees. */
export function gore(radius: number, count: number, reach: number, options: ShapeOptions = {}): TriangleMesh {
  const top = (reach * Math.PI) / 180;
  return gridSurface(
    (u, v) => {
      const latitude = top * (2 * v - 1);
      const longitude = ((2 * u - 1) * Math.PI) / count;
      return [
        radius * Math.cos(latitude) * Math.sin(longitude),
        radius * Math.sin(latitude),
        radius * Math.cos(latitude) * Math.cos(longitude),
      ];
    },
    (2 * Math.PI) / count / (2 * top),
    options,
  );
}

/**
 * A strip of half-width `half` round the outer or inner equator of a torus (tube radius `tube`, centre circle `ring`),
 * `degrees` long.
 */
export function torusStrip(
  ring: number,
  tube: number,
  half: number,
  side: "outer" | "inner",
  degrees: number,
  options: ShapeOptions = {},
): TriangleMesh {
  const long = (degrees * Math.PI) / 180;
  const sign = side === "outer" ? 1 : -1;
  return gridSurface(
    (u, v) => {
      const a = long * (u - 0.5) * sign;
      const t = (half / tube) * (2 * v - 1);
      const r = ring + sign * tube * Math.cos(t);
      return [r * Math.sin(a), tube * Math.sin(t), r * Math.cos(a)];
    },
    (long * (ring + sign * tube)) / (2 * half),
    options,
  );
}

/** Saddle cone: straight rays from the apex over a circle of total angle 360 + `excess` degrees. A disk with an inner apex. */
export function saddleCone(radius: number, excess: number, options: ShapeOptions = {}): TriangleMesh {
  const wanted = 2 * Math.PI + (excess * Math.PI) / 180;
  // Rays with height a·sin 2φ; the amplitude is found by bisection so that the rim on the unit sphere has the wanted length.
  const ray = (angle: number, height: number): [number, number, number] => {
    const y = height * Math.sin(2 * angle);
    const f = 1 / Math.hypot(1, y);
    return [f * Math.sin(angle), f * y, f * Math.cos(angle)];
  };
  const rim = (height: number) => {
    let sum = 0;
    for (let i = 0; i < 720; i++) {
      const p = ray((i * Math.PI) / 360, height);
      const q = ray(((i + 1) * Math.PI) / 360, height);
      sum += Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
    }
    return sum;
  };
  let low = 0;
  let high = 4;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (rim(middle) < wanted) low = middle;
    else high = middle;
  }
  return diskSurface((r, a) => {
    const p = ray(a, low);
    return [radius * r * p[0], radius * r * p[1], radius * r * p[2]];
  }, options);
}

/** Bent tube with varying girth, opened along its inner line: sides u = 0 and u = 1 coincide in space. */
export function openTube(
  path: (v: number) => readonly [number, number],
  radius: (v: number, angle: number) => number,
  aspect: number,
  options: ShapeOptions = {},
): TriangleMesh {
  return gridSurface(
    (u, v) => {
      const [y, z] = path(v);
      const [y1, z1] = path(Math.min(1, v + 1e-4));
      const [y0, z0] = path(Math.max(0, v - 1e-4));
      const length = Math.hypot(y1 - y0, z1 - z0);
      const ty = (y1 - y0) / length;
      const tz = (z1 - z0) / length;
      // Angle 0 faces −x (the inner side of a right-hand leg); the section lies across the path.
      const a = 2 * Math.PI * u;
      const r = radius(v, a);
      const [sx, sn] = [-Math.cos(a) * r, Math.sin(a) * r];
      return [sx, y - sn * tz, z + sn * ty];
    },
    aspect,
    options,
  );
}

/** Padded digitigrade leg, 860 mm high: thigh forward, hock back, inner seam open. */
export function paddedLeg(options: ShapeOptions = {}): TriangleMesh {
  const bump = (v: number, at: number, width: number) => Math.exp(-(((v - at) / width) ** 2));
  return openTube(
    (v) => [860 * v, 60 * bump(v, 0.62, 0.22) - 75 * bump(v, 0.26, 0.16)],
    (v, a) =>
      55 +
      50 * v * v +
      25 * bump(v, 0.75, 0.25) * (1 + 0.4 * Math.sin(a)) +
      18 * bump(v, 0.3, 0.12) * (1 - Math.sin(a)),
    (2 * Math.PI * 85) / 900,
    options,
  );
}

/** Tail, 500 long, largest radius 82, bent by half a radian, rounded tip, open base: a disk without a seam. */
export function tail(options: ShapeOptions = {}): TriangleMesh {
  return diskSurface((r, a) => {
    const s = 1 - r;
    const bend = 0.5 * s;
    const radius = 82 * Math.sqrt(Math.max(0, 1 - s ** 3)) * (0.75 + 0.25 * Math.sin(Math.PI * s));
    const y = (500 / 0.5) * Math.sin(bend) * 1;
    const z = (500 / 0.5) * (1 - Math.cos(bend));
    return [
      radius * Math.sin(a),
      y - radius * Math.cos(a) * Math.sin(bend),
      z + radius * Math.cos(a) * Math.cos(bend),
    ];
  }, options);
}

/** A closed horn: slender cone with a rounded tip, open at its base; total curvature near 2π. */
export function hornCup(length: number, radius: number, options: ShapeOptions = {}): TriangleMesh {
  return diskSurface((r, a) => {
    const s = 1 - r;
    const width = radius * Math.sqrt(Math.max(0, 1 - s * s)) * (1 - 0.6 * s);
    return [width * Math.sin(a), length * s, width * Math.cos(a)];
  }, options);
}
