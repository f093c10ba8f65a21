import { simplifyPolyline, type Outline, type Point } from "@peltry/geometry";
import { edgesOutline } from "@peltry/pattern";
import { triangulate } from "./internal/triangulate";
import { placePiece } from "./place-piece";
import { tilePages } from "./tile-pages";
import type { PrintJob } from "./types";
import type { GlbPiece } from "./write-glb";

const MANY_POINTS = 400;
/** Finer than a viewer shows, mm. */
const UNSEEN = 0.05;

/** The panels of a job lying side by side in the plane z = 0, as pieces to be written; sew line to sew line. */
export function flatPieces(job: PrintJob): GlbPiece[] {
  const { placements } = tilePages(job, { size: { roll: 1500 }, turn: "none", gap: 20 });
  return job.pieces.map((piece, i) => {
    const loops = [piece.panel.edges, ...(piece.panel.holes ?? [])].map((edges) =>
      thinned(edgesOutline(edges)),
    );
    const flat = loops.flat();
    const placed = placePiece(piece, i, placements[i]!).move(flat);
    return {
      name: piece.panel.name,
      mesh: {
        positions: Float64Array.from(placed.flatMap(([x, y]) => [x, y, 0])),
        triangles: Uint32Array.from(triangulate(loops[0]!, loops.slice(1))),
      },
      flat: Float64Array.from(flat.flatMap(([x, y]) => [x, y])),
    };
  });
}

function thinned(outline: Point[]): Outline {
  if (outline.length < MANY_POINTS) return outline;
  return simplifyPolyline([...outline, outline[0]!], UNSEEN).slice(0, -1);
}
