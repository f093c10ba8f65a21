import { checkLayout, layOut, type FabricPiece, type LayoutPanel } from "@peltry/layout";
import { signedArea, type Point } from "@peltry/geometry";
import { rounded, type ExampleResult } from "../../scripts/example";

const PANELS: LayoutPanel[] = [
  {
    id: "thigh",
    outline: [
      [0, 0],
      [230, 0],
      [275, 170],
      [205, 330],
      [35, 320],
      [-30, 160],
    ],
    mirrored: true,
  },
  {
    id: "shin",
    outline: [
      [0, 0],
      [120, 0],
      [150, 120],
      [70, 340],
      [-20, 140],
    ],
    mirrored: true,
  },
  {
    id: "tail",
    outline: [
      [0, 0],
      [190, 0],
      [120, 210],
      [70, 210],
    ],
  },
  {
    id: "ear",
    outline: [
      [0, 0],
      [75, 20],
      [88, 130],
      [35, 230],
      [-12, 110],
    ],
    count: 1,
    mirrored: true,
  },
  {
    id: "cape",
    outline: [
      [0, 0],
      [640, 0],
      [640, 190],
      [0, 190],
    ],
  },
];
const PIECES: FabricPiece[] = [
  {
    id: "corner",
    name: "corner of a rug",
    napAngle: 90,
    outline: [
      [0, 0],
      [600, 0],
      [620, 420],
      [360, 720],
      [0, 700],
    ],
    holes: [
      [
        [60, 590],
        [60, 640],
        [110, 640],
        [110, 590],
      ],
    ],
  },
  { id: "offcut", name: "offcut", width: 540, length: 440 },
];

/** Panels of the hare on two odd pieces; one panel is too wide for both. */
export function run(): ExampleResult {
  const options = { gap: 16, edgeGap: 5, seed: 7, evaluations: 30_000 };
  const layout = layOut(PANELS, PIECES, options);
  const faults = checkLayout(PANELS, PIECES, layout.placements, {
    gap: 16,
    edgeGap: 5,
    unplaced: layout.unplaced,
  });
  const placed = layout.placements.reduce(
    (sum, { outline }) => sum + Math.abs(signedArea(outline as Point[])),
    0,
  );
  return {
    figures: {
      placed: layout.placements.length,
      unplaced: layout.unplaced.map(({ panel }) => panel).join(", "),
      why: layout.unplaced[0]?.reason ?? "",
      faults: faults.length,
      pieces: layout.piecesTouched.length,
      panelDm2: rounded(layout.panelArea / 10_000, 2),
      shoelaceDm2: rounded(placed / 10_000, 2),
      densityPercent: rounded(100 * layout.density, 0),
      toBuy: layout.toBuy.length,
    },
    files: Object.fromEntries(layout.drawings.map((drawing) => [`${drawing.piece}.svg`, drawing.svg])),
  };
}
