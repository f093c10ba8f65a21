// A cut is put on another mesh after those that it begins or ends on. Some have lost the cut that they began on, and hold on to
// each other: the first of them then ends in the open, where it was, and the next one meets it there.
import type { Point3 } from "@peltry/geometry";
import { distanceToLine } from "./lines-in-space";
import type { Anchors } from "./search-form";

/** Ends no further from a line than this are on it, mm: a cut is put into a mesh with misses of that size. */
const ON = 3;
/** An end that is on nothing lies in the open, but where a line is as near as this, mm: then it is meant to be on it. */
const MISSED = 8;

/**
 * The order in which cuts are carried, and which ends of each then find the line that they are on.
 *
 * @param lines - of the cuts, in space
 * @param bases - what is there before any cut
 * @param anchored - ends that should be on something
 * @param imageOf - the one that each is the mirror image of, or −1: it comes first
 */
export function carryOrder(
  lines: readonly (readonly Point3[])[],
  bases: readonly (readonly Point3[])[],
  anchored: readonly Anchors[],
  imageOf: readonly number[],
): { i: number; anchors: Anchors }[] {
  const hostsWithin = (end: Point3, i: number, far: number): readonly number[] | "base" =>
    bases.some((base) => distanceToLine(end, base) < far)
      ? "base"
      : lines.flatMap((other, j) => (j !== i && distanceToLine(end, other) < far ? [j] : []));
  // For each end the cuts that it is on, where it is on no base.
  const hosts = lines.map((line, i) =>
    [line[0], line[line.length - 1]].map((end) => {
      const found = hostsWithin(end, i, ON);
      return found.length > 0 ? found : hostsWithin(end, i, MISSED);
    }),
  );
  const asked = (i: number): boolean[] => [anchored[i] !== "end", anchored[i] === "both"];
  const done = new Set<number>();
  const isFound = (i: number, k: number): boolean => {
    const on = hosts[i][k];
    return on === "base" || on.some((j) => done.has(j));
  };
  const isReady = (i: number, k: number): boolean => isFound(i, k) || hosts[i][k].length === 0;
  const out: { i: number; anchors: Anchors }[] = [];
  while (done.size < lines.length) {
    const left = Array.from(lines.keys()).filter(
      (i) => !done.has(i) && (imageOf[i] < 0 || done.has(imageOf[i])),
    );
    const i = left.find((each) => asked(each).every((is, k) => !is || isReady(each, k))) ?? left[0];
    const [start, end] = asked(i).map((is, k) => is && isFound(i, k));
    done.add(i);
    out.push({ i, anchors: start ? (end ? "both" : "start") : end ? "end" : "none" });
  }
  return out;
}
