// Draws the picture of the README: a padded leg as a panel, coloured by its strain across the grain.
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { paddedLeg } from "../../../test-fixtures/src/shapes";
import { flatten, rampColour, strainColours } from "../src/index";

const LIMIT = 0.2;
const mesh = paddedLeg({ triangles: 1200, jitter: 0.2 });
const panel = flatten(mesh, {
  fabric: {
    along: { max: 0.1, min: -0.03 },
    across: { max: 0.2, min: -0.03 },
    shear: { max: 0.21, min: -0.21 },
  },
});
const colours = strainColours(panel.strain.major, LIMIT);
const x = panel.positions;
let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
for (let v = 0; v < x.length; v += 2) {
  left = Math.min(left, x[v]);
  right = Math.max(right, x[v]);
  low = Math.min(low, x[v + 1]);
  high = Math.max(high, x[v + 1]);
}
const at = (v: number) => `${(x[2 * v] - left).toFixed(1)},${(high - x[2 * v + 1]).toFixed(1)}`;
const css = (c: ArrayLike<number>) =>
  `#${[0, 1, 2]
    .map((k) =>
      Math.round(c[k] * 255)
        .toString(16)
        .padStart(2, "0"),
    )
    .join("")}`;
const parts: string[] = [];
for (let t = 0; t < colours.length / 3; t++) {
  const c = css(colours.subarray(3 * t, 3 * t + 3));
  parts.push(
    `<path d="M${[0, 1, 2].map((k) => at(mesh.triangles[3 * t + k])).join("L")}Z" fill="${c}" stroke="${c}"/>`,
  );
}
parts.push(`<path d="M${panel.loops[0].map(at).join("L")}Z" fill="none" stroke="#222" stroke-width="2.5"/>`);
const [wide, tall] = [right - left, high - low];
const arrow = wide + 60;
parts.push(`<path d="M${arrow} 120v160m-12 -22l12 22l12 -22" fill="none" stroke="#222" stroke-width="3"/>`);
parts.push(`<text x="${arrow}" y="100" text-anchor="middle">pile</text>`);
for (let i = 0; i < 40; i++) {
  parts.push(
    `<rect x="${arrow - 15}" y="${360 + 6 * i}" width="30" height="6.5" fill="${css(rampColour(1 - i / 19.5))}"/>`,
  );
}
parts.push(
  `<text x="${arrow + 22}" y="370">+20 %</text><text x="${arrow + 22}" y="488">0</text><text x="${arrow + 22}" y="602">−20 %</text>`,
);
parts.push(`<text x="${arrow}" y="345" text-anchor="middle">stretch</text>`);
const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -20 ${(wide + 200).toFixed(0)} ${(tall + 40).toFixed(0)}" width="420" font-family="sans-serif" font-size="24"><rect x="-20" y="-20" width="100%" height="100%" fill="#fff"/>${parts.join("\n")}</svg>\n`;
writeFileSync(fileURLToPath(new URL("../panel.svg", import.meta.url)), svg);
