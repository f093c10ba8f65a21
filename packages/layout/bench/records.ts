// Published best layouts held to the exact check. FOLDER holds json/NAME.json (items) and records/final_best_NAME.svg.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { placePoints, type Point } from "@peltry/geometry";
import { readStrip } from "./published-strip";
import { checkLayout, type FabricPiece, type LayoutPanel, type Placement } from "../src/index";

/** Strip height, mm, to which every record is scaled: its figures have eight digits, the check's grid 0.001 mm. */
const HEIGHT = 100_000;

export function checkRecords(folder: string): void {
  for (const file of listJson(join(folder, "json"))) {
    const strip = readStrip(file);
    const { name } = strip;
    const drawing = join(folder, "records", `final_best_${name}.svg`);
    if (!existsSync(drawing)) continue;
    const scale = HEIGHT / strip.width;
    const svg = readFileSync(drawing, "utf8");
    const panels = strip.panels.map((panel) => ({ ...panel, outline: scaled(panel.outline, scale) }));
    const piece: FabricPiece = {
      id: "strip",
      napAngle: 0,
      outline: scaled(readPath(/<path d="([^"]+)"/.exec(svg)![1]), scale),
    };
    const placements = readPlacements(svg, panels, scale);
    const faults = checkLayout(panels, [piece], placements);
    // A control: the same layout with one panel pushed by a twentieth of its strip must fail.
    const pushed = placements.map((placement, k) => (k === 0 ? moved(placement, HEIGHT / 20) : placement));
    const caught = checkLayout(panels, [piece], pushed).length > 0;
    console.log(
      `${name.padEnd(10)} ${String(placements.length).padStart(4)} panels: ${faults.length === 0 ? "passes" : `${faults.length} faults, first: ${faults[0].message}`}; one panel pushed: ${caught ? "caught" : "NOT caught"}`,
    );
    if (faults.length > 0 || !caught) process.exitCode = 1;
  }
}

function listJson(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".json"))
    .sort()
    .map((name) => join(folder, name));
}

function scaled(points: readonly Point[], scale: number): Point[] {
  return points.map(([x, y]): Point => [x * scale, y * scale]);
}

function readPath(path: string): Point[] {
  return [...path.matchAll(/([-\d.e]+),([-\d.e]+)/g)].map(([, x, y]): Point => [Number(x), Number(y)]);
}

function readPlacements(svg: string, panels: readonly LayoutPanel[], scale: number): Placement[] {
  const copies = new Map<string, number>();
  return [...svg.matchAll(/<use [^>]*>/g)].flatMap(([tag]): Placement[] => {
    const id = /href="#item_(\d+)"/.exec(tag)?.[1];
    const move = /translate\(([-\d.e]+) ([-\d.e]+)\), rotate\(([-\d.e]+)\)/.exec(tag);
    if (id === undefined || move === null) return [];
    const copy = (copies.get(id) ?? 0) + 1;
    copies.set(id, copy);
    const [x, y, turn] = move.slice(1).map(Number);
    const at = { x: x * scale, y: y * scale };
    const panel = panels.find((other) => other.id === id)!;
    const outline = placePoints(panel.outline, (turn * Math.PI) / 180, at.x, at.y);
    return [{ panel: id, copy, piece: "strip", rotation: turn, turn, mirrored: false, ...at, outline }];
  });
}

function moved(placement: Placement, by: number): Placement {
  return { ...placement, x: placement.x + by, outline: placePoints(placement.outline, 0, by, 0) };
}
