import { decimate } from "@peltry/geometry";
import { makeHeadband, makeHorn, type HornOptions } from "@peltry/forms";
import { checkHead, HEAD_LIMITS, headMoment } from "@peltry/wear";
import { drawSurface, INK, picture, short, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const HEAD = 565;

interface Trial {
  readonly name: string;
  readonly horn: HornOptions;
  readonly bandMm: number;
}

/** One pair of horns: first as wished for, then lighter inside, then shorter on a wider band. */
const TRIALS: readonly Trial[] = [
  { name: "520 mm, firm foam", horn: horn(520, 110), bandMm: 20 },
  { name: "520 mm, light foam", horn: horn(520, 25), bandMm: 20 },
  { name: "300 mm, light foam, wide band", horn: horn(300, 25), bandMm: 40 },
];

function horn(length: number, kgPerM3: number): HornOptions {
  return {
    name: "horn",
    cone: { length, baseDiameter: 0.22 * length, tipDiameter: 8, bendDeg: 70 },
    wire: { diameterMm: 3, metal: "aluminium" },
    lean: { outDeg: 15, backDeg: -10 },
    bulk: { sheetMm: 10, kgPerM3 },
    skin: { kind: "fabric", gsm: 250 },
  };
}

/** A pair of horns on a band: what the neck and the band have to hold. */
function onHead({ horn: options, bandMm }: Trial) {
  const made = makeHorn(options);
  const band = makeHeadband({
    headGirth: HEAD,
    width: bandMm,
    carries: [
      {
        name: "horn",
        massG: made.massG,
        centre: made.centreOfMass,
        aroundDeg: 35,
        height: 20,
        baseDiameter: made.baseDiameter,
        pair: true,
      },
    ],
  });
  const loads = [{ name: "horns on a band", massG: band.load.massG, centre: band.load.centre }];
  const findings = checkHead({ loads, band: { girthMm: band.girth, widthMm: bandMm } });
  return { made, band, moment: headMoment(loads), findings };
}

/** The same horns three times: mass and lever decide, and the band has to hold what the neck can bear. */
export function run(): ExampleResult {
  const trials = TRIALS.map((trial) => ({ ...trial, ...onHead(trial) }));
  const scale = 0.36;
  const heads = trials.map(({ name, bandMm, made, band, moment }, i) => {
    const x = 10 + 220 * i;
    const { mesh } = decimate(made.form!.mesh, { triangles: 1200 });
    // The wearer looks to the left; the near horn stands on a head drawn from the mean head.
    const at = band.fixings[0].at;
    const [depth, height] = [boxOf(mesh.positions, 2), boxOf(mesh.positions, 1)];
    const place = (z: number, y: number): [number, number] => [x + 95 - scale * z, 228 - scale * y];
    const [left, bottom] = place(at[2] + depth.max, at[1] + height.min);
    const [right, top] = place(at[2] + depth.min, at[1] + height.max);
    return [
      `<ellipse cx="${short(x + 95)}" cy="${short(228 + scale * 35)}" rx="${short(scale * 98)}" ry="${short(scale * 118)}" fill="${INK.fill}"/>`,
      `<path d="M${short(x + 95 - scale * 98)} 228H${short(x + 95 + scale * 98)}" stroke="${INK.line}" stroke-width="${short(scale * bandMm)}" opacity="0.75"/>`,
      drawSurface(mesh, [left, top, right - left, bottom - top], {
        turn: -90,
        colourOf: () => [0.85, 0.76, 0.6],
      }),
      words(x, 20, name),
      gauge(x, 315, "upright", Math.abs(moment.forwardNcm)),
      gauge(x, 350, "nodding by 30°", Math.abs(moment.noddingNcm)),
    ].join("\n");
  });
  const svg = picture(
    680,
    385,
    "Three pairs of horns on a head seen from the side, with moments on the neck",
    heads.join("\n"),
  );
  const [first, , last] = trials;
  const nod = (t: (typeof trials)[number]): number => rounded(Math.abs(t.moment.noddingNcm), 1);
  const slide = first.findings.find(({ subject }) => subject === "band")!;
  // By hand: Σ m g times the lever in front of the neck joint, the joint 15 mm behind the middle of the band.
  const lever = first.band.load.centre[2] + 15;
  return {
    figures: {
      wishedG: Math.round(first.band.load.massG),
      wishedUpright: rounded(Math.abs(first.moment.forwardNcm), 1),
      wishedNod: nod(first),
      lightG: Math.round(trials[1].band.load.massG),
      lightNod: nod(trials[1]),
      shortG: Math.round(last.band.load.massG),
      shortNod: nod(last),
      slide: slide.what,
      bandLast: last.findings.find(({ subject }) => subject === "band")!.what,
      lever: rounded(lever, 1),
      byHand: rounded((first.band.load.massG * 9.80665 * lever) / 1e4, 1),
      published: HEAD_LIMITS.publishedNcm,
    },
    files: { "horns.svg": svg },
  };
}

function boxOf(positions: Float64Array, axis: number): { min: number; max: number } {
  let [min, max] = [Infinity, -Infinity];
  for (let k = axis; k < positions.length; k += 3) {
    min = Math.min(min, positions[k]);
    max = Math.max(max, positions[k]);
  }
  return { min, max };
}

/** A bar from 0 to 150 N cm with the levels of note, caution and stop. */
function gauge(x: number, y: number, name: string, value: number): string {
  const scale = 190 / 150;
  const levels = [HEAD_LIMITS.noteNcm, HEAD_LIMITS.cautionNcm, HEAD_LIMITS.stopNcm];
  const over = value >= HEAD_LIMITS.cautionNcm;
  return [
    words(x, y - 4, `${name}: ${short(value)} N cm`, 'font-size="11"'),
    `<rect x="${short(x)}" y="${short(y)}" width="190" height="10" fill="none" stroke="${INK.soft}"/>`,
    `<rect x="${short(x)}" y="${short(y)}" width="${short(scale * Math.min(150, value))}" height="10" fill="${over ? INK.orange : INK.blue}"/>`,
    ...levels.map(
      (level) =>
        `<path d="M${short(x + scale * level)} ${short(y - 2)}v14" stroke="${INK.line}" stroke-width="1.4"/>`,
    ),
  ].join("");
}
