import { issueText, placeText, type Issue } from "@peltry/issues";
import { MEASURES, type MeasureKey } from "@peltry/measure";
import type { MadeCostume } from "../run/make-costume";
import type { Facts } from "./facts";
import { escapeHtml as h, figure, inlineSvg, num, panelName, percent, table, type Section } from "./html";
import { materialCautions } from "./material-cautions";

/** The usual cautions: those of the work, then those of the materials in this project. */
export function cautionSection(costume: MadeCostume): Section {
  const boxes = materialCautions(costume).map(
    ({ title, text, materials }) =>
      `<div class="caution"><b>${h(title)}</b><br>${h(text)}${materials ? ` <span class="soft">(${h(materials)})</span>` : ""}</div>`,
  );
  const order =
    "The label, the safety data sheet, your local codes and licensed practice come before anything that stands here.";
  return { id: "cautions", title: "Before you begin", body: `<p>${order}</p>${boxes.join("")}` };
}

export function printSection(facts: Facts): Section {
  const rows = facts.printing.map((p) => [
    h(p.paper),
    `${p.pages}`,
    `${p.rows} rows, ${p.columns} columns, ${p.orientation}`,
    `${p.pagesSaved}`,
    `<code>pattern-${h(p.paper)}.pdf</code>`,
  ]);
  return {
    id: "print",
    title: "Print and check the scale",
    body:
      `<p>Print at 100 %, “actual size”, never “fit to page”. Measure both check squares on the first page with a steel rule: 100 mm and 4 in (101.6 mm), in both directions. ` +
      `If a side is off by more than 0.5 mm, do not cut: the print has the wrong scale. Join the pages by their row and column names, then draw one long diagonal and check that it is straight.</p>` +
      table(["Paper", "Pages", "Laid out in", "Pages saved by packing", "File"], rows),
  };
}

export function materialSection(costume: MadeCostume, facts: Facts): Section {
  const rows = facts.fabrics.map((f) => {
    const cloth = costume.cloths.get(f.id)!;
    const range = (d: { max: number; min: number }): string => `${percent(d.min)} to ${percent(d.max)}`;
    return [
      h(f.name),
      `${h(f.materialName)} <span class="soft">(${h(f.material)})</span>`,
      f.pileMm ? `${num(f.pileMm, 0)} mm` : "none",
      range(cloth.behaviour.along),
      range(cloth.behaviour.across),
      `${num(f.netAreaMm2 / 1e6, 2)} m²`,
    ];
  });
  const fitted = new Set(
    costume.parts.flatMap(({ worn }) => worn.flatMap(({ measured, cloth }) => (measured ? [cloth?.id] : []))),
  );
  const notes = facts.fabrics
    .filter(({ id }) => fitted.has(id))
    .flatMap((f) =>
      costume.cloths
        .get(f.id)!
        .issues.map((issue) => `<li>${h(f.name)}: ${h(issue.message)} ${h(issue.fix ?? "")}</li>`),
    );
  const glues = costume.glues.map((glue) => [
    h(glue.adhesive),
    h(glue.joins.join(" to ")),
    h(glue.where),
    h(glue.rating),
    h(glue.reasons.join(" ")),
  ]);
  return {
    id: "materials",
    title: "Materials",
    body:
      table(["Fabric", "Material", "Pile", "Planned along", "Planned across", "Panels take"], rows) +
      (notes.length ? `<ul>${notes.join("")}</ul>` : "") +
      `<p>Along and across are those of the pile, or of the grain. Figures of a cloth vary from bolt to bolt. Pull 100 mm of yours both ways and write what you read into the project file: stretchAlongPercent, stretchAcrossPercent.</p>` +
      (glues.length
        ? `<h3>Glue</h3><p>Test every pair on an offcut first.</p>${table(["Glue", "Joins", "Where", "Rating", "Why"], glues)}`
        : ""),
  };
}

export function layoutSection(costume: MadeCostume, facts: Facts): Section {
  const { layout } = costume;
  const drawings = layout.drawings
    .map((drawing) => figure(inlineSvg(drawing.svg), drawing.piece.replace("/", ": ")))
    .join("");
  const missing = layout.unplaced.map(
    (u) => `<li>${h(panelName(facts.panels, u.panel))}, copy ${u.copy}: ${h(u.reason)}</li>`,
  );
  const buy = layout.toBuy.map(
    (b) =>
      `<li>${h(costume.cloths.get(b.fabric ?? "")?.name ?? "cloth")}: ${num(b.length / 10, 0)} cm of ${num(b.width / 10, 0)} cm width${b.cost === undefined ? "" : `, about ${num(b.cost, 2)}`}</li>`,
  );
  const rests = layout.rests.map(
    (rest) =>
      `<li>${h(rest.piece.replace("/", ": "))}: ${num(rest.width, 0)} × ${num(rest.length, 0)} mm lengthwise</li>`,
  );
  return {
    id: "layout",
    title: "Layout on your fabric",
    body:
      `<p>Each piece is seen from the right side with its ${costume.hasPile ? "pile" : "grain"} running as the arrow shows. Lay out on the back: then the drawing is mirrored. The panels use ${percent(layout.density, 0)} of the cloth taken.</p>` +
      (missing.length ? `<div class="caution"><b>Not placed</b><ul>${missing.join("")}</ul></div>` : "") +
      (buy.length ? `<p>To buy:</p><ul>${buy.join("")}</ul>` : "") +
      drawings +
      (rests.length ? `<p>Largest straight pieces left over:</p><ul>${rests.join("")}</ul>` : ""),
  };
}

/** Part by part: what to know of its pieces, then the steps in their order. */
export function sewingSection(costume: MadeCostume): Section {
  const seams = new Map(costume.pattern.seams.map((seam) => [seam.id, seam]));
  const body = costume.parts.map(({ part, pattern }) => {
    const ids = new Set(pattern.panels.map((panel) => panel.id));
    const notes = [...new Set(pattern.panels.flatMap((panel) => panel.notes ?? []))];
    const steps = costume.sewing.steps
      .filter((step) => ids.has(step.panel ?? seams.get(step.seam ?? "")?.a.panel ?? ""))
      .map((step) => {
        const note = seams.get(step.seam ?? "")?.note;
        return (
          `<li>${h(step.text)}${step.hand ? " <b>By hand.</b>" : ""}${note ? ` ${h(note)}` : ""} ` +
          `<span class="soft">${num(step.lengthMm / 10, 0)} cm. ${h(step.reason)}</span></li>`
        );
      });
    const know = notes.length ? `<ul>${notes.map((note) => `<li>${h(note)}</li>`).join("")}</ul>` : "";
    const side = "side" in part && part.side === "right" ? ["right", "left"] : ["left", "right"];
    const twice = !part.pair
      ? ""
      : part.kind === "scan"
        ? "<p>Once for each side: the pieces as drawn for the side that was scanned, mirrored ones for the other.</p>"
        : `<p>Once for each side: the pieces as drawn make the wearer’s ${side[0]} one, the mirrored ones the ${side[1]}.</p>`;
    return `<h3>${h(part.name)}</h3>${twice}${know}<ol class="steps">${steps.join("")}</ol>`;
  });
  return { id: "sewing", title: "Sewing order", body: body.join("") };
}

export function measureSection(costume: MadeCostume): Section {
  const body = costume.body!;
  const rows = Object.entries(body.measures).flatMap(([key, m]) => {
    if (!m) return [];
    const about = MEASURES[key as MeasureKey];
    const unit = about.kind === "mass" ? "kg" : "mm";
    const error =
      m.origin === "taken" ? "taken" : `estimated, ± ${num(m.standardError, unit === "kg" ? 1 : 0)}`;
    return [[h(about.name), `${num(m.value, unit === "kg" ? 1 : 0)} ${unit}`, error, h(about.how)]];
  });
  const next = body.next
    ? `<p>The one more measure that would help most: <b>${h(MEASURES[body.next.measure].name)}</b> (typical error ${num(body.next.errorNow, 0)} mm now, ${num(body.next.errorThen, 0)} mm then).</p>`
    : "";
  return {
    id: "measures",
    title: "Measures",
    body: `${next}<p>Estimates come from published surveys of adults in military service (1988 and 2012); people outside that group differ more. Take a measure rather than trust its estimate where you can.</p>${table(["Measure", "Value", "Origin", "Where the tape goes"], rows)}`,
  };
}

export function remarkSection(costume: MadeCostume): Section {
  const groups: readonly (readonly [Issue["severity"], string])[] = [
    ["error", "To mend before you cut"],
    ["warning", "To look at"],
    ["note", "Good to know"],
  ];
  const body = groups
    .map(([severity, title]) => {
      const list = costume.issues.filter((issue) => issue.severity === severity);
      const item = (issue: Issue): string =>
        `<li>${h(issueText({ ...issue, at: shortPlace(issue) }))}${issue.source ? ` <span class="soft">[${h(issue.source)}]</span>` : ""}</li>`;
      return list.length ? `<h3>${title}</h3><ul>${list.map(item).join("")}</ul>` : "";
    })
    .join("");
  return { id: "remarks", title: "Remarks", body: body || "<p>None.</p>" };
}

/** The place without a file path: the workbook travels without the project. */
function shortPlace(issue: Issue): Issue["at"] {
  const { file: _file, line: _line, column: _column, path: _path, ...rest } = issue.at;
  return placeText(rest) ? rest : {};
}
