import { adhesion } from "../joint/adhesion";
import { gluedAdhesives, gluedSubstrates, type Rating } from "../joint/glue-table";
import { escapeMarkdown as text, markdownTable } from "./markdown";

/** Marks of the ratings; the words stand in the legend and in the title of each cell. */
const MARKS: Readonly<Record<Rating, string>> = {
  recommended: "R",
  "workable-with-care": "c",
  unknown: "?",
  avoid: "–",
  damages: "X",
};

const LEGEND =
  "R recommended, c workable with care, – avoid, X damages the material or hurts the maker. A joint takes the worse of its two sides. The label, the technical data sheet and the safety data sheet of the product in hand come first.";

/**
 * All adhesives on all surfaces as a Markdown table: the ratings of `adhesion` for a joint of a surface with itself.
 */
export function compatibilityTable(): string {
  const head = ["", ...gluedSubstrates.map(({ name }) => text(name))];
  const rows = gluedAdhesives.map(({ id, name }) => [
    text(name),
    ...gluedSubstrates.map((substrate) => MARKS[adhesion(id, substrate.id, substrate.id).rating]),
  ]);
  return `${markdownTable(head, rows)}\n\n${LEGEND}\n`;
}

/** The same as an HTML table: each cell is classed by its rating and says why in its title. */
export function compatibilityHtml(): string {
  const head = gluedSubstrates.map(({ name }) => `<th scope="col">${html(name)}</th>`).join("");
  const rows = gluedAdhesives.map(({ id, name }) => {
    const cells = gluedSubstrates.map((substrate) => {
      const joint = adhesion(id, substrate.id, substrate.id);
      const why = `${joint.rating}: ${joint.reasons.map((reason) => reason.text).join("; ")}`;
      return `<td class="rating-${joint.rating}" title="${html(why)}">${MARKS[joint.rating]}</td>`;
    });
    return `<tr><th scope="row">${html(name)}</th>${cells.join("")}</tr>`;
  });
  return `<table class="glue-table">\n<thead><tr><td></td>${head}</tr></thead>\n<tbody>\n${rows.join("\n")}\n</tbody>\n</table>\n<p>${html(LEGEND)}</p>\n`;
}

function html(plain: string): string {
  return plain.replace(
    /[&<>"]/g,
    (mark) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" })[mark]!,
  );
}
