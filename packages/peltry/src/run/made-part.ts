import type { PanelStrain, FlatCertificate, PanelGrain } from "@peltry/flatten";
import type { MadePart as BuiltPart } from "@peltry/forms";
import type { Point3, TriangleMesh } from "@peltry/geometry";
import type { Issue } from "@peltry/issues";
import type { Pattern } from "@peltry/pattern";
import type { ProjectPart } from "../project/schema";
import type { FittedClosure } from "./fitted-closure";
import type { Cloth } from "./resolve-cloth";

/** A panel where it lies on the worn part. */
export interface WornPanel {
  /** Id in the pattern; absent where no panel covers the surface, such as one wound with yarn. */
  readonly panel?: string;
  readonly name: string;
  /** mm, y up. */
  readonly mesh: TriangleMesh;
  /** x and y of each vertex in the flat, mm. */
  readonly flat: Float64Array;
  /** Its cloth; absent for yarn that is no fabric of the project. */
  readonly cloth?: Cloth;
  /** What the flattener measured; absent where the panel was drawn by rule. */
  readonly measured?: {
    readonly strain: PanelStrain;
    readonly certificate: FlatCertificate;
    readonly grain: PanelGrain;
  };
}

/** A part of the costume, from its surface to its panels. */
export interface MadePart {
  readonly part: ProjectPart;
  readonly pattern: Pattern;
  readonly worn: readonly WornPanel[];
  /** Seams on the worn part, for pictures. */
  readonly seamLines: readonly (readonly Point3[])[];
  /** Largest difference between the two sides of a seam, mm, and spots of the flat that are turned over or cross. */
  readonly worstSeamMm: number;
  readonly flips: number;
  readonly overlaps: number;
  /** Needs, mass and what hangs on the kind of a part that was drawn by rule. */
  readonly built?: BuiltPart;
  readonly closures?: readonly FittedClosure[];
  readonly issues: readonly Issue[];
}
