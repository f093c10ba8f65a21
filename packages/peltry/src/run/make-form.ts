import {
  applyCorrections,
  buildBootCover,
  buildLeg,
  type BootLine,
  type BuiltBootCover,
  type Correction,
  type CorrectionReport,
  type Form,
  type LegLine,
  type LevelRef,
  type MadeTufts,
} from "@peltry/forms";
import { fail, type Issue } from "@peltry/issues";
import type { Point } from "@peltry/geometry";
import type { CompletedBody } from "@peltry/measure";
import type { Panel } from "@peltry/pattern";
import type { ProjectFiles } from "../project/project-files";
import type { ReadProject } from "../project/read-project";
import type { ProjectPart, SurfacePart } from "../project/schema";
import { asMm } from "./lay-out-panels";
import { located } from "./located";
import { girthOf } from "./girth-of";
import type { RimJoin } from "./join-rims";
import type { GussetSlit } from "./let-in-gussets";
import type { MadePart } from "./made-part";
import { gsmOf } from "./ready-options";
import type { Cloth } from "./resolve-cloth";
import { makeScan } from "./make-scan";

export interface FormInput {
  readonly read: ReadProject;
  readonly files: ProjectFiles;
  readonly part: SurfacePart;
  readonly index: number;
  readonly body?: CompletedBody;
  readonly cloths: ReadonlyMap<string, Cloth>;
  /** Parts made so far, for a cuff that meets one. */
  readonly made: ReadonlyMap<string, MadePart>;
}

/** A form with what was remarked while making it. */
export interface MadeForm {
  readonly form: Form;
  /** Panels that are flat from the start: a sole, gussets. */
  readonly flatPanels?: readonly Panel[];
  readonly rimJoins?: readonly RimJoin[];
  /** Tufts of a paw: where they lie along its grooves. */
  readonly tufts?: MadeTufts;
  /** Where gussets go in. */
  readonly slits?: readonly GussetSlit[];
  /** Try-on corrections as measured on the form. */
  readonly corrections?: readonly CorrectionReport[];
  readonly issues: readonly Issue[];
}

/** The surface of a part, built from measures or read from a scan, with its try-on corrections worked in. */
export function makeForm(input: FormInput): MadeForm {
  const made = rawForm(input);
  const list = input.part.corrections;
  if (!list?.length) return made;
  const corrected = located(input.read, ["parts", input.index, "corrections"], () =>
    applyCorrections(made.form, list.map(correctionOf)),
  );
  return {
    form: corrected.form,
    flatPanels: [
      ...(made.flatPanels ?? []).map((panel) => redraw(panel, corrected.form, made.rimJoins ?? [])),
      ...corrected.gussets,
    ],
    ...(made.rimJoins ? { rimJoins: made.rimJoins } : {}),
    ...(made.tufts ? { tufts: made.tufts } : {}),
    slits: corrected.slits,
    corrections: corrected.reports,
    issues: [...made.issues, ...corrected.issues],
  };
}

function correctionOf(given: NonNullable<SurfacePart["corrections"]>[number]): Correction {
  switch (given.kind) {
    case "gusset":
      return {
        kind: "gusset",
        along: given.along,
        from: levelOf(given.from),
        to: levelOf(given.to),
        width: given.widthMm,
      };
    case "girth":
      return {
        kind: "girth",
        at: levelOf(given.at),
        by: given.byMm,
        ...(given.reachMm ? { reach: given.reachMm } : {}),
      };
    case "length":
      return {
        kind: "length",
        at: levelOf(given.at),
        by: given.byMm,
        ...(given.along ? { along: given.along } : {}),
        ...(given.reachMm ? { reach: given.reachMm } : {}),
      };
  }
}

function rawForm(input: FormInput): MadeForm {
  const { part } = input;
  switch (part.kind) {
    case "leg":
      return makeLeg(input, part);
    case "scan":
      return makeScan(input, part);
    case "boot-cover":
      return makeBoot(input, part);
  }
}

/** Fine enough that panels are smooth on paper, coarse enough that a run takes seconds. */
const LEG_TRIANGLES = 9000;
const BOOT_TRIANGLES = 5000;

function makeLeg(input: FormInput, part: Extract<ProjectPart, { kind: "leg" }>): MadeForm {
  const lines = part.seams?.lines?.filter((id): id is LegLine => LEG_LINES.includes(id));
  const form = located(input.read, ["parts", input.index], () =>
    buildLeg({
      name: part.name,
      side: part.side,
      measures: bodyOf(input).measures,
      posture: {
        ...(part.kneeBendDeg === undefined ? {} : { kneeBend: part.kneeBendDeg }),
        ...(part.heelLiftMm === undefined ? {} : { heelLift: asMm(part.heelLiftMm) }),
      },
      top: part.top,
      bottom: part.bottom === undefined ? undefined : levelOf(part.bottom),
      pads: part.pads?.map((pad) => ({ name: pad.name, height: pad.heightMm, ...spot(pad) })),
      targetGirths: part.girths?.map(({ at, girthMm }) => ({ at: levelOf(at), girth: asMm(girthMm) })),
      triangles: part.triangles ?? LEG_TRIANGLES,
      region: part.region,
      patches: part.patches?.map((patch) => ({
        id: patch.id,
        name: patch.name,
        power: patch.squareness,
        ...spot(patch),
      })),
      ...(lines ? { seams: lines } : {}),
    }),
  );
  return { form, issues: form.issues };
}

const LEG_LINES: readonly string[] = [
  "inner-seam",
  "outer-seam",
  "front-line",
  "back-line",
] satisfies LegLine[];

type Level = NonNullable<Extract<ProjectPart, { kind: "leg" }>["bottom"]>;

function levelOf(level: Level): LevelRef {
  if (typeof level === "object" && "level" in level) {
    return level.offsetMm === undefined ? level.level : { level: level.level, offset: level.offsetMm };
  }
  return level;
}

function spot(place: { at: Level; angleDeg: number; upMm: number; downMm: number; spreadDeg: number }) {
  return {
    at: levelOf(place.at),
    angle: place.angleDeg,
    up: place.upMm,
    down: place.downMm,
    spread: place.spreadDeg,
  };
}

function makeBoot(input: FormInput, part: Extract<ProjectPart, { kind: "boot-cover" }>): MadeForm {
  const mm = (value: number | string | undefined): number | undefined =>
    value === undefined ? undefined : asMm(value);
  const lines = part.seams?.lines?.filter((id): id is BootLine => LEG_LINES.includes(id));
  const top = bootTop(input, part);
  const boot = located(input.read, ["parts", input.index], () =>
    buildBootCover({
      name: part.name,
      side: part.side,
      measures: bodyOf(input).measures,
      outline: part.soleOutlineMm,
      heelHeight: mm(part.heelMm),
      top,
      style: part.foot ?? "paw",
      wallHeight: mm(part.wallMm),
      toes: part.toes === undefined ? undefined : { count: part.toes.count, depth: part.toes.depthMm },
      tufts: part.tufts && {
        perGroove: part.tufts.perGroove,
        length: mm(part.tufts.lengthMm),
        width: mm(part.tufts.widthMm),
        fabricGsm: gsmOf(input.cloths.get(part.fabrics["tufts"] ?? Object.values(part.fabrics)[0])?.entry),
      },
      entry: { vent: mm(part.zipMm) ?? 0 },
      triangles: part.triangles ?? BOOT_TRIANGLES,
      ...(lines ? { seams: lines } : {}),
    }),
  );
  const { issues, tufts } = boot;
  // Without a fabric for it the cover stays open under the shoe, whose tread is then free.
  const hasSole = part.fabrics["sole"] !== undefined;
  return {
    form: boot,
    flatPanels: [...(hasSole ? [boot.sole] : []), ...(tufts ? [tufts.panel] : [])],
    ...(hasSole ? { rimJoins: soleJoins(boot) } : {}),
    ...(tufts ? { tufts } : {}),
    issues,
  };
}

/** Height of a cover's upper rim where none is given, mm over the heel: as the boot builder has it. */
const BOOT_TOP_MM = 150;
const CUFF_EASE_MM = 10;

/** Height and girth of the upper rim; a cuff that meets a leg takes its girth from the leg at that height. */
function bootTop(
  { read, index, made }: FormInput,
  part: Extract<ProjectPart, { kind: "boot-cover" }>,
): { height?: number; girth?: number } {
  const height = part.topMm === undefined ? undefined : asMm(part.topMm);
  if (part.topGirthMm !== undefined)
    return { ...(height === undefined ? {} : { height }), girth: asMm(part.topGirthMm) };
  if (!part.cuff) return height === undefined ? {} : { height };
  const leg = made.get(part.cuff.meets);
  const at = height ?? BOOT_TOP_MM + (part.heelMm === undefined ? 0 : asMm(part.heelMm));
  const girth = leg?.part.kind === "leg" ? girthOf(leg, at) : 0;
  if (girth === 0) {
    fail(
      "run/cuff-meets-nothing",
      `The cuff of "${part.id}" at ${Math.round(at)} mm meets no leg "${part.cuff.meets}".`,
      read.place(["parts", index, "cuff", "meets"]),
      {
        found: part.cuff.meets,
        fix: "Name a part of kind leg that reaches down to that height, or give topGirthMm.",
      },
    );
  }
  const ease = part.cuff.easeMm === undefined ? CUFF_EASE_MM : asMm(part.cuff.easeMm);
  return { height: at, girth: girth + ease };
}

/** The four edges of the sole on the rim that they are sewn to. */
function soleJoins({ sole, soleRims }: BuiltBootCover): RimJoin[] {
  return soleRims.map(({ edge, path }) => ({
    panel: sole.id,
    edge,
    path,
    from: path[0],
    to: path[path.length - 1],
  }));
}

/** A sole drawn again under the rim of a form that was corrected: seen from below, toe up. */
function redraw(panel: Panel, { mesh }: Form, joins: readonly RimJoin[]): Panel {
  const own = joins.filter((join) => join.panel === panel.id);
  return {
    ...panel,
    edges: panel.edges.map((edge) => {
      const path = own.find((join) => join.edge === edge.id)?.path;
      const p = mesh.positions;
      return path ? { ...edge, points: path.map((v): Point => [p[3 * v], p[3 * v + 2]]) } : edge;
    }),
  };
}

function bodyOf({ body, part, read }: FormInput): CompletedBody {
  return (
    body ??
    fail(
      "run/no-wearer",
      `Part "${part.id}" is built from measures, but the project has none.`,
      read.place([]),
      {
        fix: "Add wearer: with measures:, such as stature and hip.",
      },
    )
  );
}
