import * as z from "zod";

/** A length: a number of mm, or a text with its unit such as "34 1/2 in". Resolved after parsing, where its place is known. */
export const length = z.union([z.number(), z.string()]);
export const positive = z.number().positive();
export const id = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, "use small letters, digits and single hyphens, such as hind-leg");
export const point = z.tuple([z.number(), z.number()]);
export const point3 = z.tuple([z.number(), z.number(), z.number()]);
export const outline = z.array(point).min(3);
export const colour = z.string().regex(/^#[0-9a-fA-F]{6}$/, 'write a colour as "#rrggbb"');

export const atLeastZero = z.number().nonnegative();
export const degrees = z.number().min(-360).max(360);

/** An oval marking on the worn surface. */
export const spot = z.strictObject({
  id,
  name: z.string().optional(),
  /** From the part's lower edge (0) to its upper (1), and round it: 0 front, 90 outer side, 180 back. */
  up: z.number().min(0).max(1),
  aroundDeg: degrees,
  widthMm: length,
  heightMm: length.optional(),
  fabric: z.string(),
  /** Chosen from both piles where left out. */
  method: z.enum(["applied", "let-in", "shaved"]).optional(),
});

/** A closure along a seam that is left open, or at the ends of a band. */
export const closure = z.strictObject({
  id,
  kind: z.enum(["snap", "zip", "hook-and-loop", "hook-and-eye"]),
  /** The seam line that it lies along; on a part drawn by rule panel and edge, such as band/right, and the edge under it. */
  along: z.string(),
  to: z.string().optional(),
  /** From which end of the seam it is counted; the top where left out. The whole seam without a length. */
  from: z.enum(["top", "bottom"]).optional(),
  lengthMm: length.optional(),
  /** Most between two snaps or hooks; from an end to the first; width of cap or tape. */
  spacingMm: positive.optional(),
  endMm: atLeastZero.optional(),
  widthMm: positive.optional(),
});

/** What every part has. */
export const named = {
  id,
  spots: z.array(spot).max(200).optional(),
  closures: z.array(closure).max(20).optional(),
  name: z.string(),
  hemMm: z.number().min(0).max(60).optional(),
  /** Seam allowance of this part; else that of its fabrics. */
  seamMm: z.number().min(0).max(60).optional(),
};
