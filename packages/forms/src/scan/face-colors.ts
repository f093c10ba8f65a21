import { GrowingInts } from "./growing-array";

/** Colours that a file gives its faces, gathered while they are cut into triangles. */
export class FaceColors {
  private readonly rgb = new GrowingInts();

  /** Notes the colour, 0..255, of as many triangles as a face was cut into. */
  add(triangles: number, red: number, green: number, blue: number): void {
    for (let i = 0; i < triangles; i++)
      for (const x of [red, green, blue]) this.rgb.push(Math.max(0, Math.min(255, Math.round(x || 0))));
  }

  /**
   * Colours of the vertices: the mean over the triangles round each, since everything later works on vertices. White where
   * no triangle is; undefined when some triangle has no colour.
   */
  toVertices(triangles: ArrayLike<number>, vertexCount: number): Uint8Array | undefined {
    if (this.rgb.length === 0 || this.rgb.length !== triangles.length) return undefined;
    const sum = new Float64Array(3 * vertexCount);
    const count = new Int32Array(vertexCount);
    for (let i = 0; i < triangles.length; i++) {
      const v = triangles[i];
      const face = i - (i % 3);
      count[v]++;
      for (let k = 0; k < 3; k++) sum[3 * v + k] += this.rgb.data[face + k];
    }
    const out = new Uint8Array(3 * vertexCount);
    for (let i = 0; i < out.length; i++) {
      const n = count[Math.floor(i / 3)];
      out[i] = n > 0 ? Math.round(sum[i] / n) : 255;
    }
    return out;
  }
}
