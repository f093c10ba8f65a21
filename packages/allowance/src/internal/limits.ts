/** Longest mitre over the width. @source the default of SVG 2, section 13.5.5, stroke-miterlimit */
export const MITRE_LIMIT = 4;
