import { cannotJudge, needNumber, needObject, needWord, roundUp, tenth, type Finding } from "./finding";

/** How hard the wearer works, by the classes of the screening table. */
export type WorkClass = "light" | "moderate" | "heavy" | "very heavy";

/** Share of an hour that may be worked: 0.75 to 1, 0.5 to 0.75, 0.25 to 0.5, 0 to 0.25, or none. */
export type WorkShare = "75-100" | "50-75" | "25-50" | "0-25" | "none";

const SHARES = ["75-100", "50-75", "25-50", "0-25"] as const;
const NONE = Number.NEGATIVE_INFINITY;

/** Screening limits of WBGT, °C, by share of the hour worked. @source NIOSH 2016-106 / ACGIH table as reproduced by OSHA */
export const WBGT_LIMITS: Readonly<
  Record<"acclimatised" | "not acclimatised", Readonly<Record<WorkClass, readonly number[]>>>
> = {
  "not acclimatised": {
    light: [28, 28.5, 29.5, 30],
    moderate: [25, 26, 27, 29],
    heavy: [NONE, 24, 25.5, 28],
    "very heavy": [NONE, NONE, 24.5, 27],
  },
  acclimatised: {
    light: [31, 31, 32, 32.5],
    moderate: [28, 29, 30, 31.5],
    heavy: [NONE, 27.5, 29, 30.5],
    "very heavy": [NONE, NONE, 28, 30],
  },
};

/** Metabolic rate of the classes, W. @source same table */
export const WORK_WATTS: Readonly<Record<WorkClass, number>> = {
  light: 180,
  moderate: 300,
  heavy: 415,
  "very heavy": 520,
};

const TABLE = "WBGT screening table of NIOSH 2016-106 / ACGIH as reproduced by OSHA";

/**
 * Share of the hour that the table lets be worked.
 *
 * @param wbgtC clothing adjustment included, °C
 * @throws wear/bad-number, wear/unknown-word
 * @source NIOSH 2016-106 / ACGIH table as reproduced by OSHA
 */
export function workShare(wbgtC: number, work: WorkClass, acclimatised = false): WorkShare {
  needNumber(wbgtC, "heat.wbgtC", -100, 200);
  needWord(work, "heat.activity", Object.keys(WORK_WATTS) as WorkClass[]);
  const row = WBGT_LIMITS[acclimatised ? "acclimatised" : "not acclimatised"][work];
  // Sums of tenths of a degree shall not miss a limit by their last bit.
  const column = row.findIndex((limit) => wbgtC <= limit + 1e-9);
  return column < 0 ? "none" : SHARES[column]!;
}

/** What is added for clothing, °C, low to high. */
export const CLOTHING_ADJUSTMENT = Object.freeze({
  cloth: { range: [0, 0], source: "cloth coverall: NIOSH / ACGIH" },
  legs: {
    range: [3, 6],
    source: "padded legs: judgement; double-layer cloth is +3 in the NIOSH / ACGIH table",
  },
  body: {
    range: [6, 11],
    source: "full body over foam: judgement between double layer +3 and vapour barrier +11 of NIOSH / ACGIH",
  },
  "body and head": {
    range: [6, 11],
    source:
      "full body over foam: judgement; +11 is a vapour barrier without a closed hood: a closed head lies outside the table",
  },
} as const);

/** Air, sun, activity and cover. */
export interface HeatCase {
  /** WBGT as measured, °C; or from the temperatures below. */
  readonly wbgtC?: number;
  readonly airC?: number;
  /** Black-globe temperature, °C. Indoors without radiant heat the air may stand for it. */
  readonly globeC?: number;
  /** Natural wet bulb, °C; or relative humidity, %. */
  readonly wetBulbC?: number;
  readonly humidityPercent?: number;
  readonly sun?: boolean;
  readonly activity?: WorkClass;
  readonly acclimatised?: boolean;
  readonly cover?: keyof typeof CLOTHING_ADJUSTMENT;
}

/**
 * WBGT, °C: 0.7 Tnw + 0.3 Tg indoors, 0.7 Tnw + 0.2 Tg + 0.1 Ta in the sun.
 *
 * @throws wear/bad-number
 * @source ISO 7243 (from memory)
 */
export function wbgt(wetBulbC: number, globeC: number, sunAirC?: number): number {
  needNumber(wetBulbC, "heat.wetBulbC", -40, 60);
  needNumber(globeC, "heat.globeC", -40, 120);
  if (sunAirC === undefined) return 0.7 * wetBulbC + 0.3 * globeC;
  return 0.7 * wetBulbC + 0.2 * globeC + 0.1 * needNumber(sunAirC, "heat.airC", -40, 60);
}

/**
 * Wet-bulb temperature, °C, from air temperature and relative humidity. Standard pressure.
 *
 * @throws wear/bad-number outside −20 to 50 °C and 5 to 99 %
 * @source R. Stull 2011, J. Appl. Meteorol. Climatol. 50:2267 (formula from memory; its own check: 20 °C, 50 % gives 13.7)
 */
export function wetBulb(airC: number, humidityPercent: number): number {
  const T = needNumber(airC, "heat.airC", -20, 50);
  const H = needNumber(humidityPercent, "heat.humidityPercent", 5, 99);
  return (
    T * Math.atan(0.151977 * Math.sqrt(H + 8.313659)) +
    Math.atan(T + H) -
    Math.atan(H - 1.676331) +
    0.00391838 * H * Math.sqrt(H) * Math.atan(0.023101 * H) -
    4.686035
  );
}

/** WBGT as a range; or what is missing for it, or why the formula does not hold. */
function wbgtRange(
  heat: HeatCase,
): { range: [number, number]; how: string } | { missing: string; outside?: string } {
  for (const key of ["airC", "globeC", "wetBulbC", "wbgtC"] as const)
    if (heat[key] !== undefined) needNumber(heat[key], `heat.${key}`, -100, 200);
  if (heat.humidityPercent !== undefined) needNumber(heat.humidityPercent, "heat.humidityPercent", 0, 100);
  if (heat.wbgtC !== undefined) {
    const given = needNumber(heat.wbgtC, "heat.wbgtC", -40, 60);
    return { range: [given, given], how: "as measured" };
  }
  const { airC, humidityPercent } = heat;
  const globe = heat.globeC ?? (heat.sun ? undefined : airC);
  if (globe === undefined)
    return { missing: heat.sun ? "the globe temperature in the sun" : "the air temperature" };
  if (heat.wetBulbC === undefined) {
    if (airC !== undefined && !(airC >= -20 && airC <= 50))
      return {
        missing: "the natural wet bulb",
        outside: `air of ${airC} °C lies outside the wet-bulb formula, which holds from −20 to 50 °C`,
      };
    if (humidityPercent !== undefined && !(humidityPercent >= 5 && humidityPercent <= 99))
      return {
        missing: "the natural wet bulb",
        outside: `humidity of ${humidityPercent} % lies outside the wet-bulb formula, which holds from 5 to 99 %`,
      };
  }
  const wets =
    heat.wetBulbC !== undefined
      ? [heat.wetBulbC]
      : airC === undefined
        ? []
        : heat.humidityPercent !== undefined
          ? [wetBulb(airC, heat.humidityPercent)]
          : [wetBulb(airC, 30), wetBulb(airC, 90)];
  if (wets.length === 0 || (heat.sun && airC === undefined)) return { missing: "the air temperature" };
  const all = wets.map((wet) => wbgt(wet, globe, heat.sun ? airC : undefined));
  return {
    range: [all[0]!, all[all.length - 1]!],
    how:
      heat.wetBulbC !== undefined
        ? "from wet bulb and globe"
        : heat.humidityPercent !== undefined
          ? "from air and humidity (the wet bulb in moving air stands for the natural one)"
          : "from air alone, humidity taken as 30 to 90 %",
  };
}

/** Minutes of rest in an hour by share worked. */
const REST: Readonly<Record<WorkShare, string>> = {
  "75-100": "0 to 15",
  "50-75": "15 to 30",
  "25-50": "30 to 45",
  "0-25": "45 to 60",
  none: "all 60",
};

/** What would bring the worst end of the range to half an hour's work or more; nothing where it is there already. */
function enoughCooling(
  { acclimatised }: HeatCase,
  activity: WorkClass,
  high: number,
  limit: number | undefined,
): string | undefined {
  if (limit !== undefined && high <= limit + 1e-9) return undefined;
  const classes = Object.keys(WORK_WATTS) as WorkClass[];
  const lighter = classes
    .slice(0, classes.indexOf(activity))
    .reverse()
    .find((each) => ["75-100", "50-75"].includes(workShare(high, each, acclimatised)));
  const ways = [
    ...(limit === undefined ? [] : [`${roundUp(high - limit, 0.1)} °C cooler`]),
    ...(lighter === undefined ? [] : [`${lighter} activity`]),
  ];
  const first = ways.length > 0 ? `${ways.join(", or ")} would be enough at worst.` : "";
  const second =
    limit === undefined
      ? `At ${activity} activity the table never lets more than half of an hour be worked.`
      : "";
  return `${second} ${first}`.trim().replace(/^./, (letter) => letter.toUpperCase());
}

/** Findings on heat: how much of an hour the table lets be worked, as a range. @throws wear/bad-number, wear/unknown-word */
export function checkHeat(heat: HeatCase): Finding[] {
  const climate = wbgtRange(needObject(heat, "heat"));
  if ("missing" in climate)
    return [
      {
        ...cannotJudge(
          "heat",
          "the heat",
          `Give ${climate.missing}, or a measured WBGT.`,
          climate.outside ?? `${climate.missing} was not told`,
        ),
        source: climate.outside
          ? "Stull 2011, J. Appl. Meteorol. Climatol. 50:2267 (range from memory)"
          : "ISO 7243 (from memory)",
      },
    ];
  if (heat.cover === undefined)
    return [
      cannotJudge(
        "heat",
        "the heat",
        "Say how much of the body is covered: cloth, legs, body, or body and head.",
      ),
    ];
  const cover = needWord(
    heat.cover,
    "heat.cover",
    Object.keys(CLOTHING_ADJUSTMENT) as (keyof typeof CLOTHING_ADJUSTMENT)[],
  );
  const activity = heat.activity ?? "moderate";
  const adjust = CLOTHING_ADJUSTMENT[cover];
  const low = climate.range[0] + adjust.range[0];
  const high = climate.range[1] + adjust.range[1];
  const [best, worst] = [low, high].map((value) => workShare(value, activity, heat.acclimatised)) as [
    WorkShare,
    WorkShare,
  ];
  const row = WBGT_LIMITS[heat.acclimatised ? "acclimatised" : "not acclimatised"][activity];
  const half = Math.max(...row.slice(0, 2));
  // So heavy that the table never lets more than half an hour be worked: its coolest column is the limit.
  const never = half === NONE;
  const comfortable = never ? row[2]! : half;
  const level =
    best === "none" ? "stop" : worst === "none" || worst === "0-25" || worst === "25-50" ? "caution" : "note";
  const mend = enoughCooling(heat, activity, high, never ? undefined : comfortable);
  const shares = best === worst ? `${best} %` : `${worst === "none" ? "none" : `${worst} %`} to ${best} %`;
  const findings: Finding[] = [
    {
      subject: "heat",
      level,
      what: `WBGT with clothing ${tenth(low)} to ${tenth(high)} °C (${climate.how}; +${adjust.range.join(" to +")} for the costume). ${activity[0]!.toUpperCase()}${activity.slice(1)} work, ${heat.acclimatised ? "used to heat" : "not used to heat"}: ${best === "none" ? "the table allows no work" : `the table allows ${shares} of each hour, rest ${best === worst ? REST[best] : `${REST[best]}, at worst ${REST[worst]},`} min`}${heat.activity ? "" : " (moderate activity assumed)"}.`,
      figure: tenth(high),
      limit: comfortable,
      unit: "°C",
      source: `${TABLE}; ${adjust.source}`,
      fix:
        mend !== undefined
          ? `${mend} Open vents and spacer mesh help, by how much is not known. Rest in the shade with the costume open, drink, go with someone who watches you; dizziness, headache or no more sweating: out of the costume at once and get help.`
          : "Keep water and a place to open the costume at hand; go with someone who watches you.",
    },
  ];
  if (cover === "body and head")
    findings.push({
      subject: "heat",
      level: "caution",
      what: "The table is not made for a closed head: the true strain is higher than this range.",
      source: "NIOSH / ACGIH clothing adjustments hold without a hood",
      fix: "Take the head off in every rest; plan shorter turns than the table gives.",
    });
  if (high < 10)
    findings.push({
      subject: "heat",
      level: "note",
      what: "The table says nothing about cold: sweat that chills in the rests is not judged here.",
      source: "outside the table",
      fix: "A dry layer and a blanket for the rests.",
    });
  return findings;
}
