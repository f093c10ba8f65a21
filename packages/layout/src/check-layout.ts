// Shares no code with the engine: own transform, own integer geometry on BigInt. It must stay that way.
import type { Issue } from "@peltry/issues";
import type { Point } from "@peltry/geometry";
import { clear, insideClosed, meets, outsideClosed, ring, type Ring } from "./internal/exact-rings";
import type { FabricPiece, LayoutPanel, Placement } from "./types";

/** What {@link checkLayout} holds the placements to. */
export interface CheckLayoutOptions {
  /** mm between panels; at 0 they must not even touch. */
  readonly gap?: number;
  /** mm to the edges of the piece and of its holes; at 0 they may touch. */
  readonly edgeGap?: number;
  /** Panels known to be left out: `[panel, copy, mirrored]`. Without it a missing panel is a fault. */
  readonly unplaced?: readonly {
    readonly panel: string;
    readonly copy: number;
    readonly mirrored: boolean;
  }[];
}

/** Cut lines may differ from the turned drawing by rounding to the grid alone, mm. */
const ROUNDING = 0.0015;

/**
 * Every fault of a layout, decided exactly on a grid of 0.001 mm by code that shares nothing with the engine: each
 * panel once, turned and mirrored as it may, on its fabric and piece, inside, clear of holes and poor cloth, and
 * every pair at least the gap apart (2.000 mm passes for a gap of 2, 1.999 fails).
 *
 * @returns issues with codes `layout/check-…`; empty for a valid layout
 * @remarks cost: sides × sides of panels whose boxes come within the gap
 */
export function checkLayout(
  panels: readonly LayoutPanel[],
  pieces: readonly FabricPiece[],
  placements: readonly Placement[],
  options: CheckLayoutOptions = {},
): Issue[] {
  const issues: Issue[] = [];
  const report = (code: string, message: string, at: Issue["at"], more: Partial<Issue> = {}): void => {
    issues.push({ code: `layout/check-${code}`, severity: "error", message, at, ...more });
  };
  const gap = steps(options.gap ?? 0);
  const edgeGap = steps(options.edgeGap ?? 0);
  const panelById = new Map(panels.map((panel) => [panel.id, panel]));
  const pieceById = new Map(pieces.map((piece) => [piece.id, piece]));
  const rings = placements.map((placement) => ring(placement.outline));
  checkCounts(panels, placements, options.unplaced ?? [], report);
  placements.forEach((placement, i) => {
    const panel = panelById.get(placement.panel);
    const piece = pieceById.get(placement.piece);
    const at = { panel: placement.panel, piece: placement.piece };
    if (panel === undefined) return report("unknown", `There is no panel "${placement.panel}".`, at);
    if (piece === undefined) return report("unknown", `There is no piece "${placement.piece}".`, at);
    checkRules(panel, piece, placement, report);
    checkOnPiece(panel, piece, rings[i], edgeGap, (code, message) => report(code, message, at));
  });
  for (let i = 0; i < placements.length; i++) {
    for (let j = i + 1; j < placements.length; j++) {
      if (placements[i].piece !== placements[j].piece || clear(rings[i], rings[j], gap)) continue;
      report(
        "gap",
        `Panels ${placements[i].panel} and ${placements[j].panel} lie closer than ${Number(gap) / 1000} mm on piece ${placements[i].piece}.`,
        { panel: placements[i].panel, piece: placements[i].piece },
        { limit: Number(gap) / 1000 },
      );
    }
  }
  return issues;
}

type Report = (code: string, message: string, at: Issue["at"], more?: Partial<Issue>) => void;

function steps(mm: number): bigint {
  return BigInt(Math.round(mm * 1000));
}

function checkCounts(
  panels: readonly LayoutPanel[],
  placements: readonly Placement[],
  unplaced: NonNullable<CheckLayoutOptions["unplaced"]>,
  report: Report,
): void {
  const seen = new Map<string, number>();
  for (const { panel, copy, mirrored } of [...placements, ...unplaced]) {
    const key = `${panel}\u0000${copy}\u0000${mirrored}`;
    seen.set(key, (seen.get(key) ?? 0) + 1);
  }
  let wanted = 0;
  for (const panel of panels) {
    for (const mirrored of panel.mirrored ? [false, true] : [false]) {
      for (let copy = 1; copy <= (panel.count ?? 1); copy++) {
        wanted++;
        const found = seen.get(`${panel.id}\u0000${copy}\u0000${mirrored}`) ?? 0;
        if (found !== 1) {
          report(
            "count",
            `Copy ${copy} of panel ${panel.id} is there ${found} times.`,
            { panel: panel.id },
            { found, limit: 1 },
          );
        }
      }
    }
  }
  const total = placements.length + unplaced.length;
  if (total !== wanted)
    report("count", `${total} placements for ${wanted} panels.`, {}, { found: total, limit: wanted });
}

function checkRules(panel: LayoutPanel, piece: FabricPiece, placement: Placement, report: Report): void {
  const at = { panel: panel.id, piece: piece.id };
  const rotations = panel.rotations ?? [0];
  const same = (a: number, b: number): boolean => Math.abs(((((a - b) % 360) + 540) % 360) - 180) < 1e-9;
  if (rotations !== "free" && !rotations.some((turn) => same(turn, placement.rotation))) {
    report("rotation", `Panel ${panel.id} may not be turned by ${placement.rotation}°.`, at, {
      found: placement.rotation,
    });
  }
  if (!same(placement.turn, placement.rotation + (piece.napAngle ?? 90) - (panel.napAngle ?? 90))) {
    report("rotation", `The turn of panel ${panel.id} does not follow from its rotation and the naps.`, at, {
      found: placement.turn,
    });
  }
  if (placement.mirrored && !panel.mirrored) report("mirror", `Panel ${panel.id} may not be mirrored.`, at);
  if (panel.fabric !== undefined && piece.fabric !== undefined && panel.fabric !== piece.fabric) {
    report("fabric", `Panel ${panel.id} is of ${panel.fabric}, piece ${piece.id} of ${piece.fabric}.`, at);
  }
  if (panel.piece !== undefined && panel.piece !== piece.id) {
    report("bound", `Panel ${panel.id} belongs on piece ${panel.piece}.`, at);
  }
  const drawn = openFold(panel);
  const off = farthest(drawn, placement, panel.napAngle ?? 90);
  if (!(off <= ROUNDING)) {
    report("outline", `The placed outline of panel ${panel.id} is not its cut line turned and shifted.`, at, {
      found: off,
      limit: ROUNDING,
    });
  }
}

/** The whole cut line of a panel on the fold. */
function openFold(panel: LayoutPanel): readonly Point[] {
  if (panel.onFold === undefined || panel.onFold === false) return panel.outline;
  const { outline } = panel;
  const n = outline.length;
  let a: Point;
  let b: Point;
  if (panel.onFold === true) {
    const lengths = outline.map((p, i) =>
      Math.hypot(outline[(i + 1) % n][0] - p[0], outline[(i + 1) % n][1] - p[1]),
    );
    const i = lengths.indexOf(Math.max(...lengths));
    [a, b] = [outline[i], outline[(i + 1) % n]];
  } else [a, b] = panel.onFold;
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const square = ux * ux + uy * uy;
  const mirrored = outline.map(([x, y]): Point => {
    const t = ((x - a[0]) * ux + (y - a[1]) * uy) / square;
    return [2 * (a[0] + t * ux) - x, 2 * (a[1] + t * uy) - y];
  });
  const onFold = ([x, y]: Point): boolean => {
    const t = ((x - a[0]) * ux + (y - a[1]) * uy) / square;
    const off = Math.abs((x - a[0]) * uy - (y - a[1]) * ux) / Math.sqrt(square);
    return t > 1e-9 && t < 1 - 1e-9 && off < 1e-3;
  };
  return [...outline, ...mirrored].filter((p) => !onFold(p));
}

/** Largest distance from a corner of the turned drawing to the placed outline's corners or sides, and back. */
function farthest(drawn: readonly Point[], placement: Placement, nap: number): number {
  const turn = (placement.turn * Math.PI) / 180;
  const axis = (2 * nap * Math.PI) / 180;
  const moved = drawn.map(([x, y]): Point => {
    const u = placement.mirrored ? Math.cos(axis) * x + Math.sin(axis) * y : x;
    const v = placement.mirrored ? Math.sin(axis) * x - Math.cos(axis) * y : y;
    return [
      Math.cos(turn) * u - Math.sin(turn) * v + placement.x,
      Math.sin(turn) * u + Math.cos(turn) * v + placement.y,
    ];
  });
  let worst = 0;
  const { outline } = placement;
  for (const p of moved) {
    let best = Infinity;
    for (let i = 0; i < outline.length && best > ROUNDING; i++) {
      best = Math.min(best, toSide(p, outline[i], outline[(i + 1) % outline.length]));
    }
    worst = Math.max(worst, best);
  }
  for (const p of outline) {
    let best = Infinity;
    for (const q of moved) best = Math.min(best, Math.hypot(p[0] - q[0], p[1] - q[1]));
    worst = Math.max(worst, best);
  }
  return worst;
}

function toSide(p: Point, a: Point, b: Point): number {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / (ux * ux + uy * uy || 1)));
  return Math.hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy);
}

function checkOnPiece(
  panel: LayoutPanel,
  piece: FabricPiece,
  placed: Ring,
  edgeGap: bigint,
  report: (code: string, message: string) => void,
): void {
  const border = pieceRing(piece);
  const inside = edgeGap > 0n ? clear(placed, border, edgeGap, true) : insideClosed(placed, border);
  if (!inside)
    report(
      "edge",
      `Panel ${panel.id} does not lie ${edgeGap > 0n ? `${Number(edgeGap) / 1000} mm ` : ""}inside piece ${piece.id}.`,
    );
  (piece.holes ?? []).forEach((hole, h) => {
    const other = ring(hole);
    const off = edgeGap > 0n ? clear(placed, other, edgeGap) : outsideClosed(placed, other);
    if (!off) report("hole", `Panel ${panel.id} comes too near hole ${h + 1} of piece ${piece.id}.`);
  });
  (piece.zones ?? []).forEach((zone, z) => {
    if (panel.minQuality !== undefined && zone.quality >= panel.minQuality) return;
    const other = ring(zone.outline);
    if (meets(placed, other) && !outsideClosed(placed, other)) {
      report(
        "quality",
        `Panel ${panel.id} lies on zone ${z + 1} of piece ${piece.id}, quality ${zone.quality}.`,
      );
    }
  });
}

function pieceRing(piece: FabricPiece): Ring {
  if (piece.outline !== undefined) return ring(piece.outline);
  const width = piece.roll?.width ?? piece.width ?? 0;
  const length = piece.roll === undefined ? (piece.length ?? 0) : (piece.roll.maxLength ?? 1e7);
  const alongX = Math.abs(Math.sin(((piece.napAngle ?? 90) * Math.PI) / 180)) < 0.5;
  const [w, h] = alongX ? [length, width] : [width, length];
  return ring([
    [0, 0],
    [w, 0],
    [w, h],
    [0, h],
  ]);
}
