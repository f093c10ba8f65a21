import type { Form } from "@peltry/forms";
import { fail, type Issue, type WorkOptions } from "@peltry/issues";
import type { SeamLine } from "@peltry/seams";
import type { ReadProject } from "../project/read-project";
import type { ProjectPart } from "../project/schema";
import type { Cloth } from "./resolve-cloth";

/** Where a part is cut. */
export interface PlannedLines {
  /** The form; refined where suggested seams were inserted. */
  readonly form: Form;
  readonly lines: readonly SeamLine[];
  readonly clothOf: (region: number) => Cloth;
  readonly issues: readonly Issue[];
}

export interface PlanInput {
  readonly read: ReadProject;
  readonly part: ProjectPart;
  readonly index: number;
  readonly form: Form;
  readonly cloths: ReadonlyMap<string, Cloth>;
  readonly work: WorkOptions;
}

/**
 * The lines of a form that become seams: those the project names, else every drawn one.
 *
 * @throws `run/unknown-line`, `run/region-without-fabric`, `run/unknown-fabric`
 */
export function planLines(input: PlanInput): PlannedLines {
  const { form, part } = input;
  const clothOf = clothByRegion(input);
  const wanted = part.seams?.lines;
  const known = form.curves.filter((curve) => curve.kind === "drawn" || curve.kind === "level");
  wanted?.forEach((id, i) => {
    if (known.some((curve) => curve.id === id)) return;
    fail(
      "run/unknown-line",
      `The form has no line "${id}".`,
      input.read.place(["parts", input.index, "seams", "lines", i]),
      {
        found: id,
        limit: known.map((curve) => curve.id).join(", "),
        fix: `Its lines are: ${known.map((curve) => curve.id).join(", ")}.`,
      },
    );
  });
  const chosen = known.filter((curve) => (wanted ? wanted.includes(curve.id) : curve.kind === "drawn"));
  return {
    form,
    lines: chosen.map(({ id, path, closed }) => ({ id, path, closed })),
    clothOf,
    issues: [],
  };
}

function clothByRegion({ read, part, index, form, cloths }: PlanInput): (region: number) => Cloth {
  for (const [region, fabric] of Object.entries(part.fabrics)) {
    if (cloths.has(fabric)) continue;
    fail(
      "run/unknown-fabric",
      `The project has no fabric "${fabric}".`,
      read.place(["parts", index, "fabrics", region]),
      {
        found: fabric,
        limit: [...cloths.keys()].join(", ") || "none",
        fix: `Add it under fabrics:, or use one of: ${[...cloths.keys()].join(", ")}.`,
      },
    );
  }
  return (region) => {
    const id = form.regions[region]?.id ?? "";
    const fabric =
      part.fabrics[id] ?? (form.regions.length === 1 ? Object.values(part.fabrics)[0] : undefined);
    const cloth = fabric === undefined ? undefined : cloths.get(fabric);
    return (
      cloth ??
      fail(
        "run/region-without-fabric",
        `The region "${id}" of the form has no fabric.`,
        read.place(["parts", index, "fabrics"]),
        {
          found: Object.keys(part.fabrics).join(", ") || "none",
          limit: form.regions.map((each) => each.id).join(", "),
          fix: `Add "${id}: <fabric>" here.`,
        },
      )
    );
  };
}
