import type { Point, Point3 } from "@peltry/geometry";
import type { Panel } from "@peltry/pattern";
import { sphereGore } from "./closed-forms";
import { discEdges } from "./flat-shapes";
import { plainPanel, type Join } from "./made-part";
import { partNumber } from "./number";
import { createSweep } from "./sweep";
import { LATER, line, type TailOptions, type TailShape } from "./tail-shape";
import { coverBase, coverSweep, type WornPiece } from "./worn-piece";

/** A ball of gores, cut off where the closing disc sits. */
export function puffTail(options: TailOptions): TailShape {
  const fabric = options.fabric ?? "fur";
  const radius = options.length / 2;
  const count = Math.round(partNumber(options.gores ?? 6, "gores", 4, 16));
  // The ball is cut off where the closing disc sits.
  const baseRadius =
    partNumber(options.baseGirth ?? 1.2 * radius * Math.PI, "baseGirth", 20, 1.9 * Math.PI * radius) /
    (2 * Math.PI);
  const low = -Math.acos(baseRadius / radius);
  const gore = (id: string, name: string): Panel => gorePanel({ id, name, fabric }, radius, count, low);
  const panels = Array.from({ length: count }, (_, k) => gore(`gore-${k + 1}`, `Puff, gore ${k + 1}`));
  const joins = panels.map((panel, k): Join => ({
    a: [panel.id, "right"],
    b: [panels[(k + 1) % count].id, "left"],
    ...(k === count - 1 ? { note: `${LATER} A third of the seam is enough.` } : {}),
  }));
  const ids = panels.map((_, k) => `rim-${k + 1}`);
  const steps = Math.ceil(96 / count);
  const disc = plainPanel({
    id: "base",
    name: "Closing disc",
    fabric,
    // Seen from outside, the gores follow each other the other way round the disc.
    edges: discEdges(baseRadius, [...ids].reverse()),
    pile: -90,
  });
  panels.forEach((panel, k) =>
    joins.push({ a: [panel.id, "base"], b: ["base", ids[k]], note: "Closing disc" }),
  );
  const height = radius * (1 - Math.sin(low));
  const heightOf = (lat: number): number => radius * (Math.sin(lat) - Math.sin(low));
  const lats = line(4 * steps, (t) => low + (Math.PI / 2 - low) * 0.97 * t);
  const sweep = createSweep(
    lats.map((lat): Point3 => [0, heightOf(lat), 0]),
    lats.map((lat) => radius * Math.cos(lat)),
    [0, 0, 1],
  );
  // Ball cut by a plane: volume and centre of the larger cap, from its flat face.
  const volume = (Math.PI * height * height * (3 * radius - height)) / 3;
  const fromBase = (height * (4 * radius - height)) / (4 * (3 * radius - height));
  const area = 2 * Math.PI * radius * height;
  const outline = disc.edges.flatMap((edge) => edge.points.slice(0, -1));
  const worn = wornGores(panels, radius, low);
  return {
    panels: [...panels, disc],
    joins,
    sweep,
    volume,
    skin: area + Math.PI * baseRadius ** 2,
    centre: [0, fromBase, 0],
    skinCentre: [0, (area * height) / 2 / (area + Math.PI * baseRadius ** 2), 0],
    radius: baseRadius,
    strain: sphereGore(radius, count).excess,
    worn: [...worn, coverBase("base", sweep, outline, 0)],
  };
}

/** Gores on the ball; each runs out in the pole. */
function wornGores(panels: readonly Panel[], radius: number, low: number): WornPiece[] {
  const rows = 25;
  const lats = line(rows, (t) => low + (Math.PI / 2 - low) * t);
  const ball = createSweep(
    lats.map((lat): Point3 => [0, radius * (Math.sin(lat) - Math.sin(low)), 0]),
    lats.map((lat, k) => (k === rows - 1 ? 0 : radius * Math.cos(lat))),
    [0, 0, 1],
    lats.map((): Point3 => [0, 1, 0]),
  );
  const step = (2 * Math.PI) / panels.length;
  return panels.map((panel, k) =>
    coverSweep(ball, {
      panel: panel.id,
      rows: lats.map((_, i) => i),
      span: [k * step, (k + 1) * step],
      columns: 8,
      flatAt: (row, share) => [step * ball.radii[row] * (share - 0.5), radius * (lats[row] - low)],
    }),
  );
}

function gorePanel(
  given: Pick<Panel, "id" | "name" | "fabric">,
  radius: number,
  count: number,
  low: number,
): Panel {
  const steps = 48;
  const at = (k: number, side: 1 | -1): Point => {
    const lat = low + ((Math.PI / 2 - low) * k) / steps;
    return [(side * Math.PI * radius * Math.cos(lat)) / count, radius * (lat - low)];
  };
  const right = Array.from({ length: steps + 1 }, (_, k): Point =>
    k === steps ? [0, radius * (Math.PI / 2 - low)] : at(k, 1),
  );
  const left = right.map(([x, y]): Point => [-x, y]).reverse();
  return plainPanel({
    ...given,
    edges: [
      { id: "base", role: "raw", points: [left[steps], right[0]] },
      { id: "right", role: "raw", points: right },
      { id: "left", role: "raw", points: left },
    ],
    pile: 90,
  });
}
