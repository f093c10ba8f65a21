import { addAllowance, type Cloth as ClothKind, type PanelAllowance } from "@peltry/allowance";
import type { Pattern } from "@peltry/pattern";
import type { Project } from "../project/schema";
import type { Cloth } from "./resolve-cloth";

/** Allowance of a panel that is fitted in after a try-on, mm. Common practice, no source. */
const LONE_MM = 10;

/** Allowance of every panel, by panel id. */
export function addAllowances(
  pattern: Pattern,
  project: Project,
  cloths: ReadonlyMap<string, Cloth>,
): Map<string, PanelAllowance> {
  const hems = new Map(project.parts.map((part) => [part.id, part.hemMm]));
  const made = new Map<string, PanelAllowance>();
  for (const panel of pattern.panels) {
    const cloth = cloths.get(panel.fabric);
    const part = project.parts.find((each) => panel.id.startsWith(`${each.id}-`));
    const seam = cloth?.fabric.seamAllowanceMm ?? project.allowance?.seamMm;
    const hem = hems.get(part?.id ?? "") ?? project.allowance?.hemMm;
    // A panel of raw edges only, such as a sole, is sewn in all the same.
    const alone = panel.edges.every((edge) => edge.role === "raw");
    made.set(
      panel.id,
      addAllowance(panel, {
        cloth: cloth ? clothKind(cloth) : "woven",
        ...(cloth && cloth.pileMm > 0 ? { pileMm: cloth.pileMm } : {}),
        roles: {
          ...(seam === undefined ? {} : { seam, dart: seam }),
          ...(hem === undefined ? {} : { hem }),
          ...(alone ? { raw: seam ?? LONE_MM } : {}),
        },
      }),
    );
  }
  return made;
}

function clothKind(cloth: Cloth): ClothKind {
  if (cloth.hasPile) return "pile";
  if (cloth.entry.family.startsWith("foam")) return "foam";
  return cloth.behaviour.across.max > 0.05 ? "knit" : "woven";
}
