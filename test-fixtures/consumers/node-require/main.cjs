/* eslint-disable no-undef, @typescript-eslint/no-require-imports -- CommonJS on purpose */
// CommonJS that requires an ES module, as Node 20.19 and later allow.
const assert = require("node:assert/strict");
const names = process.argv.slice(2);
for (const name of names) {
  const module = require(name);
  assert.ok(Object.keys(module).length > 0 || name === "peltry", `${name} gives nothing`);
}
const { isPeltryError } = require("@peltry/issues");
const { readMesh } = require("@peltry/forms");
try {
  readMesh(new Uint8Array(0));
  assert.fail("an empty file is no mesh");
} catch (error) {
  assert.ok(isPeltryError(error));
  assert.equal(error.code, "forms/not-a-mesh");
}
