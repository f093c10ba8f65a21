import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { checkWear, planEvenings, type Task } from "@peltry/wear";

describe("planEvenings", () => {
  it("fills evenings in order and lets a long task run on [oracle: counted by hand]", () => {
    const plan = planEvenings(
      [
        { name: "cut", hours: [1, 2] },
        { name: "sew", hours: [2, 4] },
      ],
      2,
    );
    expect(plan).toEqual([
      {
        number: 1,
        tasks: [
          { name: "cut", hours: 1.5 },
          { name: "sew", hours: 0.5, part: [1, 3] },
        ],
      },
      { number: 2, tasks: [{ name: "sew", hours: 2, part: [2, 3] }] },
      { number: 3, tasks: [{ name: "sew", hours: 0.5, part: [3, 3] }] },
    ]);
  });
  it("keeps every hour and never an evening too long [property]", () => {
    const task = fc.tuple(
      fc.double({ min: 0, max: 9, noNaN: true }),
      fc.double({ min: 0, max: 9, noNaN: true }),
    );
    fc.assert(
      fc.property(
        fc.array(task, { maxLength: 12 }),
        fc.double({ min: 0.5, max: 6, noNaN: true }),
        (list, room) => {
          const tasks = list.map(([low, more], k): Task => ({ name: `t${k}`, hours: [low, low + more] }));
          const plan = planEvenings(tasks, room);
          const wanted = tasks.reduce((sum, { hours }) => sum + (hours[0] + hours[1]) / 2, 0);
          const planned = plan.map(({ tasks: own }) => own.reduce((sum, each) => sum + each.hours, 0));
          expect(planned.reduce((a, b) => a + b, 0)).toBeCloseTo(wanted, 6);
          for (const hours of planned) expect(hours).toBeLessThanOrEqual(room + 1e-9);
          const order = plan.flatMap(({ tasks: own }) => own.map(({ name }) => Number(name.slice(1))));
          expect(order).toEqual([...order].sort((a, b) => a - b));
        },
      ),
      { seed: 7, numRuns: 200 },
    );
  });
  it("refuses hours that run backwards", () => {
    expect(() => planEvenings([{ name: "x", hours: [2, 1] }])).toThrow(/tasks\.0\.hours/);
  });
});

describe("checkWear with parts that are not there", () => {
  it("says that feet and hips are left alone instead of asking for them", () => {
    const said = checkWear({ footing: "none", movement: "none" }).map((one) => `${one.subject}: ${one.what}`);
    expect(said).toContain("movement: Nothing lies over hip and knee.");
    expect(said.some((text) => text.startsWith("footing: The costume leaves the feet alone"))).toBe(true);
  });
});
