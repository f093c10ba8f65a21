import { casCheckDigit } from "../../check/cas-number";
import { entryRule } from "../context";
import { asList, asObject } from "../loose";

/** Registry numbers have the right check digit. */
export const casNumber = entryRule("cas-number", "CAS numbers have the right check digit.", ({ entry }) =>
  asList(entry["components"]).flatMap((component, index) => {
    const cas = asObject(component)?.["cas"];
    if (typeof cas !== "string") return [];
    const digit = casCheckDigit(cas);
    if (digit === undefined || cas.endsWith(`-${digit}`)) return [];
    return [
      {
        path: ["components", index, "cas"],
        message: `${cas} is not a CAS number: its check digit would be ${digit}.`,
        fix: "Copy it again from section 3 of the safety data sheet.",
        found: cas,
      },
    ];
  }),
);
