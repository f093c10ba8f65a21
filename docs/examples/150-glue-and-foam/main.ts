import { adhesion, material } from "@peltry/materials";
import { INK, picture, words } from "../../scripts/draw";
import { type ExampleResult } from "../../scripts/example";

const GLUES = ["contact-cr-solvent", "contact-cr-water", "hotmelt-eva-high", "hotmelt-eva-low", "pva-wood"];
const FOAMS = ["polystyrene-foam", "pu-foam-open", "xpe-foam-33"];
/** Short enough for the head of a column. */
const FOAM_NAMES = ["polystyrene", "open-cell polyurethane", "cross-linked PE"];
const LOOK = {
  recommended: { fill: "#1f7a63", mark: "R", ink: "#fff" },
  "workable-with-care": { fill: "#cfe3dc", mark: "c", ink: "#22333b" },
  unknown: { fill: "#fff", mark: "?", ink: "#22333b" },
  avoid: { fill: "#f0d9b5", mark: "–", ink: "#22333b" },
  damages: { fill: "#8f3d12", mark: "X", ink: "#fff" },
} as const;

/** The same glue holds one foam and eats another. */
export function run(): ExampleResult {
  const glues = GLUES.filter((id) => known(id));
  const cells = glues.flatMap((glue, row) =>
    FOAMS.map((foam, column) => {
      const { rating } = adhesion(glue, foam, foam);
      const { fill, mark, ink } = LOOK[rating];
      const [x, y] = [250 + 142 * column, 46 + 44 * row];
      return `<rect x="${x}" y="${y}" width="134" height="38" fill="${fill}" stroke="${INK.line}"/><text x="${x + 67}" y="${y + 24}" text-anchor="middle" fill="${ink}">${mark} ${rating.replace("workable-", "").replaceAll("-", " ")}</text>`;
    }),
  );
  const ruin = adhesion("contact-cr-solvent", "cotton-canvas", "polystyrene-foam");
  const flexing = adhesion("hotmelt-eva-high", "cotton-canvas", "pu-foam-open", { flexes: true });
  return {
    figures: {
      ruin: ruin.rating,
      ruinWhy: ruin.reasons[0].text,
      ruinSources: ruin.sources.map(({ title }) => title).join("; ") || "common practice, no source",
      flexing: flexing.rating,
      flexingWhy: flexing.reasons[0].text,
      cautions: ruin.cautions.length,
      foam: material("polystyrene-foam").name,
    },
    files: {
      "glue.svg": picture(
        680,
        60 + 44 * glues.length,
        "Ratings of glues on three foams, each in words",
        [
          ...FOAMS.map((id, i) =>
            words(317 + 142 * i, 30, FOAM_NAMES[i], 'text-anchor="middle" font-size="11.5"'),
          ),
          ...glues.map((id, i) => words(10, 70 + 44 * i, material(id).name.slice(0, 40), 'font-size="11.5"')),
          ...cells,
        ].join("\n"),
      ),
    },
  };
}

function known(id: string): boolean {
  try {
    return material(id).adhesive !== undefined;
  } catch {
    return false;
  }
}
