// Lints the data: `npm run lint:data -w packages/materials [-- --fix]`. One line a fault.
import { writeFileSync } from "node:fs";
import { issueText } from "@peltry/issues";
import { lintMaterials } from "../src/lint";
import { DATA, readDataFiles } from "./read-data";

const { issues, fixed, files } = lintMaterials(readDataFiles(), { fix: process.argv.includes("--fix") });
for (const { path, text } of fixed) writeFileSync(`${DATA}/${path}`, text);
for (const issue of issues) console.error(`${issue.severity}: ${issueText(issue)}`);
console.log(`${files} files, ${fixed.length} mended, ${issues.length} faults`);
process.exitCode = issues.some(({ severity }) => severity === "error") ? 1 : 0;
