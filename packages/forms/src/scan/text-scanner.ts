import { fail } from "@peltry/issues";

const SPACE = 32;
const TAB = 9;
const LF = 10;
const CR = 13;
/** No program writes longer numbers: 1e308 in full has 309 digits. */
const MOST_DIGITS = 400;
const POWERS = Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/**
 * Reads words and numbers straight from bytes, line by line, and knows where it is. Splitting a 50 MB text into
 * strings takes seconds and hundreds of megabytes; this takes neither.
 */
export class TextScanner {
  pos: number;
  line = 1;
  /** Numbers with a decimal comma, and with a decimal point, seen so far. */
  commas = 0;
  points = 0;
  private lineStart: number;

  constructor(
    readonly bytes: Uint8Array,
    start = 0,
    readonly end = bytes.length,
  ) {
    // A byte-order mark is not part of the text.
    const marked = bytes[start] === 0xef && bytes[start + 1] === 0xbb && bytes[start + 2] === 0xbf;
    this.pos = marked ? start + 3 : start;
    this.lineStart = this.pos;
  }

  get column(): number {
    return this.pos - this.lineStart + 1;
  }

  get done(): boolean {
    return this.pos >= this.end;
  }

  /** Skips blanks inside the line; a backslash before the line's end joins the next line on. */
  skipBlanks(): void {
    for (;;) {
      const c = this.bytes[this.pos];
      if (this.pos >= this.end) return;
      if (c === SPACE || c === TAB || c === 11 || c === 12) this.pos++;
      else if (c === 92 && (this.bytes[this.pos + 1] === LF || this.bytes[this.pos + 1] === CR)) {
        this.pos++;
        this.nextLine();
      } else return;
    }
  }

  /** True at the end of the line or where a comment starts. */
  atLineEnd(): boolean {
    this.skipBlanks();
    if (this.pos >= this.end) return true;
    const c = this.bytes[this.pos];
    return c === LF || c === CR || c === 35;
  }

  nextLine(): void {
    const { bytes, end } = this;
    while (this.pos < end && bytes[this.pos] !== LF && bytes[this.pos] !== CR) this.pos++;
    if (bytes[this.pos] === CR && bytes[this.pos + 1] === LF) this.pos++;
    if (this.pos < end) this.pos++;
    this.line++;
    this.lineStart = this.pos;
  }

  /** Skips blanks, line ends and comments, for formats where lines mean nothing. */
  skipSpace(): void {
    while (!this.done && this.atLineEnd()) this.nextLine();
  }

  /** The next word of the line, at most 200 characters of it kept. */
  word(): string {
    this.skipBlanks();
    const from = this.pos;
    while (this.pos < this.end && this.bytes[this.pos] > SPACE) this.pos++;
    return latin(this.bytes, from, Math.min(this.pos, from + 200));
  }

  /** The rest of the line, trimmed. */
  rest(): string {
    this.skipBlanks();
    const from = this.pos;
    while (this.pos < this.end && this.bytes[this.pos] !== LF && this.bytes[this.pos] !== CR) this.pos++;
    return utf8(this.bytes, from, Math.min(this.pos, from + 1000)).trim();
  }

  /**
   * The next number of the line. `nan` and `inf` come back as NaN; anything else that is no number throws.
   *
   * @throws `forms/bad-number`, or `forms/truncated` at the end of the file
   */
  number(): number {
    this.skipBlanks();
    const { bytes, end } = this;
    const from = this.pos;
    let p = from;
    let sign = 1;
    if (bytes[p] === 45) {
      sign = -1;
      p++;
    } else if (bytes[p] === 43) p++;
    let mantissa = 0;
    let digits = 0;
    let scale = 0;
    let mark = -1;
    for (; p < end; p++) {
      const c = bytes[p];
      if (c >= 48 && c <= 57) {
        mantissa = mantissa * 10 + (c - 48);
        digits++;
        if (mark >= 0) scale++;
      } else if ((c === 46 || c === 44) && mark < 0) mark = c;
      else break;
    }
    if (mark === 44) this.commas++;
    else if (mark === 46) this.points++;
    if (digits === 0) return this.oddNumber(from);
    let exponent = 0;
    if (bytes[p] === 101 || bytes[p] === 69) {
      let q = p + 1;
      const minus = bytes[q] === 45;
      if (minus || bytes[q] === 43) q++;
      const first = q;
      while (bytes[q] >= 48 && bytes[q] <= 57 && q < end) {
        exponent = Math.min(9999, exponent * 10 + (bytes[q++] - 48));
      }
      if (q === first) return this.oddNumber(from);
      if (minus) exponent = -exponent;
      p = q;
    }
    if (p < end && bytes[p] > SPACE && bytes[p] !== 35) return this.oddNumber(from);
    if (p - from > MOST_DIGITS) return this.complain(from, "a number");
    this.pos = p;
    const power = exponent - scale;
    if (mantissa < 9007199254740992 && power >= -22 && power <= 22) {
      return sign * (power < 0 ? mantissa / POWERS[-power] : mantissa * POWERS[power]);
    }
    return Number(latin(bytes, from, p).replace(",", "."));
  }

  /** The next whole number of the line, with a sign. Stops before a slash. */
  integer(): number {
    this.skipBlanks();
    const { bytes, end } = this;
    const from = this.pos;
    let p = from;
    const minus = bytes[p] === 45;
    if (minus || bytes[p] === 43) p++;
    let value = 0;
    const first = p;
    while (p < end && bytes[p] >= 48 && bytes[p] <= 57)
      value = Math.min(1e15, value * 10 + (bytes[p++] - 48));
    if (p === first || (p < end && bytes[p] > SPACE && bytes[p] !== 47 && bytes[p] !== 35)) {
      this.complain(from, "a whole number");
    }
    this.pos = p;
    return minus ? -value : value;
  }

  private oddNumber(from: number): number {
    this.pos = from;
    const word = this.word();
    // What C libraries print for values that are no number.
    if (/^[+-]?(nan|inf|infinity|1\.#(inf|ind|qnan|snan)\w*)(\(.*\))?$/i.test(word)) return NaN;
    return this.complain(from, "a number");
  }

  private complain(from: number, wanted: string): never {
    this.pos = from;
    this.skipBlanks();
    if (this.done) {
      fail(
        "forms/truncated",
        `The file ends on line ${this.line} where ${wanted} should stand.`,
        { line: this.line, byte: this.end },
        { fix: "The file is cut short: copy or export it again." },
      );
    }
    this.pos = from;
    const found = this.atLineEnd() ? "the end of the line" : `“${this.word().slice(0, 40)}”`;
    const at = { line: this.line, column: from - this.lineStart + 1, byte: from };
    fail("forms/bad-number", `Line ${at.line} has ${found} where ${wanted} should stand.`, at, {
      found,
      fix: "The file is damaged or of another format than its ending says: export it again.",
    });
  }
}

/** Bytes as text, one character a byte. */
export function latin(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let i = from; i < to; i++) text += String.fromCharCode(bytes[i]);
  return text;
}

/** Bytes as UTF-8 text; a broken sequence becomes U+FFFD. Written out because the platform's decoder is no part of the language. */
export function utf8(bytes: Uint8Array, from = 0, to = bytes.length): string {
  const parts: string[] = [];
  let codes: number[] = [];
  for (let i = from; i < to;) {
    const lead = bytes[i];
    const more = lead < 0x80 ? 0 : lead >= 0xf0 && lead < 0xf5 ? 3 : lead >= 0xe0 ? 2 : lead >= 0xc2 ? 1 : -1;
    let code = more <= 0 ? lead : lead & (0x3f >> more);
    let good = more >= 0 && lead < 0xf5 && i + more < to;
    for (let k = 1; good && k <= more; k++) {
      if ((bytes[i + k] & 0xc0) !== 0x80) good = false;
      else code = (code << 6) | (bytes[i + k] & 0x3f);
    }
    codes.push(good && code <= 0x10ffff ? code : 0xfffd);
    i += good ? more + 1 : 1;
    if (codes.length === 4096) {
      parts.push(String.fromCodePoint(...codes));
      codes = [];
    }
  }
  parts.push(String.fromCodePoint(...codes));
  return parts.join("");
}
