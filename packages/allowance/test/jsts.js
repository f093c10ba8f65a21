import IndexedPointInAreaLocator from "jsts/org/locationtech/jts/algorithm/locate/IndexedPointInAreaLocator.js";
import Coordinate from "jsts/org/locationtech/jts/geom/Coordinate.js";
import GeometryFactory from "jsts/org/locationtech/jts/geom/GeometryFactory.js";
import Location from "jsts/org/locationtech/jts/geom/Location.js";
import IndexedFacetDistance from "jsts/org/locationtech/jts/operation/distance/IndexedFacetDistance.js";
import IsValidOp from "jsts/org/locationtech/jts/operation/valid/IsValidOp.js";

const factory = new GeometryFactory();
const closed = (points) => [...points, points[0]].map(([x, y]) => new Coordinate(x, y));
const ring = (points) => factory.createLinearRing(closed(points));

/** @param {readonly (readonly number[])[]} outline @param {readonly (readonly (readonly number[])[])[]} holes @returns {string | undefined} */
export function invalidity(outline, holes) {
  const check = new IsValidOp(factory.createPolygon(ring(outline), holes.map(ring)));
  if (check.isValid()) return undefined;
  const error = check.getValidationError();
  return `${error.getMessage()} ${error.getCoordinate()}`;
}

/** @param {readonly (readonly number[])[]} one @param {readonly (readonly number[])[]} two @returns {number} */
export function leastDistance(one, two) {
  return IndexedFacetDistance.distance(
    factory.createLineString(closed(one)),
    factory.createLineString(closed(two)),
  );
}

/** @param {readonly (readonly number[])[]} outline @param {readonly (readonly (readonly number[])[])[]} holes @returns {(p: readonly number[]) => boolean} */
export function insideTest(outline, holes) {
  const locator = new IndexedPointInAreaLocator(factory.createPolygon(ring(outline), holes.map(ring)));
  return ([x, y]) => locator.locate(new Coordinate(x, y)) !== Location.EXTERIOR;
}
