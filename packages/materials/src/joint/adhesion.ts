import { fail, type Issue } from "@peltry/issues";
import type { Caution, RegionRule } from "../entry/shared-types";
import type { MaterialEntry, Source } from "../entry/types";
import {
  candidatesOf,
  catalogue,
  entryOf,
  failUnknown,
  findEntry,
  sourceOf,
  sourceText,
} from "../query/catalogue";
import { caution, regionRules } from "../query/cautions";
import { requireWithin } from "../query/require";
import { resolveValue } from "../query/resolve-value";
import * as gates from "./gates";
import { glueCell, gluedSubstrates, reasonText, worseRating, type GlueCell, type Rating } from "./glue-table";
import type { Side } from "./heat-limit";

/** One side of a joint: an entry, its id, or the id of a surface of the glue table; or more exactly with a side. */
export type JointFace = string | MaterialEntry | JointFaceDetail;

/** One side of a joint with what is known of it. */
export interface JointFaceDetail {
  readonly material: string | MaterialEntry;
  /** Which side takes the glue; the back of a pile cloth by default, else the face. */
  readonly side?: Side;
  /** Thickness, mm: thin foam is heated through. */
  readonly thicknessMm?: number;
  /** Primed, flame or plasma treated for this glue. */
  readonly primed?: boolean;
}

/** What the joint has to do. */
export interface JointOptions {
  /** It bends when worn: knee, tail, boot top. */
  readonly flexes?: boolean;
  /** It has to stretch when worn. */
  readonly stretches?: boolean;
  /** It carries weight over a person: head, harness. Glue alone never does. */
  readonly overPerson?: boolean;
  /** It is also sewn, riveted or buckled. */
  readonly mechanical?: boolean;
  /** Region whose rules are wanted, such as `EU`; all of them, named, when not given. */
  readonly region?: string;
}

/** How one side takes the glue. */
export interface FaceAdhesion {
  readonly material?: string;
  readonly substrate?: string;
  readonly side: Side;
  readonly rating: Rating;
  readonly reasonCodes: readonly string[];
  readonly basis: string;
  readonly gates: readonly gates.GateResult[];
  readonly note?: string;
}

/** What {@link adhesion} answers. */
export interface Adhesion {
  readonly adhesive: string;
  /** That of the worse side, after all gates. */
  readonly rating: Rating;
  /** Index of the side that decides. */
  readonly worseFace: 0 | 1;
  readonly faces: readonly [FaceAdhesion, FaceAdhesion];
  /** Codes of both sides, the deciding side first, each once. */
  readonly reasonCodes: readonly string[];
  readonly reasons: readonly {
    readonly code: string;
    readonly text: string;
    readonly faces: readonly number[];
  }[];
  /** The sources of the ratings as one text; "nobody has rated it" where the table has neither side. */
  readonly source: string;
  readonly sources: readonly Source[];
  readonly cautions: readonly Caution[];
  readonly regionRules: readonly RegionRule[];
  /** True when it also has to be sewn, riveted or buckled. */
  readonly mechanicalBackup: boolean;
  readonly issues: readonly Issue[];
}

/**
 * Whether an adhesive holds two materials and what it does to each. The worse side decides.
 *
 * Gates after the table: heat (hotter than the material tolerates), flexing joint, stretching joint, surface energy,
 * plasticiser, weight over a person. A pair that nobody has rated comes back as `unknown` with a warning.
 *
 * @param adhesive entry of an adhesive or tape, or its id
 * @param a one side
 * @param b the other side
 * @throws `materials/unknown-material` with the nearest ids; `materials/not-an-adhesive`
 * @source the ratings and gates: see `sources` of the answer; common practice without a source where it says so
 * @remarks Microseconds. General guidance for a kind of material: the label and data sheets of the product come first.
 */
export function adhesion(
  adhesive: string | MaterialEntry,
  a: JointFace,
  b: JointFace,
  options: JointOptions = {},
): Adhesion {
  const glue = readAdhesive(adhesive);
  const sides = [readFace(a), readFace(b)] as const;
  const faces = [rateFace(glue, sides[0], options), rateFace(glue, sides[1], options)] as const;
  const rating = worseRating(faces[0].rating, faces[1].rating);
  const worseFace = faces[0].rating === rating ? 0 : 1;
  const unbacked = options.overPerson === true && options.mechanical !== true;
  const ordered = [faces[worseFace], faces[1 - worseFace]!];
  const codes = [
    ...new Set([...(unbacked ? ["MECHANICAL_BACKUP"] : []), ...ordered.flatMap((face) => face.reasonCodes)]),
  ];
  const sources = sourcesOf(glue, sides);
  return {
    adhesive: glue.id,
    rating: unbacked ? worseRating(rating, "avoid") : rating,
    worseFace,
    faces,
    reasonCodes: codes,
    reasons: codes.map((code) => ({
      code,
      text: reasonText(code),
      faces: [0, 1].filter((index) => faces[index]!.reasonCodes.includes(code)),
    })),
    source: sources.map(sourceText).join("; ") || "No source: nobody has rated it",
    sources,
    cautions: cautionsOf(glue, codes).map(caution),
    regionRules: regionRules([glue], options.region),
    mechanicalBackup: options.overPerson === true,
    issues: issuesOf(glue, faces, options, unbacked),
  };
}

interface Side1 extends gates.GateFace {
  readonly substrate?: string | undefined;
  readonly assumedBack: boolean;
}

function readAdhesive(adhesive: string | MaterialEntry): MaterialEntry {
  const entry = typeof adhesive === "string" ? findEntry(adhesive) : entryOf(adhesive);
  if (!entry) {
    return failUnknown(adhesive, candidatesOf(catalogue.filter(isAdhesive)));
  }
  if (isAdhesive(entry)) return entry;
  return fail(
    "materials/not-an-adhesive",
    `${entry.name} is not an adhesive or tape.`,
    { material: entry.id },
    {
      found: entry.family,
      limit: "adhesive or tape",
      fix: "Give the adhesive first, then the two materials.",
    },
  );
}

function isAdhesive(entry: MaterialEntry): boolean {
  return entry.family === "adhesive" || entry.family === "tape" || entry.adhesive !== undefined;
}

function readFace(face: JointFace): Side1 {
  const detail: JointFaceDetail =
    typeof face === "object" && face !== null && "material" in face
      ? face
      : { material: face as string | MaterialEntry };
  const { material } = detail;
  const rest = {
    thicknessMm:
      detail.thicknessMm === undefined
        ? undefined
        : requireWithin("thicknessMm", detail.thicknessMm, 0, 1000),
    primed: detail.primed,
  };
  if (typeof material === "string" && !findEntry(material)) {
    if (!gluedSubstrates.some(({ id }) => id === material))
      return failUnknown(material, [
        ...gluedSubstrates.map(({ id, name }) => ({ id, names: [name] })),
        ...candidatesOf(catalogue),
      ]);
    // The two sides of a fur are surfaces of the table without an entry of their own.
    const side: Side = material === "fauxfur-backing" ? "back" : "face";
    const entry = entryOfSurface(material, side);
    return { entry, substrate: material, side, assumedBack: false, ...rest };
  }
  const entry = entryOf(material);
  const side = detail.side ?? (entry.substrates?.back ? "back" : "face");
  const substrate =
    side === "back" ? (entry.substrates?.back ?? entry.substrates?.face) : entry.substrates?.face;
  const assumedBack = detail.side === undefined && entry.substrates?.back !== undefined;
  return { entry, substrate, side, assumedBack, ...rest };
}

const surfaces = new Map<string, MaterialEntry | undefined>();

/** The first entry with this surface; found once. */
function entryOfSurface(substrate: string, side: Side): MaterialEntry | undefined {
  if (!surfaces.has(substrate))
    surfaces.set(
      substrate,
      catalogue.find((one) => one.substrates?.[side] === substrate),
    );
  return surfaces.get(substrate);
}

function cellOf(glue: MaterialEntry, face: Side1): GlueCell | undefined {
  return face.substrate === undefined || glue.adhesive === undefined
    ? undefined
    : glueCell(glue.adhesive, face.substrate);
}

function rateFace(glue: MaterialEntry, face: Side1, options: JointOptions): FaceAdhesion {
  const cell = cellOf(glue, face);
  const closed = [
    gates.heatGate(glue, face, cell),
    options.flexes ? gates.flexGate(cell) : undefined,
    options.stretches ? gates.stretchGate(cell) : undefined,
    gates.surfaceEnergyGate(face),
    gates.plasticiserGate(glue.adhesive ?? glue.id, face),
  ].filter((gate) => gate !== undefined);
  const base: Rating = cell?.rating ?? "unknown";
  const rating = closed.reduce<Rating>((worst, gate) => worseRating(worst, gate.rating), base);
  // How to glue what has to go on stretching is said even where it costs no rank.
  const biting = closed.filter(
    (gate) =>
      worseRating(base, gate.rating) !== base ||
      cell?.reasonCodes.includes(gate.code) ||
      gate.gate === "stretch",
  );
  const codes = [
    ...biting.map((gate) => gate.code),
    ...(cell?.reasonCodes ?? ["UNKNOWN"]),
    ...(face.assumedBack ? ["PILE"] : []),
  ].filter((code) => code !== "GOOD" || rating === "recommended");
  return {
    ...(face.entry ? { material: face.entry.id } : {}),
    ...(face.substrate === undefined ? {} : { substrate: face.substrate }),
    side: face.side,
    rating,
    reasonCodes: [...new Set(codes)],
    basis: cell?.basis ?? "none",
    gates: closed,
    ...(cell?.note === undefined ? {} : { note: cell.note }),
  };
}

function sourcesOf(glue: MaterialEntry, faces: readonly Side1[]): Source[] {
  const ids = new Set(faces.flatMap((face) => cellOf(glue, face)?.sources ?? []));
  return [...ids].map((id) => sourceOf(undefined, id));
}

/** Cautions that a reason brings along, whatever the adhesive's own list says. */
const CODE_CAUTIONS: Readonly<Record<string, string>> = {
  EXO_CELL: "cyanoacrylate-fibre",
  ALLERGY: "latex",
  MOIST: "isocyanate",
};

function cautionsOf(glue: MaterialEntry, codes: readonly string[]): string[] {
  return [...new Set([...glue.cautions, ...codes.flatMap((code) => CODE_CAUTIONS[code] ?? [])])];
}

function issuesOf(
  glue: MaterialEntry,
  faces: readonly FaceAdhesion[],
  options: JointOptions,
  unbacked: boolean,
): Issue[] {
  const issues: Issue[] = [];
  const told = new Set<string>();
  faces.forEach((face, index) => {
    const name = face.material ?? face.substrate ?? `side ${index + 1}`;
    // Two sides of one material are one matter.
    const matter = `${name} ${face.side} ${face.rating}`;
    if (told.has(matter)) return;
    told.add(matter);
    if (face.basis === "none")
      issues.push({
        code: "materials/adhesion-unknown",
        severity: "warning",
        message: `Nobody has rated ${glue.id} on ${name}.`,
        at: { material: name },
        fix: "Glue two offcuts, wait for full cure, then bend, pull and warm them.",
      });
    if (face.rating === "damages")
      issues.push({
        code: "materials/adhesion-damages",
        severity: "warning",
        message: `${glue.name} damages ${name}: ${face.reasonCodes.map(reasonText).join("; ")}.`,
        at: { material: name },
        found: face.rating,
        fix: "Take another adhesive, or sew it.",
      });
  });
  if (unbacked)
    issues.push({
      code: "materials/mechanical-backup",
      severity: "warning",
      message: "Glue alone never carries weight over a person.",
      at: { material: glue.id },
      fix: "Sew, rivet or buckle the load path; glue may keep it in place.",
      source: "common practice, no source",
    });
  if (options.overPerson && options.mechanical)
    issues.push({
      code: "materials/mechanical-backup",
      severity: "note",
      message: "The stitching, rivets or buckles carry the load here; check them before each use.",
      at: { material: glue.id },
    });
  if (glue.family === "adhesive" && glue.components === undefined)
    issues.push({
      code: "materials/components-unknown",
      severity: "note",
      message: `What ${glue.name.toLowerCase()} contains is not recorded here.`,
      at: { material: glue.id, path: ["components"] },
      fix: "Read sections 2, 3 and 8 of the safety data sheet of the product in hand.",
    });
  if (!resolveValue(glue, "serviceTemperature") && !options.mechanical)
    issues.push({
      code: "materials/unknown-value",
      severity: "note",
      message: `How warm a joint with ${glue.name.toLowerCase()} may get is unknown.`,
      at: { material: glue.id, path: ["values", "serviceTemperature"] },
      fix: "Read the technical data sheet; keep the costume out of hot cars.",
    });
  return issues;
}
