// A texture of 4096 × 4096 takes a full decoder seconds and half a gigabyte; colours go to vertices, far coarser than its
// pixels. The first coefficient of each block is the block's mean, and that is all that is kept here.

import { badPicture } from "./bad-picture";

/** Means of 8 × 8 pixels, r, g, b. */
export interface CoarsePicture {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

interface Component {
  readonly id: number;
  readonly h: number;
  readonly v: number;
  readonly table: number;
  /** Blocks in a row, and rows, of whole units. */
  readonly across: number;
  readonly down: number;
  readonly mean: Int32Array;
  last: number;
}

interface Frame {
  readonly progressive: boolean;
  readonly width: number;
  readonly height: number;
  readonly most: { readonly h: number; readonly v: number };
  readonly components: Component[];
}

/** Code length in the low byte and symbol in the high one, for each 16 bits ahead; 0 where there is no such code. */
type Codes = Uint16Array;

/**
 * Reads a JPEG picture at an eighth of its size.
 *
 * @returns undefined for kinds that it does not know: arithmetic coding, twelve bits, four inks without the mark that says how they are stored
 * @throws `forms/bad-picture` when it is damaged
 * @source ITU-T T.81 (1992): B.2 (marker segments), C.2 (Huffman codes), F.2.2 (sequential decoding), G.1.2 (successive
 * approximation); ITU-T T.871 (2011), 7 (YCbCr to RGB)
 */
export function readCoarseJpeg(bytes: Uint8Array): CoarsePicture | undefined {
  const steps = new Map<number, number>();
  const codes = new Map<number, Codes>();
  let frame: Frame | undefined;
  let interval = 0;
  let transform: number | undefined;
  for (let at = 2; at + 4 <= bytes.length;) {
    if (bytes[at] !== 0xff) badPicture(`is damaged: no marker at byte ${at}`);
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xd9) break;
    if (marker >= 0xd0 && marker <= 0xd8) {
      at += 2;
      continue;
    }
    const end = at + 2 + (bytes[at + 2] << 8) + bytes[at + 3];
    if (end > bytes.length) badPicture("is damaged: cut short");
    const part = bytes.subarray(at + 4, end);
    at = end;
    if (marker === 0xdb) readSteps(part, steps);
    else if (marker === 0xc4) readCodes(part, codes);
    else if (marker === 0xdd) interval = (part[0] << 8) | part[1];
    else if (marker === 0xee && part[0] === 0x41 && part[1] === 0x64) transform = part[11];
    else if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc8 && marker !== 0xcc) {
      if (marker > 0xc2 || part[0] !== 8 || frame) return undefined;
      frame = readFrame(part, marker === 0xc2);
      if (!frame) return undefined;
    } else if (marker === 0xda) {
      if (!frame) badPicture("is damaged: a scan before its frame");
      at = readScan(bytes, end, part, frame, codes, interval);
    }
  }
  if (frame?.components.length === 4 && transform === undefined) return undefined;
  return frame && toRgb(frame, steps, transform);
}

/** First step of each quantisation table. */
function readSteps(part: Uint8Array, steps: Map<number, number>): void {
  for (let i = 0; i < part.length;) {
    const wide = part[i] >> 4 > 0;
    steps.set(part[i] & 15, wide ? (part[i + 1] << 8) | part[i + 2] : part[i + 1]);
    i += wide ? 129 : 65;
  }
}

function readCodes(part: Uint8Array, codes: Map<number, Codes>): void {
  for (let i = 0; i + 17 <= part.length;) {
    const table = new Uint16Array(65536);
    let code = 0;
    let symbol = i + 17;
    for (let length = 1; length <= 16; length++) {
      for (let k = 0; k < part[i + length]; k++) {
        const span = 1 << (16 - length);
        if (symbol >= part.length || code + span > 65536) badPicture("is damaged: broken code table");
        table.fill((part[symbol++] << 8) | length, code, code + span);
        code += span;
      }
    }
    codes.set(part[i], table);
    i = symbol;
  }
}

function readFrame(part: Uint8Array, progressive: boolean): Frame | undefined {
  const height = (part[1] << 8) | part[2];
  const width = (part[3] << 8) | part[4];
  const count = part[5];
  if ((count !== 1 && count !== 3 && count !== 4) || part.length < 6 + 3 * count) return undefined;
  const listed = Array.from({ length: count }, (_, i) => {
    const [id, factors, table] = part.subarray(6 + 3 * i);
    return { id, h: factors >> 4, v: factors & 15, table };
  });
  if (listed.some(({ h, v }) => h < 1 || h > 4 || v < 1 || v > 4)) badPicture("is damaged: broken frame");
  const most = { h: Math.max(...listed.map((c) => c.h)), v: Math.max(...listed.map((c) => c.v)) };
  const components = listed.map((c): Component => {
    const across = c.h * Math.ceil(width / (8 * most.h));
    const down = c.v * Math.ceil(height / (8 * most.v));
    return { ...c, across, down, mean: new Int32Array(across * down), last: 0 };
  });
  return { progressive, width, height, most, components };
}

/** Bits of packed data. Past its end come zeros, as many as a decoder may look ahead. */
class Bits {
  private held = 0;
  private count = 0;
  private past = 0;

  constructor(
    private readonly bytes: Uint8Array,
    public at: number,
  ) {}

  private fill(): void {
    const { bytes } = this;
    while (this.count <= 16) {
      let byte = bytes[this.at];
      if (this.at >= bytes.length || (byte === 0xff && bytes[this.at + 1] !== 0)) {
        byte = 0;
        if (++this.past > 64) badPicture("is damaged: packed data are cut short");
      } else this.at += byte === 0xff ? 2 : 1;
      this.held = ((this.held << 8) | byte) & 0xffffff;
      this.count += 8;
    }
  }

  take(length: number): number {
    if (length === 0) return 0;
    if (this.count < length) this.fill();
    this.count -= length;
    return (this.held >> this.count) & ((1 << length) - 1);
  }

  symbol(codes: Codes): number {
    if (this.count < 16) this.fill();
    const entry = codes[(this.held >> (this.count - 16)) & 0xffff];
    if (entry === 0) badPicture("is damaged: a code that is in no table");
    this.count -= entry & 255;
    return entry >> 8;
  }

  /** Drops what is held and steps over a restart mark, where one is next. */
  restart(): void {
    this.held = this.count = this.past = 0;
    const { bytes } = this;
    if (bytes[this.at] === 0xff && bytes[this.at + 1] >= 0xd0 && bytes[this.at + 1] <= 0xd7) this.at += 2;
  }
}

/** Reads one scan into the means; gives the byte of the next marker. */
function readScan(
  bytes: Uint8Array,
  from: number,
  part: Uint8Array,
  frame: Frame,
  codes: ReadonlyMap<number, Codes>,
  interval: number,
): number {
  const count = part[0];
  const [first, , shifts] = part.subarray(1 + 2 * count);
  if (frame.progressive && first > 0) return nextMarker(bytes, from);
  const members = Array.from({ length: count }, (_, i) => {
    const component = frame.components.find((c) => c.id === part[1 + 2 * i]);
    const dc = codes.get(part[2 + 2 * i] >> 4);
    const ac = codes.get(16 + (part[2 + 2 * i] & 15));
    const refines = frame.progressive && shifts >> 4 > 0;
    if (!component || (!dc && !refines) || (!ac && !frame.progressive))
      badPicture("is damaged: a scan without its tables");
    component.last = 0;
    return { component, dc: dc!, ac: ac!, refines };
  });
  if (count === 0) badPicture("is damaged: a scan of nothing");
  const bits = new Bits(bytes, from);
  const low = frame.progressive ? shifts & 15 : 0;
  const block = ({ component, dc, ac, refines }: (typeof members)[number], index: number): void => {
    if (refines) {
      component.mean[index] |= bits.take(1) << low;
      return;
    }
    component.last += signed(bits, bits.symbol(dc) & 15);
    component.mean[index] = component.last << low;
    if (frame.progressive) return;
    for (let k = 1; k < 64; k++) {
      const symbol = bits.symbol(ac);
      const size = symbol & 15;
      if (size > 0) {
        k += symbol >> 4;
        bits.take(size);
      } else if (symbol === 0xf0) k += 15;
      else break;
    }
  };
  const { most, width, height } = frame;
  // A scan of one component holds just the blocks that the picture needs; of several, whole units.
  const alone = count === 1 ? members[0].component : undefined;
  const across = alone ? Math.ceil((width * alone.h) / (8 * most.h)) : Math.ceil(width / (8 * most.h));
  const down = alone ? Math.ceil((height * alone.v) / (8 * most.v)) : Math.ceil(height / (8 * most.v));
  for (let unit = 0; unit < across * down; unit++) {
    if (interval > 0 && unit > 0 && unit % interval === 0) {
      bits.restart();
      for (const { component } of members) component.last = 0;
    }
    const x = unit % across;
    const y = (unit - x) / across;
    for (const member of members) {
      const { h, v, across: row } = member.component;
      if (alone) block(member, y * row + x);
      else
        for (let j = 0; j < v; j++) for (let i = 0; i < h; i++) block(member, (y * v + j) * row + x * h + i);
    }
  }
  return nextMarker(bytes, bits.at);
}

/** A difference of so many bits: those that begin with 0 are negative. */
function signed(bits: Bits, size: number): number {
  const value = bits.take(size);
  return size === 0 || value >> (size - 1) ? value : value - (1 << size) + 1;
}

function nextMarker(bytes: Uint8Array, from: number): number {
  for (let i = from; i + 1 < bytes.length; i++) {
    if (bytes[i] === 0xff && bytes[i + 1] !== 0 && bytes[i + 1] !== 0xff && (bytes[i + 1] & 0xf8) !== 0xd0)
      return i;
  }
  return bytes.length;
}

/**
 * Means to colours. Four inks are stored as what they leave: the product of a colour's and the black's is what is seen.
 *
 * @param transform - how the mark for it says that colours were turned before packing; 0 for not at all
 */
function toRgb(
  frame: Frame,
  steps: ReadonlyMap<number, number>,
  transform: number | undefined,
): CoarsePicture {
  const width = Math.ceil(frame.width / 8);
  const height = Math.ceil(frame.height / 8);
  const rgb = new Uint8Array(3 * width * height);
  const levels = frame.components.map(({ table, mean }) => {
    const step = steps.get(table);
    if (step === undefined) badPicture("is damaged: a quantisation table is missing");
    return Float64Array.from(mean, (m) => Math.max(0, Math.min(255, (m * step) / 8 + 128)));
  });
  const level = (c: number, x: number, y: number): number => {
    const { h, v, across } = frame.components[c];
    return levels[c][Math.floor((y * v) / frame.most.v) * across + Math.floor((x * h) / frame.most.h)];
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const to = 3 * (y * width + x);
      const a = level(0, x, y);
      if (levels.length === 1) {
        rgb.fill(Math.round(a), to, to + 3);
        continue;
      }
      const b = level(1, x, y);
      const c = level(2, x, y);
      const out =
        transform === 0
          ? [a, b, c]
          : [a + 1.402 * (c - 128), a - 0.344136 * (b - 128) - 0.714136 * (c - 128), a + 1.772 * (b - 128)];
      const black = levels.length === 4 ? level(3, x, y) / 255 : 1;
      for (let k = 0; k < 3; k++) {
        const value = Math.max(0, Math.min(255, out[k]));
        rgb[to + k] = Math.round(black * (levels.length === 4 && transform !== 0 ? 255 - value : value));
      }
    }
  }
  return { width, height, rgb };
}
