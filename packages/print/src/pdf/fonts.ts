import fontkit from "@cantoo/fontkit";
import type { PDFDocument, PDFFont } from "@cantoo/pdf-lib";
import { fail, type Issue } from "@peltry/issues";
import type { MeasureText } from "../drawing";

/** The font of a document, with texts made fit for it. */
export interface DocumentFont {
  readonly font: PDFFont;
  readonly measure: MeasureText;
  /** The text as hex codes of the font; letters it lacks are replaced and noted. */
  readonly encode: (text: string) => string;
  /** One warning that lists every letter that was replaced, or none. */
  readonly issues: () => Issue[];
}

/** Embeds the given font, or else the bundled one, which is only loaded then. */
export async function openFont(document: PDFDocument, bytes: Uint8Array | undefined): Promise<DocumentFont> {
  const font = await embed(document, bytes ?? (await import("../internal/default-font")).DEFAULT_FONT);
  const known = new Set(font.getCharacterSet());
  const missing = new Set<string>();
  let unshaped: string | undefined;
  const fallback = known.has(0xfffd) ? "\ufffd" : known.has(0x3f) ? "?" : "";
  const fit = (text: string): string => {
    let out = "";
    if (unshaped === undefined && RIGHT_TO_LEFT.test(text)) unshaped = text;
    for (const letter of text.normalize("NFC")) {
      if (known.has(letter.codePointAt(0)!)) out += letter;
      else if (letter < " ") out += " ";
      else {
        missing.add(letter);
        out += likeness(letter, known) ?? fallback;
      }
    }
    return out;
  };
  const widths = new Map<string, number>();
  return {
    font,
    measure: (text, size) => {
      let width = widths.get(text);
      if (width === undefined) {
        width = font.widthOfTextAtSize(fit(text), 1000) / 1000;
        widths.set(text, width);
      }
      return width * size;
    },
    encode: (text) => font.encodeText(fit(text)).toString(),
    issues: () => [
      ...(missing.size === 0 ? [] : [missingLetters([...missing].sort(), bytes !== undefined)]),
      ...(unshaped === undefined ? [] : [leftToRight(unshaped)]),
    ],
  };
}

async function embed(document: PDFDocument, bytes: Uint8Array | string): Promise<PDFFont> {
  document.registerFontkit(fontkit);
  try {
    return await document.embedFont(bytes, { subset: true });
  } catch (error) {
    return fail(
      "print/bad-font",
      `The font cannot be read: ${error instanceof Error ? error.message : String(error)}`,
      {},
      {
        found: `${bytes.length} bytes`,
        fix: "Pass the bytes of a TrueType or OpenType font file.",
      },
    );
  }
}

/** The letter without its accents, when the font has that: ś becomes s. */
function likeness(letter: string, known: ReadonlySet<number>): string | undefined {
  const bare = [...letter.normalize("NFD")].filter((part) => !/\p{M}/u.test(part)).join("");
  const plain =
    bare !== letter ? bare : { ł: "l", Ł: "L", đ: "d", Đ: "D", "−": "-", "→": ">", "←": "<" }[letter];
  return plain && [...plain].every((part) => known.has(part.codePointAt(0)!)) ? plain : undefined;
}

/** Scripts that run from right to left (Unicode 16, chapter 9). */
const RIGHT_TO_LEFT = /[\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}]/u;

function leftToRight(text: string): Issue {
  return {
    code: "print/right-to-left",
    severity: "warning",
    message: `“${text}” has letters that run from right to left; they are set from left to right.`,
    at: {},
    fix: "Name panels in a script that runs from left to right.",
  };
}

function missingLetters(letters: readonly string[], own: boolean): Issue {
  return {
    code: "print/missing-letters",
    severity: "warning",
    message: `${letters.length} letters are not in the font and were replaced: ${letters.slice(0, 40).join(" ")}`,
    at: {},
    found: letters.length,
    fix: own
      ? "Pass a font that has these letters."
      : "Pass the bytes of a font that has these letters as `font`.",
  };
}
