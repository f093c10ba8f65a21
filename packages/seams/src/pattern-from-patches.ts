import { polylineLength, type Point } from "@peltry/geometry";
import {
  seamLetter,
  type Dart,
  type Edge,
  type EdgeRole,
  type Panel,
  type Pattern,
  type Seam,
} from "@peltry/pattern";
import type { Patch, PatchCutting, PatchEdge, PatchSeam } from "./cut-into-patches";

/** What the geometry does not know about a patch. */
export interface PanelInfo {
  readonly id: string;
  readonly name: string;
  readonly fabric: string;
  /** Degrees; −90 (down the page) where the flattener turned the pile down. */
  readonly pile?: number;
  readonly stretch?: number;
  readonly grain?: number;
  readonly count?: number;
  readonly mirrored?: boolean;
}

/** Names and roles for {@link patternFromPatches}. */
export interface PatternOptions {
  readonly name: string;
  /** What each panel is called and cut from, by patch id. */
  readonly panel: (patch: Patch, index: number) => PanelInfo;
  /** Role and name of a rim of the form; default a hem. */
  readonly rim?: (rim: number) => { readonly role: EdgeRole; readonly name?: string };
  /** What a seam is called; default by its lines. */
  readonly seamName?: (seam: PatchSeam) => string | undefined;
  readonly fabrics?: Pattern["fabrics"];
}

/**
 * Turns cut and flattened patches into a pattern: one panel a patch, its edges paired into lettered seams, slits whose
 * legs close a wedge into darts.
 *
 * @param flats - flat positions (x, y a vertex, mm) in the order of `cutting.patches`
 * @returns a pattern without notches: place them afterwards
 */
export function patternFromPatches(
  cutting: PatchCutting,
  flats: readonly ArrayLike<number>[],
  options: PatternOptions,
): Pattern {
  const infos = cutting.patches.map(options.panel);
  const infoOf = new Map(cutting.patches.map((patch, i) => [patch.id, infos[i]]));
  const seamById = new Map(cutting.seams.map((seam) => [seam.id, seam]));
  const usedIds = new Map<string, number>();
  const edgeIds = new Map<string, string>();

  const panels = cutting.patches.map((patch, i): Panel => {
    const info = infos[i];
    const point = (v: number): Point => [flats[i][2 * v], flats[i][2 * v + 1]];
    const loops = patch.loops.map((loop) =>
      loop.map((patchEdge): Edge => {
        const seam = patchEdge.seam === undefined ? undefined : seamById.get(patchEdge.seam);
        const rim =
          patchEdge.rim === undefined
            ? undefined
            : (options.rim?.(patchEdge.rim) ?? { role: "hem" as const });
        const name = seam
          ? (options.seamName?.(seam) ?? seam.lines.join(" and ")) || "border"
          : (rim?.name ?? "rim");
        const id = uniqueId(`${info.id}/${slug(name)}`, usedIds).slice(info.id.length + 1);
        if (patchEdge.seam !== undefined) edgeIds.set(`${patchEdge.seam}/${patchEdge.side}`, id);
        return {
          id,
          role: seam ? (isDart(patchEdge, seam, loop, point) ? "dart" : "seam") : (rim?.role ?? "hem"),
          points: patchEdge.path.map(point),
          ...(patchEdge.seam === undefined ? {} : { seam: patchEdge.seam }),
          name,
        };
      }),
    );
    return {
      id: info.id,
      name: info.name,
      fabric: info.fabric,
      edges: loops[0],
      ...(loops.length > 1 ? { holes: loops.slice(1) } : {}),
      darts: findDarts(loops[0]),
      markings: [],
      ...(info.pile === undefined ? {} : { pile: info.pile }),
      ...(info.stretch === undefined ? {} : { stretch: info.stretch }),
      ...(info.grain === undefined ? {} : { grain: info.grain }),
      count: info.count ?? 1,
      mirrored: info.mirrored ?? false,
    };
  });

  const seams = cutting.seams.map((seam, i): Seam => ({
    id: seam.id,
    letter: seamLetter(i),
    a: { panel: infoOf.get(seam.a.patch)!.id, edge: edgeIds.get(`${seam.id}/a`)! },
    b: { panel: infoOf.get(seam.b.patch)!.id, edge: edgeIds.get(`${seam.id}/b`)! },
    reversed: true,
    matchPoints: [],
  }));
  return {
    format: "peltry-pattern",
    version: 1,
    name: options.name,
    panels,
    seams,
    ...(options.fabrics ? { fabrics: options.fabrics } : {}),
  };
}

/** A slit is a dart when the cloth closes round its tip: the panel's own angle there is more than half a turn. */
function isDart(
  patchEdge: PatchEdge,
  seam: PatchSeam,
  loop: readonly PatchEdge[],
  point: (v: number) => Point,
): boolean {
  if (seam.kind !== "slit") return false;
  const at = loop.indexOf(patchEdge);
  const partner = [loop[(at + 1) % loop.length], loop[(at + loop.length - 1) % loop.length]].find(
    (edge) => edge !== patchEdge && edge.seam === seam.id,
  );
  if (!partner) return false;
  const [into, out] =
    partner === loop[(at + 1) % loop.length]
      ? [patchEdge.path, partner.path]
      : [partner.path, patchEdge.path];
  const tip = point(out[0]);
  const from = point(into[0]);
  const to = point(out[out.length - 1]);
  // Outline from → tip → to turns right (clockwise) at a reflex corner of a counter-clockwise outline.
  return (tip[0] - from[0]) * (to[1] - tip[1]) - (tip[1] - from[1]) * (to[0] - tip[0]) < 0;
}

function findDarts(edges: readonly Edge[]): Dart[] {
  const darts: Dart[] = [];
  edges.forEach((leg, i) => {
    const other = edges[(i + 1) % edges.length];
    if (leg.role !== "dart" || other === leg || other.role !== "dart" || leg.seam !== other.seam) return;
    const start = leg.points[0];
    const tip = other.points[0];
    const end = other.points[other.points.length - 1];
    darts.push({
      id: `dart-${darts.length + 1}`,
      legs: [leg.id, other.id],
      tip,
      intake: Math.hypot(end[0] - start[0], end[1] - start[1]),
      length: (polylineLength(leg.points) + polylineLength(other.points)) / 2,
      cut: true,
    });
  });
  return darts;
}

function uniqueId(wanted: string, used: Map<string, number>): string {
  const count = (used.get(wanted) ?? 0) + 1;
  used.set(wanted, count);
  return count === 1 ? wanted : `${wanted}-${count}`;
}

function slug(text: string): string {
  return (
    text
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-|-$/g, "") || "edge"
  );
}
