import type { Panel } from "@peltry/pattern";
import type { MadeCostume } from "../run/make-costume";
import type { WornPanel } from "../run/made-part";
import type { Facts } from "./facts";
import { flatStrainPicture } from "./form-pictures";
import { escapeHtml as h, figure, inlineSvg, num, panelName, percent, table, type Section } from "./html";

/** The cut list, the seams and every panel with its picture. */
export function panelSection(
  costume: MadeCostume,
  facts: Facts,
  picture: (panel: string) => string,
): Section {
  const list = table(
    ["Panel", "Cut", "Fabric", "Size with allowance", "From"],
    facts.panels.map((p) => [
      h(p.name),
      p.mirrored ? `${p.pieces / 2} and ${p.pieces / 2} mirrored` : `${p.pieces}`,
      h(costume.cloths.get(p.fabric)?.name ?? p.fabric),
      `${num(p.widthMm, 0)} × ${num(p.heightMm, 0)} mm`,
      h(p.cutFrom.map((piece) => piece.split("/").pop()).join(", ") || "not placed"),
    ]),
  );
  const firstOf = firstAlike(costume.pattern.panels);
  const panels = facts.panels.map((p) => {
    const first = firstOf.get(p.id)!;
    if (first !== p.id) {
      const as = h(panelName(facts.panels, first));
      return `<h3>${h(p.name)}</h3><p>The same shape as <b>${as}</b>: one drawing serves, the letters differ.</p>`;
    }
    const worn = costume.parts.flatMap((part) => part.worn).find((each) => each.panel === p.id);
    const { strainFigure, numbers } =
      worn && p.certificate && p.pileDeviationDeg
        ? strainOf(worn, p.certificate, p.pileDeviationDeg.p95)
        : { strainFigure: "", numbers: "Drawn by rule, flat from the start." };
    const darts = p.darts.length
      ? `<p>Darts: ${p.darts.map((d) => `${h(d.id)}, ${num(d.lengthMm, 0)} mm long, ${num(d.intakeMm, 0)} mm wide`).join("; ")}.</p>`
      : "";
    return (
      `<h3>${h(p.name)}</h3><div class="row">${figure(inlineSvg(picture(p.id)), "Sew line (dashed), cut line, match points and arrows; lengths in mm")}` +
      `${strainFigure}</div><p>${h(numbers)}</p>${darts}`
    );
  });
  const seamRows = facts.seams.map((s) => [
    s.letter,
    h(s.name === s.letter ? "" : s.name),
    h(panelName(facts.panels, s.a.panel)),
    h(panelName(facts.panels, s.b.panel)),
    num(s.lengthAMm),
    num(s.lengthBMm),
    num(s.differenceMm, 2) +
      (s.easedMm ? `, ease in the ${s.lengthAMm > s.lengthBMm ? "first" : "second"}` : ""),
  ]);
  return {
    id: "panels",
    title: "Panels and cut list",
    body:
      `<p>${costume.hasPile ? FUR : SMOOTH}</p>${list}` +
      `<h3>Seams</h3>${table(["Letter", "Where", "One side", "Other side", "Length, mm", "Length, mm", "Difference, mm"], seamRows)}${panels.join("")}`,
  };
}

const FUR =
  "Cut fur from the back with the tip of a blade, through the backing only, never with long scissor bites through the pile; cut one layer at a time; mirrored pieces are the same panel turned over, pile still downward.";
const SMOOTH =
  "Cut one layer at a time, flat and unstretched; mirrored pieces are the same panel turned over, the arrow still the same way.";

type PanelFacts = Facts["panels"][number];

function strainOf(worn: WornPanel, c: NonNullable<PanelFacts["certificate"]>, pileP95: number) {
  const { uri } = flatStrainPicture(worn);
  return {
    strainFigure: figure(
      `<img alt="${h(worn.name)} coloured by strain" src="${uri}">`,
      "Use of the cloth’s limit",
    ),
    numbers:
      `Strain: 95 % of the panel under ${percent(c.p95Strain)}, worst spot ${percent(c.maxStrain)}; ` +
      `${percent(c.overLimitArea)} of it beyond the cloth’s limit${c.overLimitArea > 0 ? `, by ${percent(c.overLimit)} at worst` : ""}. ` +
      `${worn.cloth?.hasPile ? "Pile" : "Grain"} within ${num(pileP95, 0)}° of straight on 95 % of the panel. ` +
      `Checked exactly: ${c.flips} turned-over spots, ${c.overlaps} crossings of the outline.`,
  };
}

/** For each panel the first one that has its outline and its fabric. */
function firstAlike(panels: readonly Panel[]): Map<string, string> {
  const seen = new Map<string, string>();
  return new Map(
    panels.map((panel) => {
      const key = JSON.stringify([panel.fabric, panel.edges.map((edge) => edge.points), panel.markings]);
      if (!seen.has(key)) seen.set(key, panel.id);
      return [panel.id, seen.get(key)!];
    }),
  );
}
