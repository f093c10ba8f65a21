import { diagnoseScale, tilePages, writePdf, writeSvg } from "@peltry/print";
import { edgesFromOutline, type Pattern } from "@peltry/pattern";
import { INK, picture, short, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const PATTERN: Pattern = {
  format: "peltry-pattern",
  version: 1,
  name: "Moor hare",
  seams: [],
  panels: [
    {
      id: "thigh",
      name: "Thigh",
      fabric: "coat",
      edges: edgesFromOutline([
        [0, 0],
        [230, 0],
        [275, 170],
        [205, 330],
        [35, 320],
        [-30, 160],
      ]),
      darts: [],
      markings: [],
      pile: -90,
      count: 1,
      mirrored: true,
    },
  ],
};

/** What a wrong check square says. */
export async function run(): Promise<ExampleResult> {
  const tiling = tilePages(PATTERN, { size: "A4" });
  const pdf = await writePdf(tiling, { language: "en" });
  const text = new TextDecoder("latin1").decode(pdf);
  const cases = [100.2, 97, 94.1, 75, 133.3].map((mm) => ({ mm, ...diagnoseScale(mm) }));
  const squares = cases.map(({ mm, verdict, causes }, i) => {
    const side = mm * 0.85;
    const x = 10 + 128 * i;
    return [
      `<rect x="${short(x)}" y="${short(150 - side)}" width="${short(side)}" height="${short(side)}" fill="${verdict === "right" ? INK.fill : "#fff"}" stroke="${INK.line}" stroke-width="1.6"/>`,
      `<rect x="${short(x)}" y="65" width="85" height="85" fill="none" stroke="${INK.orange}" stroke-dasharray="4 3"/>`,
      words(x, 170, `${mm} mm`, 'font-weight="600"'),
      words(x, 188, verdict === "right" ? "right: cut" : (causes[0]?.id ?? "unknown"), 'font-size="11.5"'),
    ].join("");
  });
  return {
    figures: {
      pages: tiling.pages.length,
      pdfStart: text.slice(0, 8),
      // Outside check: ISO 216 has A4 as 210 × 297 mm; a point is 1/72 in and an inch 25.4 mm.
      a4WidthPoints: rounded((210 / 25.4) * 72, 2),
      mediaWidth: rounded(mediaWidth(text), 2),
      right: cases[0].verdict,
      fitted: cases[1].causes[0]?.what ?? "",
      letter: cases[2].causes[0]?.what ?? "",
      pixels: cases[3].causes[0]?.what ?? "",
      pixelsFix: cases[3].causes[0]?.fix ?? "",
      perMetre: rounded(cases[1].errorPerMetre, 0),
      svgBytes: writeSvg(PATTERN).length > 1000,
    },
    files: {
      "squares.svg": picture(
        660,
        200,
        "The check square as printed in five ways, beside its true size dashed",
        squares.join("\n"),
      ),
    },
  };
}

/** Width of the first page, points; page objects are compressed in some files, so 0 stands for not readable. */
function mediaWidth(text: string): number {
  return Number(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)/.exec(text)?.[1] ?? 0);
}
