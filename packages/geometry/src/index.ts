export type { Box, Outline, Point, Point3, Polyline, TriangleMesh } from "./types";
export { TOLERANCE } from "./tolerance";
export { power } from "./power";
export { createRandom } from "./random";
export { orientation, orientationXY, segmentMeeting, type SegmentMeeting } from "./predicates";
export {
  arcLengths,
  direction,
  distance,
  distanceToPolyline,
  distanceToSegment,
  mix,
  polylineLength,
  resamplePolyline,
  simplifyPolyline,
  slicePolyline,
  stationAt,
  type Station,
} from "./polyline";
export {
  boundingBox,
  centroid,
  counterClockwise,
  distanceToOutline,
  labelPoint,
  mirrorOutline,
  outlineCrossings,
  perimeter,
  placePoints,
  pointInOutline,
  signedArea,
  type SideCrossing,
} from "./polygon";
export { buildEdgeTable, twinsOf, type EdgeTable } from "./edge-table";
export { meshTopology, nextHalfEdge, previousHalfEdge, type MeshTopology } from "./mesh-topology";
export {
  meshArea,
  meshVolume,
  pathLength,
  triangleArea,
  vertexArea,
  vertexDistance,
  vertexPoint,
} from "./mesh-measure";
export { cutMesh, extractTriangles, splitPieces, type CutMesh, type MeshPiece } from "./cut-mesh";
export {
  findEntry,
  meshPattern,
  multiplySymmetric,
  type SparsePattern,
  type SparseSymmetric,
} from "./sparse-pattern";
export { cotangentLaplacian } from "./cotangent";
export { orderByDissection } from "./sparse-order";
export { planCholesky, type CholeskyPlan } from "./sparse-plan";
export { factorCholesky, solveCholesky, type CholeskyFactor } from "./sparse-factor";
export {
  cleanWeights,
  inTriangle,
  supportVertices,
  surfacePathLength,
  surfacePosition,
  type SurfacePoint,
} from "./surface-point";
export { MeshRefinement } from "./mesh-refinement";
export { insertPath, insertPoint, type InsertOptions } from "./insert-path";
export {
  geodesicPath,
  graphPosition,
  measurePath,
  straightenPath,
  type GeodesicOptions,
  type GeodesicPath,
} from "./geodesic";
export {
  geodesicSurface,
  SteinerGraph,
  type CostField,
  type GeodesicSurface,
  type GraphPoint,
} from "./steiner-graph";
export { angleDefects, cornerAngle, type AngleDefects } from "./conformal-scale";
export { splitByLabels, splitByLevel, type LabelSplit } from "./split-by-level";
export { decimate, type Decimated, type DecimateOptions } from "./decimate";
export { createSurfaceLocator, type SurfaceLocator } from "./surface-locator";
export { tracePath } from "./trace-path";
