import type { MadeHeadband } from "@peltry/forms";
import type { Point3, TriangleMesh } from "@peltry/geometry";
import type { MadePart } from "../../packages/peltry/src/index";

/** A panel of the costume moved to where it is worn. */
export interface PlacedPanel {
  readonly mesh: TriangleMesh;
  readonly colour: string | undefined;
  readonly lines: readonly (readonly Point3[])[];
}

type Place = (p: Point3) => Point3;

/** Height of the band and of the tail's base over the floor, mm, for the wearer of 1690 mm. */
const BAND_MM = 1600;
const TAIL_MM = 960;
/** The wearer where no part covers her, as height, half breadth, half depth and middle forward of the leg's, mm. Invented. */
const WEARER: readonly (readonly [number, number, number, number])[] = [
  [700, 96, 70, 0],
  [800, 150, 104, -4],
  [880, 172, 118, -8],
  [960, 165, 112, -12],
  [1060, 132, 96, 0],
  [1150, 136, 104, 4],
  [1250, 156, 116, 8],
  [1340, 176, 104, 0],
  [1390, 160, 80, -8],
  [1420, 96, 62, -8],
  [1445, 60, 56, 0],
  [1480, 56, 58, 8],
  [1500, 64, 78, 16],
  [1540, 74, 90, 20],
  [1600, 77, 97, 16],
  [1650, 68, 86, 10],
  [1680, 42, 54, 6],
  [1690, 4, 6, 6],
];
const WEARER_COLOUR = "#e3e6ea";
/** Legs stand so far apart, mm. */
const APART_MM = 25;

/** All parts of the moor hare on a wearer who is only hinted at: pairs on both sides, what a band carries on the band. */
export function wholeHare(parts: readonly MadePart[]): PlacedPanel[] {
  const part = (id: string): MadePart => parts.find((each) => each.part.id === id)!;
  const leg = part("hind-leg");
  const ankle = middleAt(leg, lowest(leg) + 15);
  const paw = part("paw");
  const rim = middleAt(paw, highest(paw) - 2);
  const onLeg: Place = ([x, y, z]) => [x + APART_MM, y, z];
  const onFoot: Place = ([x, y, z]) => [x + ankle[0] - rim[0] + APART_MM, y, z + ankle[2] - rim[2]];
  const band = part("band");
  const carried = (band.built as MadeHeadband).fixings.flatMap(({ name, at }): PlacedPanel[] => {
    const [what, side] = name.split(", ");
    const own = parts.find((each) => each.part.name === what)!;
    const sign = side === "right" ? -1 : 1;
    return place(own, ([x, y, z]) => [sign * x + at[0], y + at[1] + BAND_MM, z + at[2]]);
  });
  const hip = middleAt(leg, highest(leg) - 15);
  return [
    { mesh: wearer(hip[2]), colour: WEARER_COLOUR, lines: [] },
    ...both(leg, onLeg),
    ...both(paw, onFoot),
    // A tail grows along y: here it points backward.
    ...place(part("tail"), ([x, y, z]) => [x, TAIL_MM + z, -130 - y]),
    ...place(band, ([x, y, z]) => [x, y + BAND_MM, z]),
    ...carried,
  ];
}

/** Rings of points through {@link WEARER}, closed to a skin. */
function wearer(z: number): TriangleMesh {
  const around = 48;
  const steps = 6;
  const ring = (i: number): readonly number[] => WEARER[Math.min(WEARER.length - 1, Math.max(0, i))]!;
  const rows = Array.from({ length: steps * (WEARER.length - 1) + 1 }, (_, n) => {
    const i = Math.floor(n / steps);
    const t = n / steps - i;
    // A curve through the rings (Catmull and Rom 1974).
    return ring(i).map((q, k) => {
      const [p, r, s] = [ring(i - 1)[k]!, ring(i + 1)[k]!, ring(i + 2)[k]!];
      return q + (t / 2) * (r - p + t * (2 * p - 5 * q + 4 * r - s + t * (3 * (q - r) + s - p)));
    });
  });
  const positions = rows.flatMap(([y, half, deep, forward]) =>
    Array.from({ length: around }, (_, j) => {
      const turn = (2 * Math.PI * j) / around;
      return [half! * Math.sin(turn), y!, z + forward! + deep! * Math.cos(turn)];
    }).flat(),
  );
  const triangles = rows.slice(1).flatMap((_, r) =>
    Array.from({ length: around }, (__, j) => {
      const [a, b] = [r * around + j, r * around + ((j + 1) % around)];
      return [a, b, b + around, a, b + around, a + around];
    }).flat(),
  );
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

function both(part: MadePart, where: Place): PlacedPanel[] {
  const over: Place = (p) => {
    const [x, y, z] = where(p);
    return [-x, y, z];
  };
  return [...place(part, where), ...place(part, over)];
}

function place({ worn, seamLines }: MadePart, where: Place): PlacedPanel[] {
  return worn.map(({ mesh, cloth }, i) => {
    const positions = new Float64Array(mesh.positions.length);
    for (let v = 0; v < positions.length; v += 3)
      positions.set(where([mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!]), v);
    return {
      mesh: { positions, triangles: mesh.triangles },
      colour: cloth?.fabric.colour,
      lines: i === 0 ? seamLines.map((line) => line.map(where)) : [],
    };
  });
}

function heights({ worn }: MadePart): number[] {
  return worn.flatMap(({ mesh }) => [...mesh.positions].filter((_, i) => i % 3 === 1));
}

const lowest = (part: MadePart): number => heights(part).reduce((a, b) => Math.min(a, b), Infinity);
const highest = (part: MadePart): number => heights(part).reduce((a, b) => Math.max(a, b), -Infinity);

/** Middle of the box round what lies within 15 mm of a height. */
function middleAt({ worn }: MadePart, height: number): Point3 {
  const near: Point3[] = [];
  for (const { mesh } of worn)
    for (let v = 0; v < mesh.positions.length; v += 3)
      if (Math.abs(mesh.positions[v + 1]! - height) < 15)
        near.push([mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!]);
  const half = (k: 0 | 2): number =>
    (Math.min(...near.map((p) => p[k])) + Math.max(...near.map((p) => p[k]))) / 2;
  return [half(0), height, half(2)];
}
