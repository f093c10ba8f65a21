import { readFileSync, readdirSync, writeFileSync, mkdirSync, existsSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { OUTPUT_MARK, writeFolder } from "../src/output/write-folder";
import { tempFolder } from "./temp-folder";

const files = (text: string): Map<string, string> =>
  new Map([
    [OUTPUT_MARK, "{}"],
    ["panels/a.svg", text],
  ]);

describe("writeFolder", () => {
  it("writes whole, replaces its own output, and leaves no trace beside it", async () => {
    const base = tempFolder();
    const out = join(base, "Hase öäü 野兎");
    await writeFolder(out, files("one"));
    await writeFolder(out, files("two"));
    expect(readFileSync(join(out, "panels/a.svg"), "utf8")).toBe("two");
    expect(readdirSync(base)).toEqual(["Hase öäü 野兎"]);
  });
  it("never touches a folder that it did not make", async () => {
    const out = join(tempFolder(), "mine");
    mkdirSync(out);
    writeFileSync(join(out, "letter.txt"), "keep");
    await expect(writeFolder(out, files("x"))).rejects.toMatchObject({ code: "output/not-ours" });
    expect(readFileSync(join(out, "letter.txt"), "utf8")).toBe("keep");
  });
  it.runIf(process.platform === "linux")("says so where the system takes no new folder", async () => {
    for (const out of ["/proc/peltry-out", "/proc/peltry/out"]) {
      await expect(writeFolder(out, files("x"))).rejects.toMatchObject({ code: "output/cannot-write" });
    }
  });
  it("leaves the old output where writing fails", async () => {
    const base = tempFolder();
    const out = join(base, "out");
    await writeFolder(out, files("old"));
    const bad = new Map([...files("new"), ["../escape.txt", "no"]]);
    await expect(writeFolder(out, bad)).rejects.toMatchObject({ code: "output/bad-path" });
    expect(readFileSync(join(out, "panels/a.svg"), "utf8")).toBe("old");
    expect(existsSync(join(base, "escape.txt"))).toBe(false);
    expect(readdirSync(base)).toEqual(["out"]);
  });
  it("brings back the old output when a run was killed between the two renames", async () => {
    const base = tempFolder();
    const out = join(base, "out");
    await writeFolder(join(base, ".out.old-999999999-0"), files("old"));
    mkdirSync(join(base, ".out.new-999999999-1"));
    const bad = new Map([...files("new"), ["../escape.txt", "no"]]);
    await expect(writeFolder(out, bad)).rejects.toThrow();
    expect(readFileSync(join(out, "panels/a.svg"), "utf8")).toBe("old");
    expect(readdirSync(base)).toEqual(["out"]);
  });
  it("lets two runs at once into one folder end with one of the two, whole", async () => {
    const base = tempFolder();
    const out = join(base, "out");
    await writeFolder(out, files("old"));
    await Promise.all(["one", "two", "three"].map((text) => writeFolder(out, files(text))));
    expect(["one", "two", "three"]).toContain(readFileSync(join(out, "panels/a.svg"), "utf8"));
    expect(readdirSync(base)).toEqual(["out"]);
  });
  it("names the reason where the parent is a file", async () => {
    const base = tempFolder();
    writeFileSync(join(base, "file"), "");
    await expect(writeFolder(join(base, "file", "out"), files("x"))).rejects.toMatchObject({
      code: "output/cannot-write",
    });
  });
});
