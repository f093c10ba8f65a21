import type { Point3 } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import { seamLetter, type Edge, type Panel, type Pattern, type Seam } from "@peltry/pattern";
import type { Form } from "../types";
import type { WornPiece } from "./worn-piece";

/** Something that goes into a part, with how much of it and what it weighs. */
export interface PartNeed {
  /** Which layer it is, such as `skin`, `stuffing`, `core wire`. */
  readonly layer: string;
  /** mm² of sheet, mm³ of bulk, mm of wire, yarn or tape, or pieces. */
  readonly amount: number;
  readonly unit: "mm2" | "mm3" | "mm" | "pieces";
  readonly massG: number;
  /** Least and most mass for the usual range of that material, g. */
  readonly massRangeG: readonly [number, number];
  /** Where the density comes from. */
  readonly source: string;
}

/** A part of a costume: one of a pair where `copies` is 2. */
export interface MadePart {
  readonly name: string;
  /** The surface with its seams as drawn lines, where it has one that a flattener could do better. */
  readonly form?: Form;
  /** Its panels where they lie on the finished part, one hand of a pair; stuffing, bulk and discs inside are left out. */
  readonly worn: readonly WornPiece[];
  /** Complete small pattern: panels, seams with letters. Pairs by count and mirrored copies. */
  readonly pattern: Pattern;
  readonly needs: readonly PartNeed[];
  /** 1, or 2 for a symmetric pair; all other figures are of one. */
  readonly copies: 1 | 2;
  /** Mass of one, g, with its likely range. Without glue, thread and paint. */
  readonly massG: number;
  readonly massRangeG: readonly [number, number];
  /** Centre of mass of one in the part's own frame, mm: base at the origin, y away from it, z forward, +x outward. */
  readonly centreOfMass: Point3;
  readonly issues: readonly Issue[];
}

/** One need from an amount and the density range of its material (per mm, mm² or mm³). */
export function need(
  layer: string,
  amount: number,
  unit: PartNeed["unit"],
  density: { readonly low: number; readonly high: number; readonly source: string },
): PartNeed {
  return {
    layer,
    amount,
    unit,
    massG: (amount * (density.low + density.high)) / 2,
    massRangeG: [amount * density.low, amount * density.high],
    source: density.source,
  };
}

/** Sums of a list of needs. */
export function totalMass(needs: readonly PartNeed[]): {
  massG: number;
  massRangeG: readonly [number, number];
} {
  let [massG, low, high] = [0, 0, 0];
  for (const each of needs) {
    massG += each.massG;
    low += each.massRangeG[0];
    high += each.massRangeG[1];
  }
  return { massG, massRangeG: [low, high] };
}

/** Two edges to be sewn, as `panel/edge`. */
export interface Join {
  readonly a: readonly [panel: string, edge: string];
  readonly b: readonly [panel: string, edge: string];
  readonly note?: string;
  readonly hand?: boolean;
  /** False where both sides run the same way. */
  readonly reversed?: boolean;
}

/** A pattern of panels with the joins written into their edges, lettered in order. */
export function sewTogether(name: string, panels: readonly Panel[], joins: readonly Join[]): Pattern {
  const seamOf = new Map<string, string>();
  const seams = joins.map((join, index): Seam => {
    const letter = seamLetter(index);
    const id = `seam-${letter.toLowerCase()}`;
    seamOf.set(join.a.join("/"), id).set(join.b.join("/"), id);
    return {
      id,
      letter,
      a: { panel: join.a[0], edge: join.a[1] },
      b: { panel: join.b[0], edge: join.b[1] },
      reversed: join.reversed ?? true,
      matchPoints: [],
      ...(join.note ? { note: join.note } : {}),
      ...(join.hand === undefined ? {} : { hand: join.hand }),
    };
  });
  const fabrics = [...new Set(panels.map((panel) => panel.fabric))].map((id) => ({ id, name: id }));
  return {
    format: "peltry-pattern",
    version: 1,
    name,
    panels: panels.map((panel) => ({
      ...panel,
      edges: panel.edges.map((edge): Edge => {
        const seam = seamOf.get(`${panel.id}/${edge.id}`);
        return seam ? { ...edge, role: "seam", seam } : edge;
      }),
    })),
    seams,
    fabrics,
  };
}

/** A plain panel: no darts, no markings, cut once. */
export function plainPanel(given: Pick<Panel, "id" | "name" | "fabric" | "edges"> & Partial<Panel>): Panel {
  return { darts: [], markings: [], count: 1, mirrored: false, ...given };
}
