/** Every tolerance is a distance in mm with a reason. Pass another where a function takes one. */
export const TOLERANCE = Object.freeze({
  /** Points closer than this are one point of an outline: a hundredth of what a printer can place. */
  samePoint: 1e-3,
  /** Two ends of a seam chain that should meet: what a pen line hides. */
  join: 1e-2,
  /** Chord error when a curve becomes a polyline: under half of a printer dot at 600 dpi. */
  flattenCurve: 2e-2,
});
