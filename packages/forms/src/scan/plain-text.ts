import type { Issue } from "@peltry/issues";

/**
 * UTF-16 text as plain bytes; anything else as it is. All the words and numbers of mesh formats are ASCII, so that other
 * characters (in comments and names) may turn into question marks.
 */
export function plainText(bytes: Uint8Array, notes: Issue[]): Uint8Array {
  const little = bytes[0] === 0xff && bytes[1] === 0xfe;
  const big = bytes[0] === 0xfe && bytes[1] === 0xff;
  const kind = little || unmarked(bytes, 1) ? 1 : big || unmarked(bytes, 0) ? 0 : -1;
  if (kind < 0) return bytes;
  const from = little || big ? 2 : 0;
  const out = new Uint8Array((bytes.length - from) >> 1);
  for (let i = 0; i < out.length; i++) {
    const low = bytes[from + 2 * i + (kind === 1 ? 0 : 1)];
    const high = bytes[from + 2 * i + (kind === 1 ? 1 : 0)];
    out[i] = high === 0 && low < 128 ? low : 63;
  }
  notes.push({
    code: "forms/utf16",
    severity: "note",
    message: "The file is UTF-16 text; mesh formats want ASCII or UTF-8. It was read all the same.",
    at: { byte: 0 },
    fix: "Save it as UTF-8 to use it elsewhere.",
  });
  return out;
}

/** True when every second byte of the start is zero and the others are text: UTF-16 without a mark. */
function unmarked(bytes: Uint8Array, zeroAt: number): boolean {
  const length = Math.min(bytes.length, 64) & ~1;
  if (length < 16) return false;
  for (let i = 0; i < length; i++) {
    const c = bytes[i];
    if (i % 2 === zeroAt ? c !== 0 : c === 0 || c > 126 || (c < 32 && c !== 9 && c !== 10 && c !== 13))
      return false;
  }
  return true;
}
