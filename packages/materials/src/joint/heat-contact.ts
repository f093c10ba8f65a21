import { fail, type Issue } from "@peltry/issues";
import type { Caution } from "../entry/shared-types";
import type { MaterialEntry } from "../entry/types";
import { cautionsOf } from "../query/cautions";
import { findEntry, material, sourceOf, sourceText, entryOf } from "../query/catalogue";
import { requireWithin, shownText } from "../query/require";
import { resolveValue } from "../query/resolve-value";
import { heatLimits, type HeatLimit, type Side } from "./heat-limit";

/** Something hot: an iron or gun at a temperature, or a hot glue. */
export type HotWork =
  | { readonly iron: "low" | "medium" | "high" }
  | { readonly temperatureCel: number }
  | { readonly glue: string };

/** Whether a material stands something hot, on it or right beside it. */
export interface HeatAnswer {
  readonly answer: "within the limits known" | "test on an offcut" | "no" | "unknown";
  readonly temperatureCel: number;
  /** The limit that decides, with what sets it. */
  readonly limit?: HeatLimit;
  readonly cautions: readonly Caution[];
  readonly issues: readonly Issue[];
}

/**
 * °C of one, two and three dots.
 * @source ISO 3758:2012, from memory; the 2023 edition is reported 10 °C higher, so the care label decides
 */
const IRON = { low: 110, medium: 150, high: 200 } as const;

/**
 * Whether a material may be ironed, or have hot glue or hot air on it or right beside it.
 *
 * "No" when it would soften, melt or decompose, "test on an offcut" when it is above a limit for use, within 20 °C of
 * softening or of a known limit from memory, "unknown" when no limit is known. A pile is touched on its face.
 *
 * @param side which side is touched; the face by default
 * @throws `materials/unknown-material`, `materials/bad-measure`, `materials/not-hot` for a glue that is not applied hot
 */
export function heatContact(target: MaterialEntry | string, work: HotWork, side: Side = "face"): HeatAnswer {
  const entry = entryOf(target);
  const temperatureCel = temperatureOf(work);
  const limits = heatLimits(entry, side);
  const melts = limits.find((limit) => limit.softens && temperatureCel >= limit.value);
  const over = limits.find((limit) => !limit.softens && temperatureCel > limit.value);
  const near = limits.find((limit) => limit.softens && temperatureCel >= limit.value - 20);
  const relaxes = resolveValue(entry, "polymerSoftening");
  const careForbids = entry.care?.iron === "none" && "iron" in work;
  const decides = melts ?? over ?? near ?? limits[0];
  const answer =
    careForbids || melts
      ? "no"
      : limits.length === 0 && !relaxes
        ? "unknown"
        : over || near || (relaxes && temperatureCel >= relaxes.min) || decides?.grade === "M"
          ? "test on an offcut"
          : "within the limits known";
  return {
    answer,
    temperatureCel,
    ...(decides ? { limit: decides } : {}),
    cautions: cautionsOf([entry, ...("glue" in work ? [material(work.glue)] : [])]),
    issues: issuesOf(entry, temperatureCel, answer, decides, careForbids),
  };
}

/**
 * Whether `hot` may be worked right beside `neighbour`: the same question for the neighbour on both of its sides.
 *
 * @throws as {@link heatContact}
 */
export function heatBeside(neighbour: MaterialEntry | string, work: HotWork): HeatAnswer {
  const ORDER: readonly HeatAnswer["answer"][] = [
    "no",
    "unknown",
    "test on an offcut",
    "within the limits known",
  ];
  const entry = entryOf(neighbour);
  const [face, back] = [heatContact(entry, work, "face"), heatContact(entry, work, "back")];
  const hasBack = entry.fibres?.some(({ part }) => part === "backing") === true;
  return hasBack && ORDER.indexOf(back.answer) < ORDER.indexOf(face.answer) ? back : face;
}

function temperatureOf(work: HotWork): number {
  const refuse = (message: string, path: string[], fix: string): never =>
    fail("materials/bad-measure", message, { path }, { fix });
  if (typeof work !== "object" || work === null)
    return refuse("Nothing hot is given.", [], "Give an iron, temperatureCel or a glue.");
  if ("iron" in work) {
    if (typeof work.iron !== "string" || !Object.hasOwn(IRON, work.iron))
      refuse(`"${shownText(work.iron)}" is no setting of an iron.`, ["iron"], "low, medium or high.");
    return IRON[work.iron];
  }
  if ("temperatureCel" in work) return requireWithin("temperatureCel", work.temperatureCel, -50, 700);
  const glue = findEntry(work.glue) ?? material(work.glue);
  const applied = resolveValue(glue, "applicationTemperature");
  if (applied && applied.max > 60) return applied.max;
  return fail(
    "materials/not-hot",
    `${glue.name} is not applied hot, or at an unknown temperature.`,
    { material: glue.id },
    {
      fix: "Give temperatureCel from its label.",
    },
  );
}

function issuesOf(
  entry: MaterialEntry,
  temperature: number,
  answer: HeatAnswer["answer"],
  limit: HeatLimit | undefined,
  careForbids: boolean,
): Issue[] {
  if (answer === "within the limits known") return [];
  const at = { material: entry.id };
  if (answer === "unknown")
    return [
      {
        code: "materials/heat-unknown",
        severity: "warning",
        message: `${entry.name}: how much heat it stands is unknown.`,
        at,
        fix: "Try an offcut under a cloth, beginning cool; read the care label.",
      },
    ];
  const who = limit?.fibre === undefined ? entry.name : `${entry.name} (${limit.fibre})`;
  const reason = careForbids
    ? "its care says not to iron it"
    : limit
      ? `${who}: ${limit.softens ? "changes" : "is limited"} at ${limit.value} °C`
      : "its polymer relaxes below that";
  return [
    {
      code: answer === "no" ? "materials/too-hot" : "materials/heat-test",
      severity: "warning",
      message: `${entry.name} at ${temperature} °C: ${reason}.`,
      at,
      found: temperature,
      ...(limit ? { limit: limit.value, source: sourceText(sourceOf(entry, limit.source)) } : {}),
      fix:
        answer === "no"
          ? "Work without heat: sew it, or steam from a distance."
          : "Try an offcut at the lowest setting; the care label decides.",
    },
  ];
}
