import { createRandom } from "@peltry/geometry";
import { isPeltryError } from "@peltry/issues";
import { decode, encode } from "jpeg-js";
import { describe, expect, it } from "vitest";
import { readCoarseJpeg } from "../src/scan/gltf/coarse-jpeg";
import { readPicture } from "../src/scan/gltf/texture";

/** Clouds of 40 × 24 pixels in several passes (progressive), 4:4:4, made for this test. */
const PASSES = new Uint8Array(
  Buffer.from(
    "/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAAoHBwgHBgoICAgLCgoLDhgQDg0NDh0VFhEYIx8lJCIfIiEmKzcvJik0KSEiMEExNDk7Pj4+JS5ESUM8SDc9Pjv/2wBDAQoLCw4NDhwQEBw7KCIoOzs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozs7Ozv/wgARCAAYACgDAREAAhEBAxEB/8QAGQAAAgMBAAAAAAAAAAAAAAAAAQMCBAUG/8QAGAEBAQEBAQAAAAAAAAAAAAAAAgMAAQT/2gAMAwEAAhADEAAAAcaVW8oaShpD1zR50CmUb6acxtF8yeVHy+ztav8A/8QAHBAAAgIDAQEAAAAAAAAAAAAAAAECAxESIQQT/9oACAEBAAEFAkbcVjZ9GbZJ8cZZEJZND0eNFtHzlGXapdrScf/EAB0RAAICAwADAAAAAAAAAAAAAAABAhESIUETMlH/2gAIAQMBAT8BjJrpmd0NI8UWepex2ykNEUSj8LxO2Vmf/8QAGhEAAgMBAQAAAAAAAAAAAAAAAAECERIDIf/aAAgBAgEBPwGUbI+FFOzn1aGikZTMFGjXpqhToc2f/8QAGRAAAgMBAAAAAAAAAAAAAAAAECAAASEx/9oACAEBAAY/Aph4uC0//8QAHBAAAgIDAQEAAAAAAAAAAAAAAAERMSFBkWGx/9oACAEBAAE/IXacuB6HBG6NLr0TMHwQQrGiqJOmNtKJTcZHMLhI3wwCQH//2gAMAwEAAgADAAAAEJZ5pyybz//EABkRAQEBAQEBAAAAAAAAAAAAAAEAESExYf/aAAgBAwEBPxDvGtg59l9DJ3ZFsK+eRnqHhHsSDw7DMMPKMMGMNL//xAAbEQEBAAMBAQEAAAAAAAAAAAABABEhQTEQUf/aAAgBAgEBPxAF+QWSXsBl2JBl7bt3sbFLVwyc4ngQxh+ROjy//8QAGxABAQEBAAMBAAAAAAAAAAAAAREAITFBcVH/2gAIAQEAAT8QQQIx/TAewFFbkCTk3Vd+jnliPj1n5Re/m4B9XSqwXmFwFT6MylSAHA0Bn2751yBGi6ZrVF+sgaECCHnRIt9Pbv/Z",
    "base64",
  ),
);

/** Red to blue from top to bottom in four inks, 40 × 24 pixels, made for this test by an image program. */
const FOUR_INKS = new Uint8Array(
  Buffer.from(
    "/9j/7gAOQWRvYmUAZAAAAAAC/9sAQwAFAwQEBAMFBAQEBQUFBgcMCAcHBwcPCwsJDBEPEhIRDxERExYcFxMUGhURERghGBodHR8fHxMXIiQiHiQcHh8e/9sAQwEFBQUHBgcOCAgOHhQRFB4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4eHh4e/8AAFAgAGAAoBAERAAIRAQMRAQQRAP/EABYAAQEBAAAAAAAAAAAAAAAAAAAHBv/EACAQAAECBQUAAAAAAAAAAAAAAAACFQEWU2OhBAUUUpH/xAAWAQEBAQAAAAAAAAAAAAAAAAAABwb/xAAbEQACAwADAAAAAAAAAAAAAAAAUQECFRQWYf/aAA4EAQACEQMRBAAAPwDOvyKkDVacMgudKKVMVzIfkVIDThjOlCYrmQ/IqQGnDGdKExXMh+RUgNOGM6UJiuZD8ipAacMZ0oTFcyT5v3Osrwk+zZld614Ybg66pEN+51leDZsx1rwcHXVIhv3OsrwbNmOteDg66pEN+51leDZsx1rwcHXVIhv3OsrwbNmOteDg66pEqLMnoYTlyyx5dUVaW7eAzJ6Dlyxl1Qlu3gMyeg5csZdUJbt4DMnoOXLGXVCW7eAzJ6Dlyxl1Qlu3g//Z",
    "base64",
  ),
);

/** A picture of soft colour with noise on it, in one pass. */
function onePass(width: number, height: number): Uint8Array {
  const random = createRandom(11);
  const data = new Uint8Array(4 * width * height);
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    const rgb = [120 + 100 * Math.sin(x / 19), 90 + y, 200 - 60 * Math.cos((x + y) / 31)];
    rgb.forEach((c, k) => (data[4 * i + k] = Math.max(0, Math.min(255, c + 30 * random() - 15))));
  }
  return new Uint8Array(encode({ width, height, data }, 85).data);
}

/** Largest difference between a coarse picture and the means of the whole one, over its whole blocks. */
function worst(bytes: Uint8Array): number {
  const coarse = readCoarseJpeg(bytes)!;
  const whole = decode(bytes, { useTArray: true, formatAsRGBA: false });
  expect([coarse.width, coarse.height]).toEqual([Math.ceil(whole.width / 8), Math.ceil(whole.height / 8)]);
  let most = 0;
  for (let y = 0; y < whole.height >> 3; y++) {
    for (let x = 0; x < whole.width >> 3; x++) {
      for (let k = 0; k < 3; k++) {
        let sum = 0;
        for (let p = 0; p < 64; p++)
          sum += whole.data[3 * ((8 * y + (p >> 3)) * whole.width + 8 * x + (p & 7)) + k];
        most = Math.max(most, Math.abs(sum / 64 - coarse.rgb[3 * (y * coarse.width + x) + k]));
      }
    }
  }
  return most;
}

describe("readCoarseJpeg", () => {
  it("readCoarseJpeg › gives the means of 8 × 8 pixels, of one pass and of several [oracle: jpeg-js]", () => {
    expect(worst(onePass(160, 96))).toBeLessThan(3);
    expect(worst(onePass(101, 67))).toBeLessThan(3);
    expect(worst(PASSES)).toBeLessThan(3);
  });

  it("readCoarseJpeg › sees four inks as an image program does, turned before packing or not [oracle: the colours it was made from, jpeg-js]", () => {
    expect(worst(FOUR_INKS)).toBeLessThan(4);
    const { rgb } = readCoarseJpeg(FOUR_INKS)!;
    // 200, 60, 40 to 30, 120, 220; the first row of blocks lies a sixth of the way down.
    const wanted = [172, 70, 70];
    wanted.forEach((c, k) => expect(Math.abs(rgb[k] - c)).toBeLessThan(6));
    const plain = FOUR_INKS.slice();
    const mark = plain.findIndex((byte, i) => byte === 0xff && plain[i + 1] === 0xee);
    plain[mark + 15] = 0;
    expect(worst(plain)).toBeLessThan(4);
    // Without the mark nobody knows how the inks are stored.
    plain[mark + 4] = 0;
    expect(readCoarseJpeg(plain)).toBeUndefined();
  });

  it("readPicture › reads only large pictures coarsely, and only where that is asked for", () => {
    const large = onePass(2056, 2048);
    expect(readPicture(large, undefined, true)).toMatchObject({ width: 257, height: 256, coarse: true });
    expect(readPicture(onePass(160, 96), undefined, true)).toMatchObject({ width: 160, height: 96 });
    expect(() => readPicture(large.slice(0, large.length >> 1), undefined, true)).toThrow(/damaged/);
  }, 30_000);

  it("readCoarseJpeg › answers a damaged file with a picture, an error or nothing [oracle: every byte changed in turn]", () => {
    for (const bytes of [onePass(40, 24), PASSES]) {
      for (let i = 2; i < bytes.length; i += 3) {
        const bad = bytes.slice();
        bad[i] = (bad[i] + 61 + i) & 255;
        try {
          const { width, height, rgb } = readPicture(bad, 100_000);
          expect(rgb.length).toBe(3 * width * height);
        } catch (error) {
          expect(isPeltryError(error), `byte ${i}`).toBe(true);
        }
        let coarse: ReturnType<typeof readCoarseJpeg>;
        try {
          coarse = readCoarseJpeg(bad);
        } catch (error) {
          expect(isPeltryError(error), `byte ${i}`).toBe(true);
        }
        if (coarse) expect(coarse.rgb.length).toBe(3 * coarse.width * coarse.height);
      }
    }
  });
});
