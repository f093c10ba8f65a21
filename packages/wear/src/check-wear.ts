import { fail, type Issue } from "@peltry/issues";
import {
  checkMovement,
  checkPressure,
  POSES,
  PRESSURE_LIMITS,
  type MovementCase,
  type MovementNeed,
  type Pose,
  type PressureCheck,
} from "@peltry/measure";
import { cannotJudge, needList, needObject, type Finding, type Subject } from "./finding";
import { checkFooting, checkSight, type FootingCase, type SightCase } from "./footing";
import { checkHead, type HeadCase } from "./head-load";
import { checkHeat, type HeatCase } from "./heat";
import {
  checkChildren,
  checkDressing,
  checkFlame,
  checkToilet,
  type ChildrenCase,
  type DressingCase,
  type FlameCase,
} from "./people";

/** What a pose is judged by, and which places the costume reaches over; all of them where left out. */
export interface MovementThrough extends Omit<MovementCase, "pose"> {
  readonly covers?: readonly MovementNeed["place"][];
}

/** What is known of a costume and its day. Every part may be left out: then a finding says what cannot be judged. */
export interface WearCase {
  /** What the head bears; `none` where it bears nothing. */
  readonly head?: HeadCase | "none";
  readonly heat?: HeatCase;
  readonly sight?: SightCase;
  /** Shoes and covers; `none` where the costume leaves the feet alone. */
  readonly footing?: FootingCase | "none";
  /** Girths and stretch for sitting, crouching and striding, all three are tried; `none` where nothing covers hip and knee. */
  readonly movement?: MovementThrough | "none";
  /** Bands, sleeves and tubes that press; an empty list where there are none. */
  readonly pressure?: readonly PressureCheck[];
  readonly children?: ChildrenCase;
  readonly flame?: FlameCase;
  readonly dressing?: DressingCase;
  readonly toilet?: { readonly minutes: number; readonly alone?: boolean };
}

/** The caution that closes every set of findings. */
export const WEAR_CAUTION =
  "These figures screen; they do not clear a costume. Labels of the materials, the rules of the venue, local codes and licensed practice come first. Try everything on level ground with a helper before the day, and stop on pain, numbness, dizziness or short breath.";

/**
 * Checks a whole costume: what the head bears, heat, sight, footing, movement, pressure, children, flame, dressing and
 * toilet. What was not told comes back as a note.
 *
 * @returns findings: stops first, then cautions, then notes, each in the order of the subjects; last the general caution
 * @throws wear/not-a-costume, wear/bad-number, wear/unknown-word, measure/bad-number
 */
export function checkWear(costume: WearCase): Finding[] {
  if (typeof costume !== "object" || costume === null || Array.isArray(costume)) {
    fail(
      "wear/not-a-costume",
      "A costume to check is an object.",
      {},
      { found: costume === null ? "null" : typeof costume, fix: "Give { head, heat, footing, … }." },
    );
  }
  const stray = Object.keys(costume).filter((key) => !SUBJECTS.has(key));
  const found: Finding[] = [
    ...headFindings(costume),
    ...(costume.heat
      ? checkHeat(costume.heat)
      : [cannotJudge("heat", "heat", "Give air temperature, humidity, activity and cover.")]),
    ...(costume.sight
      ? checkSight(costume.sight)
      : [cannotJudge("sight", "sight", "Give eye height and the lowest angle that is seen.")]),
    ...(costume.footing
      ? costume.footing === "none"
        ? [leftAlone("footing", "The costume leaves the feet alone: wear shoes that you know.")]
        : checkFooting(costume.footing)
      : [cannotJudge("footing", "footing", "Give heel, sole and overhang.")]),
    ...(costume.movement
      ? costume.movement === "none"
        ? [leftAlone("movement", "Nothing lies over hip and knee.")]
        : movementFindings(costume.movement)
      : [
          cannotJudge(
            "movement",
            "sitting, crouching and striding",
            "Give knee girth, hip and the cloth's stretch.",
          ),
        ]),
    ...(costume.pressure
      ? pressureFindings(costume.pressure)
      : [cannotJudge("pressure", "how hard bands and sleeves press", "Give tension and girth of each.")]),
    ...(costume.children
      ? checkChildren(costume.children)
      : [cannotJudge("children", "cords and small parts", "Give the wearer's age.")]),
    ...checkFlame(costume.flame ?? {}),
    ...(costume.dressing
      ? checkDressing(costume.dressing)
      : [cannotJudge("dressing", "getting in and out", "Try it with a clock.")]),
    ...(costume.toilet
      ? checkToilet(costume.toilet)
      : [cannotJudge("toilet", "the toilet break", "Try it with a clock.")]),
    ...stray.map((key): Finding => ({
      subject: "all",
      level: "note",
      what: `“${key.slice(0, 40)}” is not something these checks know; it was not judged.`,
      source: "nothing given",
      fix: `Known: ${[...SUBJECTS].join(", ")}.`,
    })),
  ];
  const rank = { stop: 0, caution: 1, note: 2 } as const;
  const sorted = found
    .map((finding, index) => ({ finding, index }))
    .sort((p, q) => rank[p.finding.level] - rank[q.finding.level] || p.index - q.index);
  return [
    ...sorted.map((each) => each.finding),
    { subject: "all", level: "note", what: WEAR_CAUTION, source: "common practice" },
  ];
}

const SUBJECTS = new Set([
  "head",
  "heat",
  "sight",
  "footing",
  "movement",
  "pressure",
  "children",
  "flame",
  "dressing",
  "toilet",
]);

function leftAlone(subject: Subject, what: string): Finding {
  return { subject, level: "note", what, source: "as told" };
}

function headFindings({ head }: WearCase): Finding[] {
  if (head === undefined)
    return [cannotJudge("head load", "what the head bears", "List what is on the head, or say none.")];
  if (head === "none" || needList(needObject(head, "head").loads, "head.loads").length === 0)
    return [{ subject: "head load", level: "note", what: "The head bears nothing.", source: "as told" }];
  return checkHead(head);
}

/** One finding a place: the pose that lacks most there, and what the others lack. */
function movementFindings(given: MovementThrough): Finding[] {
  const { covers, ...movement } = needObject(given, "movement");
  needObject(movement.stretch, "movement.stretch");
  const worst = new Map<string, { pose: Pose; need: MovementNeed }[]>();
  for (const pose of Object.keys(POSES) as Pose[])
    for (const need of checkMovement({ ...movement, pose }).needs)
      if (need.short > 0.5 && (covers?.includes(need.place) ?? true))
        worst.set(need.place, [...(worst.get(need.place) ?? []), { pose, need }]);
  const findings = [...worst.values()].map((list): Finding => {
    const [first, ...others] = list.sort((p, q) => q.need.short - p.need.short);
    const { place, needed, fromStretch, fromEase, short } = first!.need;
    const less = others.map(({ pose, need }) => `${Math.round(need.short)} to ${pose}`).join(", ");
    return {
      subject: "movement",
      level: "caution",
      what: `The ${place} lacks ${Math.round(short)} mm to ${first!.pose}${less ? ` (${less})` : ""}: it will pull or ride up.`,
      figure: Math.round(fromStretch + fromEase),
      limit: Math.round(needed),
      unit: "mm",
      source: MOVEMENT_SOURCE,
      fix: `${Math.ceil(short)} mm more ease there is enough: a stretch panel or a gusset.`,
    };
  });
  if (findings.length > 0) return findings;
  return [
    {
      subject: "movement",
      level: "note",
      what: "Stretch and ease give enough length to sit, crouch and stride.",
      source: MOVEMENT_SOURCE,
    },
  ];
}

const MOVEMENT_SOURCE =
  "joint geometry derived in the measures package; near the skin strains of Kirk & Ibrahim 1966 (from memory)";

function pressureFindings(parts: readonly PressureCheck[]): Finding[] {
  return needList(parts, "pressure").flatMap((part): Finding[] => {
    const { bent, issues } = checkPressure(part);
    const narrow = part.bandWidth !== undefined && part.bandWidth < PRESSURE_LIMITS.narrowBandMm;
    const allDay = PRESSURE_LIMITS.allDay * (narrow ? 0.5 : 1);
    if (issues.length > 0)
      return issues.map((issue) => ({
        ...fromIssue("pressure", issue.severity === "error" ? "stop" : "caution", issue),
        unit: "mmHg",
        fix: `${Math.ceil(100 * (1 - allDay / bent.mmHg) + 1e-6)} % less tension would be enough for all day. ${issue.fix ?? ""}`.trim(),
      }));
    return [
      {
        subject: "pressure",
        level: "note",
        what: `${part.name ?? "The tube"} presses with ${bent.mmHg.toFixed(1)} mmHg (${bent.kPa.toFixed(2)} kPa).`,
        figure: Math.round(bent.mmHg * 10) / 10,
        limit: allDay,
        unit: "mmHg",
        source: `Laplace; limit of ${allDay} for all day${narrow ? " under a narrow band" : ""}: judgement under RAL-GZ 387 class I (18)`,
      },
    ];
  });
}

function fromIssue(subject: Subject, level: Finding["level"], issue: Issue): Finding {
  return {
    subject,
    level,
    what: issue.message,
    ...(issue.found === undefined ? {} : { figure: issue.found }),
    ...(issue.limit === undefined ? {} : { limit: issue.limit }),
    unit: "mm",
    source: issue.source ?? "derived in the measures package",
    ...(issue.fix === undefined ? {} : { fix: issue.fix }),
  };
}
