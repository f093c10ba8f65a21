import { describe, expect, it } from "vitest";
import { runCase } from "../fuzz/run-case";
import { TARGETS } from "../fuzz/targets";

// A handful of cases of every target; npm run fuzz runs as many as you have time for.
const CASES = 120;

/** Cases that once ended in a fault: target, seed, number. They stay. */
const REGRESSIONS: readonly (readonly [string, number, number])[] = [
  ["insertPath", 1, 2],
  ["insertPath", 1, 7],
  ["writePdf", 1, 0],
];

describe("hostile input", () => {
  for (const target of TARGETS) {
    const cases = Math.max(1, Math.ceil(CASES / target.weight));
    it(`${target.name} › gives a sound result or one typed error [${cases} damaged inputs, seed 1]`, async () => {
      for (let number = 0; number < cases; number++) {
        const outcome = await runCase(target, 1, number);
        expect({ number, ...(outcome.kind === "fault" ? outcome : {}) }).toEqual({ number });
      }
    });
  }
  it.each(REGRESSIONS)("%s › seed %i, case %i stays mended", async (name, seed, number) => {
    const target = TARGETS.find((one) => one.name === name)!;
    expect((await runCase(target, seed, number)).kind).not.toBe("fault");
  });
});

describe("the fuzzer itself", () => {
  it("tells an untyped error, a broken promise and prototype pollution [failing input]", async () => {
    const bad = (run: () => unknown, check?: () => void): Parameters<typeof runCase>[0] => ({
      name: "bad",
      group: "readers",
      weight: 1,
      make: () => null,
      run,
      ...(check ? { check } : {}),
    });
    const kinds = [
      bad(() => (undefined as unknown as { x: number }).x),
      bad(() => () => 1),
      bad(
        () => 1,
        () => {
          throw new Error("not so");
        },
      ),
      bad(() => {
        (Object.prototype as Record<string, unknown>)["polluted"] = 1;
      }),
    ];
    for (const target of kinds) expect((await runCase(target, 1, 0)).kind).toBe("fault");
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });
});
