import type { MadeCostume } from "../run/make-costume";
import { escapeHtml as h, num, table, type Section } from "./html";

const STITCHES: Readonly<Record<string, string>> = {
  "301": "machine, straight (301)",
  "304": "machine, zigzag (304)",
  ladder: "by hand, ladder stitch",
  whip: "by hand, whip stitch",
};

/** Thread, time, money, and the order of work over evenings: all of it ranges from stated rates. */
export function workSection(costume: MadeCostume): Section {
  const { thread, work, evenings, eveningHours } = costume.making;
  const threads = thread.byStitch.map((each) => [
    h(STITCHES[each.stitch] ?? each.stitch),
    `${num(each.seamMm / 1000)} m`,
    range(each.threadMm, 1000, "m"),
    h(each.source),
  ]);
  const lines = work.lines.map((line) => [h(line.name), range(line.hours, 1, "h"), h(line.rate)]);
  const costs = work.costs.map((each) => [h(each.name), range(each.cost, 1, "")]);
  const plan = evenings.map((evening) => {
    const tasks = evening.tasks.map(
      ({ name, hours, part }) =>
        `${h(name)}${part ? ` <span class="soft">(${part[0]} of ${part[1]})</span>` : ""} <span class="soft">${num(hours)} h</span>`,
    );
    return [`${evening.number}`, tasks.join("<br>")];
  });
  return {
    id: "work",
    title: "Thread, time, cost and order of work",
    body:
      `<h3>Thread</h3>${table(["Stitch", "Seams", "Thread", "From"], threads)}` +
      `<p>In all ${range(thread.totalMm, 1000, "m")}, 10 to 15 % for ends and unpicking included. Stitch lengths and thicknesses are assumed: 3 mm straight, 2.5 mm zigzag, hand stitches of 4 to 5 mm, cloth of its catalogue thickness, pile trimmed out of the seam.</p>` +
      `<h3>Time</h3>${table(["Work", "Hours", "Rate"], lines)}<p>In all ${range(work.hours, 1, "h")}, that is ${work.evenings[0]} to ${work.evenings[1]} evenings of ${num(eveningHours)} h. Clock your own first metre and write it into the project under work.</p>` +
      (costs.length
        ? `<h3>Cost</h3>${table(["What", "Cost"], costs)}<p>In all ${range(work.cost, 1, "")}, in the currency of the prices that the project states.</p>`
        : `<h3>Cost</h3><p>The project states no prices: write them under work.prices, low to high.</p>`) +
      `<h3>Evening by evening</h3><p>By the middle of each range. Blades, glue and hot tools come out only when you are awake enough for them.</p>${table(["Evening", "What"], plan)}`,
  };
}

function range([low, high]: readonly [number, number], by: number, unit: string): string {
  const [from, to] = [num(low / by), num(high / by)];
  return `${from === to ? from : `${from} to ${to}`}${unit ? ` ${unit}` : ""}`;
}
