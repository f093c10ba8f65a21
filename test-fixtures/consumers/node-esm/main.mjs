// A blank Node project with "type": "module": every package loads, and the main call of each does its work.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { addAllowance } from "@peltry/allowance";
import { flatten } from "@peltry/flatten";
import { flattenPlain } from "@peltry/flatten/core";
import { readMesh } from "@peltry/forms";
import { signedArea } from "@peltry/geometry";
import { isPeltryError, PeltryError } from "@peltry/issues";
import { layOut } from "@peltry/layout";
import { material } from "@peltry/materials";
import { readMaterial } from "@peltry/materials/schema";
import { completeMeasures } from "@peltry/measure";
import { evaluateFormula } from "@peltry/measure/formula";
import { edgesFromOutline } from "@peltry/pattern";
import { readPattern } from "@peltry/pattern/schema";
import { writePdf } from "@peltry/print";
import "@peltry/seams";
import "peltry";

const square = [
  [0, 0],
  [100, 0],
  [100, 100],
  [0, 100],
];
assert.equal(signedArea(square), 10_000);
const edges = edgesFromOutline(square);
assert.equal(Math.round(signedArea(addAllowance(edges, 10).cutLine)), 14_400);
const { mesh } = readMesh(
  new TextEncoder().encode("v 0 0 0\nv 100 0 0\nv 100 100 0\nv 0 100 0\nf 1 2 3\nf 1 3 4\n"),
  { unit: "mm" },
);
assert.ok(Math.abs(flatten(mesh).certificate.areaRatio - 1) < 1e-6);
assert.deepEqual(flattenPlain(mesh), flatten(mesh));
assert.equal(
  layOut([{ id: "a", outline: square }], [{ id: "p", width: 200, length: 200 }], { evaluations: 100 })
    .placements.length,
  1,
);
assert.equal(material("faux-fur-long").id, "faux-fur-long");
assert.ok(completeMeasures({ stature: 1690, hip: 1010 }));
assert.equal(evaluateFormula("hip / 2", { hip: 1000 }), 500);
const panel = {
  ...{ id: "a", name: "A", fabric: "f", edges, darts: [], markings: [] },
  ...{ count: 1, mirrored: false },
};
const pdf = await writePdf({
  format: "peltry-pattern",
  version: 1,
  name: "A",
  panels: [panel],
  seams: [],
});
assert.equal(new TextDecoder().decode(pdf.slice(0, 5)), "%PDF-");
for (const read of [readPattern, readMaterial]) assert.throws(() => read("{"), isPeltryError);
assert.throws(() => readMesh(new Uint8Array(3)), PeltryError);
const require = createRequire(import.meta.url);
for (const path of [
  "peltry/project.schema.json",
  "@peltry/pattern/pattern.schema.json",
  "@peltry/materials/schemas/material.schema.json",
]) {
  assert.match(JSON.parse(readFileSync(require.resolve(path), "utf8")).$schema, /json-schema\.org/);
}
