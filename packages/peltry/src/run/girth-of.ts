import type { MadePart } from "./made-part";

/** Length of the cut that a level plane makes through a part, mm; its panels together are the whole surface. */
export function girthOf({ worn }: MadePart, height: number): number {
  let girth = 0;
  for (const { mesh } of worn) {
    const { positions: p, triangles } = mesh;
    for (let t = 0; t < triangles.length; t += 3) {
      const ends: [number, number][] = [];
      for (let k = 0; k < 3; k++) {
        const [a, b] = [3 * triangles[t + k], 3 * triangles[t + ((k + 1) % 3)]];
        const [ya, yb] = [p[a + 1] - height, p[b + 1] - height];
        if (ya < 0 === yb < 0) continue;
        const s = ya / (ya - yb);
        ends.push([p[a] + s * (p[b] - p[a]), p[a + 2] + s * (p[b + 2] - p[a + 2])]);
      }
      if (ends.length === 2) girth += Math.hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]);
    }
  }
  return girth;
}
