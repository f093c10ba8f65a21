import type { CutGroup } from "./search/greedy";

/** Why a cut is suggested, in plain words. */
export function reasonFor(group: Pick<CutGroup, "kind" | "scale" | "before" | "after">): string {
  const percent = (x: number): string => `${Math.round(100 * Math.min(x, 9.99))} %`;
  const effect =
    group.before > 0
      ? ` The worst spot asks ${percent(group.before)} of what the cloth gives without it, ${percent(group.after)} with it.`
      : "";
  const growth = `${Math.round(100 * Math.abs(Math.exp(group.scale) - 1))} %`;
  switch (group.kind) {
    case "dart":
      return group.scale >= 0
        ? `The form bulges at its tip: laid flat, the cloth there would be ${growth} too wide, which the dart takes up.${effect}`
        : `The form is hollow at its tip; the slit lets the cloth spread.${effect}`;
    case "seam":
      return group.scale >= 0
        ? `The form bulges on its way, and a seam from edge to edge takes up the fullness.${effect}`
        : `The form is saddle-shaped on its way: the cloth is short by ${growth} there, and no dart can give it length.${effect}`;
    case "fold":
      return `On the plane of symmetry, where one cut serves both halves.${effect}`;
    case "gusset":
      return `The form is saddle-shaped at its point: the wedge lets in the cloth that is missing.${effect}`;
    case "width":
      return "The panel is wider than the cloth; the seam runs along the pile.";
    case "opening":
      return "A closed or tubular form cannot be laid flat without it.";
  }
}
