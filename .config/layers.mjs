// Who may import whom: packages import only from floors below theirs.
export const LAYERS = {
  issues: [],
  geometry: ["issues"],
  materials: ["issues"],
  measure: ["issues"],
  pattern: ["issues", "geometry"],
  forms: ["issues", "geometry", "measure", "pattern"],
  flatten: ["issues", "geometry", "pattern"],
  allowance: ["issues", "geometry", "pattern"],
  layout: ["issues", "geometry", "pattern"],
  print: ["issues", "geometry", "pattern"],
  wear: ["issues", "geometry", "measure", "materials"],
  seams: ["issues", "geometry", "pattern", "flatten"],
  peltry: [
    "issues", "geometry", "materials", "measure", "pattern", "forms",
    "flatten", "allowance", "layout", "print", "wear", "seams",
  ],
};
