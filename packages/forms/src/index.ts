export { isPeltryError, PeltryError, type Issue } from "@peltry/issues";
export type { Form, FormCurve, FormRegion } from "./types";
export { readMesh, type ReadMesh, type ReadMeshOptions, type ReadReport } from "./scan/read-mesh";
export { MESH_LIMITS, type FaceCounts, type LengthUnit, type MeshFormat } from "./scan/raw-mesh";
export { MM_PER_UNIT, type UnitReport } from "./scan/units";
export { repairMesh, type RepairedMesh, type RepairOptions, type RepairReport } from "./scan/repair-mesh";
