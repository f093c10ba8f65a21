import { checkFlat } from "@peltry/flatten";
import {
  makeEars,
  makeHalfMask,
  makeHeadband,
  makeHood,
  makeHorn,
  makeTail,
  type Carried,
  type MadeEars,
  type MadeHorn,
  type MadePart as BuiltPart,
} from "@peltry/forms";
import { meshTopology, type Point3 } from "@peltry/geometry";
import { fail, type Issue } from "@peltry/issues";
import { material } from "@peltry/materials";
import type { CompletedBody } from "@peltry/measure";
import { seamLengths, type Panel } from "@peltry/pattern";
import type { ReadProject } from "../project/read-project";
import type { ReadyPart } from "../project/schema";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import type { MadePart, WornPanel } from "./made-part";
import {
  earsOptions,
  halfMaskOptions,
  headbandOptions,
  hoodOptions,
  hornOptions,
  tailOptions,
  type ReadyContext,
} from "./ready-options";
import type { Cloth } from "./resolve-cloth";

export interface ReadyInput {
  readonly read: ReadProject;
  readonly part: ReadyPart;
  readonly index: number;
  readonly body?: CompletedBody;
  readonly cloths: ReadonlyMap<string, Cloth>;
  /** Parts made so far, for a band that carries them. */
  readonly made: ReadonlyMap<string, MadePart>;
}

/** The part's own word for each cloth that the makers of parts name. */
const ROLES: Readonly<Record<string, string>> = {
  foam: "bulk",
  "base-board": "base",
  "band-lining": "lining",
};

/**
 * A tail, ears, horns, a hood, a half mask or a headband: drawn by rule from its figures, named and given the project's fabrics.
 *
 * @throws `run/unknown-fabric`, `run/region-without-fabric`, `run/unknown-part`, `run/no-wearer`, `forms/bad-part`
 */
export function makeReady(input: ReadyInput): MadePart {
  const { part } = input;
  const built = located(input.read, ["parts", input.index], () => build(input));
  const clothOf = clothByRole(input);
  const panels = built.pattern.panels.map((panel) => finishPanel(panel, input, clothOf));
  const idOf = (panel: string): string => `${part.id}-${panel}`;
  const pattern = {
    ...built.pattern,
    name: part.name,
    panels,
    seams: built.pattern.seams.map((seam) => ({
      ...seam,
      a: { ...seam.a, panel: idOf(seam.a.panel) },
      b: { ...seam.b, panel: idOf(seam.b.panel) },
    })),
    fabrics: [],
  };
  const worn = built.worn.map(({ panel, mesh, flat }): WornPanel => {
    const own = panels.find((each) => panel !== undefined && each.id === idOf(panel));
    const cloth = own ? input.cloths.get(own.fabric) : clothOf("skin", false);
    return {
      ...(own ? { panel: own.id } : {}),
      name: own?.name ?? part.name,
      mesh,
      flat,
      ...(cloth ? { cloth } : {}),
    };
  });
  const checks = worn.map(({ mesh, flat }) => checkFlat(mesh, flat));
  return {
    part,
    pattern,
    worn,
    seamLines: worn.flatMap(borderLines),
    worstSeamMm: Math.max(
      0,
      ...pattern.seams.map((seam) => {
        const lengths = seamLengths(pattern, seam);
        return lengths ? Math.abs(lengths.a - lengths.b) : 0;
      }),
    ),
    flips: checks.reduce((sum, check) => sum + check.flips, 0),
    overlaps: checks.reduce((sum, check) => sum + check.overlaps, 0),
    built,
    issues: built.issues.map((issue): Issue => ({
      ...issue,
      at: { ...issue.at, ...input.read.place(["parts", input.index]) },
    })),
  };
}

function build(input: ReadyInput): BuiltPart {
  const { part, read, index } = input;
  const context: ReadyContext = {
    entryOf: (fabric) => (fabric === undefined ? undefined : input.cloths.get(fabric)?.entry),
    material: (id) => located(read, ["parts", index, "stuffing"], () => material(id)),
    measure: (key) => measured(input, key),
  };
  switch (part.kind) {
    case "tail":
      return makeTail(tailOptions(part, context));
    case "ears":
      return makeEars(earsOptions(part, context));
    case "horn":
      return makeHorn(hornOptions(part, context));
    case "hood":
      return makeHood(hoodOptions(part, context));
    case "half-mask":
      return makeHalfMask(halfMaskOptions(part, context));
    case "headband":
      return makeHeadband(headbandOptions(part, context, carriedBy(input, part)));
  }
}

function measured({ body, read, part }: ReadyInput, key: "waistNatural" | "headGirth"): number {
  const found = body?.measures[key]?.value;
  if (found !== undefined) return found;
  const missing = key === "headGirth" ? "headGirthMm" : "band.girthMm";
  fail(
    "run/no-wearer",
    `Part "${part.id}" takes ${key} from the wearer, but the project has no measures.`,
    read.place([]),
    {
      fix: `Add wearer: with measures:, or give ${missing}.`,
    },
  );
}

/** What stands on a band, weighed. */
function carriedBy(input: ReadyInput, band: Extract<ReadyPart, { kind: "headband" }>): Carried[] {
  return (band.carries ?? []).map((each, i): Carried => {
    const made = input.made.get(each.part);
    const built = made?.built;
    if (!made || !built) {
      const known = [...input.made.values()].filter((one) => one.built).map((one) => one.part.id);
      fail(
        "run/unknown-part",
        `The band carries "${each.part}", which is no part that can stand on it.`,
        input.read.place(["parts", input.index, "carries", i, "part"]),
        { found: each.part, limit: known.join(", ") || "none", fix: "Name a part of kind ears or horn." },
      );
    }
    return {
      name: made.part.name,
      massG: built.massG,
      centre: built.centreOfMass,
      aroundDeg: each.aroundDeg,
      ...(each.heightMm === undefined ? {} : { height: asMm(each.heightMm) }),
      baseDiameter: baseOf(built),
      base: "fixingEdge" in built ? "edge" : "round",
      pair: made.part.pair,
    };
  });
}

function baseOf(built: BuiltPart): number {
  if ("baseDiameter" in built) return (built as MadeHorn).baseDiameter;
  return "fixingEdge" in built ? (built as MadeEars).fixingEdge : 0;
}

function clothByRole(input: ReadyInput): (role: string, needed?: boolean) => Cloth | undefined {
  const { read, part, index, cloths } = input;
  const fabrics: Readonly<Record<string, string | undefined>> = part.fabrics;
  for (const [role, fabric] of Object.entries(fabrics)) {
    if (fabric === undefined || cloths.has(fabric)) continue;
    fail(
      "run/unknown-fabric",
      `The project has no fabric "${fabric}".`,
      read.place(["parts", index, "fabrics", role]),
      {
        found: fabric,
        limit: [...cloths.keys()].join(", ") || "none",
        fix: `Add it under fabrics:, or use one of: ${[...cloths.keys()].join(", ")}.`,
      },
    );
  }
  return (name, needed = true) => {
    const role = ROLES[name] ?? name;
    const cloth = cloths.get(fabrics[role] ?? "");
    if (cloth || !needed) return cloth;
    fail(
      "run/region-without-fabric",
      `Part "${part.id}" cuts "${role}", which has no fabric.`,
      read.place(["parts", index, "fabrics"]),
      { found: Object.keys(fabrics).join(", ") || "none", fix: `Add "${role}: <fabric>" here.` },
    );
  };
}

/** The panel under the part's name, with a pile where its cloth has one and a grain where it has none. */
function finishPanel(
  panel: Panel,
  { part }: ReadyInput,
  clothOf: (role: string) => Cloth | undefined,
): Panel {
  const cloth = clothOf(panel.fabric)!;
  const { pile, grain, ...rest } = panel;
  const way = pile ?? grain;
  return {
    ...rest,
    id: `${part.id}-${panel.id}`,
    name: `${part.name}: ${lowerFirst(panel.name)}`,
    fabric: cloth.id,
    ...(cloth.hasPile ? { pile: way ?? -90 } : way === undefined ? {} : { grain: way }),
    ...(cloth.stretchesAcross && way !== undefined ? { stretch: way + 90 } : {}),
    mirrored: part.pair,
  };
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

function borderLines({ mesh }: WornPanel): Point3[][] {
  const p = mesh.positions;
  return meshTopology(mesh).loops.map((loop) =>
    [...loop, ...loop.slice(0, 1)].map((v): Point3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]]),
  );
}
