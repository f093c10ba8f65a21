import js from "@eslint/js";
import tseslint from "typescript-eslint";
import { LAYERS } from "./layers.mjs";

const layerRules = Object.entries(LAYERS).map(([name, allowed]) => ({
  files: [`packages/${name}/src/**/*.ts`],
  rules: {
    "no-restricted-imports": [
      "error",
      {
        patterns: [
          {
            regex: `^@peltry/(?!(?:${allowed.join("|") || "-"})(?:/|$))`,
            message: `@peltry/${name} may import only: ${allowed.join(", ") || "nothing"} (see .config/layers.mjs).`,
          },
          ...(name === "peltry"
            ? []
            : [{ regex: "^node:", message: "No Node built-ins below the peltry package." }]),
        ],
      },
    ],
  },
}));

export default tseslint.config(
  {
    ignores: [
      "**/dist/**",
      "**/node_modules/**",
      "docs/.vitepress/**",
      "docs/api/**",
      "**/*.d.ts",
      "**/*.mjs",
      "**/*.js",
    ],
  },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    files: ["**/*.ts"],
    rules: {
      "@typescript-eslint/no-non-null-assertion": "off",
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_" }],
      "no-undef": "off",
    },
  },
  {
    files: ["packages/*/src/**/*.ts"],
    rules: {
      "no-restricted-exports": [
        "error",
        { restrictDefaultExports: { direct: true, named: true, defaultFrom: true } },
      ],
      "no-restricted-syntax": [
        "error",
        {
          selector: "CallExpression[callee.object.name='Math'][callee.property.name='random']",
          message: "Seed everything random.",
        },
        {
          selector: "CallExpression[callee.object.name='Date'][callee.property.name='now']",
          message: "No clock in results.",
        },
        {
          // A square is exact on every engine; other powers differ in their last bit between versions of V8.
          selector:
            "BinaryExpression[operator='**']:not([right.value=2]):not([left.value=2]), CallExpression[callee.object.name='Math'][callee.property.name='pow']",
          message: "Same bits on every engine: multiply out, or take power() of @peltry/geometry.",
        },
        {
          selector: "NewExpression[callee.name='Error']",
          message: "Throw a PeltryError with a code, a place and a mend.",
        },
      ],
    },
  },
  ...layerRules,
);
