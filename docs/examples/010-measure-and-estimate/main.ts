import { completeMeasures, type MeasureKey } from "@peltry/measure";
import { INK, picture, short, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const SHOWN: MeasureKey[] = ["hip", "upperThigh", "midThigh", "knee", "calf", "ankleNarrow", "heelAnkle"];
const ROUNDS = [
  { label: "height and weight", taken: { stature: 1690, weightKg: 66 } },
  { label: "and hip, inside leg", taken: { stature: 1690, weightKg: 66, hip: 1010, insideLeg: 785 } },
  {
    label: "and thigh, calf",
    taken: { stature: 1690, weightKg: 66, hip: 1010, insideLeg: 785, upperThigh: 585, calf: 368 },
  },
];

/** The same wearer known a little, better and well: how sure the other measures become. */
export function run(): ExampleResult {
  const bodies = ROUNDS.map(({ taken }) => completeMeasures(taken, { sex: "female" }));
  const [few, , most] = bodies;
  // Outside check: at the survey's own mean height and weight a regression must give the survey's mean girths.
  const { measures: mean } = completeMeasures({ stature: 1628.5, weightKg: 67.8 }, { sex: "female" });
  const rows = SHOWN.map((key, row) => {
    const y = 64 + 46 * row;
    const x = (mm: number): number => 130 + (mm - 180) * 0.5;
    const bars = bodies.map((body, i) => {
      const { value, range, origin } = body.measures[key]!;
      const at = y + 12 * i - 12;
      const ink = [INK.soft, INK.orange, INK.blue][i];
      const bar =
        origin === "taken"
          ? ""
          : `<line x1="${short(x(range[0]))}" x2="${short(x(range[1]))}" y1="${at}" y2="${at}" stroke="${ink}" stroke-width="4"/>`;
      return `${bar}<circle cx="${short(x(value))}" cy="${at}" r="${origin === "taken" ? 6 : 4.5}" fill="${origin === "taken" ? "#fff" : ink}" stroke="${ink}" stroke-width="2"/>`;
    });
    return `${words(10, y + 4, key)}${bars.join("")}`;
  });
  const legend = ROUNDS.map(
    ({ label }, i) =>
      `<circle cx="${20 + 190 * i}" cy="20" r="5" fill="${[INK.soft, INK.orange, INK.blue][i]}"/>${words(32 + 190 * i, 25, label)}`,
  );
  const svg = picture(
    600,
    410,
    "Estimated leg measures with their ranges from two, four and six taken measures",
    `${legend.join("")}${[200, 400, 600, 800, 1000].map((mm) => `<path d="M${130 + (mm - 180) * 0.5} 40V358" stroke="#d9dfe1"/>${words(130 + (mm - 180) * 0.5, 376, `${mm}`, 'text-anchor="middle"')}`).join("")}${rows.join("\n")}${words(10, 376, "mm")}${words(10, 400, "An open ring is a measure that was taken; a bar is the range to plan for.")}`,
  );
  return {
    figures: {
      calfFromTwo: rounded(few.measures.calf!.value, 0),
      calfErrorFromTwo: rounded(few.measures.calf!.standardError, 1),
      kneeFromTwo: rounded(few.measures.knee!.value, 0),
      kneeErrorFromTwo: rounded(few.measures.knee!.standardError, 1),
      kneeFromSix: rounded(most.measures.knee!.value, 0),
      kneeErrorFromSix: rounded(most.measures.knee!.standardError, 1),
      next: most.next?.measure ?? "none",
      nextFromTwo: few.next?.measure ?? "none",
      meanHip: rounded(mean.hip!.value, 0),
      meanCalf: rounded(mean.calf!.value, 0),
      meanThigh: rounded(mean.upperThigh!.value, 0),
    },
    files: { "measures.svg": svg },
  };
}
