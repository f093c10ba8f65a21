import type { EdgeRole } from "@peltry/pattern";
import { refuseWord, WORDS, wrongWord } from "./internal/words";
import type { Cloth, Stitch } from "./types";

/** One usual allowance. */
export interface AllowanceRow {
  readonly id: string;
  readonly role: EdgeRole;
  /** Only for this stitch; any when left out. */
  readonly stitch?: Stitch;
  /** Only for this cloth; any when left out. */
  readonly cloth?: Cloth;
  /** What is used, mm. */
  readonly width: number;
  /** Usual range, mm. */
  readonly low: number;
  readonly high: number;
  /** `published` when the source says so; `common practice` when no source was found; `derived` when it follows. */
  readonly status: "published" | "common practice" | "derived";
  readonly source: string;
}

const PRACTICE = { status: "common practice", source: "common practice, no source" } as const;

/**
 * Usual allowances by role, stitch and cloth. The row that names most of what is asked wins.
 *
 * @source each row's own `source`
 */
export const ALLOWANCE_TABLE: readonly AllowanceRow[] = [
  {
    id: "seam",
    role: "seam",
    width: 15,
    low: 6,
    high: 16,
    status: "published",
    source: "Wikipedia, Seam allowance: home patterns 1/4 to 5/8 in, 5/8 in (15 mm) usual",
  },
  { id: "seam-overlock", role: "seam", stitch: "overlock", width: 7, low: 6, high: 7, ...PRACTICE },
  { id: "seam-hand", role: "seam", stitch: "hand", width: 10, low: 6, high: 12, ...PRACTICE },
  { id: "seam-ladder", role: "seam", stitch: "ladder", width: 10, low: 8, high: 12, ...PRACTICE },
  { id: "seam-zip", role: "seam", stitch: "zip", width: 18, low: 15, high: 20, ...PRACTICE },
  { id: "seam-butt", role: "seam", stitch: "glued-butt", width: 0, low: 0, high: 0, ...PRACTICE },
  { id: "seam-knit", role: "seam", cloth: "knit", width: 7, low: 6, high: 7, ...PRACTICE },
  { id: "seam-pile", role: "seam", cloth: "pile", width: 8, low: 6, high: 10, ...PRACTICE },
  { id: "seam-foam", role: "seam", cloth: "foam", width: 0, low: 0, high: 0, ...PRACTICE },
  {
    id: "dart",
    role: "dart",
    width: 10,
    low: 6,
    high: 13,
    status: "derived",
    source:
      "derived here: as a seam, held to the 6–13 mm that ASTM D6193 teaching material gives for short or curved seams",
  },
  { id: "dart-pile", role: "dart", cloth: "pile", width: 6, low: 6, high: 10, ...PRACTICE },
  { id: "dart-foam", role: "dart", cloth: "foam", width: 0, low: 0, high: 0, ...PRACTICE },
  { id: "hem", role: "hem", width: 25, low: 15, high: 30, ...PRACTICE },
  { id: "hem-knit", role: "hem", cloth: "knit", width: 20, low: 15, high: 30, ...PRACTICE },
  { id: "hem-pile", role: "hem", cloth: "pile", width: 20, low: 15, high: 30, ...PRACTICE },
  { id: "hem-foam", role: "hem", cloth: "foam", width: 0, low: 0, high: 0, ...PRACTICE },
  { id: "opening", role: "opening", width: 18, low: 15, high: 20, ...PRACTICE },
  { id: "opening-ladder", role: "opening", stitch: "ladder", width: 10, low: 8, high: 12, ...PRACTICE },
  { id: "opening-foam", role: "opening", cloth: "foam", width: 0, low: 0, high: 0, ...PRACTICE },
  {
    id: "raw",
    role: "raw",
    width: 0,
    low: 0,
    high: 0,
    status: "derived",
    source: "derived here: cut and left",
  },
  {
    id: "fold",
    role: "fold",
    width: 0,
    low: 0,
    high: 0,
    status: "derived",
    source: "derived here: the cloth runs on",
  },
];

/** Strain that a cut edge takes without clips, as a fraction of its length. */
export const EDGE_STRAIN: Readonly<Record<Cloth, number>> = Object.freeze({
  // The published pair of examples: a knit that takes 15 %, a firm woven 3 %. Fur cloth has a knit back.
  woven: 0.03,
  knit: 0.15,
  pile: 0.15,
  foam: 0.15,
});

/**
 * The usual allowance of an edge.
 *
 * @returns the row of {@link ALLOWANCE_TABLE} that fits best: stitch before cloth before role alone
 * @throws PeltryError `allowance/bad-rule` for a role, stitch or cloth that there is not; it names the choices
 */
export function usualAllowance(role: EdgeRole, how: { stitch?: Stitch; cloth?: Cloth } = {}): AllowanceRow {
  const { stitch, cloth } = how;
  const wrong = wrongWord({ stitch, cloth });
  if (wrong !== undefined) refuseWord([wrong], how[wrong as keyof typeof how], WORDS[wrong]);
  let best = ALLOWANCE_TABLE.find((row) => row.role === role);
  if (!best) return refuseWord(["role"], role, [...new Set(ALLOWANCE_TABLE.map((row) => row.role))]);
  let score = -1;
  for (const row of ALLOWANCE_TABLE) {
    if (row.role !== role) continue;
    if (row.stitch !== undefined && row.stitch !== how.stitch) continue;
    if (row.cloth !== undefined && row.cloth !== how.cloth) continue;
    const fits = (row.stitch === undefined ? 0 : 2) + (row.cloth === undefined ? 0 : 1);
    if (fits > score) [best, score] = [row, fits];
  }
  return best;
}
