import { writeFileSync } from "node:fs";
import { completeMeasures } from "@peltry/measure";
import { buildLeg, type Form } from "../src/index";

// Draws the built hind leg for the README: side and three-quarter view, flat shading, far triangles first.
const { measures } = completeMeasures({ stature: 1700, weightKg: 70 }, { sex: "female" });
const patch = { id: "haunch", at: "midThigh", angle: 115, up: 90, down: 130, spread: 60 } as const;
const leg = buildLeg({ measures, top: "waistNatural", triangles: 1300, patches: [patch] });

function view(form: Form, turnDeg: number, left: number): string {
  const { positions: p, triangles } = form.mesh;
  const [sin, cos] = [Math.sin((turnDeg * Math.PI) / 180), Math.cos((turnDeg * Math.PI) / 180)];
  const list: { depth: number; text: string }[] = [];
  for (let t = 0; t < triangles.length / 3; t++) {
    const q = [0, 1, 2].map((k) => {
      const i = 3 * triangles[3 * t + k];
      return [p[i] * cos - p[i + 2] * sin, p[i + 1], p[i] * sin + p[i + 2] * cos];
    });
    const [u, v] = [1, 2].map((k) => q[k].map((x, d) => x - q[0][d]));
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(...n);
    if (n[2] <= 0) continue;
    const light = 0.35 + 0.65 * Math.max(0, (-0.35 * n[0] + 0.5 * n[1] + 0.8 * n[2]) / length);
    const base = form.regionOf[t] === 0 ? [176, 138, 100] : [236, 228, 212];
    const colour = base.map((x) => Math.round(Math.min(255, x * light * 1.1))).join(",");
    const at = q.map(([x, y]) => `${(left + 0.4 * x).toFixed(1)},${(450 - 0.4 * y).toFixed(1)}`).join(" ");
    const fill = `rgb(${colour})`;
    list.push({
      depth: q[0][2] + q[1][2] + q[2][2],
      text: `<polygon points="${at}" fill="${fill}" stroke="${fill}"/>`,
    });
  }
  return list
    .sort((a, b) => a.depth - b.depth)
    .map((each) => each.text)
    .join("\n");
}

const body = [view(leg, 90, 110), view(leg, 45, 300), view(leg, 180, 500)].join("\n");
writeFileSync(
  new URL("../hind-leg.svg", import.meta.url),
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 560 430" width="560" height="430">\n<title>A built hind leg</title>\n${body}\n</svg>\n`,
);
