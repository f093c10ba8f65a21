import { fail } from "@peltry/issues";
import { compose, IDENTITY, type Affine } from "./curve-runs";

/**
 * The matrix of an SVG transform attribute.
 *
 * @throws `forms/bad-svg` when it cannot be read
 * @source W3C, CSS Transforms Module Level 1, chapter 7 (SVG transform attribute)
 */
export function parseTransform(text: string | undefined, at: { line: number }): Affine {
  if (text === undefined || text.trim() === "") return IDENTITY;
  let m: Affine = IDENTITY;
  let rest = text.slice(0, 20_000).trim();
  while (rest !== "") {
    const match = /^,?\s*([a-z]+)\s*\(([^()]*)\)\s*/i.exec(rest);
    const numbers = match
      ? match[2]
          .trim()
          .split(/[\s,]+/)
          .map(Number)
      : [];
    const one = match && numbers.every(Number.isFinite) ? single(match[1], numbers) : undefined;
    if (!match || !one)
      fail("forms/bad-svg", `The transform “${rest.slice(0, 40)}” on line ${at.line} cannot be read.`, at, {
        found: rest.slice(0, 40),
        fix: "Save the drawing again with transforms applied.",
      });
    m = compose(m, one);
    rest = rest.slice(match[0].length);
  }
  return m;
}

function single(kind: string, n: readonly number[]): Affine | undefined {
  const turn = ((n[0] ?? 0) * Math.PI) / 180;
  switch (kind) {
    case "matrix":
      return n.length === 6 ? (n as unknown as Affine) : undefined;
    case "translate":
      return [1, 0, 0, 1, n[0] ?? 0, n[1] ?? 0];
    case "scale":
      return [n[0] ?? 1, 0, 0, n[1] ?? n[0] ?? 1, 0, 0];
    case "rotate": {
      const r: Affine = [Math.cos(turn), Math.sin(turn), -Math.sin(turn), Math.cos(turn), 0, 0];
      if (n.length < 3) return r;
      return compose(compose([1, 0, 0, 1, n[1], n[2]], r), [1, 0, 0, 1, -n[1], -n[2]]);
    }
    case "skewX":
      return [1, 0, Math.tan(turn), 1, 0, 0];
    case "skewY":
      return [1, Math.tan(turn), 0, 1, 0, 0];
    default:
      return undefined;
  }
}
