import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  fail,
  isPeltryError,
  issueText,
  PeltryError,
  placeText,
  throwIfCancelled,
  type Place,
} from "../src/index";

const RUNS = { seed: 1, numRuns: 200 };
const word = fc.stringMatching(/^[a-z]{1,8}$/);
const place: fc.Arbitrary<Place> = fc.record(
  {
    file: word,
    line: fc.nat(9999),
    column: fc.nat(999),
    path: fc.array(fc.oneof(word, fc.nat(99)), { maxLength: 3 }),
    panel: word,
    edge: word,
    triangle: fc.nat(9999),
    point: fc.array(fc.integer({ min: -999, max: 999 }), { minLength: 2, maxLength: 3 }),
  },
  { requiredKeys: [] },
);

describe("properties of issues", () => {
  it("placeText names everything that is known of a place, and is empty just when nothing is [completeness]", () => {
    fc.assert(
      fc.property(place, (at) => {
        const text = placeText(at);
        for (const key of ["file", "panel", "edge"] as const)
          if (at[key] !== undefined) expect(text).toContain(at[key]);
        for (const key of ["line", "triangle"] as const)
          if (at[key] !== undefined) expect(text).toContain(String(at[key]));
        for (const step of at.path ?? []) expect(text).toContain(String(step));
        for (const x of at.point ?? []) expect(text).toContain(String(x));
        const { column: _, path, ...rest } = at;
        expect(text === "").toBe(Object.keys(rest).length === 0 && (path ?? []).length === 0);
      }),
      RUNS,
    );
  });
  it("what fail throws is one error that carries all it was told, through JSON and a clone as well [round trip]", () => {
    fc.assert(
      fc.property(
        word,
        word,
        place,
        fc.record({ found: fc.nat(), fix: word }, { requiredKeys: [] }),
        (code, message, at, more) => {
          const wanted = { code, severity: "error", message, at, ...more };
          let thrown: unknown;
          try {
            fail(code, message, at, more);
          } catch (error) {
            thrown = error;
          }
          if (!isPeltryError(thrown)) throw new Error("not the typed error");
          expect(thrown.code).toBe(code);
          expect(thrown.issues).toEqual([wanted]);
          expect(thrown.message).toBe(issueText(thrown.issues[0]));
          const line = issueText(thrown.issues[0]);
          expect(
            line.startsWith(placeText(at)) && line.includes(message) && line.endsWith(more.fix ?? ""),
          ).toBe(true);
          expect(new PeltryError(structuredClone(thrown.issues)).toJSON()).toEqual(thrown.toJSON());
          expect((JSON.parse(JSON.stringify(thrown)) as { code: string }).code).toBe(code);
        },
      ),
      RUNS,
    );
  });
  it("isPeltryError takes nothing else for one [oracle: instanceof]", () => {
    fc.assert(
      fc.property(fc.anything(), (value) => {
        expect(isPeltryError(value)).toBe(value instanceof PeltryError);
      }),
      RUNS,
    );
  });
  it("throwIfCancelled throws just when the signal is raised [truth table]", () => {
    fc.assert(
      fc.property(fc.option(fc.record({ aborted: fc.boolean() }), { nil: undefined }), (signal) => {
        if (signal?.aborted) expect(() => throwIfCancelled(signal)).toThrow(/cancelled/);
        else expect(() => throwIfCancelled(signal)).not.toThrow();
      }),
      RUNS,
    );
  });
});
