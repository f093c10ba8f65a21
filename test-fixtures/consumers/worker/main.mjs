// A worker runs the job: results come through structuredClone whole, errors keep their code when sent as issues.
import assert from "node:assert/strict";
import { isMainThread, parentPort, Worker } from "node:worker_threads";
import { flatten } from "@peltry/flatten";
import { readMesh } from "@peltry/forms";
import { isPeltryError, PeltryError } from "@peltry/issues";

const files = [
  "v 0 0 0\nv 100 0 0\nv 100 100 0\nv 0 100 0\nf 1 2 3\nf 1 3 4\n",
  "v 0 0 0\nv 1 0 0\nf 1 2 9\n",
].map((text) => new TextEncoder().encode(text));

if (isMainThread) {
  const worker = new Worker(new URL(import.meta.url));
  const ask = (bytes) =>
    new Promise((resolve, reject) => {
      worker.once("message", resolve);
      worker.once("error", reject);
      worker.postMessage(bytes);
    });
  const good = await ask(files[0]);
  assert.deepEqual(good.flat, flatten(readMesh(files[0]).mesh));
  assert.ok(good.flat.positions instanceof Float64Array);
  const bad = await ask(files[1]);
  const rebuilt = new PeltryError(bad.issues);
  assert.ok(isPeltryError(rebuilt));
  assert.equal(rebuilt.code, "forms/bad-index");
  assert.ok(rebuilt.message.length > 0);
  await worker.terminate();
} else {
  parentPort.on("message", (bytes) => {
    try {
      parentPort.postMessage({ flat: flatten(readMesh(bytes).mesh) });
    } catch (error) {
      if (!isPeltryError(error)) throw error;
      parentPort.postMessage({ issues: error.issues });
    }
  });
}
