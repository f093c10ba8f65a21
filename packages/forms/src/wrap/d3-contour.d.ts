/** The part of d3-contour that is used here; the library ships no types. */
declare module "d3-contour" {
  interface ContourMultiPolygon {
    readonly type: "MultiPolygon";
    readonly value: number;
    readonly coordinates: [number, number][][][];
  }
  interface Contours {
    (values: ArrayLike<number>): ContourMultiPolygon[];
    size(size: [number, number]): Contours;
    thresholds(values: number[]): Contours;
  }
  export function contours(): Contours;
}
