import type { TriangleMesh } from "@peltry/geometry";
import type { FabricBehaviour } from "@peltry/pattern";
import { decide, planSeams, type PlanOptions, type SeamPlan } from "@peltry/seams";
import { fit, INK, onPage, pairs, pathData, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";
import { PILE_CLOTH } from "../../scripts/moor-hare";

const cloth = (along: number, across: number, shear: number): FabricBehaviour => ({
  along: { min: -along, max: along },
  across: { min: -along, max: across },
  shear: { min: -shear, max: shear },
});

const FABRICS: { id: string; name: string; behaviour: FabricBehaviour }[] = [
  { id: "firm", name: "firm coating", behaviour: cloth(0.03, 0.04, 0.1) },
  { id: "pile", name: "pile cloth", behaviour: PILE_CLOTH },
  { id: "knit", name: "stretch knit", behaviour: cloth(0.1, 0.4, 0.3) },
];

/** The outside of a haunch: half a tube of 180 mm, 300 high, with a round pad of 45 mm on it. */
function haunch(): TriangleMesh {
  const [columns, rows] = [22, 22];
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      const angle = Math.PI * (i / columns - 0.5);
      const y = (300 * j) / rows;
      const r = 90 + 45 * Math.exp(-((90 * angle) ** 2 + (y - 150) ** 2) / (2 * 38 ** 2));
      positions.push(r * Math.sin(angle), y, r * Math.cos(angle));
    }
  }
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const a = j * (columns + 1) + i;
      triangles.push(a, a + 1, a + columns + 2, a, a + columns + 2, a + columns + 1);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** A padded haunch: what three cloths need beside its edges, and what the planner does when told no. */
export function run(): ExampleResult {
  const mesh = haunch();
  const plan = (behaviour: FabricBehaviour, more: PlanOptions = {}): SeamPlan =>
    planSeams(mesh, { fabrics: [{ behaviour }], ...more });
  const plans = FABRICS.map(({ id, name, behaviour }) => ({ id, name, behaviour, plan: plan(behaviour) }));
  const firm = plans[0];
  const first = firm.plan.arcs.find((arc) => arc.origin === "suggestion")!;
  const other = plan(firm.behaviour, { decisions: [decide(firm.plan, first.id, "reject", { radius: 30 })] });
  const figures: Record<string, number | string | boolean> = {};
  for (const { id, plan: made } of [...plans, { id: "other", plan: other }]) {
    figures[`${id}Cuts`] = made.arcs.filter((arc) => arc.origin === "suggestion").length;
    figures[`${id}Length`] = rounded(made.totals.suggestedLength, 0);
    figures[`${id}Panels`] = made.panels.length;
    figures[`${id}Within`] = made.withinLimits;
    figures[`${id}Faults`] = made.panels.reduce(
      (sum, { flat }) => sum + flat.certificate.flips + flat.certificate.overlaps,
      0,
    );
  }
  figures.firstKind = first.kind;
  figures.firstLength = rounded(first.length, 0);
  figures.firstReason = first.reason;
  // Outside check: both sides of every seam, measured along the flat outlines by this page.
  figures.worstMismatch = rounded(
    Math.max(...[...plans.map((each) => each.plan), other].flatMap((each) => mismatches(each))),
    2,
  );
  return {
    figures,
    files: {
      "panels.svg": drawPanels([
        ...plans.map((each) => ({ title: each.name, plan: each.plan })),
        { title: "firm, first one refused", plan: other },
      ]),
      "curve.svg": drawCurve(plans.map((each) => ({ name: each.name, plan: each.plan }))),
    },
  };
}

/** Difference of the two flat sides of each seam, mm. */
function mismatches(plan: SeamPlan): number[] {
  const flat = new Map(plan.panels.map((panel) => [panel.id, panel.flat.positions]));
  const length = (patch: string, path: readonly number[]): number => {
    const p = flat.get(patch)!;
    return path
      .slice(1)
      .reduce(
        (sum, v, i) => sum + Math.hypot(p[2 * v] - p[2 * path[i]], p[2 * v + 1] - p[2 * path[i] + 1]),
        0,
      );
  };
  return plan.seams.map(({ a, b }) => Math.abs(length(a.patch, a.path) - length(b.patch, b.path)));
}

function drawPanels(all: readonly { title: string; plan: SeamPlan }[]): string {
  const body = all.map(({ title, plan }, i) => {
    const left = 8 + 178 * i;
    // Panels side by side, all at one scale.
    let x = 0;
    const laid = plan.panels.map(({ flat }) => {
      const points = pairs(flat.positions);
      const low = points.reduce((least, [px]) => Math.min(least, px), Infinity);
      const high = points.reduce((most, [px]) => Math.max(most, px), -Infinity);
      const shift = x - low;
      x += high - low + 20;
      return { loops: flat.loops, points: points.map(([px, py]): [number, number] => [px + shift, py]) };
    });
    const frame = fit(
      laid.flatMap(({ points }) => points),
      [left, 34, 165, 250],
    );
    const shapes = laid.map(({ loops, points }) =>
      loops
        .map(
          (loop) =>
            `<path d="${pathData(loop.map((v) => onPage(frame, points[v])))}" fill="${INK.fill}" stroke="${INK.line}"/>`,
        )
        .join(""),
    );
    const cuts = plan.arcs.filter((arc) => arc.origin === "suggestion").length;
    const text = `${cuts} ${cuts === 1 ? "cut" : "cuts"}, ${plan.totals.suggestedLength.toFixed(0)} mm`;
    return (
      shapes.join("\n") +
      words(left + 82, 20, title, 'text-anchor="middle"') +
      words(left + 82, 304, text, 'text-anchor="middle"')
    );
  });
  return picture(720, 316, "Panels of the haunch in three cloths, and after a refusal", body.join("\n"));
}

function drawCurve(all: readonly { name: string; plan: SeamPlan }[]): string {
  const [width, height, left, bottom] = [660, 300, 56, 40];
  const longest = Math.max(...all.flatMap(({ plan }) => plan.curve.map((point) => point.length)), 1);
  const top = 6;
  const at = (length: number, worst: number): [number, number] => [
    left + ((width - left - 130) * length) / longest,
    height - bottom - ((height - bottom - 20) * Math.min(worst, top)) / top,
  ];
  const inks = [INK.orange, INK.blue, INK.green];
  const lines = all.map(({ name, plan }, i) => {
    const steps = plan.curve.map((point) => at(point.length, point.worst));
    const [x, y] = steps[steps.length - 1];
    const dots = steps
      .map(([px, py]) => `<circle cx="${px.toFixed(1)}" cy="${py.toFixed(1)}" r="3" fill="${inks[i]}"/>`)
      .join("");
    return (
      `<path d="${pathData(steps, false)}" fill="none" stroke="${inks[i]}" stroke-width="2"/>${dots}` +
      words(x + 8, y - 6 - 15 * i, name, `style="fill:${inks[i]}"`)
    );
  });
  const [x0, y1] = at(0, 1);
  const [x1] = at(longest, 1);
  return picture(
    width,
    height,
    "Worst share of the cloth's limits against the length of seam that is added",
    [
      `<path d="${pathData([at(0, top), at(0, 0), at(longest, 0)], false)}" fill="none" stroke="${INK.line}"/>`,
      `<path d="${pathData(
        [
          [x0, y1],
          [x1, y1],
        ],
        false,
      )}" stroke="${INK.soft}" stroke-dasharray="5 4"/>`,
      words(x0 - 8, y1 + 4, "limit", 'text-anchor="end"'),
      words(x0 - 8, at(0, top)[1] + 10, `${top} ×`, 'text-anchor="end"'),
      words(x0, height - 14, "0 mm"),
      words(x1, height - 14, `${longest.toFixed(0)} mm of added seam`, 'text-anchor="end"'),
      ...lines,
    ].join("\n"),
  );
}
