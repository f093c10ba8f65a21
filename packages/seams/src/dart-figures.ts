import type { Verified } from "./finish-plan";
import type { SeamArc } from "./types";

/** Mouth, angle and legs of a cut in the flat, when it is a dart. */
export function dartFigures(
  done: Pick<Verified, "cutting" | "flat">,
  cut: number,
): (NonNullable<SeamArc["dart"]> & { readonly length: number }) | undefined {
  const { cutting, flat } = done;
  const seams = cutting.seams.filter((seam) => seam.lines.includes(`#${cut}`));
  const tip = seams.find((seam) => seam.kind === "slit");
  if (!tip || seams.some((seam) => seam.a.patch !== seam.b.patch)) return undefined;
  const index = cutting.patches.findIndex((patch) => patch.id === tip.a.patch);
  const { positions } = flat.panels[index];
  const at = (v: number): readonly [number, number] => [positions[2 * v], positions[2 * v + 1]];
  const gap = (u: number, v: number): number => Math.hypot(at(u)[0] - at(v)[0], at(u)[1] - at(v)[1]);
  let mouth = 0;
  for (const seam of seams) {
    for (const end of [0, seam.a.path.length - 1])
      mouth = Math.max(mouth, gap(seam.a.path[end], seam.b.path[end]));
  }
  const side = (which: "a" | "b"): number =>
    seams.reduce((sum, seam) => {
      const { path } = seam[which];
      for (let i = 1; i < path.length; i++) sum += gap(path[i - 1], path[i]);
      return sum;
    }, 0);
  const [a, b] = [side("a"), side("b")];
  return {
    mouth,
    angle: (2 * Math.asin(Math.min(1, mouth / (a + b))) * 180) / Math.PI,
    legDifference: Math.abs(a - b),
    length: (a + b) / 2,
  };
}
