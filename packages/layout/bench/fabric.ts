// Seeded instances of odd pieces, offcuts and scraps: a folder of JSON files as bench/README.md describes.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { boundingBox, type Point } from "@peltry/geometry";
import { layOut, type FabricPiece, type LayoutPanel } from "../src/index";
import { cpuSeconds } from "./cpu";

interface FabricInstance {
  readonly name: string;
  readonly gap: number;
  readonly panels: {
    readonly id: string;
    readonly poly: Point[];
    readonly rots: number[];
    readonly hiddenLines?: LayoutPanel["hiddenLines"];
  }[];
  readonly pieces: {
    readonly id: string;
    readonly outline: Point[];
    readonly holes: Point[][];
    readonly roll?: boolean;
  }[];
}

export function layFabric(folder: string, seconds: number): void {
  for (const file of readdirSync(folder).sort()) {
    const { name, gap, ...job } = JSON.parse(readFileSync(join(folder, file), "utf8")) as FabricInstance;
    const panels = job.panels.map(({ id, poly, rots, hiddenLines }): LayoutPanel => ({
      id,
      outline: poly,
      rotations: rots,
      ...(hiddenLines && { hiddenLines }),
    }));
    const pieces = job.pieces.map(({ id, outline, holes, roll }): FabricPiece => {
      if (!roll) return { id, outline, holes, napAngle: 90 };
      const box = boundingBox(outline);
      return { id, roll: { width: box.maxX - box.minX, maxLength: box.maxY - box.minY } };
    });
    const before = cpuSeconds();
    const result = layOut(panels, pieces, { gap, edgeGap: gap / 2, seconds, clock: "cpu" });
    console.log(
      `${name}: ${result.placements.length} of ${panels.length} panels on ${result.piecesTouched.length} of ${pieces.length} pieces, ${result.usedLength.toFixed(0)} mm of roll, ${(100 * result.density).toFixed(1)} % full, ${(cpuSeconds() - before).toFixed(1)} CPU s`,
    );
    for (const { panel, reason, maxScale, splits } of result.unplaced) {
      const split = splits.find((proposal) => proposal.fits);
      const mend =
        split === undefined
          ? ""
          : `; ${split.lines.length} line(s) make ${split.parts.length} parts that fit`;
      console.log(`  ${panel}: ${reason}; largest scale ${maxScale}${mend}`);
    }
  }
}
