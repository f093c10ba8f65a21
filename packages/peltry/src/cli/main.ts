import { readFileSync, existsSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { Command, CommanderError } from "commander";
import { version } from "../../package.json";
import { isPeltryError, issueText, PeltryError, type Issue } from "@peltry/issues";
import { OUTPUT_MARK, writeFolder } from "../output/write-folder";
import { createProjectFiles } from "../project/project-files";
import { projectTemplate } from "../project/project-template";
import { readProject } from "../project/read-project";
import { makeCostume } from "../run/make-costume";
import { writeOutputs } from "../run/write-outputs";
import { addMaterialCommands } from "./material-commands";
import { createProgressLine } from "./progress";
import { loadFont } from "./load-font";
import { summarise, summaryText, type Summary } from "./summary";

/**
 * 0 done; 1 the input has a fault (nothing written); 2 the command was not understood; 3 done, but something of the costume
 * does not work out (a panel fits no fabric, a limit is passed); 4 the output could not be written; 130 stopped by the person.
 */
export const EXIT = Object.freeze({ done: 0, fault: 1, usage: 2, trouble: 3, cannotWrite: 4, stopped: 130 });

/** Where the command line writes. */
export interface Streams {
  readonly out: NodeJS.WriteStream;
  readonly err: NodeJS.WriteStream;
}

interface MakeFlags {
  readonly out?: string;
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly allowOutside?: boolean;
}

/** Runs the command line and gives its exit code. */
export async function main(
  args: readonly string[],
  streams: Streams = { out: process.stdout, err: process.stderr },
): Promise<number> {
  const stop = { aborted: false };
  const onStop = (): void => {
    stop.aborted = true;
    streams.err.write("\nStopped. Nothing was written.\n");
    process.exit(EXIT.stopped);
  };
  process.once("SIGINT", onStop);
  let code: number = EXIT.done;
  const program = new Command("peltry")
    .description("From a project file to a pattern to print, cut and sew.")
    .version(version)
    .exitOverride()
    .configureOutput({
      writeOut: (text) => void streams.out.write(text),
      writeErr: (text) => void streams.err.write(text),
    })
    .showHelpAfterError("(peltry --help lists the commands)")
    .addHelpText("after", EXIT_HELP);

  program
    .command("make")
    .description("make the pattern, the print files and the workbook")
    .argument("<project...>", "project files (YAML)")
    .option(
      "-o, --out <folder>",
      "folder to write to; replaced whole when peltry made it (default: <project>-out)",
    )
    .option("--json", "print the summary as JSON")
    .option("-q, --quiet", "no progress")
    .option("--allow-outside", "read files outside the project's folder")
    .action(async (projects: string[], flags: MakeFlags) => {
      code = await make(projects, flags, streams, stop);
    });
  program
    .command("check")
    .description("read and compute everything, write nothing")
    .argument("<project...>", "project files (YAML)")
    .option("--json", "print the summary as JSON")
    .option("-q, --quiet", "no progress")
    .option("--allow-outside", "read files outside the project's folder")
    .action(async (projects: string[], flags: MakeFlags) => {
      code = await check(projects, flags, streams, stop);
    });
  program
    .command("init")
    .description("write a project file with every key explained")
    .argument("[file]", "name of the new file", "costume.yaml")
    .action(async (file: string) => {
      code = await init(file, streams);
    });
  addMaterialCommands(program, streams, (result) => (code = result));

  try {
    await program.parseAsync([...args], { from: "user" });
  } catch (error) {
    if (error instanceof CommanderError) code = error.exitCode === 0 ? EXIT.done : EXIT.usage;
    else if (isPeltryError(error)) code = report(error.issues, streams, args.includes("--json"));
    else throw error;
  } finally {
    process.off("SIGINT", onStop);
  }
  return code;
}

const EXIT_HELP = `
Exit codes:
  0  done
  1  the input has a fault; nothing was written
  2  the command was not understood
  3  done, but something of the costume does not work out; see the remarks
  4  the output could not be written
  130  stopped`;

async function make(
  projects: readonly string[],
  flags: MakeFlags,
  streams: Streams,
  signal: { aborted: boolean },
): Promise<number> {
  const font = loadFont();
  const summaries: Summary[] = [];
  // Compute everything first: a fault in the last project leaves all outputs as they were.
  const ready = new Map<string, Map<string, Uint8Array | string>>();
  const several = projects.length > 1;
  for (const file of projects) {
    const stem = basename(file).replace(/\.ya?ml$/i, "");
    const folder = several ? join(flags.out ?? "peltry-out", stem) : (flags.out ?? `${stem}-out`);
    const progress = createProgressLine(streams.err, flags.quiet);
    const { read, files } = open(file, flags);
    const costume = makeCostume(read, files, {
      signal,
      onStage: (_, what) => progress.stage(what),
      onProgress: ({ done }) => progress.update(done),
    });
    progress.stage("Print files and workbook");
    const outputs = await writeOutputs(costume, font, { signal });
    progress.finish();
    ready.set(folder, outputs.files);
    summaries.push(summarise(costume, outputs, folder));
  }
  if (several) await writeTogether(flags.out ?? "peltry-out", ready);
  else for (const [folder, files] of ready) await writeFolder(folder, files);
  streams.out.write(
    flags.json
      ? `${JSON.stringify(several ? summaries : summaries[0], null, 2)}\n`
      : summaries.map(summaryText).join("\n"),
  );
  return summaries.some((summary) => summary.trouble.length > 0) ? EXIT.trouble : EXIT.done;
}

/** Several projects into one folder, a subfolder each, replaced as one. */
async function writeTogether(
  out: string,
  ready: ReadonlyMap<string, Map<string, Uint8Array | string>>,
): Promise<void> {
  const all = new Map<string, Uint8Array | string>();
  for (const [folder, files] of ready)
    for (const [name, bytes] of files) all.set(`${basename(folder)}/${name}`, bytes);
  all.set(
    OUTPUT_MARK,
    `${JSON.stringify({ madeBy: "peltry", projects: [...ready.keys()].map((folder) => basename(folder)) }, null, 2)}\n`,
  );
  await writeFolder(out, all);
}

async function check(
  projects: readonly string[],
  flags: MakeFlags,
  streams: Streams,
  signal: { aborted: boolean },
): Promise<number> {
  const summaries: Summary[] = [];
  for (const file of projects) {
    const progress = createProgressLine(streams.err, flags.quiet);
    const { read, files } = open(file, flags);
    const costume = makeCostume(read, files, {
      signal,
      onStage: (_, what) => progress.stage(what),
      onProgress: ({ done }) => progress.update(done),
    });
    progress.finish();
    summaries.push(summarise(costume, undefined, undefined));
  }
  streams.out.write(
    flags.json
      ? `${JSON.stringify(summaries.length > 1 ? summaries : summaries[0], null, 2)}\n`
      : summaries.map(summaryText).join("\n"),
  );
  return summaries.some((summary) => summary.trouble.length > 0) ? EXIT.trouble : EXIT.done;
}

function open(
  file: string,
  flags: MakeFlags,
): { read: ReturnType<typeof readProject>; files: ReturnType<typeof createProjectFiles> } {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch (error) {
    const reason = (error as NodeJS.ErrnoException).code;
    throw new PeltryError({
      code: "project/missing-file",
      severity: "error",
      message: `The project file cannot be read (${reason}).`,
      at: { file },
      fix: "Check its name; `peltry init` writes a new one.",
    });
  }
  return { read: readProject(text, file), files: createProjectFiles(file, flags.allowOutside) };
}

async function init(file: string, streams: Streams): Promise<number> {
  if (existsSync(file)) {
    return report(
      [
        {
          code: "project/exists",
          severity: "error",
          message: "The file is there already and is left alone.",
          at: { file },
          fix: "Give another name.",
        },
      ],
      streams,
      false,
    );
  }
  await writeFile(file, projectTemplate(), { flag: "wx" });
  streams.out.write(`${file} written. Fill in the measures and fabrics, then: peltry make ${file}\n`);
  return EXIT.done;
}

function report(issues: readonly Issue[], streams: Streams, json: boolean): number {
  if (json) streams.out.write(`${JSON.stringify({ issues }, null, 2)}\n`);
  else for (const issue of issues) streams.err.write(`${issueText(issue)} [${issue.code}]\n`);
  const first = issues[0]?.code ?? "";
  return first === "output/cannot-write" || first === "output/not-ours" ? EXIT.cannotWrite : EXIT.fault;
}
