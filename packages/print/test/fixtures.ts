import type { Point } from "@peltry/geometry";
import type { Edge, Panel, Pattern, Seam } from "@peltry/pattern";

/** Straight line with points every `step` mm. */
export function straight(a: Point, b: Point, bulge = 0, count = 24): Point[] {
  const nx = -(b[1] - a[1]);
  const ny = b[0] - a[0];
  const length = Math.hypot(nx, ny);
  return Array.from({ length: count + 1 }, (_, i): Point => {
    const t = i / count;
    const out = (bulge * 4 * t * (1 - t)) / length;
    return [a[0] + (b[0] - a[0]) * t + nx * out, a[1] + (b[1] - a[1]) * t + ny * out];
  });
}

type EdgeMore = Partial<Omit<Edge, "id" | "points">>;

export function edge(id: string, points: readonly Point[], more: EdgeMore = {}): Edge {
  return { id, role: "seam", ...more, points };
}

export function panel(id: string, name: string, edges: Edge[], more: Partial<Panel> = {}): Panel {
  return { id, name, fabric: "hare", edges, darts: [], markings: [], count: 1, mirrored: false, ...more };
}

export function pattern(panels: Panel[], seams: Seam[] = [], name = "Moor hare"): Pattern {
  return {
    format: "peltry-pattern",
    version: 1,
    name,
    panels,
    seams,
    fabrics: [
      { id: "hare", name: "Winter hare fur, 30 mm pile", pileMm: 30 },
      { id: "belly", name: "Cream plush" },
    ],
  };
}

export function seam(id: string, letter: string, a: [string, string], b: [string, string]): Seam {
  return {
    id,
    letter,
    a: { panel: a[0], edge: a[1] },
    b: { panel: b[0], edge: b[1] },
    reversed: true,
    matchPoints: [],
  };
}

/** A rectangle of four straight edges with its lower left corner at (x, y). */
export function rectangle(
  id: string,
  width: number,
  height: number,
  x = 0,
  y = 0,
  more: Partial<Panel> = {},
): Panel {
  const c: Point[] = [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
  const sides = c.map((p, i) => edge(`${id}-${i}`, [p, c[(i + 1) % 4]!], { role: "raw" }));
  return panel(id, `Rectangle ${id}`, sides, more);
}

/** A panel of one edge round any closed outline. */
export function outlinePanel(id: string, outline: readonly Point[], more: Partial<Panel> = {}): Panel {
  return panel(id, `Outline ${id}`, [edge(`${id}-0`, [...outline, outline[0]!], { role: "raw" })], more);
}

/** The outline moved outward by a distance along corner bisectors: good enough for smooth fixtures. */
export function grown(outline: readonly Point[], by: number): Point[] {
  const n = outline.length;
  return outline.map((p, i): Point => {
    const a = outline[(i + n - 1) % n]!;
    const b = outline[(i + 1) % n]!;
    const u = unit(a, p);
    const v = unit(p, b);
    const nx = u[1] + v[1];
    const ny = -u[0] - v[0];
    const k = by / Math.max(0.3, (nx * nx + ny * ny) / 2);
    return [p[0] + nx * k, p[1] + ny * k];
  });
}

function unit(a: Point, b: Point): Point {
  const d = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  return [(b[0] - a[0]) / d, (b[1] - a[1]) / d];
}

/** Part of a hare's leg: a haunch with a dart, a shin on the fold, a heel gusset, an ear with its lining, a tail. */
export function hare(): Pattern {
  const haunch = panel(
    "haunch",
    "Haunch, outer",
    [
      edge("waist", straight([0, 0], [150, -30], -12), { role: "hem" }),
      edge("dart-in", straight([150, -30], [165, 90], 0, 6), { role: "dart", seam: "s-dart" }),
      edge("dart-out", straight([165, 90], [184, -28], 0, 6), { role: "dart", seam: "s-dart" }),
      edge("waist-2", straight([184, -28], [310, 20], -8), { role: "hem" }),
      edge("back", straight([310, 20], [270, 420], -45), {
        seam: "s-back",
        notches: [
          { at: 110, kind: "single" },
          { at: 290, kind: "double" },
        ],
      }),
      edge("knee", straight([270, 420], [60, 430], -10), {
        seam: "s-knee",
        notches: [{ at: 105, kind: "single" }],
      }),
      edge("front", straight([60, 430], [0, 0], -30), {
        seam: "s-front",
        notches: [{ at: 200, kind: "single" }],
      }),
    ],
    {
      darts: [
        { id: "d1", legs: ["dart-in", "dart-out"], tip: [165, 90], intake: 34, length: 121, cut: true },
      ],
      markings: [
        {
          id: "spot",
          kind: "area",
          points: straight([180, 230], [240, 230], -25, 12).concat(
            straight([240, 230], [180, 230], -25, 12).slice(1, -1),
          ),
          label: "Spot",
          fabric: "belly",
          method: "applied",
        },
        { id: "snap", kind: "drill", points: [[60, 40]], label: "snap" },
        { id: "top", kind: "line", points: straight([40, 330], [255, 330], 12), label: "top-stitch" },
      ],
      pile: 90,
      stretch: 0,
      mirrored: true,
      notes: ["Trim the pile back in the allowance"],
    },
  );
  const shin = panel(
    "shin",
    "Shin, front",
    [
      edge("ankle", straight([0, 0], [80, 0], -4), { role: "opening" }),
      edge("side", straight([80, 0], [110, 380], 14), {
        seam: "s-front",
        notches: [{ at: 190, kind: "double" }],
      }),
      edge("top", straight([110, 380], [0, 390], 0), { seam: "s-knee" }),
      edge(
        "middle",
        [
          [0, 390],
          [0, 0],
        ],
        { role: "fold" },
      ),
    ],
    { pile: -90, mirrored: true },
  );
  const ear = (id: string, name: string, fabric: string): Panel =>
    panel(
      id,
      name,
      [
        edge("base", straight([0, 0], [70, 0], -6, 8), { role: "raw" }),
        edge("outer", straight([70, 0], [35, 190], -16), { seam: "s-ear" }),
        edge("inner", straight([35, 190], [0, 0], -16), { seam: "s-ear-2" }),
      ],
      { pile: 90, mirrored: true, fabric, ...(fabric === "belly" && { layer: "lining" as const }) },
    );
  const gusset = panel(
    "gusset",
    "Heel gusset",
    [
      edge("g1", straight([0, 0], [46, 0], 0, 4), { seam: "s-back" }),
      edge("g2", straight([46, 0], [23, 22], -3, 6), { seam: "s-ear" }),
      edge("g3", straight([23, 22], [0, 0], -3, 6), { seam: "s-ear-2" }),
    ],
    { count: 2, pile: -90, stretch: 0 },
  );
  const strip = panel(
    "strip",
    "Tail binding strip",
    [
      edge("b1", straight([0, 0], [300, 0], 0, 4), { seam: "s-back" }),
      edge(
        "b2",
        [
          [300, 0],
          [300, 24],
        ],
        { role: "raw" },
      ),
      edge("b3", straight([300, 24], [0, 24], 0, 4), { seam: "s-knee" }),
      edge(
        "b4",
        [
          [0, 24],
          [0, 0],
        ],
        { role: "raw" },
      ),
    ],
    { grain: 0 },
  );
  const tail = panel(
    "tail",
    "Tail gore",
    [
      edge("t1", straight([0, 0], [60, 0], -8, 10), { role: "opening" }),
      edge("t2", straight([60, 0], [30, 240], -22), { seam: "s-back" }),
      edge("t3", straight([30, 240], [0, 0], -22), { seam: "s-front" }),
    ],
    { count: 3, pile: 90 },
  );
  const seams = ["dart", "back", "knee", "front", "ear", "ear-2"].map((name, i) =>
    seam(`s-${name}`, String.fromCharCode(65 + i), ["haunch", "back"], ["tail", "t2"]),
  );
  return pattern(
    [
      haunch,
      shin,
      ear("ear", "Ear, outer", "hare"),
      ear("ear-lining", "Ear, inner", "belly"),
      gusset,
      strip,
      tail,
    ],
    seams,
  );
}

/** Cut lines of all panels, 12 mm out. */
export function cutLinesOf(given: Pattern, by = 12): Record<string, Point[]> {
  return Object.fromEntries(
    given.panels.map((one) => [
      one.id,
      grown(
        one.edges.flatMap((e) => e.points.slice(0, -1)),
        by,
      ),
    ]),
  );
}
