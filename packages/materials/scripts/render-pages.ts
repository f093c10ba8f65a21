// Writes the pages of all entries, the list, the cautions and the glue table: `tsx scripts/render-pages.ts DIR`.
import { mkdirSync, writeFileSync } from "node:fs";
import { catalogue } from "../src/index";
import { catalogueIndexPage, cautionsPage, compatibilityHtml, entryPage } from "../src/pages";

const folder = process.argv[2];
if (folder === undefined) {
  console.error("Say where to: tsx scripts/render-pages.ts DIR");
  process.exitCode = 1;
} else {
  mkdirSync(folder, { recursive: true });
  const linkTo = (id: string) => `./${id}.md`;
  for (const entry of catalogue) writeFileSync(`${folder}/${entry.id}.md`, entryPage(entry, { linkTo }));
  writeFileSync(`${folder}/index.md`, catalogueIndexPage(linkTo));
  writeFileSync(`${folder}/cautions.md`, cautionsPage());
  writeFileSync(`${folder}/glues.md`, `# Glues\n\n${compatibilityHtml()}`);
  console.log(`${catalogue.length + 3} pages in ${folder}`);
}
