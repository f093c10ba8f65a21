import { addAllowance } from "@peltry/allowance";
import { distanceToPolyline, signedArea, type Point } from "@peltry/geometry";
import type { Edge } from "@peltry/pattern";
import { fit, INK, onPage, pathData, picture, words } from "../../scripts/draw";
import { rounded, type ExampleResult } from "../../scripts/example";

const edge = (id: string, role: Edge["role"], ...points: Point[]): Edge => ({ id, role, points });

/** A cuff: hem below, seams at the sides, a curved top. */
function cuff(): Edge[] {
  const top = Array.from({ length: 13 }, (_, i): Point => {
    const a = (Math.PI * i) / 12;
    return [90 + 70 * Math.cos(a), 110 + 22 * Math.sin(a)];
  });
  return [
    edge("hem", "hem", [0, 0], [180, 0]),
    edge("right", "seam", [180, 0], [160, 110]),
    edge(
      "top",
      "seam",
      ...top.map(([x, y], i): Point => (i === 0 ? [160, 110] : i === 12 ? [20, 110] : [x, y])),
    ),
    edge("left", "seam", [20, 110], [0, 0]),
  ];
}

/** One sew line, four ways to turn its corners. */
export function run(): ExampleResult {
  const edges = cuff();
  const sew = edges.flatMap(({ points }) => points.slice(0, -1));
  const ways = ["mitred", "rounded", "squared-to-after", "butt"] as const;
  const made = ways.map((corner) =>
    addAllowance(edges, { roles: { seam: 10, hem: 30 }, corner, cloth: "pile" }),
  );
  const drawing = made.map(({ cutLine }, i) => {
    const frame = fit(
      [
        [-14, -32],
        [196, 148],
      ],
      [10 + 158 * i, 30, 145, 170],
    );
    return [
      `<path d="${pathData(cutLine.map((p) => onPage(frame, p)))}" fill="${INK.straw}" stroke="${INK.line}" stroke-width="1.6"/>`,
      `<path d="${pathData(sew.map((p) => onPage(frame, p)))}" fill="#fff" stroke="${INK.line}" stroke-dasharray="5 3"/>`,
      words(82 + 158 * i, 20, ways[i], 'text-anchor="middle"'),
    ].join("");
  });
  // Outside check: Steiner's formula, area of a rounded offset of a convex outline = A + w·P + π·w².
  const square: Point[] = [
    [0, 0],
    [100, 0],
    [100, 80],
    [0, 80],
  ];
  const sides = square.map((p, i) => edge(`s${i}`, "seam", p, square[(i + 1) % 4]));
  const round = addAllowance(sides, { width: 12, corner: "rounded" });
  const closed = [...sew, sew[0]];
  const seamOnly = addAllowance(edges, { roles: { seam: 10, hem: 10 }, turnHems: false });
  return {
    figures: {
      steiner: rounded(8000 + 12 * 360 + Math.PI * 144, 0),
      roundArea: rounded(signedArea(round.cutLine), 0),
      least: rounded(Math.min(...seamOnly.cutLine.map((p) => distanceToPolyline(p, closed))), 3),
      clips: made[0].clips.length,
      hemCorner: made[0].corners[0].used,
    },
    files: {
      "corners.svg": picture(
        645,
        215,
        "The cut line round one cuff with mitred, rounded, squared and butted corners",
        drawing.join("\n"),
      ),
    },
  };
}
