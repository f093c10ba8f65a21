import { existsSync, readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vitepress";

const docs = fileURLToPath(new URL("../", import.meta.url));
const root = fileURLToPath(new URL("../../", import.meta.url));

/** Whole costumes come behind the parts of the job. */
function place(name: string): string {
  return /^1[01]0-/.test(name) ? `8${name}` : name;
}

/** Worked examples in the order of their numbers, each by the title of its page. */
const examples = readdirSync(`${docs}examples`)
  .filter((name) => existsSync(`${docs}examples/${name}/index.md`))
  .sort((a, b) => (place(a) < place(b) ? -1 : 1))
  .map((name) => ({
    text: /^# (.+)$/m.exec(readFileSync(`${docs}examples/${name}/index.md`, "utf8"))?.[1] ?? name,
    link: `/examples/${name}/`,
  }));

const guide = [
  { text: "Make a costume", items: [{ text: "Begin here", link: "/make/" }] },
  { text: "Worked examples", items: examples },
  {
    text: "Use a package",
    items: [
      { text: "Packages", link: "/use/" },
      { text: "Error codes", link: "/use/errors" },
      { text: "API reference", link: "/api/" },
    ],
  },
  {
    text: "Add a material",
    items: [
      { text: "In ten minutes", link: "/add/" },
      { text: "The catalogue", link: "/materials/" },
      { text: "Which glue holds what", link: "/materials/glue" },
      { text: "Cautions", link: "/materials/cautions" },
    ],
  },
  { text: "Words", items: [{ text: "Glossary", link: "/learn/glossary" }] },
];

// Every page and figure is computed by the working tree: packages resolve to their sources.
export default defineConfig({
  title: "Peltry",
  description: "From a body form to costume parts that fit: panels, seams, layout and print.",
  lang: "en",
  cleanUrls: true,
  lastUpdated: false,
  srcExclude: ["README.md", "add/contributing.md", "**/node_modules/**", "examples/**/out/**"],
  markdown: { theme: { light: "github-light-high-contrast", dark: "github-dark-high-contrast" } },
  themeConfig: {
    nav: [
      { text: "Make a costume", link: "/make/" },
      { text: "Use a package", link: "/use/" },
      { text: "Add a material", link: "/add/" },
    ],
    sidebar: guide,
    search: { provider: "local" },
    outline: [2, 3],
  },
  vite: {
    resolve: {
      alias: [
        { find: /^@peltry\/([^/]+)$/, replacement: `${root}packages/$1/src/index.ts` },
        { find: /^@peltry\/([^/]+)\/([^/]+)$/, replacement: `${root}packages/$1/src/$2.ts` },
      ],
    },
  },
});
