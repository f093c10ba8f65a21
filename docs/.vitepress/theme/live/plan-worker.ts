import { decide, planSeams, type SeamDecision } from "@peltry/seams";

// Planning takes longer than a frame: it runs beside the page, and the answer comes as plain data.

/** What the figure asks. */
export interface PlanQuestion {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** Strain that the cloth takes, as a fraction. */
  readonly limit: number;
  readonly decisions: readonly SeamDecision[];
}

/** One suggestion, and what to write down if the person keeps or refuses it. */
export interface PlannedCut {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
  readonly reason: string;
  readonly length: number;
  readonly line: readonly (readonly [number, number, number])[];
  readonly keep: SeamDecision;
  readonly refuse: SeamDecision;
}

/** What comes back. */
export interface PlanAnswer {
  readonly cuts: readonly PlannedCut[];
  readonly panels: readonly {
    readonly triangles: Uint32Array;
    readonly positions: Float64Array;
    readonly values: Float64Array;
    readonly loops: readonly (readonly number[])[];
  }[];
  readonly withinLimits: boolean;
}

onmessage = ({ data }: MessageEvent<PlanQuestion>) => {
  const { limit, decisions } = data;
  const plan = planSeams(data, { limit, decisions, pile: [0, 0, 1] });
  const answer: PlanAnswer = {
    withinLimits: plan.withinLimits,
    cuts: plan.arcs
      .filter(({ origin }) => origin === "suggestion")
      .map(({ id, kind, state, reason, length, line }) => ({
        id,
        kind,
        state,
        reason,
        length,
        line,
        keep: decide(plan, id, "lock"),
        refuse: decide(plan, id, "reject", { radius: 25 }),
      })),
    panels: plan.panels.map(({ patch, flat }) => ({
      triangles: patch.mesh.triangles,
      positions: flat.positions,
      values: flat.strain.major.map((v, t) => (-flat.strain.minor[t] > v ? flat.strain.minor[t] : v)),
      loops: flat.loops,
    })),
  };
  postMessage(answer);
};
