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

/** Height of the band over the floor, lower than on the wearer so that the picture is larger, and of the tail's base, mm. */
const BAND_MM = 1300;
const TAIL_MM = 960;
/** Legs stand so far apart, mm. */
const APART_MM = 25;

/** All parts of the moor hare about one invisible wearer: pairs on both sides, what a band carries on the band. */
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
  return [
    ...both(leg, onLeg),
    ...both(paw, onFoot),
    // A tail grows along y: here it points backward.
    ...place(part("tail"), ([x, y, z]) => [x, TAIL_MM + z, -130 - y]),
    ...place(band, ([x, y, z]) => [x, y + BAND_MM, z]),
    ...carried,
  ];
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
