import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const root = fileURLToPath(new URL("..", import.meta.url));

// Tests run against the sources of every package, so that no build has to come first.
export default defineConfig({
  root,
  resolve: {
    alias: [
      { find: /^peltry$/, replacement: `${root}packages/peltry/src/index.ts` },
      { find: /^@peltry\/([^/]+)$/, replacement: `${root}packages/$1/src/index.ts` },
      { find: /^@peltry\/([^/]+)\/([^/]+)$/, replacement: `${root}packages/$1/src/$2.ts` },
    ],
  },
  test: {
    include: ["packages/*/test/**/*.test.ts", "docs/test/**/*.test.ts", "test-fixtures/test/**/*.test.ts"],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    coverage: { provider: "v8", include: ["packages/*/src/**/*.ts"], reportsDirectory: "coverage" },
  },
});
