import type { Edge, EdgeRole, Panel, Pattern } from "../src/index";

export function edge(id: string, role: EdgeRole, points: Edge["points"], more: Partial<Edge> = {}): Edge {
  return { id, role, points, ...more };
}

export function panel(id: string, edges: readonly Edge[], more: Partial<Panel> = {}): Panel {
  return { id, name: id, fabric: "fur", edges, darts: [], markings: [], count: 1, mirrored: false, ...more };
}

/** Two strips of 100 by 60 sewn along one long side; the rest hemmed. */
export function twoStrips(): Pattern {
  const strip = (id: string, seam: string): Panel =>
    panel(
      id,
      [
        edge("bottom", "hem", [
          [0, 0],
          [100, 0],
        ]),
        edge(
          "side",
          "seam",
          [
            [100, 0],
            [100, 60],
          ],
          { seam, notches: [{ at: id === "left" ? 20 : 40, kind: "single", match: "m1" }] },
        ),
        edge("top", "raw", [
          [100, 60],
          [0, 60],
        ]),
        edge("back", "raw", [
          [0, 60],
          [0, 0],
        ]),
      ],
      { pile: -90 },
    );
  return {
    format: "peltry-pattern",
    version: 1,
    name: "two strips",
    panels: [strip("left", "s1"), strip("right", "s1")],
    seams: [
      {
        id: "s1",
        letter: "A",
        a: { panel: "left", edge: "side" },
        b: { panel: "right", edge: "side" },
        reversed: true,
        matchPoints: [{ id: "m1", a: 20, b: 40 }],
      },
    ],
    fabrics: [{ id: "fur", name: "grey fur", pileMm: 20 }],
  };
}
