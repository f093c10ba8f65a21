/** The UTF-8 bytes of a text. Written out because the language's core library has no encoder. */
export function utf8(text: string): Uint8Array {
  return ascii(text) ?? anyText(text);
}

/** The bytes of a text that is all ASCII, as nearly every file written here is; else undefined. */
function ascii(text: string): Uint8Array | undefined {
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 0x7f) return undefined;
    bytes[i] = code;
  }
  return bytes;
}

function anyText(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length * 3);
  let n = 0;
  for (const letter of text) {
    let code = letter.codePointAt(0)!;
    // A lone surrogate has no UTF-8 form.
    if (code >= 0xd800 && code <= 0xdfff) code = 0xfffd;
    if (code < 0x80) bytes[n++] = code;
    else if (code < 0x800) {
      bytes[n++] = 0xc0 | (code >> 6);
      bytes[n++] = 0x80 | (code & 63);
    } else if (code < 0x10000) {
      bytes[n++] = 0xe0 | (code >> 12);
      bytes[n++] = 0x80 | ((code >> 6) & 63);
      bytes[n++] = 0x80 | (code & 63);
    } else {
      bytes[n++] = 0xf0 | (code >> 18);
      bytes[n++] = 0x80 | ((code >> 12) & 63);
      bytes[n++] = 0x80 | ((code >> 6) & 63);
      bytes[n++] = 0x80 | (code & 63);
    }
  }
  return bytes.slice(0, n);
}
