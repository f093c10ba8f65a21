import { pointInOutline, type Point, type TriangleMesh } from "@peltry/geometry";
import { panelOutline, type Panel, type Pattern } from "@peltry/pattern";
import type { WornPanel } from "../run/made-part";
import type { Cloth } from "../run/resolve-cloth";

/** An area of a worn panel that shows another cloth. */
interface ShownArea {
  readonly outline: readonly Point[];
  readonly cloth: Cloth;
}

/** Halvings of a triangle that the border of a spot crosses: sides of some 8 mm come down to 1 mm. */
const HALVINGS = 3;

/**
 * A worn panel as it shows: with its spots, stripes and let-in patches, whose borders part its triangles.
 *
 * @returns the mesh and the cloth of each of its triangles
 */
export function spotMesh(
  worn: WornPanel,
  pattern: Pattern,
  cloths: ReadonlyMap<string, Cloth>,
): { mesh: TriangleMesh; clothOf: (triangle: number) => Cloth | undefined } {
  const panel = pattern.panels.find(({ id }) => id === worn.panel);
  const areas = panel ? shownAreas(panel, pattern, cloths) : [];
  if (areas.length === 0) return { mesh: worn.mesh, clothOf: () => worn.cloth };
  const positions = [...worn.mesh.positions];
  const flat = [...worn.flat];
  const triangles: number[] = [];
  const shown: (Cloth | undefined)[] = [];
  const at = (v: number): Point => [flat[2 * v], flat[2 * v + 1]];
  const clothAt = (p: Point): Cloth | undefined =>
    areas.find(({ outline }) => pointInOutline(p, outline) !== "outside")?.cloth ?? worn.cloth;
  const middle = (a: number, b: number): number => {
    for (let k = 0; k < 3; k++) positions.push((positions[3 * a + k] + positions[3 * b + k]) / 2);
    flat.push((flat[2 * a] + flat[2 * b]) / 2, (flat[2 * a + 1] + flat[2 * b + 1]) / 2);
    return flat.length / 2 - 1;
  };
  const add = (a: number, b: number, c: number, left: number): void => {
    const centre = [0, 1].map((k) => (flat[2 * a + k] + flat[2 * b + k] + flat[2 * c + k]) / 3);
    const cloth = clothAt([centre[0], centre[1]]);
    if (left > 0 && [a, b, c].some((v) => clothAt(at(v)) !== cloth)) {
      const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
      for (const [p, q, r] of [
        [a, ab, ca],
        [ab, b, bc],
        [ca, bc, c],
        [ab, bc, ca],
      ])
        add(p, q, r, left - 1);
      return;
    }
    triangles.push(a, b, c);
    shown.push(cloth);
  };
  const given = worn.mesh.triangles;
  for (let t = 0; t < given.length; t += 3) add(given[t], given[t + 1], given[t + 2], HALVINGS);
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    clothOf: (triangle) => shown[triangle],
  };
}

/** Areas sewn on or shaved, and holes with the panels that are let into them. */
function shownAreas(panel: Panel, pattern: Pattern, cloths: ReadonlyMap<string, Cloth>): ShownArea[] {
  const clothOf = (id: string | undefined): Cloth | undefined =>
    id === undefined ? undefined : cloths.get(id);
  const areas = panel.markings.flatMap(({ kind, fabric, points }): ShownArea[] => {
    const cloth = kind === "area" ? clothOf(fabric) : undefined;
    return cloth ? [{ outline: points, cloth }] : [];
  });
  const letIn = (panel.holes ?? []).flatMap((hole): ShownArea[] => {
    const seam = pattern.seams.find(({ id }) => id === hole[0]?.seam);
    const other = [seam?.a, seam?.b].find((ref) => ref && ref.panel !== panel.id);
    const cloth = clothOf(pattern.panels.find(({ id }) => id === other?.panel)?.fabric);
    const outline = panelOutline({ ...panel, edges: hole });
    return cloth ? [{ outline: [...outline].reverse(), cloth }] : [];
  });
  // What was put on last lies on top.
  return [...areas, ...letIn].reverse();
}
