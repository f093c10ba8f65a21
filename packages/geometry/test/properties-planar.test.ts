import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  arcLengths,
  boundingBox,
  centroid,
  counterClockwise,
  direction,
  distance,
  distanceToOutline,
  distanceToPolyline,
  distanceToSegment,
  labelPoint,
  mirrorOutline,
  mix,
  orientation,
  orientationXY,
  perimeter,
  placePoints,
  pointInOutline,
  polylineLength,
  resamplePolyline,
  segmentMeeting,
  signedArea,
  simplifyPolyline,
  slicePolyline,
  stationAt,
  type Point,
} from "../src/index";
import { anyPoint, gridPoint, line, outline, starOutline } from "./arbitraries";

const RUNS = { seed: 1, numRuns: 200 };
const fraction = fc.double({ min: 0, max: 1, noNaN: true });

describe("properties of points and lines", () => {
  it("orientation changes sign with a swap, stays in a turn of the three, and agrees with its bare form [oracle: whole numbers]", () => {
    fc.assert(
      fc.property(gridPoint, gridPoint, gridPoint, (a, b, c) => {
        // Of whole numbers this small the determinant is exact in doubles.
        const twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        expect(Math.sign(orientation(a, b, c))).toBe(Math.sign(twice));
        expect(Math.sign(orientation(b, a, c)) + Math.sign(twice)).toBe(0);
        expect(Math.sign(orientationXY(...b, ...c, ...a))).toBe(Math.sign(twice));
      }),
      RUNS,
    );
  });
  it("segmentMeeting does not care for order or sense [symmetry]", () => {
    fc.assert(
      fc.property(gridPoint, gridPoint, gridPoint, gridPoint, (a, b, c, d) => {
        const meeting = segmentMeeting(a, b, c, d);
        expect(segmentMeeting(c, d, a, b)).toBe(meeting);
        expect(segmentMeeting(b, a, c, d)).toBe(meeting);
      }),
      RUNS,
    );
  });
  it("mix divides the distance in the ratio asked, along the direction [invariant]", () => {
    fc.assert(
      fc.property(anyPoint, anyPoint, fraction, (a, b, t) => {
        const p = mix(a, b, t);
        const whole = distance(a, b);
        expect(distance(a, p)).toBeCloseTo(t * whole, 8);
        expect(distance(p, b)).toBeCloseTo((1 - t) * whole, 8);
        const way = direction(a, b);
        expect(Math.hypot(...way)).toBeCloseTo(1, 12);
        if (whole > 0) expect(distance([a[0] + whole * way[0], a[1] + whole * way[1]], b)).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });
  it("arcLengths rise to the whole length, and stationAt finds every point again [inverse]", () => {
    fc.assert(
      fc.property(line, (points) => {
        const lengths = arcLengths(points);
        expect(lengths[lengths.length - 1]).toBe(polylineLength(points));
        lengths.forEach((length, i) => {
          if (i > 0) expect(length).toBeGreaterThanOrEqual(lengths[i - 1]);
          expect(distance(stationAt(points, length).point, points[i])).toBeLessThan(1e-9);
        });
      }),
      RUNS,
    );
  });
  it("slices add up to the line, and lie on it [invariant]", () => {
    fc.assert(
      fc.property(line, fraction, fraction, (points, a, b) => {
        const whole = polylineLength(points);
        const [from, to] = [Math.min(a, b) * whole, Math.max(a, b) * whole];
        const parts = [
          slicePolyline(points, 0, from),
          slicePolyline(points, from, to),
          slicePolyline(points, to, whole),
        ];
        expect(parts.reduce((sum, part) => sum + polylineLength(part), 0)).toBeCloseTo(whole, 8);
        for (const p of parts.flat()) expect(distanceToPolyline(p, points)).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });
  it("resamplePolyline keeps both ends, stays on the line and never lengthens it [bound]", () => {
    fc.assert(
      fc.property(line, fc.double({ min: 0.5, max: 500, noNaN: true }), (points, step) => {
        const even = resamplePolyline(points, step);
        expect(distance(even[0], points[0])).toBeLessThan(1e-9);
        expect(distance(even[even.length - 1], points[points.length - 1])).toBeLessThan(1e-9);
        expect(polylineLength(even)).toBeLessThanOrEqual(polylineLength(points) + 1e-9);
        for (const p of even) expect(distanceToPolyline(p, points)).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });
  it("simplifyPolyline keeps a part of the points, both ends, and every point within its tolerance [bound]", () => {
    fc.assert(
      fc.property(line, fc.double({ min: 0, max: 30, noNaN: true }), (points, tolerance) => {
        const few = simplifyPolyline(points, tolerance);
        expect([few[0], few[few.length - 1]]).toEqual([points[0], points[points.length - 1]]);
        for (const p of few) expect(points).toContainEqual(p);
        for (const p of points) expect(distanceToPolyline(p, few)).toBeLessThanOrEqual(tolerance + 1e-9);
      }),
      RUNS,
    );
  });
  it("no sample of a segment or a line is nearer than the distance to it [oracle: sampling]", () => {
    fc.assert(
      fc.property(anyPoint, line, fraction, (p, points, t) => {
        const near = distanceToPolyline(p, points);
        let least = Infinity;
        for (let i = 1; i < points.length; i++) {
          const toSegment = distanceToSegment(p, points[i - 1], points[i]);
          expect(toSegment).toBeLessThanOrEqual(distance(p, mix(points[i - 1], points[i], t)) + 1e-9);
          least = Math.min(least, toSegment);
        }
        expect(near).toBe(least);
      }),
      RUNS,
    );
  });
});

describe("properties of outlines", () => {
  it("counterClockwise gives the same points with an area that is not negative; a second time changes nothing [idempotence]", () => {
    fc.assert(
      fc.property(outline, (points) => {
        const turned = counterClockwise(points);
        expect(signedArea(turned)).toBe(Math.abs(signedArea(points)));
        expect([...turned].sort()).toEqual([...points].sort());
        expect(counterClockwise(turned)).toEqual(turned);
      }),
      RUNS,
    );
  });
  it("a motion keeps area and perimeter, moves the centroid along, and turns back [metamorphic]", () => {
    fc.assert(
      fc.property(
        starOutline,
        fc.double({ min: -4, max: 4, noNaN: true }),
        anyPoint,
        (points, angle, [dx, dy]) => {
          const moved = placePoints(points, angle, dx, dy);
          expect(signedArea(moved)).toBeCloseTo(signedArea(points), 4);
          expect(perimeter(moved)).toBeCloseTo(perimeter(points), 6);
          const [middle] = placePoints([centroid(points)], angle, dx, dy);
          expect(distance(centroid(moved), middle)).toBeLessThan(1e-6);
          const back = placePoints(
            moved.map(([x, y]): Point => [x - dx, y - dy]),
            -angle,
          );
          back.forEach((p, i) => expect(distance(p, points[i])).toBeLessThan(1e-8));
        },
      ),
      RUNS,
    );
  });
  it("mirroring twice gives the outline back, once keeps area, sense and perimeter [inverse]", () => {
    fc.assert(
      fc.property(outline, (points) => {
        const once = mirrorOutline(points);
        expect(signedArea(once)).toBe(signedArea(points));
        expect(perimeter(once)).toBeCloseTo(perimeter(points), 9);
        expect([...mirrorOutline(once)].sort()).toEqual([...points].sort());
      }),
      RUNS,
    );
  });
  it("the box holds every point and touches one on each side [bound]", () => {
    fc.assert(
      fc.property(outline, (points) => {
        const box = boundingBox(points);
        expect(box.minX).toBe(Math.min(...points.map((p) => p[0])));
        expect(box.maxX).toBe(Math.max(...points.map((p) => p[0])));
        expect(box.minY).toBe(Math.min(...points.map((p) => p[1])));
        expect(box.maxY).toBe(Math.max(...points.map((p) => p[1])));
      }),
      RUNS,
    );
  });
  it("pointInOutline agrees with the turning of the outline round the point [oracle: winding angle]", () => {
    fc.assert(
      fc.property(anyPoint, starOutline, (p, points) => {
        const near = distanceToOutline(p, points);
        if (near < 1e-6) return;
        let turned = 0;
        points.forEach((a, i) => {
          const b = points[(i + 1) % points.length];
          turned += Math.atan2(
            (a[0] - p[0]) * (b[1] - p[1]) - (a[1] - p[1]) * (b[0] - p[0]),
            (a[0] - p[0]) * (b[0] - p[0]) + (a[1] - p[1]) * (b[1] - p[1]),
          );
        });
        expect(pointInOutline(p, points)).toBe(Math.abs(turned) > 1 ? "inside" : "outside");
      }),
      RUNS,
    );
  });
  it("labelPoint lies inside every simple outline [invariant]", () => {
    fc.assert(
      fc.property(starOutline, (points) => {
        expect(pointInOutline(labelPoint(points), points)).toBe("inside");
      }),
      RUNS,
    );
  });
});
