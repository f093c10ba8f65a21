import { decode as decodePng } from "fast-png";
import { Unzlib } from "fflate";
import { decode as decodeJpeg } from "jpeg-js";
import { isPeltryError } from "@peltry/issues";
import { badPicture } from "./bad-picture";
import { readCoarseJpeg } from "./coarse-jpeg";

/** A picture as r, g, b, 0..255. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** Three bytes a pixel, row by row from the top. */
  readonly rgb: Uint8Array;
  /** True for a picture at an eighth of the size that it was saved in. */
  readonly coarse?: boolean;
}

/** Pictures larger than this are refused before they are unpacked: 8192 × 8192, the largest texture in common use. */
const MOST_PIXELS = 8192 * 8192;
/** A claim of more pixels than this has to be borne out by the bytes. */
const SMALL = 1_000_000;
/** Pixels a byte that a flat picture packs to: deflate reaches 1032 bytes a byte, a JPEG block of 64 pixels takes 6 bits. */
const FLATTEST = { png: 1100, jpeg: 90 };
/** JPEG pictures of more pixels than this are read at an eighth of their size where the caller does with that. */
const COARSE_ABOVE = 2048 * 2048;
/** Passes over a JPEG picture; common progressive ones have ten. */
const MOST_SCANS = 64;

/**
 * Unpacks a PNG or JPEG picture.
 *
 * @param most - pixels that it may have
 * @param coarse - large JPEG pictures may come at an eighth of their size
 * @throws `forms/bad-picture` when it is damaged, of another kind or too large
 * @source PNG: W3C, Portable Network Graphics, third edition, 11.2.1 (size in IHDR); JPEG: ITU-T T.81, B.2.2 (frame header)
 */
export function readPicture(bytes: Uint8Array, most = MOST_PIXELS, coarse = false): Picture {
  const size = pictureSize(bytes);
  const pixels = size.width * size.height;
  const flattest = size.png ? FLATTEST.png : FLATTEST.jpeg;
  // Flat pictures pack very well; a claim past that is a bomb or a lie.
  if (pixels === 0 || pixels > most || (pixels > SMALL && pixels > flattest * bytes.length)) {
    badPicture(`claims ${size.width} × ${size.height} pixels in ${bytes.length} bytes`);
  }
  try {
    if (size.png) return fromPng(bytes);
    const small = coarse && pixels > COARSE_ABOVE ? readCoarseJpeg(bytes) : undefined;
    return small ? { ...small, coarse: true } : fromJpeg(bytes, pixels);
  } catch (error) {
    if (isPeltryError(error)) throw error;
    return badPicture(
      `cannot be unpacked (${error instanceof Error ? error.message.slice(0, 80) : "unknown reason"})`,
    );
  }
}

function pictureSize(bytes: Uint8Array): { width: number; height: number; png: boolean } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length > 33 && view.getUint32(0) === 0x89504e47 && view.getUint32(4) === 0x0d0a1a0a) {
    return { width: view.getUint32(16), height: view.getUint32(20), png: true };
  }
  if (bytes.length > 4 && view.getUint16(0) === 0xffd8) {
    if (countScans(bytes) > MOST_SCANS) badPicture("is a JPEG of too many passes");
    for (let at = 2; at + 9 < bytes.length;) {
      if (bytes[at] !== 0xff) break;
      const marker = bytes[at + 1];
      if (marker === 0xff) {
        at++;
        continue;
      }
      const frame = marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
      if (frame) return { width: view.getUint16(at + 7), height: view.getUint16(at + 5), png: false };
      at += 2 + view.getUint16(at + 2);
    }
    badPicture("is a JPEG without a frame");
  }
  return badPicture("is neither PNG nor JPEG");
}

/** Start-of-scan and frame marks. In packed data 0xff is always followed by 0 or a restart mark. */
function countScans(bytes: Uint8Array): number {
  let scans = 0;
  for (let i = 0; i + 1 < bytes.length; i++) if (bytes[i] === 0xff && bytes[i + 1] === 0xda) scans++;
  return scans;
}

function fromPng(bytes: Uint8Array): Picture {
  const image = decodePng(bareParts(bytes));
  const { width, height, channels, depth, data, palette } = image;
  const rgb = new Uint8Array(3 * width * height);
  if (depth === 8 && !palette && channels >= 3) {
    for (let i = 0, j = 0; i < rgb.length; i += 3, j += channels) {
      rgb[i] = data[j];
      rgb[i + 1] = data[j + 1];
      rgb[i + 2] = data[j + 2];
    }
    return { width, height, rgb };
  }
  for (let i = 0; i < width * height; i++) {
    if (palette) {
      const entry = palette[paletteIndex(data, i, width, depth)] ?? [0, 0, 0];
      for (let k = 0; k < 3; k++) rgb[3 * i + k] = entry[k];
      continue;
    }
    for (let k = 0; k < 3; k++) {
      const value =
        depth < 8 ? greyBits(data, i, width, depth) : data[channels * i + (channels >= 3 ? k : 0)];
      rgb[3 * i + k] = depth === 16 ? value >> 8 : value;
    }
  }
  return { width, height, rgb };
}

const PNG_PARTS = new Set(["IHDR", "PLTE", "IDAT", "IEND"]);
const CHANNELS: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 };

/**
 * The picture without its side notes (a colour profile can be packed to unfold without end), its pixel data checked to
 * unfold to no more than the header says.
 *
 * @source W3C, Portable Network Graphics, third edition, 5.3 (chunk layout), 11.2 (critical chunks)
 */
function bareParts(bytes: Uint8Array): Uint8Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const out = new Uint8Array(bytes.length);
  out.set(bytes.subarray(0, 8));
  let length = 8;
  let raw = 0;
  const most = rawLength(view) + 1024;
  const counter = new Unzlib((piece) => {
    raw += piece.length;
    if (raw > most) badPicture("unfolds to more than its size");
  });
  for (let at = 8; at + 12 <= bytes.length;) {
    const size = view.getUint32(at);
    const end = at + 12 + size;
    if (end > bytes.length) badPicture("is cut short");
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    if (PNG_PARTS.has(type)) {
      out.set(bytes.subarray(at, end), length);
      length += end - at;
    }
    // In pieces, so that a bomb stops the count before it fills the memory.
    if (type === "IDAT")
      for (let i = at + 8; i < at + 8 + size; i += 8192)
        counter.push(bytes.subarray(i, Math.min(i + 8192, at + 8 + size)));
    if (type === "IEND") break;
    at = end;
  }
  return out.slice(0, length);
}

/** Bytes of the unpacked rows with their filter marks, interlaced ones counted generously. */
function rawLength(view: DataView): number {
  const [width, height] = [view.getUint32(16), view.getUint32(20)];
  const bits = width * view.getUint8(24) * (CHANNELS[view.getUint8(25)] ?? 4);
  const rows = height * (1 + Math.ceil(bits / 8));
  return view.getUint8(28) === 0 ? rows : rows + 8 * (width + height);
}

function bitsAt(data: ArrayLike<number>, i: number, width: number, depth: number): number {
  const rowBytes = Math.ceil((width * depth) / 8);
  const row = Math.floor(i / width);
  const bit = (i % width) * depth;
  return (data[row * rowBytes + (bit >> 3)] >> (8 - depth - (bit & 7))) & ((1 << depth) - 1);
}

function paletteIndex(data: ArrayLike<number>, i: number, width: number, depth: number): number {
  return depth < 8 ? bitsAt(data, i, width, depth) : data[i];
}

function greyBits(data: ArrayLike<number>, i: number, width: number, depth: number): number {
  return Math.round((255 * bitsAt(data, i, width, depth)) / ((1 << depth) - 1));
}

function fromJpeg(bytes: Uint8Array, pixels: number): Picture {
  const image = decodeJpeg(bytes, {
    useTArray: true,
    formatAsRGBA: false,
    tolerantDecoding: false,
    maxResolutionInMP: Math.ceil(pixels / 1e6) + 1,
    maxMemoryUsageInMB: 480,
  });
  return { width: image.width, height: image.height, rgb: image.data };
}

/** Colour of a picture at u, v (0, 0 top left; repeats outside), between the four nearest pixels. */
export function sampleTexture(picture: Picture, u: number, v: number, out: Uint8Array, at: number): void {
  const { width, height, rgb } = picture;
  const x = (u - Math.floor(u)) * width - 0.5;
  const y = (v - Math.floor(v)) * height - 0.5;
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const fx = x - x0;
  const fy = y - y0;
  const left = (x0 + width) % width;
  const right = (x0 + 1) % width;
  const top = (y0 + height) % height;
  const bottom = (y0 + 1) % height;
  for (let k = 0; k < 3; k++) {
    const upper = rgb[3 * (top * width + left) + k] * (1 - fx) + rgb[3 * (top * width + right) + k] * fx;
    const lower =
      rgb[3 * (bottom * width + left) + k] * (1 - fx) + rgb[3 * (bottom * width + right) + k] * fx;
    out[at + k] = Math.round(upper * (1 - fy) + lower * fy);
  }
}
