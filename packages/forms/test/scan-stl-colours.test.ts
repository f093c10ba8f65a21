import { describe, expect, it } from "vitest";
import { readMesh } from "@peltry/forms";
import { ball, writeStl } from "./mesh-bytes";

/** A binary STL whose facets carry these sixteen bits, and whose header begins with this text. */
function painted(bits: (facet: number) => number, header?: readonly number[]): Uint8Array {
  const bytes = writeStl(ball(100, 6), "binary").slice();
  const view = new DataView(bytes.buffer);
  if (header) header.forEach((byte, k) => (bytes[k] = byte));
  const count = view.getUint32(80, true);
  for (let t = 0; t < count; t++) view.setUint16(84 + 50 * t + 48, bits(t), true);
  return bytes;
}
const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));
const fives = (low: number, middle: number, high: number, top: 0 | 1): number =>
  low | (middle << 5) | (high << 10) | (top << 15);
const coloursOf = (bytes: Uint8Array): Set<string> => {
  const { colors } = readMesh(bytes, { unit: "mm" });
  const all = new Set<string>();
  for (let v = 0; v < (colors?.length ?? 0); v += 3) all.add([...colors!.subarray(v, v + 3)].join());
  return all;
};
const notesOf = (bytes: Uint8Array): string[] =>
  readMesh(bytes, { unit: "mm" }).report.issues.map(({ code }) => code);

describe("colours of an STL", () => {
  it("have blue lowest, and a top bit that says there is one [oracle: five bits to eight by hand]", () => {
    const bytes = painted(() => fives(4, 16, 31, 1));
    expect(coloursOf(bytes)).toEqual(new Set(["255,132,33"]));
    expect(notesOf(bytes)).toContain("forms/stl-colours");
  });
  it("have red lowest where the header says COLOR=, and fall back on that colour [oracle: by hand]", () => {
    const header = [...ascii("made here COLOR="), 10, 20, 30, 255];
    expect(coloursOf(painted(() => fives(4, 16, 31, 0), header))).toEqual(new Set(["33,132,255"]));
    expect(coloursOf(painted(() => fives(4, 16, 31, 1), header))).toEqual(new Set(["10,20,30"]));
    expect(coloursOf(painted(() => 0, header))).toEqual(new Set(["10,20,30"]));
  });
  it("are white where a facet has none, and absent where none has", () => {
    expect(coloursOf(painted((t) => (t % 2 ? fives(0, 0, 0, 1) : 0)))).toEqual(
      new Set(["0,0,0", "255,255,255"]),
    );
    expect(
      readMesh(
        painted(() => 0),
        { unit: "mm" },
      ).colors,
    ).toBeUndefined();
  });
  it("are not made of numbers that mean something else, which is said", () => {
    const bytes = painted((t) => t % 7);
    expect(readMesh(bytes, { unit: "mm" }).colors).toBeUndefined();
    expect(notesOf(bytes)).toContain("forms/stl-attributes");
  });
  it("ignore a COLOR= without room for its bytes [oracle: no throw]", () => {
    const header = [...Array.from({ length: 74 }, () => 32), ...ascii("COLOR=")];
    expect(coloursOf(painted(() => fives(31, 0, 0, 1), header))).toEqual(new Set(["0,0,255"]));
  });
});
