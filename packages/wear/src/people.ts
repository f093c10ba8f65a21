import { cannotJudge, needList, needNumber, needObject, needWord, roundUp, type Finding } from "./finding";

/** A cord, where it hangs and how long it is, mm. */
export interface Cord {
  readonly name: string;
  readonly zone: "hood or neck" | "waist" | "hem" | "sleeve" | "back";
  /** Length of the free end, mm; 0 for none. */
  readonly freeEndMm: number;
  /** Circumference of a fixed loop, mm. */
  readonly loopMm?: number;
}

/** Age of the child, cords, small parts. */
export interface ChildrenCase {
  /** Age of the wearer, years; and whether the costume is only worn on a stage. */
  readonly age: number;
  readonly stage?: boolean;
  readonly cords?: readonly Cord[];
  /** Things that could come off, with their three sizes, mm. */
  readonly smallParts?: readonly {
    readonly name: string;
    readonly sizeMm: readonly [number, number, number];
  }[];
}

const EN14682 =
  "EN 14682 as summarised by the Finnish safety authority; scope: costumes to 14 years, not those for stage use";

/**
 * Whether a box of these sizes goes into the small-parts cylinder: its two smaller sides within a circle of 31.7 mm, the
 * longest within the slanted depth. `maybe` between the depths of 25.4 and 57.1 mm.
 *
 * @throws wear/bad-number
 * @source 16 CFR 1501 and EN 71-1 (from memory)
 */
export function fitsSmallParts(sizeMm: readonly [number, number, number]): "yes" | "maybe" | "no" {
  const [a, b, c] = [0, 1, 2]
    .map((k) => needNumber(sizeMm?.[k], `sizeMm.${k}`, 0, 1e4))
    .sort((p, q) => p - q) as [number, number, number];
  if (Math.hypot(a, b) > 31.7 || c > 57.1) return "no";
  return c <= 25.4 ? "yes" : "maybe";
}

/** Findings on cords and small parts. @throws wear/bad-number, wear/unknown-word, wear/not-a-costume */
export function checkChildren(given: ChildrenCase): Finding[] {
  needObject(given, "children");
  const age = needNumber(given.age, "children.age", 0, 120);
  const findings: Finding[] = [];
  for (const cord of needList(given.cords ?? [], "children.cords"))
    findings.push(...cordFindings(cord, age, given.stage ?? false));
  for (const part of needList(given.smallParts ?? [], "children.smallParts")) {
    const fits = fitsSmallParts(part.sizeMm);
    if (fits === "no") continue;
    findings.push({
      subject: "children",
      level: age < 3 ? "stop" : age < 6 ? "caution" : "note",
      what: `${part.name} ${fits === "yes" ? "fits" : "may fit"} the small-parts cylinder: it can be choked on where it comes off.`,
      figure: part.sizeMm.join(" × "),
      limit: "31.7 across, 25.4 to 57.1 deep",
      unit: "mm",
      source: "16 CFR 1501, EN 71-1 (from memory); for children under 3",
      fix: `${Math.floor(57.1 - Math.max(...part.sizeMm)) + 1} mm longer is enough, or so thick that it stays in a ring of 31.7 mm; else sew it so that it cannot be pulled off, and keep it from small children.`,
    });
  }
  if (age < 14 && given.cords === undefined)
    findings.push(
      cannotJudge("children", "cords", "List every cord, ribbon and drawstring with zone and free end."),
    );
  if (age < 6 && given.smallParts === undefined)
    findings.push(
      cannotJudge("children", "small parts", "List eyes, beads, claws and buttons with their sizes."),
    );
  if (findings.length === 0)
    findings.push({
      subject: "children",
      level: "note",
      what: "Nothing that was told is against the cord and small-part rules for this age.",
      source: EN14682,
    });
  return findings;
}

function cordFindings(cord: Cord, age: number, stage: boolean): Finding[] {
  const zone = needWord(cord.zone, "children.cords.zone", ["hood or neck", "waist", "hem", "sleeve", "back"]);
  const free = needNumber(cord.freeEndMm, "children.cords.freeEndMm", 0, 5000);
  const loop = needNumber(cord.loopMm ?? 0, "children.cords.loopMm", 0, 5000);
  const limits: Readonly<Record<Cord["zone"], number>> = {
    "hood or neck": 0,
    waist: 140,
    hem: 0,
    sleeve: 0,
    back: 0,
  };
  const limit = limits[zone];
  const neck = zone === "hood or neck";
  const breaks = free > limit || loop > 75 || (neck && age < 7);
  if (!breaks || age >= 14) {
    return age >= 14 && neck && free > 0
      ? [
          {
            subject: "children",
            level: "note",
            what: `${cord.name} hangs at the neck: it can catch.`,
            figure: free,
            unit: "mm",
            source: "judgement; the child rules do not apply at this age",
            fix: "A breakaway join.",
          },
        ]
      : [];
  }
  return [
    {
      subject: "children",
      level: neck && !stage ? "stop" : "caution",
      what:
        neck && age < 7
          ? `${cord.name}: no cords at hood or neck up to 7 years.`
          : `${cord.name} at ${zone} is too long for a child.`,
      figure: loop > 75 ? loop : free,
      limit: neck && age < 7 ? "none at all" : loop > 75 ? 75 : limit,
      unit: "mm",
      source: neck ? EN14682 : `${EN14682}; lengths from memory`,
      fix:
        neck && age < 7
          ? "Take it away; close with snaps or hook-and-loop."
          : [
              ...(free > limit ? [`Free end ${roundUp(free - limit)} mm shorter.`] : []),
              ...(loop > 75 ? [`Loop ${roundUp(loop - 75)} mm shorter.`] : []),
              "Or use snaps.",
            ].join(" "),
    },
  ];
}

/** Flames and hot parts near the costume. */
export interface FlameCase {
  /** Measured spread of flame, mm/s (EN 71-2), or that it goes out by itself. */
  readonly spreadMmPerS?: number;
  readonly goesOut?: boolean;
  /** 45° test of the cloth: burn time, s, and surface. */
  readonly burnTimeS?: number;
  readonly surface?: "plain" | "raised";
  readonly baseBurns?: boolean;
  /** Fibres of the cloth in the costume, such as `acrylic`, `polyester`, `cotton`: what is said follows them. */
  readonly fibres?: readonly string[];
  /** Naked flame, fire effects, smoking or hot lamps near the wearer. */
  readonly flameNear?: boolean;
  /** Parts that get hot: lamps, packs, fans; and their surface, °C. */
  readonly hotParts?: readonly { readonly name: string; readonly surfaceC: number }[];
}

/** What fire does to fibres, from memory. */
const FIRE: readonly { readonly fibres: readonly string[]; readonly what: string }[] = [
  {
    fibres: ["acrylic", "modacrylic"],
    what: "Acrylic and modacrylic melt and drip; modacrylic is made to burn less, acrylic is not.",
  },
  {
    fibres: ["polyester", "nylon", "elastane", "polypropylene", "chloroprene", "polyurethane"],
    what: "Polyester, nylon and other synthetic cloth shrinks, melts and sticks to the skin.",
  },
  {
    fibres: ["cotton", "linen", "viscose", "kapok", "paper"],
    what: "Cotton, linen and viscose catch fire easily and glow on; a raised nap flashes.",
  },
  { fibres: ["wool", "silk", "leather"], what: "Wool and silk char and are slow to burn, but they do burn." },
];

/** What fire does to the cloth that is there; of cloth that nobody named, the general word. */
function inFire(fibres: readonly string[] | undefined): string {
  const known = FIRE.filter((each) => each.fibres.some((fibre) => fibres?.includes(fibre)));
  const texts =
    known.length > 0
      ? known.map(({ what }) => what)
      : ["Most cloth burns, and synthetic cloth melts and drips."];
  return `${texts.join(" ")} (From memory.)`;
}

/** Findings on flame and hot parts. @throws wear/bad-number, wear/unknown-word, wear/not-a-costume */
export function checkFlame(flame: FlameCase): Finding[] {
  needObject(flame, "flame");
  const findings: Finding[] = [];
  if (flame.spreadMmPerS !== undefined || flame.goesOut) {
    const spread = flame.goesOut ? 0 : needNumber(flame.spreadMmPerS, "flame.spreadMmPerS", 0, 1000);
    findings.push({
      subject: "flame",
      level: spread > 30 ? "stop" : spread > 10 ? "caution" : "note",
      what:
        spread === 0
          ? "Told to go out by itself."
          : `Flame spreads ${spread} mm/s${spread > 10 && spread <= 30 ? ": within the limit only with a keep-away-from-fire mark" : ""}.`,
      figure: spread,
      limit: spread > 30 ? 30 : 10,
      unit: "mm/s",
      source:
        "EN 71-2 for disguise costumes: at most 30, from 10 with a mark; a stricter retail code takes 10. Quoted by test houses",
      ...(spread > 10
        ? {
            fix: `A cloth that spreads flame ${roundUp(spread - 10)} mm/s slower${spread > 30 ? ` (${roundUp(spread - 30)} slower with the mark)` : ""}; keep well away from fire.`,
          }
        : {}),
    });
  }
  if (flame.burnTimeS !== undefined) {
    const time = needNumber(flame.burnTimeS, "flame.burnTimeS", 0, 600);
    const raised = needWord(flame.surface ?? "raised", "flame.surface", ["plain", "raised"]) === "raised";
    const least = raised ? 4 : 3.5;
    const third = time < least && (!raised || flame.baseBurns !== false);
    const second = raised && !third && time <= 7 && flame.baseBurns !== false;
    findings.push({
      subject: "flame",
      level: third ? "stop" : second ? "caution" : "note",
      what: `45° test: ${time} s, class ${third ? 3 : second ? 2 : 1}${flame.baseBurns === undefined && raised && time <= 7 ? " if the base burns" : ""}.`,
      figure: time,
      limit: third ? least : raised ? 7 : 3.5,
      unit: "s",
      source: "16 CFR 1610 (from memory)",
      ...(third || second
        ? {
            fix: `Another cloth: ${third ? `one that takes ${roundUp(least - time, 0.1)} s longer leaves class 3` : ""}${third && raised ? ", " : ""}${raised ? `one that takes ${roundUp(7.1 - time, 0.1)} s longer reaches class 1` : ""}. Keep well away from fire.`,
          }
        : {}),
    });
  }
  if (findings.length === 0)
    findings.push(
      cannotJudge(
        "flame",
        "how fast the costume burns",
        "Ask the seller for EN 71-2 or 16 CFR 1610 figures; test no worn costume yourself.",
      ),
    );
  findings.push({
    subject: "flame",
    level: flame.flameNear ? "stop" : "note",
    what: `${flame.flameNear ? "Fire or hot lamps near the costume. " : ""}${inFire(flame.fibres)}`,
    source:
      "2 m from candles and no smoking: common practice, from memory; 2 of 20 tested costumes failed EN 71-2 (a test house's report)",
    fix: "No naked flame within 2 m, no smoking; someone at hand who can open the costume.",
  });
  for (const part of needList(flame.hotParts ?? [], "flame.hotParts")) {
    const heat = needNumber(part.surfaceC, "flame.hotParts.surfaceC", -40, 1000);
    findings.push({
      subject: "flame",
      level: heat > 60 ? "stop" : heat > 43 ? "caution" : "note",
      what: `${part.name} gets ${heat} °C.`,
      figure: heat,
      limit: 43,
      unit: "°C",
      source: "43 °C is the usual limit for touch over hours (ISO 13732-1, from memory)",
      ...(heat > 43
        ? {
            fix: `${roundUp(heat - 43)} °C cooler, or out of reach of skin, foam and pile; a battery apart in a pouch that can be pulled out.`,
          }
        : {}),
    });
  }
  return findings;
}

/** Who helps, and how the costume closes. */
export interface DressingCase {
  /** Minutes to put on and to take off, as tried or estimated; seconds to get out in need. */
  readonly onMinutes?: number;
  readonly offMinutes?: number;
  readonly escapeSeconds?: number;
  readonly closuresAtBack?: number;
  readonly helper?: boolean;
}

/** Findings on getting in and out. @throws wear/bad-number, wear/not-a-costume */
export function checkDressing(dress: DressingCase): Finding[] {
  needObject(dress, "dressing");
  const findings: Finding[] = [];
  const back = needNumber(dress.closuresAtBack ?? 0, "dressing.closuresAtBack", 0, 50);
  if (back > 0 && !dress.helper)
    findings.push({
      subject: "dressing",
      level: "caution",
      what: "A closing at the back cannot be worked alone.",
      figure: back,
      limit: 0,
      source: "common practice, no source",
      fix: `Move ${back} of them to the front or side, put a long pull on the zip, or have a helper.`,
    });
  if (dress.escapeSeconds !== undefined) {
    const time = needNumber(dress.escapeSeconds, "dressing.escapeSeconds", 0, 7200);
    findings.push({
      subject: "dressing",
      level: time > 120 ? "stop" : time > 60 ? "caution" : "note",
      what: `Out of head and body in ${time} s when it must be.`,
      figure: time,
      limit: 60,
      unit: "s",
      source: "judgement",
      ...(time > 60
        ? {
            fix: `${roundUp(time - 60)} s quicker: zips in place of lacing, a head that lifts off in one move.`,
          }
        : {}),
    });
  } else findings.push(cannotJudge("dressing", "how fast the wearer is out of it", "Try it with a clock."));
  const on = dress.onMinutes;
  const off =
    dress.offMinutes === undefined ? undefined : needNumber(dress.offMinutes, "dressing.offMinutes", 0, 600);
  const who = dress.helper === undefined ? "" : dress.helper ? " with a helper" : " alone";
  if (on !== undefined)
    findings.push({
      subject: "dressing",
      level: needNumber(on, "dressing.onMinutes", 0, 600) > 30 ? "caution" : "note",
      what: `Dressing${who} takes ${on} min, undressing ${off ?? "an unknown time of"} min.`,
      figure: on,
      limit: 30,
      unit: "min",
      source: "judgement",
      ...(on > 30
        ? { fix: `${roundUp(on - 30)} min less: join parts that go on together, or plan for it.` }
        : {}),
    });
  else findings.push(cannotJudge("dressing", "how long dressing takes", "Try it with a clock."));
  return findings;
}

/** Findings on the toilet break. @throws wear/bad-number, wear/not-a-costume */
export function checkToilet(toilet: { readonly minutes: number; readonly alone?: boolean }): Finding[] {
  needObject(toilet, "toilet");
  const time = needNumber(toilet.minutes, "toilet.minutes", 0, 240);
  const bad = time > 10 || toilet.alone === false;
  return [
    {
      subject: "toilet",
      level: bad ? "caution" : "note",
      what: `A toilet break takes ${time} min${toilet.alone === false ? " and a helper" : ""}.`,
      figure: time,
      limit: 10,
      unit: "min",
      source: "judgement",
      fix: bad
        ? `${time > 10 ? `${roundUp(time - 10)} min less: ` : ""}legs as separate trousers, a zip from front to back, tail and belt that come off in one. Do not drink less instead.`
        : "Do not drink less to spare it.",
    },
  ];
}
