// Strip packing instances in the JSON form of the ESICUP collection: one strip, items with their turns and demand.
import { readFileSync } from "node:fs";
import type { Point } from "@peltry/geometry";
import type { LayoutPanel } from "../src/index";

interface Item {
  readonly id: number;
  readonly demand: number;
  readonly allowed_orientations?: number[];
  readonly shape: { readonly data: Point[] };
}

/** A strip and the panels to lay on it. The strip runs along +x, so that all have a nap angle of 0. */
export interface PublishedStrip {
  readonly name: string;
  readonly width: number;
  readonly panels: LayoutPanel[];
}

export function readStrip(file: string): PublishedStrip {
  const { name, items, strip_height } = JSON.parse(readFileSync(file, "utf8")) as {
    name: string;
    items: Item[];
    strip_height: number;
  };
  const panels = items.map(({ id, demand, allowed_orientations, shape }): LayoutPanel => ({
    id: `${id}`,
    outline: openRing(shape.data),
    count: demand,
    napAngle: 0,
    rotations: allowed_orientations ?? "free",
  }));
  return { name, width: strip_height, panels };
}

function openRing(points: readonly Point[]): Point[] {
  const [first, last] = [points[0], points[points.length - 1]];
  return first[0] === last[0] && first[1] === last[1] ? points.slice(0, -1) : [...points];
}
