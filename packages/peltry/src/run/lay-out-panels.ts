import type { PanelAllowance } from "@peltry/allowance";
import type { WorkOptions } from "@peltry/issues";
import { layOut, type FabricPiece, type Layout, type LayoutPanel } from "@peltry/layout";
import { parseLength } from "@peltry/measure";
import type { Pattern } from "@peltry/pattern";
import type { ReadProject } from "../project/read-project";
import { located } from "./located";
import type { Cloth } from "./resolve-cloth";

/** Positions that may be tried: a good answer within seconds, the same on every machine. */
const EVALUATIONS = 400_000;
/** Cloth between two cut lines, so that a blade or scissors pass: common practice, no source. */
const GAP_MM = 4;
const EDGE_MM = 5;

/** Places every panel on the fabric pieces that the project lists, and says what to buy for the rest. */
export function layOutPanels(
  read: ReadProject,
  pattern: Pattern,
  allowances: ReadonlyMap<string, PanelAllowance>,
  cloths: ReadonlyMap<string, Cloth>,
  work: WorkOptions = {},
): Layout {
  const pieces = fabricPieces(read);
  const panels = pattern.panels.map((panel): LayoutPanel => {
    const cloth = cloths.get(panel.fabric)!;
    const direction = panel.pile ?? panel.grain;
    return {
      id: panel.id,
      name: panel.name,
      outline: allowances.get(panel.id)!.cutLine,
      fabric: panel.fabric,
      rotations: cloth.hasPile ? [0] : direction === undefined ? "free" : [0, 180],
      ...(direction === undefined ? {} : { napAngle: direction }),
      count: panel.count,
      mirrored: panel.mirrored,
    };
  });
  const options = read.project.layout ?? {};
  return layOut(panels, pieces, {
    gap: options.gapMm ?? GAP_MM,
    edgeGap: options.edgeMm ?? EDGE_MM,
    seed: 1,
    evaluations: EVALUATIONS,
    ...work,
  });
}

function fabricPieces(read: ReadProject): FabricPiece[] {
  return Object.entries(read.project.fabrics).flatMap(([fabric, { pieces }]) =>
    pieces.map((piece, i): FabricPiece => {
      const path = ["fabrics", fabric, "pieces", i];
      const length = (key: "widthMm" | "lengthMm"): number | undefined =>
        piece[key] === undefined ? undefined : located(read, [...path, key], () => asMm(piece[key]!));
      const [width, long] = [length("widthMm"), length("lengthMm")];
      const about = { id: `${fabric}/${piece.id}`, name: piece.name ?? piece.id, fabric };
      const pileAngle = piece.pileDeg ?? -90;
      if (piece.outlineMm) {
        return {
          ...about,
          outline: piece.outlineMm,
          napAngle: pileAngle,
          ...(piece.holesMm ? { holes: piece.holesMm } : {}),
        };
      }
      if (piece.costPerMetre !== undefined && width !== undefined) {
        return {
          ...about,
          roll: {
            width,
            costPerMetre: piece.costPerMetre,
            ...(long === undefined ? {} : { maxLength: long }),
          },
        };
      }
      return {
        ...about,
        ...(width === undefined ? {} : { width }),
        ...(long === undefined ? {} : { length: long }),
        ...(piece.holesMm ? { holes: piece.holesMm } : {}),
      };
    }),
  );
}

/** A number is mm already; a text carries its unit. */
export function asMm(value: number | string): number {
  return typeof value === "number" ? value : parseLength(value);
}
