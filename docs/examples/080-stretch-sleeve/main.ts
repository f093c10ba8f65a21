import { buildSleeve } from "@peltry/forms";
import { negativeEase, PRESSURE_LEVELS, tubePressure } from "@peltry/measure";
import { INK, picture, short, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";
import { hareLeg } from "../../scripts/moor-hare";

/** The tube that holds the pads: how much smaller to cut it, and what it presses. */
export function run(): ExampleResult {
  const leg = hareLeg();
  const tension = 0.8;
  const sleeve = buildSleeve({ over: leg, strain: 0.15, stretch: 0.6, tension, heelGirth: 330 });
  const levels = sleeve.levels;
  const most = Math.max(...levels.map(({ girth }) => girth));
  const [low, high] = [levels[0].height, levels[levels.length - 1].height];
  const y = (height: number): number => 340 - (300 * (height - low)) / (high - low);
  const curve = (pick: (level: (typeof levels)[number]) => number, x0: number, scale: number): string =>
    `M${levels.map((level) => `${short(x0 + scale * pick(level))} ${short(y(level.height))}`).join("L")}`;
  const pressures = levels.map(({ pressure }) => pressure!);
  const band = PRESSURE_LEVELS[0];
  const px = (mmHg: number): number => 390 + 13 * mmHg;
  const svg = picture(
    640,
    385,
    "Girth of the padded leg and of the cut sleeve by height, and the mean pressure of the sleeve",
    [
      `<path d="${curve(({ girth }) => girth, 20, 300 / most)}" fill="none" stroke="${INK.line}" stroke-width="2"/>`,
      `<path d="${curve(({ cutGirth }) => cutGirth, 20, 300 / most)}" fill="none" stroke="${INK.orange}" stroke-width="2" stroke-dasharray="7 4"/>`,
      words(20, 22, "girth: padded (solid), cut (dashed)"),
      ...[200, 400, 600, 800]
        .filter((g) => g < most)
        .map((g) => words(20 + (300 / most) * g, 362, `${g}`, 'text-anchor="middle"')),
      words(170, 380, "mm", 'text-anchor="middle"'),
      `<rect x="${px(band.low)}" y="40" width="${short(13 * (band.high - band.low))}" height="300" fill="${INK.fill}"/>`,
      `<path d="${curve(({ pressure }) => pressure!, 390, 13)}" fill="none" stroke="${INK.blue}" stroke-width="2.5"/>`,
      words(390, 22, "pressure; grey: ordinary waistbands"),
      ...[0, 5, 10, 15].map((v) => words(px(v), 362, `${v}`, 'text-anchor="middle"')),
      words(490, 380, "mmHg", 'text-anchor="middle"'),
    ].join("\n"),
  );
  return {
    figures: {
      girth: rounded(most, 0),
      cut: rounded(negativeEase(most, 0.15).cutGirth, 0),
      reductionPercent: rounded(100 * negativeEase(most, 0.15).reduction, 1),
      tension,
      pressureLeast: rounded(Math.min(...pressures), 1),
      pressureMost: rounded(Math.max(...pressures), 1),
      laplace: rounded(tubePressure(1, 390).mmHg, 2),
      laplaceByHand: rounded((2 * Math.PI * 100) / 0.39 / 133.322387415, 2),
      heelPasses: sleeve.opening!.fits,
      openingStretched: rounded(levels[0].cutGirth * 1.6, 0),
      issues: sleeve.issues.length,
    },
    files: { "sleeve.svg": svg },
  };
}
