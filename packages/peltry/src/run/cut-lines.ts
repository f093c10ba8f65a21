import { addAllowance, type Cloth as ClothKind, type PanelAllowance } from "@peltry/allowance";
import { TUFT_ROOT, TUFT_ROOT_MM } from "@peltry/forms";
import type { Pattern } from "@peltry/pattern";
import type { Project } from "../project/schema";
import { TURN_IN_MM } from "./fitted-closure";
import type { MadePart } from "./made-part";
import type { Cloth } from "./resolve-cloth";

/** Allowance of a panel that is fitted in after a try-on, mm. Common practice, no source. */
const LONE_MM = 10;
/** Turned under at the base of a horn, mm. Common practice, no source. */
const HORN_HEM_MM = 10;

/** Allowance of every panel, by panel id. */
export function addAllowances(
  pattern: Pattern,
  project: Project,
  cloths: ReadonlyMap<string, Cloth>,
  parts: readonly MadePart[],
): Map<string, PanelAllowance> {
  const made = new Map<string, PanelAllowance>();
  for (const panel of pattern.panels) {
    const cloth = cloths.get(panel.fabric);
    const part = partOf(panel.id, project);
    const seam = part?.seamMm ?? cloth?.fabric.seamAllowanceMm ?? project.allowance?.seamMm;
    const hem = part?.hemMm ?? (part?.kind === "horn" ? HORN_HEM_MM : project.allowance?.hemMm);
    // A panel of raw edges only, such as a gusset, is sewn in all the same; foam and board are cut as drawn.
    const stiff = panel.layer === "padding" || panel.layer === "facing";
    const tuft = panel.edges[0]?.id === TUFT_ROOT;
    const alone = !stiff && !tuft && panel.edges.every((edge) => edge.role === "raw");
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
        edges: { ...underlaps(panel.id, parts), ...(tuft ? { [TUFT_ROOT]: TUFT_ROOT_MM } : {}) },
      }),
    );
  }
  return made;
}

/** What reaches under a closure, and its turn-in, by edge. */
function underlaps(panel: string, parts: readonly MadePart[]): Record<string, number> {
  return Object.fromEntries(
    parts.flatMap(({ closures = [] }) =>
      closures.flatMap(({ stretches, extension }) =>
        stretches.flatMap(({ under }) =>
          under.panel === panel && extension > 0 ? [[under.edge, extension + TURN_IN_MM]] : [],
        ),
      ),
    ),
  );
}

/** The part that a panel belongs to: its id begins with the part's; of two such parts, that of the longer id. */
function partOf(panel: string, project: Project): Project["parts"][number] | undefined {
  return project.parts
    .filter((each) => panel.startsWith(`${each.id}-`))
    .sort((a, b) => b.id.length - a.id.length)[0];
}

function clothKind(cloth: Cloth): ClothKind {
  if (cloth.hasPile) return "pile";
  if (cloth.entry.family.startsWith("foam")) return "foam";
  return cloth.behaviour.across.max > 0.05 ? "knit" : "woven";
}
