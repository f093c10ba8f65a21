import { asList, asObject, asTexts, shownAs } from "../loose";
import { entryRule, type Loose } from "../context";

/** Cautions that follow from a hazard code. */
const BY_CODE: Readonly<Record<string, string>> = {
  H224: "flammable",
  H225: "flammable",
  H226: "flammable",
  H222: "aerosol",
  H229: "aerosol",
  H334: "isocyanate",
  H336: "solvent-vapour",
  H317: "epoxy",
  EUH202: "bonds-skin",
  EUH204: "isocyanate",
};

/** Cautions that follow from a component, by CAS number. */
const BY_CAS: Readonly<Record<string, string>> = {
  "108-88-3": "toluene-hexane",
  "110-54-3": "toluene-hexane",
  "67-64-1": "flammable",
  "78-93-3": "flammable",
  "141-78-6": "flammable",
  "110-82-7": "flammable",
  "64-17-5": "flammable",
  "67-63-0": "flammable",
  "101-68-8": "isocyanate",
  "9016-87-9": "isocyanate",
  "822-06-0": "isocyanate",
  "26471-62-5": "isocyanate",
  "1675-54-3": "epoxy",
  "7085-85-0": "bonds-skin",
  "137-05-3": "bonds-skin",
};

/** Cautions that follow from an allergen that is or may be there. */
const BY_ALLERGEN: Readonly<Record<string, string>> = {
  latex: "latex",
  nickel: "nickel",
  chromium: "chromium-leather",
  ptbp: "ptbp-rosin",
};

/** Cautions that a family always carries. */
const BY_FAMILY: Readonly<Record<string, readonly string[]>> = { "pile-fabric": ["fibre-dust", "flame"] };

/** Natural fibres on which cyanoacrylate cures in a rush. */
const RUSH_FIBRES = ["cotton", "linen", "viscose", "kapok", "wool", "silk", "leather", "paper"];

/** An entry carries the cautions that its hazards, components, allergens and family ask for. */
export const requiredCautions = entryRule(
  "required-cautions",
  "An entry carries the cautions that its hazards ask for.",
  ({ entry }) => {
    const given = new Set(asTexts(entry["cautions"]));
    return reasons(entry)
      .filter(({ caution }) => !given.has(caution))
      .filter(({ caution }, index, all) => all.findIndex((one) => one.caution === caution) === index)
      .map(({ caution, because }) => ({
        path: ["cautions"],
        message: `The caution "${caution}" is missing: ${because}.`,
        fix: `Add "${caution}" to cautions.`,
        repair: (draft: Record<string, unknown>) => {
          draft["cautions"] = [...asTexts(draft["cautions"]), caution];
        },
      }));
  },
);

function reasons(entry: Loose): { caution: string; because: string }[] {
  const codes = asTexts(asObject(entry["hazards"])?.["hStatements"]);
  const components = asList(entry["components"]).map((component) => asObject(component)?.["cas"]);
  const fibres = asList(entry["fibres"]).map((share) => shownAs(asObject(share)?.["fibre"]));
  const allergens = Object.entries(asObject(entry["allergens"]) ?? {});
  return [
    ...codes.flatMap((code) => lookUp(BY_CODE, code, `its data sheet has ${code}`)),
    ...components.flatMap((cas) => lookUp(BY_CAS, shownAs(cas), `it contains ${shownAs(cas)}`)),
    ...allergens.flatMap(([name, state]) =>
      state === "contains" || state === "may-contain" ? lookUp(BY_ALLERGEN, name, `${name}: ${state}`) : [],
    ),
    ...fibres
      .filter((fibre) => RUSH_FIBRES.includes(fibre))
      .map((fibre) => ({ caution: "cyanoacrylate-fibre", because: `it is or may be ${fibre}` })),
    ...(lookUpOwn(BY_FAMILY, shownAs(entry["family"])) ?? []).map((caution) => ({
      caution,
      because: `every ${shownAs(entry["family"])} has it`,
    })),
  ];
}

function lookUp(table: Readonly<Record<string, string>>, key: string, because: string) {
  const caution = lookUpOwn(table, key);
  return caution === undefined ? [] : [{ caution, because }];
}

function lookUpOwn<T>(table: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined;
}
