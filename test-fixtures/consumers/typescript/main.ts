import { addAllowance, type PanelAllowance } from "@peltry/allowance";
import { flatten, type FlatPanel } from "@peltry/flatten";
import { readMesh } from "@peltry/forms";
import type { Point, TriangleMesh } from "@peltry/geometry";
import { isPeltryError, type Issue } from "@peltry/issues";
import { layOut, type Layout } from "@peltry/layout";
import { material } from "@peltry/materials";
import { readMaterial } from "@peltry/materials/schema";
import { completeMeasures } from "@peltry/measure";
import { evaluateFormula } from "@peltry/measure/formula";
import { edgesFromOutline, type Pattern } from "@peltry/pattern";
import { readPattern } from "@peltry/pattern/schema";
import { writePdf } from "@peltry/print";
import { planSeams } from "@peltry/seams";

const square: Point[] = [
  [0, 0],
  [100, 0],
  [100, 100],
];
export const cut: PanelAllowance = addAllowance(edgesFromOutline(square), 10);
export const mesh: TriangleMesh = readMesh(new Uint8Array(8)).mesh;
export const flat: FlatPanel = flatten(mesh);
export const layout: Layout = layOut([{ id: "a", outline: square }], [{ id: "p", width: 200, length: 200 }]);
export const pattern: Pattern = readPattern("{}");
export const bytes: Promise<Uint8Array> = writePdf(pattern);
export const known = [completeMeasures({ hip: 1000 }), material("felt-wool"), readMaterial("{}"), planSeams];
export const half: number = evaluateFormula("hip / 2", { hip: 1000 });
// @ts-expect-error a text is no outline: the types are there and say so
addAllowance("square", 10);
export function issuesOf(error: unknown): readonly Issue[] {
  return isPeltryError(error) ? error.issues : [];
}
