import { execFileSync } from "node:child_process";
import { PDFDocument, rgb } from "@cantoo/pdf-lib";
import type { Point } from "@peltry/geometry";
import type { Edge, Panel, Pattern } from "@peltry/pattern";
import { reportBench, type BenchRow } from "../../../test-fixtures/src/bench-table";
import { tilePages, writeDxf, writePdf, writeSvg } from "../src/index";

/** Forty panels of 150 to 500 mm with curved edges, notches, letters and arrows, 400 points each, and their cut lines. */
function fortyPanels(): { pattern: Pattern; cutLines: Record<string, Point[]> } {
  const panels: Panel[] = [];
  const cutLines: Record<string, Point[]> = {};
  for (let i = 0; i < 40; i++) {
    const width = 75 + 12 * (i % 9);
    const height = 90 + 16 * (i % 11);
    const ring = (grow: number): Point[] =>
      Array.from({ length: 400 }, (_, k): Point => {
        const turn = (2 * Math.PI * k) / 400;
        const wave = 1 + 0.12 * Math.sin(3 * turn + i);
        return [(width * wave + grow) * Math.cos(turn), (height * wave + grow) * Math.sin(turn)];
      });
    const points = ring(0);
    const edges = [0, 1, 2, 3].map((k): Edge => {
      const side = points.slice(100 * k, 100 * k + 101);
      return {
        id: `e${k}`,
        role: "seam",
        seam: `s${k}`,
        points: k === 3 ? [...side, points[0]!] : side,
        notches: [{ at: 60, kind: "single" }],
      };
    });
    const id = `p${i}`;
    panels.push({
      id,
      name: `Panel ${i + 1}`,
      fabric: "fur",
      edges,
      darts: [],
      markings: [],
      pile: -90,
      stretch: 0,
      count: 1,
      mirrored: true,
    });
    cutLines[id] = ring(12);
  }
  const seams = ["A", "B", "C", "D"].map((letter, k) => ({
    id: `s${k}`,
    letter,
    a: { panel: "p0", edge: `e${k}` },
    b: { panel: "p1", edge: `e${k}` },
    reversed: true,
    matchPoints: [],
  }));
  return { pattern: { format: "peltry-pattern", version: 1, name: "Forty panels", panels, seams }, cutLines };
}

async function seconds(run: () => unknown): Promise<number> {
  const start = process.cpuUsage();
  await run();
  const used = process.cpuUsage(start);
  return (used.user + used.system) / 1e6;
}

const { pattern, cutLines } = fortyPanels();
const call = (): Promise<number> => seconds(() => writePdf(pattern, { cutLines }));

if (process.argv.includes("--first")) {
  console.log(await call());
  process.exit();
}

/** The least of three fresh processes: what else the machine does only ever adds. */
function leastFirstCall(): number {
  const own = [...process.execArgv, process.argv[1]!, "--first"];
  return Math.min(...[0, 1, 2].map(() => Number(execFileSync(process.execPath, own, { encoding: "utf8" }))));
}

// The peer: the same outlines through the PDF library's own drawing calls, on as many pages, without any layout, text
// search, layers or marks.
async function peer(pages: number): Promise<Uint8Array> {
  const document = await PDFDocument.create();
  for (let i = 0; i < pages; i++) {
    const page = document.addPage([595.28, 841.89]);
    for (const panel of pattern.panels.slice(0, 3)) {
      for (const line of [cutLines[panel.id]!, panel.edges.flatMap((edge) => edge.points)]) {
        const path = `M${line.map(([x, y]) => `${x},${y}`).join("L")}Z`;
        page.drawSvgPath(path, { x: 300, y: 400, borderColor: rgb(0, 0, 0), borderWidth: 1 });
      }
    }
  }
  return document.save();
}

const ms = async (run: () => unknown): Promise<number> => 1000 * (await seconds(run));
const first = leastFirstCall();
await call();
const tiling = tilePages(pattern, "A4", { cutLines });
const drawn = { peer: "outlines alone, PDF library", peerMs: await ms(() => peer(tiling.pages.length)) };
const size = pattern.panels.length;
const rows: BenchRow[] = [
  { job: `tiled PDF, ${tiling.pages.length} A4 pages, first call`, size, cpuMs: 1000 * first, ...drawn },
  { job: "tiled PDF, second call", size, cpuMs: 1000 * (await call()), ...drawn },
  { job: "packing and tiling", size, cpuMs: await ms(() => tilePages(pattern, "A4", { cutLines })) },
  { job: "SVG", size, cpuMs: await ms(() => writeSvg(pattern, { cutLines })) },
  { job: "DXF", size, cpuMs: await ms(() => writeDxf(pattern, { cutLines })) },
];
reportBench("print", rows);
// The first call loads the PDF library too; its limit is 2 s.
if (first > 2) process.exitCode = 1;
