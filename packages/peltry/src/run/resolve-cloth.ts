import type { Issue } from "@peltry/issues";
import { CLOTH_FAMILIES, fabricBehaviour, material, type MaterialEntry } from "@peltry/materials";
import type { FabricBehaviour } from "@peltry/pattern";
import type { ReadProject } from "../project/read-project";
import type { ProjectFabric } from "../project/schema";
import { located } from "./located";

/** A fabric of the project with what its material can do. */
export interface Cloth {
  readonly id: string;
  readonly name: string;
  readonly fabric: ProjectFabric;
  readonly entry: MaterialEntry;
  readonly behaviour: FabricBehaviour;
  /** mm; 0 for a cloth without pile. */
  readonly pileMm: number;
  readonly hasPile: boolean;
  /** False for foam, board and whatever else is cut but not draped. */
  readonly isCloth: boolean;
  /** True where it stretches markedly more across than along. */
  readonly stretchesAcross: boolean;
  readonly issues: readonly Issue[];
}

/** What is not draped does not give either. */
const STIFF = {
  along: { max: 0, min: 0 },
  across: { max: 0, min: 0 },
  shear: { max: 0, min: 0 },
  issues: [],
};

/** Every fabric of the project, looked up in the catalogue. Hand-tested figures of the project go first. */
export function resolveCloths(read: ReadProject): Map<string, Cloth> {
  const cloths = new Map<string, Cloth>();
  for (const [id, fabric] of Object.entries(read.project.fabrics)) {
    const path = ["fabrics", id, "material"];
    const entry = located(read, path, () => material(fabric.material));
    const isCloth = (CLOTH_FAMILIES as readonly string[]).includes(entry.family);
    const found = located(read, path, () =>
      !isCloth
        ? STIFF
        : fabricBehaviour(entry, {
            measured: {
              ...(fabric.stretchAlongPercent === undefined
                ? {}
                : { alongPercent: fabric.stretchAlongPercent }),
              ...(fabric.stretchAcrossPercent === undefined
                ? {}
                : { acrossPercent: fabric.stretchAcrossPercent }),
            },
          }),
    );
    const easeIn = fabric.easeInPercent === undefined ? undefined : -fabric.easeInPercent / 100;
    const behaviour: FabricBehaviour = {
      along: { ...found.along, min: easeIn ?? found.along.min },
      across: { ...found.across, min: easeIn ?? found.across.min },
      shear: found.shear,
    };
    const pileMm = fabric.pileLengthMm ?? pileLength(entry);
    cloths.set(id, {
      id,
      name: fabric.name,
      fabric,
      entry,
      behaviour,
      pileMm,
      isCloth,
      hasPile: pileMm > 0 || entry.family === "pile-fabric",
      stretchesAcross: behaviour.across.max > 1.5 * behaviour.along.max && behaviour.across.max > 0.05,
      issues: found.issues.map((issue) => {
        const { path: _path, ...at } = issue.at;
        const direction = /along/i.test(issue.message) ? "stretchAlongPercent" : "stretchAcrossPercent";
        const fix =
          "Pull 100 mm of your own cloth firmly and write what it gains, in percent, into the project: " +
          direction +
          ".";
        return {
          ...issue,
          at: { ...at, ...read.place(path), path: ["fabrics", id] },
          ...(issue.code.includes("stretch") ? { fix } : {}),
        };
      }),
    });
  }
  return cloths;
}

function pileLength(entry: MaterialEntry): number {
  const values = entry.values.pileLength ?? [];
  const best = values[0];
  return (
    best?.typical ?? (best?.min !== undefined && best?.max !== undefined ? (best.min + best.max) / 2 : 0)
  );
}
