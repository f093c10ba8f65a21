// A cut is put on another mesh after those that it begins or ends on. Some have lost the cut that they began on, and hold on to
// each other: the first of them then ends in the open, where it was, and the next one meets it there.
import type { Point3 } from "@peltry/geometry";
import { distanceToLine } from "./lines-in-space";
import type { Anchors } from "./search-form";

/** Ends no further from a line than this are on it, mm: a cut is put into a mesh with misses of that size. */
const ON = 3;

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
  const isOn = (end: Point3, line: readonly Point3[]): boolean => distanceToLine(end, line) < ON;
  // For each end the cuts that it is on; none where it is on a base, too, or on nothing.
  const hosts = lines.map((line, i) =>
    [line[0], line[line.length - 1]].map((end) =>
      bases.some((base) => isOn(end, base))
        ? []
        : lines.flatMap((other, j) => (j !== i && isOn(end, other) ? [j] : [])),
    ),
  );
  const asked = (i: number): boolean[] => [anchored[i] !== "end", anchored[i] === "both"];
  const done = new Set<number>();
  const isFound = (i: number, k: number): boolean =>
    hosts[i][k].length === 0 || hosts[i][k].some((j) => done.has(j));
  const out: { i: number; anchors: Anchors }[] = [];
  while (done.size < lines.length) {
    const left = Array.from(lines.keys()).filter(
      (i) => !done.has(i) && (imageOf[i] < 0 || done.has(imageOf[i])),
    );
    const i = left.find((each) => asked(each).every((is, k) => !is || isFound(each, k))) ?? left[0];
    const [start, end] = asked(i).map((is, k) => is && isFound(i, k));
    done.add(i);
    out.push({ i, anchors: start ? (end ? "both" : "start") : end ? "end" : "none" });
  }
  return out;
}
