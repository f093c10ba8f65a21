import type { Random } from "./target";

/** Words that readers trip over: huge, negative, not finite, reserved, or in the wrong place. */
const WORDS = [
  "NaN",
  "Infinity",
  "-1",
  "0",
  "4294967295",
  "2147483648",
  "9007199254740993",
  "1e309",
  "-1e-320",
  "__proto__",
  "constructor",
  "prototype",
  "\0",
  "\ufeff",
  "\r",
  "\n\n",
  '"',
  "'",
  "{",
  "}",
  "[",
  "]",
  "<",
  ">",
  "&amp;",
  "<!ENTITY a 'b'>",
  "&a *a",
  "!!js/function",
  "%",
  "0x10",
  "1/0",
  "\u202e",
  "ß",
  "𝕏",
  "null",
  "true",
  "-",
  ",",
  ":",
  "#",
];

const encoder = new TextEncoder();

/** A damaged copy: bytes flipped, cut out, doubled, moved, replaced by a hostile word or a piece of another file. */
export function mutateBytes(random: Random, seeds: readonly Uint8Array[]): Uint8Array {
  const whole = seeds[pick(random, seeds.length)]!;
  let bytes: Uint8Array = Uint8Array.from(whole);
  // Mostly one wound, so that damage gets past the first look.
  const rounds = 1 + Math.floor(6 * random() ** 3);
  for (let i = 0; i < rounds; i++) bytes = damage(random, bytes, seeds);
  // A file may grow from splices; keep cases small so that many can be tried.
  return bytes.length > 60_000 ? bytes.slice(0, 60_000) : bytes;
}

function damage(random: Random, bytes: Uint8Array, seeds: readonly Uint8Array[]): Uint8Array {
  const at = pick(random, bytes.length + 1);
  const span = 1 + pick(random, random() < 0.8 ? 12 : 400);
  switch (pick(random, 9)) {
    case 0:
      return edited(bytes, at, 1, Uint8Array.of(pick(random, 256)));
    case 1:
      return edited(bytes, at, span, new Uint8Array(0));
    case 2:
      return edited(bytes, at, 0, bytes.slice(at, at + span));
    case 3:
      return edited(bytes, at, 0, encoder.encode(WORDS[pick(random, WORDS.length)]));
    case 4:
      return edited(bytes, at, span, encoder.encode(WORDS[pick(random, WORDS.length)]));
    case 5:
      return bytes.slice(0, at);
    case 6: {
      const other = seeds[pick(random, seeds.length)]!;
      const from = pick(random, other.length + 1);
      return edited(bytes, at, span, other.slice(from, from + span));
    }
    case 7:
      return replaceNumber(random, bytes);
    default: {
      const out = Uint8Array.from(bytes);
      if (out.length >= 4 && at + 4 <= out.length) {
        const view = new DataView(out.buffer);
        view.setUint32(at, [0, 1, 0xffffffff, 0x7fffffff, 0x80000000, 0x7fc00000][pick(random, 6)]!, true);
      }
      return out;
    }
  }
}

function edited(bytes: Uint8Array, at: number, remove: number, add: Uint8Array): Uint8Array {
  const tail = bytes.subarray(Math.min(bytes.length, at + remove));
  const out = new Uint8Array(at + add.length + tail.length);
  out.set(bytes.subarray(0, at), 0);
  out.set(add, at);
  out.set(tail, at + add.length);
  return out;
}

/** Puts another number in the place of one that is written out in digits. */
function replaceNumber(random: Random, bytes: Uint8Array): Uint8Array {
  const isDigit = (b: number | undefined): boolean => b !== undefined && b >= 48 && b <= 57;
  let start = pick(random, bytes.length + 1);
  while (start < bytes.length && !isDigit(bytes[start])) start++;
  let end = start;
  while (end < bytes.length && isDigit(bytes[end])) end++;
  const value = ["0", "-1", "1e300", "99999999999", "0.5", "NaN", "1e-300", String(pick(random, 1000))];
  return edited(bytes, start, end - start, encoder.encode(value[pick(random, value.length)]));
}

/**
 * A damaged copy of a plain value that keeps its types: numbers of any kind, texts, lists cut short or doubled, optional
 * keys left out. What JavaScript allows beyond the types is the business of the parsers, which get text.
 */
export function mutateValue<T>(random: Random, value: T, optional: readonly string[] = []): T {
  return damagedValue(random, value, optional) as T;
}

function damagedValue(random: Random, value: unknown, optional: readonly string[]): unknown {
  if (typeof value === "number") {
    const all = [
      NaN,
      Infinity,
      -Infinity,
      -1,
      0,
      0.5,
      1e308,
      5e-324,
      value + 1e-9,
      -value,
      value * 1e6,
      value / 1e6,
    ];
    return all[pick(random, all.length)];
  }
  if (typeof value === "string")
    return ["", "__proto__", "constructor", "x", "\u202e<&>'\"\0", "e1", "left"][pick(random, 7)];
  if (typeof value === "boolean") return !value;
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) {
    const copy: unknown[] = [...(value as unknown[])];
    const at = pick(random, copy.length || 1);
    const how = random();
    // A list of numbers is a point or a pair: its length belongs to its type.
    const free = typeof copy[0] !== "number";
    if (free && how < 0.12) copy.splice(at, 1);
    else if (free && how < 0.24 && copy.length > 0) copy.splice(at, 0, copy[pick(random, copy.length)]);
    else if (copy.length > 0) copy[at] = damagedValue(random, copy[at], optional);
    return copy;
  }
  const copy: Record<string, unknown> = { ...(value as Record<string, unknown>) };
  const keys = Object.keys(copy);
  if (keys.length === 0) return copy;
  const key = keys[pick(random, keys.length)]!;
  if (optional.includes(key) && random() < 0.2) delete copy[key];
  else copy[key] = damagedValue(random, copy[key], optional);
  return copy;
}

export function pick(random: Random, count: number): number {
  return Math.min(count - 1, Math.floor(random() * count));
}
