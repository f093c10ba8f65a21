import type { Point, Point3 } from "@peltry/geometry";
import type { Panel } from "@peltry/pattern";
import { coneFromSector } from "./closed-forms";
import { arcPoints, discEdges } from "./flat-shapes";
import { plainPanel, type Join } from "./made-part";
import { partNumber } from "./number";
import { createSweep } from "./sweep";
import { line, openingShare, sideJoins, type TailOptions, type TailShape } from "./tail-shape";
import { coverBase, coverSweep } from "./worn-piece";

/** One straight cone, in one sector or parted into upper and underside. */
export function coneTail(options: TailOptions): TailShape {
  const slant = options.length;
  const fraction =
    options.circleFraction !== undefined
      ? partNumber(options.circleFraction, "circleFraction", 0.01, 0.95)
      : partNumber(options.baseGirth ?? slant, "baseGirth", 30, 0.95 * 2 * Math.PI * slant) /
        (2 * Math.PI * slant);
  const cone = coneFromSector(fraction, slant);
  const fabric = options.fabric ?? "fur";
  const under = options.underside;
  const share = under ? partNumber(under.share, "underside.share", 0.1, 0.6) : 0;
  const open = openingShare(options, slant);
  const upper = sectorPanel({ id: "tail", name: "Tail", fabric }, slant, cone.sectorDeg * (1 - share), open);
  const panels = [upper];
  const joins: Join[] = [];
  if (under) {
    panels.push(
      sectorPanel(
        { id: "underside", name: "Tail, underside", fabric: under.fabric },
        slant,
        cone.sectorDeg * share,
        open,
      ),
    );
    joins.push(
      ...sideJoins(["tail", "right"], ["underside", "left"], false),
      ...sideJoins(["tail", "left"], ["underside", "right"], true),
    );
  } else joins.push(...sideJoins(["tail", "right"], ["tail", "left"], true));
  const arcs = panels.map((panel) => [panel.id, "base"] as const);
  const disc = basePanel(cone.radius, fabric, under ? [1 - share, share] : [1]);
  panels.push(disc);
  arcs.forEach((arc, k) => joins.push({ a: arc, b: ["base", `rim-${k + 1}`], note: "Closing disc" }));
  const sweep = createSweep(
    line(13, (t): Point3 => [0, cone.height * t, 0]),
    line(13, (t) => cone.radius * (1 - t)),
    [0, 0, 1],
  );
  const half = Math.PI * (1 - share);
  const spans = [[-half, half] as const, ...(under ? [[half, 2 * Math.PI - half] as const] : [])];
  const outline = disc.edges.flatMap((edge) => edge.points.slice(0, -1));
  return {
    panels,
    joins,
    sweep,
    volume: cone.volume,
    skin: cone.area + Math.PI * cone.radius ** 2,
    centre: [0, cone.height / 4, 0],
    skinCentre: [0, cone.height / 3, 0],
    radius: cone.radius,
    strain: 0,
    worn: [
      ...spans.map((span, k) =>
        coverSweep(sweep, {
          panel: panels[k].id,
          rows: sweep.middles.map((_, i) => i),
          span,
          columns: 32,
          flatAt: sectorAt(slant, cone.sectorDeg * (k === 0 ? 1 - share : share), sweep.middles.length),
        }),
      ),
      coverBase("base", sweep, outline, half),
    ],
  };
}

/** Place on a sector by row from base to tip and share of its angle. */
function sectorAt(slant: number, angleDeg: number, rows: number): (row: number, share: number) => Point {
  return (row, share) => {
    const angle = ((-90 + angleDeg * (share - 0.5)) * Math.PI) / 180;
    const from = slant * (1 - row / (rows - 1));
    return [from * Math.cos(angle), from * Math.sin(angle)];
  };
}

/** A sector with its tip at the top: left and right side parted at the stuffing opening, base arc below. */
function sectorPanel(
  given: Pick<Panel, "id" | "name" | "fabric">,
  slant: number,
  angleDeg: number,
  open: readonly [number, number],
): Panel {
  const steps = Math.max(12, Math.ceil(angleDeg / 2));
  const [from, to] = [-90 - angleDeg / 2, -90 + angleDeg / 2];
  const base = arcPoints([0, 0], slant, [from, to], steps);
  const side = (corner: Point, share: number): Point => [corner[0] * share, corner[1] * share];
  const [left, right] = [base[0], base[steps]];
  const tip: Point = [0, 0];
  const [a, b] = [side(right, open[1]), side(right, open[0])];
  const [c, d] = [side(left, open[0]), side(left, open[1])];
  return plainPanel({
    ...given,
    edges: [
      { id: "base", role: "raw", points: base },
      { id: "right-low", role: "raw", points: [right, a] },
      { id: "right-open", role: "raw", points: [a, b] },
      { id: "right-high", role: "raw", points: [b, tip] },
      { id: "left-high", role: "raw", points: [tip, c] },
      { id: "left-open", role: "raw", points: [c, d] },
      { id: "left-low", role: "raw", points: [d, left] },
    ],
    pile: 90,
    notes: ["Pile, where the cloth has one, runs from the base to the tip (up the page)."],
  });
}

function basePanel(radius: number, fabric: string, shares: readonly number[]): Panel {
  if (shares.length === 1) {
    const [edge] = discEdges(radius, ["rim-1"]);
    return plainPanel({ id: "base", name: "Closing disc", fabric, edges: [edge], pile: -90 });
  }
  const ends = shares.reduce<number[]>((list, share) => [...list, list[list.length - 1] + share], [0]);
  const sides = 96;
  const steps = shares.map((share) => Math.max(6, Math.round(sides * share)));
  const grow = shares.map(
    (share, k) => (Math.PI * share) / steps[k] / Math.sin((Math.PI * share) / steps[k]),
  );
  const drawn = radius * Math.max(...grow);
  const at = (share: number): Point => [
    drawn * Math.sin(2 * Math.PI * share),
    -drawn * Math.cos(2 * Math.PI * share),
  ];
  const edges = shares.map((share, k) => ({
    id: `rim-${k + 1}`,
    role: "raw" as const,
    points: Array.from({ length: steps[k] + 1 }, (_, i) =>
      at(i === steps[k] && k === shares.length - 1 ? 0 : ends[k] + (share * i) / steps[k]),
    ),
  }));
  return plainPanel({ id: "base", name: "Closing disc", fabric, edges, pile: -90 });
}
