import { fail } from "@peltry/issues";
import { shownText } from "./require";

/** CIELAB under D65: lightness, green to red, blue to yellow. */
export type Lab = readonly [number, number, number];

/**
 * CIELAB of an sRGB colour, D65 white.
 *
 * @param hex `#rrggbb`
 * @throws `materials/bad-colour`
 * @source IEC 61966-2-1 (sRGB); CIE 15 (CIELAB), white point D65 2°
 */
export function hexToLab(hex: string): Lab {
  const match = typeof hex === "string" && /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex);
  if (!match)
    return fail(
      "materials/bad-colour",
      `"${shownText(hex, 40)}" is not a colour.`,
      {},
      {
        found: shownText(hex, 40),
        fix: "Write it as #rrggbb.",
      },
    );
  const [r, g, b] = match.slice(1).map((part) => linear(parseInt(part, 16) / 255)) as [
    number,
    number,
    number,
  ];
  const x = lightnessCurve((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047);
  const y = lightnessCurve(0.2126729 * r + 0.7151522 * g + 0.072175 * b);
  const z = lightnessCurve((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

function linear(channel: number): number {
  return channel <= 0.04045 ? channel / 12.92 : Math.exp(2.4 * Math.log((channel + 0.055) / 1.055));
}

function lightnessCurve(ratio: number): number {
  return ratio > 216 / 24389 ? Math.cbrt(ratio) : ((24389 / 27) * ratio + 16) / 116;
}

const degrees = Math.PI / 180;

/**
 * CIEDE2000 colour difference: about 1 is just seen side by side, 10 is another colour.
 *
 * @source Sharma, Wu, Dalal: The CIEDE2000 color-difference formula, Color Research and Application 30 (2005) 21–30
 */
export function colourDifference(a: Lab, b: Lab): number {
  const [l1, a1, b1] = a;
  const [l2, a2, b2] = b;
  const meanChroma = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const g = 0.5 * (1 - chromaWeight(meanChroma));
  const [c1, h1] = polar(a1 * (1 + g), b1);
  const [c2, h2] = polar(a2 * (1 + g), b2);
  const deltaL = l2 - l1;
  const deltaC = c2 - c1;
  const turn = c1 * c2 === 0 ? 0 : shortTurn(h2 - h1);
  const deltaH = 2 * Math.sqrt(c1 * c2) * Math.sin((turn * degrees) / 2);
  const meanL = (l1 + l2) / 2;
  const meanC = (c1 + c2) / 2;
  const meanH = meanHue(c1 * c2, h1, h2);
  const t =
    1 -
    0.17 * Math.cos((meanH - 30) * degrees) +
    0.24 * Math.cos(2 * meanH * degrees) +
    0.32 * Math.cos((3 * meanH + 6) * degrees) -
    0.2 * Math.cos((4 * meanH - 63) * degrees);
  const sl = 1 + (0.015 * (meanL - 50) ** 2) / Math.sqrt(20 + (meanL - 50) ** 2);
  const sc = 1 + 0.045 * meanC;
  const sh = 1 + 0.015 * meanC * t;
  const rotation = -Math.sin(60 * degrees * Math.exp(-(((meanH - 275) / 25) ** 2))) * 2 * chromaWeight(meanC);
  const [dl, dc, dh] = [deltaL / sl, deltaC / sc, deltaH / sh];
  return Math.sqrt(dl * dl + dc * dc + dh * dh + rotation * dc * dh);
}

function shortTurn(turn: number): number {
  if (turn > 180) return turn - 360;
  return turn < -180 ? turn + 360 : turn;
}

function chromaWeight(chroma: number): number {
  // Multiplied out: the same bits on every engine, which ** does not promise.
  const cube = chroma * chroma * chroma;
  const seventh = cube * cube * chroma;
  return Math.sqrt(seventh / (seventh + 6_103_515_625));
}

function polar(a: number, b: number): [number, number] {
  const hue = a === 0 && b === 0 ? 0 : Math.atan2(b, a) / degrees;
  return [Math.hypot(a, b), hue < 0 ? hue + 360 : hue];
}

function meanHue(product: number, h1: number, h2: number): number {
  if (product === 0) return h1 + h2;
  if (Math.abs(h1 - h2) <= 180) return (h1 + h2) / 2;
  return h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2;
}
