import { cautionsOf, type MaterialEntry } from "@peltry/materials";
import type { MadeCostume } from "../run/make-costume";

/** A caution as the workbook prints it. */
export interface PrintedCaution {
  readonly id: string;
  readonly title: string;
  readonly text: string;
  /** Materials that call for it; empty for the work itself. */
  readonly materials: string;
}

/** What goes with the work whatever the materials are. Common practice, no source. */
const WORK: readonly (PrintedCaution & { readonly onlyPile?: boolean })[] = [
  {
    id: "cutting-fur",
    onlyPile: true,
    title: "Loose pile",
    text: "Cutting long pile sheds fibre that gets into eyes, lungs, heaters and pets. Cut outdoors or with the window open, vacuum the edges at once, wear a dust mask.",
    materials: "",
  },
  {
    id: "heat-and-breaks",
    title: "Wearing it",
    text: "Padding under cloth or fur is hot and heavy. Try every part alone first, then walk, sit, crouch and climb a step with a helper beside you. Drink, rest, and take the part off at once when you feel dizzy, sick, numb or short of breath.",
    materials: "",
  },
  {
    id: "footing",
    title: "Feet and stairs",
    text: "Covers must not wrap the sole of the shoe: keep its tread free. Toe room over steps shrinks; take stairs slowly with a hand on the rail, and not at all where you cannot see your feet.",
    materials: "",
  },
  {
    id: "flame",
    title: "Flame",
    text: "Pile and thin synthetic cloth catch fire easily. Keep away from candles, stoves, heaters, cigarettes and stage effects; ask the venue for its rules before you come.",
    materials: "",
  },
];

/** What parts call for whatever they are made of: eyes behind windows see less. */
function partCautions(costume: MadeCostume): MaterialEntry["cautions"] {
  const hidesEyes = costume.parts.some(({ part }) => part.kind === "half-mask" || part.kind === "hood");
  return hidesEyes ? ["vision"] : [];
}

/** The cautions of the work, then those of the project's materials, each once with the materials that call for it. */
export function materialCautions(costume: MadeCostume): PrintedCaution[] {
  const used: { readonly name: string; readonly entry: MaterialEntry }[] = [
    ...[...costume.cloths.values()].map(({ name, entry }) => ({ name, entry })),
    ...costume.glues.map(({ entry }) => ({ name: entry.name, entry })),
  ];
  return [
    ...WORK.filter(({ onlyPile }) => !onlyPile || costume.hasPile).map(
      ({ onlyPile: _, ...caution }) => caution,
    ),
    ...cautionsOf([...used.map(({ entry }) => entry), { cautions: partCautions(costume) }]).map(
      (caution) => ({
        id: caution.id,
        title: caution.title,
        text: `${caution.what} ${caution.lower.join(" ")} Stop on: ${caution.stopOn.join("; ")}.`,
        materials: [
          ...new Set(
            used
              .filter(({ entry }) => (entry.cautions as readonly string[]).includes(caution.id))
              .map(({ name }) => name),
          ),
        ].join(", "),
      }),
    ),
  ];
}
