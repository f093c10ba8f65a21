import { main } from "../src/cli/main";

/** Runs the command line in this process and collects what it prints. */
export async function run(args: readonly string[]): Promise<{ code: number; text: string; err: string }> {
  let text = "";
  let err = "";
  const sink = (take: (chunk: string) => void): NodeJS.WriteStream =>
    ({ isTTY: false, write: (chunk: string) => (take(chunk), true) }) as unknown as NodeJS.WriteStream;
  const code = await main(args, {
    out: sink((chunk) => (text += chunk)),
    err: sink((chunk) => (err += chunk)),
  });
  return { code, text, err };
}
