import { completeMeasures, type Sex } from "@peltry/measure";
import { isPeltryError, type Form } from "@peltry/forms";

/** Code of the coded error that a call ends in, or "none". */
export function codeOf(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (isPeltryError(error)) return error.code;
    throw error;
  }
  return "none";
}

/** An invented wearer. */
export function wearer(sex: Sex = "female") {
  return sex === "female"
    ? completeMeasures({ stature: 1690, weightKg: 68, hip: 1005, insideLeg: 795, calf: 374 }, { sex })
        .measures
    : completeMeasures({ stature: 1790, weightKg: 84, hip: 1015, insideLeg: 850, calf: 392 }, { sex })
        .measures;
}

/** Smallest angle of each triangle, degrees, least first. */
export function smallestAngles(form: Form): number[] {
  const { positions: p, triangles } = form.mesh;
  const out: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    let least = 180;
    for (let k = 0; k < 3; k++) {
      const [a, b, c] = [0, 1, 2].map((i) => 3 * triangles[t + ((k + i) % 3)]);
      const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
      const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
      const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
      const angle = Math.acos(Math.min(1, Math.max(-1, dot / (Math.hypot(...u) * Math.hypot(...v)))));
      least = Math.min(least, (angle * 180) / Math.PI);
    }
    out.push(least);
  }
  return out.sort((a, b) => a - b);
}

/** Undirected edges of the mesh. */
export function meshEdges(form: Form): Set<string> {
  const out = new Set<string>();
  const { triangles } = form.mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k], triangles[t + ((k + 1) % 3)]];
      out.add(a < b ? `${a} ${b}` : `${b} ${a}`);
    }
  }
  return out;
}

/** Steps of a form's curves that are no mesh edges. */
export function brokenSteps(form: Form): string[] {
  const edges = meshEdges(form);
  const out: string[] = [];
  for (const { id, path, closed } of form.curves) {
    path.forEach((v, i) => {
      const next = i + 1 < path.length ? path[i + 1] : closed ? path[0] : undefined;
      if (next === undefined) return;
      if (!edges.has(v < next ? `${v} ${next}` : `${next} ${v}`)) out.push(`${id} ${i}`);
    });
  }
  return out;
}

/** Largest angle between neighbouring triangles, degrees. */
export function sharpestFold(form: Form): number {
  const { positions: p, triangles } = form.mesh;
  const normal = (t: number): number[] => {
    const [a, b, c] = [0, 1, 2].map((k) => 3 * triangles[3 * t + k]);
    const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(...n);
    return n.map((x) => x / length);
  };
  const side = new Map<string, number>();
  let worst = 0;
  for (let t = 0; t < triangles.length / 3; t++) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[3 * t + k], triangles[3 * t + ((k + 1) % 3)]];
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      const other = side.get(key);
      if (other === undefined) {
        side.set(key, t);
        continue;
      }
      const [m, n] = [normal(t), normal(other)];
      const cosine = m[0] * n[0] + m[1] * n[1] + m[2] * n[2];
      worst = Math.max(worst, (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI);
    }
  }
  return worst;
}
