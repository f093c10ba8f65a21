/** Tells a person how far the work is: one live line on a terminal, one plain line a stage when piped. */
export interface ProgressLine {
  stage(text: string): void;
  update(done: number): void;
  finish(): void;
}

/** @param stream - usually standard error, so that standard output stays clean for `--json` */
export function createProgressLine(stream: NodeJS.WriteStream, quiet = false): ProgressLine {
  let current = "";
  let shown = -1;
  const live = stream.isTTY === true && !quiet;
  const draw = (done: number): void => {
    const bar = "▪".repeat(Math.round(done * 20)).padEnd(20, "·");
    stream.write(`\r\x1b[2K${bar} ${current}`);
  };
  const end = (): void => {
    if (live && current) stream.write(`\r\x1b[2K  ${current}\n`);
    current = "";
  };
  return {
    stage(text) {
      end();
      current = text;
      shown = -1;
      if (live) draw(0);
      else if (!quiet) stream.write(`${text}\n`);
    },
    update(done) {
      const step = Math.floor(done * 20);
      if (!live || step === shown) return;
      shown = step;
      draw(Math.min(1, done));
    },
    finish: end,
  };
}
