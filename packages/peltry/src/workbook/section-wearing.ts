import { cleaningOf, type MaterialEntry } from "@peltry/materials";
import { WEAR_CAUTION, type Finding } from "@peltry/wear";
import type { MadeCostume } from "../run/make-costume";
import { escapeHtml as h, table, type Section } from "./html";

const LEVELS: readonly (readonly [Finding["level"], string, string])[] = [
  ["stop", "Do not wear it like this", "caution stop"],
  ["caution", "Change it, or plan for it", "caution"],
  ["note", "Worth knowing", ""],
];

/** Can it be worn: every finding with its figure, limit, source and mend; then dressing, toilet, cleaning, packing. */
export function wearSection(costume: MadeCostume): Section {
  const findings = costume.wear.filter(({ what }) => what !== WEAR_CAUTION);
  const groups = LEVELS.map(([level, title, style]) => {
    const list = findings.filter((finding) => finding.level === level);
    if (list.length === 0) return "";
    const rows = list.map((finding) => (style ? box(finding, style) : `<li>${text(finding)}</li>`)).join("");
    return `<h3>${title}</h3>${style ? rows : `<ul>${rows}</ul>`}`;
  }).join("");
  return {
    id: "wearing",
    title: "Can it be worn?",
    body: `<div class="caution"><b>First</b><br>${h(WEAR_CAUTION)}</div>${groups}${dayPlan(costume)}${cleaning(costume)}`,
  };
}

function box(finding: Finding, style: string): string {
  return `<div class="${style}"><b>${h(capital(finding.subject))}</b><br>${text(finding)}</div>`;
}

function text({ subject, what, figure, limit, unit, source, fix, level }: Finding): string {
  const size = (value: number | string): string => `${h(value)}${unit ? ` ${h(unit)}` : ""}`;
  const held =
    figure === undefined
      ? ""
      : ` <span class="soft">(${size(figure)}${limit === undefined ? "" : `, held against ${size(limit)}`})</span>`;
  const head = level === "note" ? `<b>${h(capital(subject))}:</b> ` : "";
  return `${head}${h(what)}${held}${fix ? ` ${h(fix)}` : ""} <span class="soft">[${h(source)}]</span>`;
}

/** Getting in and out, and the break, as steps to be tried before the day. Common practice, no source. */
function dayPlan(costume: MadeCostume): string {
  const kinds = new Set(costume.parts.map(({ part }) => part.kind));
  const on = [
    "Under-layer that takes up sweat; go to the toilet; drink.",
    ...(kinds.has("leg") || kinds.has("scan")
      ? ["Legs, sitting down, toes pointed; braces or belt closed at the front."]
      : []),
    ...(kinds.has("tail")
      ? ["Tail band, closed at the front, turned to the back; the legs’ waist under it."]
      : []),
    ...(kinds.has("boot-cover") ? ["Shoes, then covers, sitting; check that the tread is free."] : []),
    ...(kinds.has("headband")
      ? ["Band last, looking into a mirror; nod and look up to see that it stays."]
      : []),
  ];
  const dress = costume.read.project.wearing?.dressing;
  const alone =
    dress?.helper === true
      ? "A helper is planned: agree on a word that means “out of it now”."
      : "Without a helper: try all of it once alone with a clock, and write into the project what it took. Whatever cannot be reached alone is moved to the front or the side.";
  const toilet =
    "Plan the break before it is needed: " +
    (kinds.has("tail") ? "the tail band comes off first, " : "") +
    (kinds.has("leg") || kinds.has("scan")
      ? "then the legs down to the knees like trousers; covers may stay on the shoes. "
      : "then the rest. ") +
    "Keep hems off wet floors with two wide elastic bands. Do not drink less to spare it.";
  return (
    `<h3>Getting dressed</h3><ol class="steps">${on.map((step) => `<li>${h(step)}</li>`).join("")}</ol><p>${h(alone)} Taking it off goes the other way round, the head first.</p>` +
    `<h3>Toilet break</h3><p>${h(toilet)}</p>`
  );
}

const WASH = {
  machine: "machine wash",
  hand: "wash by hand",
  sponge: "sponge clean only",
  none: "do not wash",
  unknown: "unknown: read the label, try a small piece",
} as const;
const DRY = {
  "tumble-low": "tumble dry low",
  "no-tumble": "do not tumble dry",
  line: "hang to dry",
  flat: "dry flat",
  unknown: "unknown: air dry",
} as const;
const IRON = {
  high: "iron hot",
  medium: "iron warm",
  low: "iron cool",
  none: "no iron",
  unknown: "unknown: no iron",
} as const;

function cleaning(costume: MadeCostume): string {
  const rows = costume.parts.map((part) => {
    const entries: MaterialEntry[] = [...new Set(part.pattern.panels.map((panel) => panel.fabric))].map(
      (id) => costume.cloths.get(id)!.entry,
    );
    const answer = cleaningOf(entries);
    return [
      h(part.part.name),
      h(WASH[answer.wash]),
      h(DRY[answer.dry]),
      h(IRON[answer.iron]),
      h(answer.notes.join("; ")),
    ];
  });
  return (
    `<h3>Cleaning</h3><p>The gentlest that any material of a part needs, from the catalogue; the label on your cloth comes first. Take out wire, foam and stuffing that can be taken out.</p>` +
    table(["Part", "Wash", "Dry", "Iron", "Why"], rows) +
    `<h3>Packing</h3><p>Dry it through before it is packed, also the foam. ${costume.hasPile ? "Brush the pile, lay it loosely pile to pile" : "Lay it loosely"} in a bag that breathes, nothing heavy on pads or ears; horns and bands in a box of their own. Common practice, no source.</p>`
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
