import { rampColour } from "@peltry/flatten";

/** A flat panel and the value of each triangle. */
export interface Sheet {
  readonly triangles: Uint32Array;
  readonly positions: Float64Array;
  readonly values: Float64Array;
  readonly loops: readonly (readonly number[])[];
  /** Lines drawn on top, in the sheet's own mm. */
  readonly lines?: readonly (readonly (readonly [number, number])[])[];
}

/** Draws panels side by side at one scale, coloured from −limit to +limit. */
export function drawSheets(canvas: HTMLCanvasElement, sheets: readonly Sheet[], limit: number): void {
  const ratio = window.devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  canvas.width = width * ratio;
  canvas.height = height * ratio;
  const pen = canvas.getContext("2d")!;
  pen.scale(ratio, ratio);
  pen.clearRect(0, 0, width, height);
  const boxes = sheets.map(({ positions }) => boxOf(positions));
  const gap = 14;
  const wide = boxes.reduce((sum, box) => sum + box.width, 0);
  const tall = Math.max(...boxes.map((box) => box.height));
  const scale = Math.min((width - gap * (sheets.length + 1)) / wide, (height - 2 * gap) / tall);
  let left = (width - scale * wide - gap * (sheets.length - 1)) / 2;
  sheets.forEach((sheet, i) => {
    const box = boxes[i];
    const place = (x: number, y: number): [number, number] => [
      left + scale * (x - box.x),
      gap + scale * (box.top - y),
    ];
    const at = (v: number): [number, number] => place(sheet.positions[2 * v], sheet.positions[2 * v + 1]);
    drawTriangles(pen, sheet, at, limit);
    for (const loop of sheet.loops) {
      pen.beginPath();
      loop.forEach((v, k) => (k === 0 ? pen.moveTo(...at(v)) : pen.lineTo(...at(v))));
      pen.closePath();
      pen.strokeStyle = "#22333b";
      pen.lineWidth = 1.5;
      pen.stroke();
    }
    for (const line of sheet.lines ?? []) {
      pen.beginPath();
      line.forEach(([x, y], k) => (k === 0 ? pen.moveTo(...place(x, y)) : pen.lineTo(...place(x, y))));
      pen.strokeStyle = "#7a1f12";
      pen.lineWidth = 3;
      pen.stroke();
    }
    left += scale * box.width + gap;
  });
}

function drawTriangles(
  pen: CanvasRenderingContext2D,
  sheet: Sheet,
  at: (v: number) => [number, number],
  limit: number,
): void {
  for (let t = 0; t < sheet.values.length; t++) {
    const colour = `rgb(${rampColour(sheet.values[t] / limit)
      .map((c) => Math.round(255 * c))
      .join(",")})`;
    pen.beginPath();
    for (let k = 0; k < 3; k++) {
      const place = at(sheet.triangles[3 * t + k]);
      if (k === 0) pen.moveTo(...place);
      else pen.lineTo(...place);
    }
    pen.closePath();
    pen.fillStyle = pen.strokeStyle = colour;
    pen.lineWidth = 0.7;
    pen.fill();
    pen.stroke();
  }
}

function boxOf(positions: Float64Array): { x: number; top: number; width: number; height: number } {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 2) {
    x0 = Math.min(x0, positions[i]);
    x1 = Math.max(x1, positions[i]);
    y0 = Math.min(y0, positions[i + 1]);
    y1 = Math.max(y1, positions[i + 1]);
  }
  return { x: x0, top: y1, width: x1 - x0, height: y1 - y0 };
}
