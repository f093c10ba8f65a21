import type { Point } from "@peltry/geometry";
import type { DrawItem, LineStyleName } from "../drawing";
import type { PrintLayer } from "../types";

/** A small drawing that grows line by line. */
export class Items {
  readonly list: DrawItem[] = [];

  constructor(readonly layer: PrintLayer = "guides") {}

  line(
    points: readonly Point[],
    style: LineStyleName,
    role: string,
    more: { closed?: boolean; filled?: boolean; layer?: PrintLayer } = {},
  ): this {
    const { closed = false, filled, layer = this.layer } = more;
    this.list.push({ kind: "path", layer, style, points, closed, role, ...(filled && { filled }) });
    return this;
  }

  box(
    x: number,
    y: number,
    width: number,
    height: number,
    style: LineStyleName,
    role: string,
    layer = this.layer,
  ): this {
    const corners: Point[] = [
      [x, y],
      [x + width, y],
      [x + width, y + height],
      [x, y + height],
    ];
    return this.line(corners, style, role, { closed: true, layer });
  }

  text(
    words: string,
    at: Point,
    size: number,
    role: string,
    more: { align?: "start" | "middle"; angle?: number } = {},
  ): this {
    const { align = "start", angle = 0 } = more;
    this.list.push({ kind: "text", layer: "text", text: words, at, size, angle, align, role });
    return this;
  }
}
