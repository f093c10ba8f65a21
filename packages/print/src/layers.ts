import type { PrintLayer } from "./types";

/** The layers in the order in which they are drawn, with the names that a viewer or editor shows. */
export const LAYERS: readonly { readonly id: PrintLayer; readonly name: string }[] = Object.freeze([
  { id: "guides", name: "Guides" },
  { id: "sew", name: "Sew line" },
  { id: "cut", name: "Cut line" },
  { id: "marks", name: "Markings" },
  { id: "text", name: "Text" },
]);
