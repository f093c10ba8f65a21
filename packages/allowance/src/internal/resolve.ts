import { fail, type Issue, type Place } from "@peltry/issues";
import type { Edge } from "@peltry/pattern";
import { usualAllowance } from "../defaults";
import { refuseWord, WORDS, wrongWord } from "./words";
import type { AllowanceRules, Cloth, CornerRule, CornerTreatment, EdgeWidth } from "../types";

/** Widest allowance that this package is made for, mm. */
const WIDEST = 60;
/** No allowance any more, mm: numbers far beyond this overflow in the offset. */
const ABSURD = 10_000;

/** Width of each edge of a ring, with where it came from. */
export function resolveWidths(
  ring: readonly Edge[],
  rules: AllowanceRules,
  panel: string | undefined,
): { widths: EdgeWidth[]; issues: Issue[] } {
  const issues: Issue[] = [];
  const widths = ring.map((edge): EdgeWidth => {
    const at: Place = { ...(panel === undefined ? {} : { panel }), edge: edge.id };
    const given =
      rules.edges?.[edge.id] ?? rules.roles?.[edge.role] ?? (edge.role === "fold" ? undefined : rules.width);
    const row = usualAllowance(edge.role, { stitch: rules.stitch, cloth: clothOf(rules) });
    const width = given ?? row.width;
    if (!(width >= 0 && width <= ABSURD)) {
      fail("allowance/bad-width", `The allowance is ${width} mm.`, at, {
        found: width,
        limit: `0 to ${WIDEST}`,
        fix: `Give a width of 0 to ${WIDEST} mm; a wider facing is a panel of its own.`,
      });
    }
    if (width > WIDEST) {
      issues.push({
        code: "allowance/wide",
        severity: "warning",
        message: `The allowance of ${width} mm is wider than the ${WIDEST} mm that this is made for.`,
        at,
        found: width,
        limit: WIDEST,
        fix: "Draw a facing as a panel of its own.",
      });
    }
    if (edge.role === "fold" && width > 0) {
      issues.push({
        code: "allowance/fold-takes-none",
        severity: "warning",
        message: `A fold takes no allowance; the ${width} mm asked for were left out.`,
        at,
        found: width,
        limit: 0,
        fix: "Make it a seam if two pieces are meant.",
      });
      return { edge: edge.id, role: edge.role, width: 0, from: "fold" };
    }
    return { edge: edge.id, role: edge.role, width, from: given === undefined ? row.id : "rule" };
  });
  return { widths, issues };
}

/** The cloth named, else the one that a pile tells. */
export function clothOf(rules: AllowanceRules): Cloth | undefined {
  return rules.cloth ?? ((rules.pileMm ?? 0) > 0 ? "pile" : undefined);
}

/** The treatment asked for at the corner between two edges. */
export function resolveCorner(before: Edge, after: Edge, rules: AllowanceRules): CornerRule {
  const own = rules.corners?.find(
    (rule) =>
      (rule.before === undefined || rule.before === before.id) &&
      (rule.after === undefined || rule.after === after.id),
  );
  if (own) return own;
  const hems = [before, after].filter((edge) => edge.role === "hem").length;
  const turned: CornerTreatment | undefined =
    hems === 1 && rules.turnHems !== false ? "turned-back" : undefined;
  return { treatment: turned ?? rules.corner ?? "mitred" };
}

/** The first rule that is of another kind than it must be: its path, and the choices where it is a word. */
function brokenRule(rules: unknown): { path: (string | number)[]; choices?: readonly string[] } | undefined {
  const isObject = (value: unknown): boolean =>
    typeof value === "object" && value !== null && !Array.isArray(value);
  if (!isObject(rules)) return { path: [] };
  const { corners, ...rest } = rules as { corners?: unknown } & Record<string, unknown>;
  const table = ["roles", "edges", "panels"].find((key) => rest[key] !== undefined && !isObject(rest[key]));
  if (table !== undefined) return { path: [table] };
  const word = wrongWord(rest);
  if (word !== undefined) return { path: [word], choices: WORDS[word] };
  if (corners === undefined) return undefined;
  if (!Array.isArray(corners)) return { path: ["corners"] };
  const bad = corners.findIndex(
    (rule: unknown) => !isObject(rule) || !WORDS.corner.includes((rule as CornerRule).treatment),
  );
  if (bad < 0) return undefined;
  return isObject(corners[bad])
    ? { path: ["corners", bad, "treatment"], choices: WORDS.corner }
    : { path: ["corners", bad] };
}

const at = (value: unknown, path: readonly (string | number)[]): unknown =>
  path.reduce((inner, key) => (inner as Record<string | number, unknown>)[key], value);

/** Stops at rules that make no sense whatever the panel. */
export function checkRules(rules: AllowanceRules): void {
  const broken = brokenRule(rules);
  if (broken?.choices) refuseWord(broken.path, at(rules, broken.path), broken.choices);
  if (broken) {
    fail(
      "allowance/bad-rule",
      `${broken.path.join(".") || "The rules"} cannot be read.`,
      { path: broken.path },
      { fix: "Give rules as an object of widths and treatments, or one width in mm." },
    );
  }
  const limit = rules.mitreLimit;
  if (limit !== undefined && !(Number.isFinite(limit) && limit >= 1)) {
    fail(
      "allowance/bad-mitre-limit",
      `The mitre limit is ${limit}.`,
      { path: ["mitreLimit"] },
      {
        found: limit,
        limit: "1 or more",
        fix: "Give the longest mitre as a multiple of the width.",
      },
    );
  }
  for (const [key, value] of Object.entries({
    notchDepth: rules.notchDepth,
    edgeStrain: rules.edgeStrain,
    pileMm: rules.pileMm,
  })) {
    if (value === undefined || (Number.isFinite(value) && value >= 0)) continue;
    fail(
      "allowance/bad-rule",
      `${key} is ${value}.`,
      { path: [key] },
      { found: value, limit: "0 or more", fix: "Give a number from 0." },
    );
  }
}
