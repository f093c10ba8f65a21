import type { MadeTail, PartNeed } from "@peltry/forms";
import type { MadeCostume } from "../run/make-costume";
import type { MadePart } from "../run/made-part";
import type { Facts } from "./facts";
import { clothPicture, strainPicture, viewsOf } from "./form-pictures";
import { escapeHtml as h, figure, num, percent, table, type Section } from "./html";
import { strainKey } from "./strain-colours";

/** Every part as it is worn: in its cloth, and either by strain or with what goes into it. */
export function formSection(costume: MadeCostume, facts: Facts): Section {
  const parts = costume.parts.map((part) => {
    const views = viewsOf(part)
      .map(([name, turn]) =>
        figure(
          `<img alt="${h(part.part.name)}, ${name}, in its fabrics with seams" src="${clothPicture(part, costume.cloths, turn)}">`,
          name,
        ),
      )
      .join("");
    const more = part.built ? needsOf(part) : strainsOf(part, facts);
    return `<h3>${h(part.part.name)}</h3><div class="row">${views}</div>${more}${closuresOf(part, costume)}`;
  });
  const changed = costume.corrections.map((c) => [
    h(c.part),
    h(c.what),
    num(c.before),
    num(c.after),
    num(c.after - c.before),
  ]);
  const corrections = changed.length
    ? `<h3>Try-on corrections worked in</h3>${table(["Part", "What", "Before, mm", "After, mm", "Change, mm"], changed)}`
    : "";
  return { id: "form", title: "What you are making", body: parts.join("") + corrections };
}

/** Where each closure sits, and what it needs; for one of a pair. */
function closuresOf(part: MadePart, costume: MadeCostume): string {
  if (!part.closures?.length) return "";
  const name = (id: string): string => costume.pattern.panels.find((panel) => panel.id === id)?.name ?? id;
  const rows = part.closures.map((each) => {
    const isRow = each.need.unit === "pieces";
    return [
      h(`${each.id}: ${each.kind.replace(/-/g, " ")}`),
      each.stretches
        .map(({ upper, under }) =>
          h(
            upper.panel === under.panel
              ? name(upper.panel)
              : `${name(upper.panel)} over ${name(under.panel)}`,
          ),
        )
        .join("<br>"),
      `${num(each.length, 0)} mm from the ${h(each.from)}`,
      isRow ? each.at.map((at) => num(at, 0)).join(", ") : `${num(each.at[0], 0)} to ${num(each.at[1], 0)}`,
      each.overlap > 0 ? num(each.overlap, 0) : "none",
      isRow ? `${each.need.amount} pieces` : `${num(each.need.amount, 0)} mm`,
    ];
  });
  return (
    `<h4>Closures${part.part.pair ? ", each of the pair" : ""}</h4>` +
    table(["Closure", "Where", "Length", "At, mm", "Overlap, mm", "Needs"], rows) +
    "<p>Spacing and overlap are common practice, no source. Put them on once the part was tried on; back each snap or hook with a scrap of firm cloth.</p>"
  );
}

function strainsOf(part: MadePart, facts: Facts): string {
  const strains = viewsOf(part)
    .map(([name, turn]) =>
      figure(
        `<img alt="${h(part.part.name)}, ${name}, coloured by strain" src="${strainPicture(part, turn)}">`,
        name,
      ),
    )
    .join("");
  const over = facts.panels.filter(
    (panel) => panel.part === part.part.id && (panel.certificate?.overLimitArea ?? 0) > 0.01,
  );
  const verdict =
    over.length === 0
      ? "Every panel stays inside what its cloth can do."
      : `${over.map((panel) => panel.name).join(", ")}: part of the cloth must do more than it is rated for; see the panels.`;
  return (
    `<p>The same form coloured by how much of its cloth’s limit each spot uses. ${h(verdict)}</p>` +
    `<div class="row">${strains}</div>${legend(part)}`
  );
}

function legend(part: MadePart): string {
  const seen = new Map(part.worn.flatMap(({ cloth }) => (cloth ? [[cloth.id, cloth] as const] : [])));
  return [...seen.values()]
    .map((cloth) =>
      figure(
        strainKey(cloth.behaviour.across.max, cloth.behaviour.across.min),
        `${cloth.name}, across the ${cloth.hasPile ? "pile" : "grain"}`,
      ),
    )
    .join("");
}

/** What goes into a part that is drawn by rule, for one of a pair. */
function needsOf(part: MadePart): string {
  const built = part.built!;
  const each = built.copies === 2 && part.part.pair ? "each of the pair" : "the part";
  const rows = built.needs.map((need) => [
    h(capital(need.layer)),
    amountText(need),
    need.massG > 0 ? rangeText(need.massRangeG, "g") : "–",
    h(need.source),
  ]);
  const strain =
    "sideStrain" in built && (built as MadeTail).sideStrain > 0.001
      ? ` Between its seams the cloth has to give up to ${percent((built as MadeTail).sideStrain)}: take one that does, or ease it in.`
      : "";
  return (
    `<p>${h(capital(each))} weighs ${rangeText(built.massRangeG, "g")}, without glue, thread and paint.${strain}</p>` +
    table(["Layer", "Needs", "Weighs", "Density from"], rows)
  );
}

function amountText({ amount, unit }: PartNeed): string {
  switch (unit) {
    case "mm2":
      return `${num(amount / 100, 0)} cm²`;
    case "mm3":
      return amount < 1e5 ? `${num(amount / 1000, 0)} cm³` : `${num(amount / 1e6, 2)} l`;
    case "mm":
      return `${num(amount / 1000, 2)} m`;
    case "pieces":
      return num(amount, 0);
  }
}

function rangeText([low, high]: readonly [number, number], unit: string): string {
  const [from, to] = [num(low, 0), num(high, 0)];
  return from === to ? `${from} ${unit}` : `${from} to ${to} ${unit}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
