// Says what of a plan cannot be sewn, by code that shares nothing with the planner: darts from the flat legs, meeting
// points from the paths, mismatch from both flat sides.
import type { SeamPlan, SewabilityRules } from "../src/index";

export function unsewable(plan: SeamPlan, rules: SewabilityRules): string[] {
  const out: string[] = [];
  const flat = new Map(plan.panels.map((panel) => [panel.id, panel.flat.positions]));
  const gap = (p: Float64Array, u: number, v: number): number =>
    Math.hypot(p[2 * u] - p[2 * v], p[2 * u + 1] - p[2 * v + 1]);
  const run = (p: Float64Array, path: readonly number[]): number =>
    path.slice(1).reduce((sum, v, i) => sum + gap(p, v, path[i]), 0);
  for (const seam of plan.seams) {
    const [p, q] = [flat.get(seam.a.patch)!, flat.get(seam.b.patch)!];
    const [a, b] = [run(p, seam.a.path), run(q, seam.b.path)];
    if (Math.abs(a - b) > Math.max(1, 0.005 * Math.max(a, b)))
      out.push(`${seam.id}: sides of ${a.toFixed(1)} and ${b.toFixed(1)} mm`);
  }
  for (const arc of plan.arcs) {
    if (arc.origin !== "suggestion" || arc.kind !== "dart") continue;
    if (arc.length < rules.minDartLength) out.push(`${arc.id}: only ${arc.length.toFixed(1)} mm long`);
    // A dart that is one slit: its mouth is where the two flat sides begin apart.
    const own = plan.seams.filter((seam) => {
      const panel = plan.panels.find(({ id }) => id === seam.a.patch)!;
      const on = new Set(arc.path);
      return seam.kind === "slit" && seam.a.path.every((v) => on.has(panel.patch.sourceVertex[v]));
    });
    if (own.length !== 1 || own[0].a.path.length !== arc.path.length) continue;
    const p = flat.get(own[0].a.patch)!;
    const mouth = Math.max(
      gap(p, own[0].a.path[0], own[0].b.path[0]),
      gap(p, own[0].a.path.at(-1)!, own[0].b.path.at(-1)!),
    );
    if (mouth < rules.minDartWidth) out.push(`${arc.id}: only ${mouth.toFixed(1)} mm wide`);
    const legs = Math.abs(run(p, own[0].a.path) - run(p, own[0].b.path));
    if (legs > 0.5) out.push(`${arc.id}: legs differ by ${legs.toFixed(2)} mm`);
  }
  // Arms that meet at a vertex, counted over distinct edges; lines that the person drew may meet as they like.
  const arms = new Map<number, Set<number>>();
  for (const { path, closed } of plan.arcs) {
    const line = closed ? [...path, path[0]] : path;
    for (let i = 1; i < line.length; i++) {
      for (const [u, v] of [
        [line[i - 1], line[i]],
        [line[i], line[i - 1]],
      ])
        arms.set(u, (arms.get(u) ?? new Set()).add(v));
    }
  }
  for (const arc of plan.arcs) {
    if (arc.origin !== "suggestion" || arc.kind === "opening" || arc.kind === "width") continue;
    for (const v of [arc.path[0], arc.path[arc.path.length - 1]]) {
      const count = arms.get(v)!.size;
      if (count > rules.maxSeamsAtPoint) out.push(`${arc.id}: ${count} seams meet at its end`);
    }
  }
  out.push(...runningOn(plan, arms));
  for (const panel of plan.panels) {
    const area = panel.flat.positions;
    const loop = panel.flat.loops[0];
    const twice = loop.reduce((sum, v, i) => {
      const w = loop[(i + 1) % loop.length];
      return sum + area[2 * v] * area[2 * w + 1] - area[2 * w] * area[2 * v + 1];
    }, 0);
    if (plan.panels.length > 1 && twice / 2 < 0.9 * rules.minPanelArea)
      out.push(`${panel.id}: a scrap of ${(twice / 2).toFixed(0)} mm²`);
  }
  return out;
}

/** Suggestions that are told as two though the one runs straight on from the end of the other. */
function runningOn({ arcs, mesh }: SeamPlan, arms: ReadonlyMap<number, ReadonlySet<number>>): string[] {
  const loose = arcs.filter(
    ({ origin, kind, state }) =>
      origin === "suggestion" && ["dart", "seam"].includes(kind) && state === "proposed",
  );
  const place = (v: number): number[] => [0, 1, 2].map((k) => mesh.positions[3 * v + k]);
  const way = (from: number, path: readonly number[]): number[] => {
    const line = path[0] === from ? path : [...path].reverse();
    const to =
      line.find((v) => Math.hypot(...place(v).map((x, k) => x - place(from)[k])) > 12) ?? line.at(-1)!;
    const d = place(to).map((x, k) => x - place(from)[k]);
    return d.map((x) => x / Math.hypot(...d));
  };
  const out: string[] = [];
  for (const a of loose) {
    for (const b of loose) {
      if (a.id >= b.id || a.partner === b.id) continue;
      const met = [a.path[0], a.path.at(-1)!].filter((v) => v === b.path[0] || v === b.path.at(-1));
      if (met.length !== 1 || arms.get(met[0])!.size !== 2) continue;
      const [p, q] = [way(met[0], a.path), way(met[0], b.path)];
      const cosine = -p.reduce((sum, x, k) => sum + x * q[k], 0);
      if (cosine > Math.cos((40 * Math.PI) / 180)) out.push(`${a.id} runs on as ${b.id}`);
    }
  }
  return out;
}
