import { encode as encodePng } from "fast-png";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { signedArea, type Point } from "@peltry/geometry";
import {
  patternFromOutlines,
  readWrapDxf,
  readWrapPhoto,
  readWrapSvg,
  type DrawingOptions,
  type PhotoOptions,
  type WrapDrawing,
} from "@peltry/forms";
import { codeOf, near, odd, within } from "./properties-helpers";

/** An outline with corners, seen whole from its middle, in tenths of mm, counter-clockwise. */
const star: fc.Arbitrary<Point[]> = fc
  .record({
    radii: fc.array(fc.integer({ min: 400, max: 1500 }), { minLength: 3, maxLength: 12 }),
    at: fc.tuple(fc.integer({ min: -5000, max: 5000 }), fc.integer({ min: -5000, max: 5000 })),
  })
  .map(({ radii, at }) =>
    radii.map((radius, i): Point => {
      const angle = (2 * Math.PI * i) / radii.length;
      return [
        Math.round(radius * Math.cos(angle) + at[0]) / 10,
        Math.round(radius * Math.sin(angle) + at[1]) / 10,
      ];
    }),
  );

const svg = (body: string, unit = "mm"): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="400${unit}" height="300${unit}" viewBox="0 0 400 300">${body}</svg>`;
/** y runs down the page. */
const down = (points: readonly Point[]): string => points.map(([x, y]) => `${x},${-y}`).join(" ");
const dxf = (points: readonly Point[], units: number | undefined = 4): string => {
  const head =
    units === undefined
      ? []
      : ["0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", `${units}`, "0", "ENDSEC"];
  const corners = points.flatMap(([x, y]) => ["10", `${x}`, "20", `${y}`]);
  const shape = ["0", "LWPOLYLINE", "8", "leg", "90", `${points.length}`, "70", "1", ...corners];
  return [...head, "0", "SECTION", "2", "ENTITIES", ...shape, "0", "ENDSEC", "0", "EOF", ""].join("\n");
};

/** The same outline, wherever it begins. */
function sameOutline(found: readonly Point[], wanted: readonly Point[], within = 1e-6): void {
  expect(found.length).toBe(wanted.length);
  const gap = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
  const start = found.findIndex((p) => gap(p, wanted[0]) <= within);
  expect(start).toBeGreaterThanOrEqual(0);
  wanted.forEach((p, i) => expect(gap(found[(start + i) % found.length], p)).toBeLessThanOrEqual(within));
}

describe("drawings", () => {
  it("readWrapSvg, readWrapDxf › an outline written as polygon, path, turned group or DXF comes back point for point [oracle: inverse]", () => {
    fc.assert(
      fc.property(star, fc.integer({ min: 0, max: 359 }), (points, degrees) => {
        const angle = (degrees * Math.PI) / 180;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        // Turned the other way before, so that the group turns it back.
        const turned = points.map(([x, y]): Point => [c * x - s * y, s * x + c * y]);
        const drawings = [
          readWrapSvg(svg(`<polygon id="leg" points="${down(points)}"/>`)),
          readWrapSvg(svg(`<path id="leg" d="M ${down(points)} Z"/>`)),
          readWrapSvg(svg(`<g transform="rotate(${degrees})"><path id="leg" d="M${down(turned)}z"/></g>`)),
          readWrapDxf(dxf(points)),
        ];
        for (const { outlines, lines } of drawings) {
          expect([outlines.length, lines.length, outlines[0].name]).toEqual([1, 0, "leg"]);
          sameOutline(outlines[0].points, points);
          expect(signedArea(outlines[0].points)).toBeGreaterThan(0);
        }
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  it("readWrapSvg, readWrapDxf › units are factors: the page in cm or inches, $INSUNITS or mmPerUnit [oracle: scaling; 1 in = 25.4 mm]", () => {
    fc.assert(
      fc.property(star, within(0.05, 30), (points, mmPerUnit) => {
        const area = signedArea(points);
        const polygon = `<polygon points="${down(points)}"/>`;
        const drawings: [WrapDrawing, number][] = [
          [readWrapSvg(svg(polygon, "cm")), 10],
          [readWrapSvg(svg(polygon, "in")), 25.4],
          [readWrapSvg(svg(polygon), { mmPerUnit }), mmPerUnit],
          [readWrapDxf(dxf(points, 1)), 25.4],
          [readWrapDxf(dxf(points, 5)), 10],
          [readWrapDxf(dxf(points), { mmPerUnit }), mmPerUnit],
        ];
        for (const [{ outlines, mmPerUnit: told }, k] of drawings) {
          near(told, k);
          near(signedArea(outlines[0].points), k * k * area, 1e-9);
        }
      }),
      { seed: 2, numRuns: 40 },
    );
  });

  it("readWrapSvg, readWrapDxf › whatever the file and options, a drawing of finite points or one typed error [oracle: hostile input]", () => {
    const good = [
      svg('<path d="M0 0 C 10 0 10 10 0 10 Z"/><rect width="9" height="9"/>'),
      dxf([
        [0, 0],
        [9, 0],
        [9, 9],
      ]),
    ];
    const words = fc.constantFrom(
      "<",
      ">",
      '"',
      "\n",
      "NaN",
      "1e999",
      "-",
      "0",
      "10",
      "&#0;",
      "SPLINE",
      "<use href='#a'/>",
      "A 1 1 0 0 1",
    );
    const edited = fc
      .tuple(
        fc.constantFrom(...good),
        fc.array(fc.tuple(fc.nat(), fc.nat(4), words), { minLength: 1, maxLength: 5 }),
      )
      .map(([text, edits]) =>
        edits.reduce((all, [at, gone, word]) => {
          const from = at % all.length;
          return all.slice(0, from) + word + all.slice(from + gone);
        }, text),
      );
    const source = fc.oneof({ weight: 4, arbitrary: edited }, fc.string(), fc.uint8Array(), odd);
    const options = fc.record({ mmPerUnit: odd, joinWithin: odd, only: odd }, { requiredKeys: [] });
    fc.assert(
      fc.property(source, fc.option(options, { nil: undefined }), (given, how) => {
        for (const read of [readWrapSvg, readWrapDxf])
          codeOf(() => {
            const { outlines, lines, mmPerUnit } = read(given as string, how as DrawingOptions);
            expect(mmPerUnit).toBeGreaterThan(0);
            for (const { points } of [...outlines, ...lines])
              expect(points.flat().every(Number.isFinite)).toBe(true);
          });
      }),
      { seed: 3, numRuns: 500 },
    );
  });
});

describe("patternFromOutlines", () => {
  const drawing = (list: readonly (readonly Point[])[]): Pick<WrapDrawing, "outlines" | "lines"> => ({
    outlines: list.map((points, i) => ({ name: `Part ${i}`, points })),
    lines: [],
  });

  it("patternFromOutlines › the edges of a panel run once round its outline, each from where the last ended [oracle: reading back]", () => {
    fc.assert(
      fc.property(star, within(5, 170), within(1, 30), (points, cornerDeg, cornerReach) => {
        const { panels, seams } = patternFromOutlines(drawing([points]), { cornerDeg, cornerReach });
        const [{ edges }] = panels;
        expect([panels.length, seams.length]).toEqual([1, 0]);
        edges.forEach(({ points: run }, i) =>
          expect(run.at(-1)).toEqual(edges[(i + 1) % edges.length].points[0]),
        );
        sameOutline(
          edges.flatMap(({ points: run }) => run.slice(0, -1)),
          points,
        );
        expect(new Set(edges.map(({ id }) => id)).size).toBe(edges.length);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  it("patternFromOutlines › where it lies, where it begins and how it is turned does not change the parts of an outline [oracle: symmetry]", () => {
    fc.assert(
      fc.property(
        star,
        fc.integer({ min: -500, max: 500 }),
        fc.nat(),
        fc.integer({ min: 1, max: 3 }),
        (points, dx, begin, quarter) => {
          const lengths = (list: readonly Point[]): number[] =>
            patternFromOutlines(drawing([list]))
              .panels[0].edges.map(({ points: run }) =>
                run.slice(1).reduce((sum, p, i) => sum + Math.hypot(p[0] - run[i][0], p[1] - run[i][1]), 0),
              )
              .sort((a, b) => a - b);
          const wanted = lengths(points);
          const k = begin % points.length;
          const others = [
            points.map(([x, y]): Point => [x + dx, y - dx]),
            [...points.slice(k), ...points.slice(0, k)],
            ...(wanted.length > 2
              ? [
                  points.map(
                    ([x, y]): Point =>
                      (
                        [
                          [x, y],
                          [-y, x],
                          [-x, -y],
                          [y, -x],
                        ] as const
                      )[quarter],
                  ),
                ]
              : []),
          ];
          for (const other of others)
            lengths(other).forEach((length, i) => expect(length).toBeCloseTo(wanted[i], 6));
        },
      ),
      { seed: 2, numRuns: 60 },
    );
  });

  it("patternFromOutlines › an outline inside another is its hole, and one inside that a panel again [oracle: parity of nesting]", () => {
    const radii = fc.array(fc.integer({ min: 40, max: 150 }), { minLength: 3, maxLength: 12 });
    fc.assert(
      fc.property(radii, fc.integer({ min: 1, max: 5 }), fc.nat(), (list, depth, turn) => {
        const rings = Array.from({ length: depth }, (_, ring) =>
          list.map((radius, i): Point => {
            const angle = (2 * Math.PI * i) / list.length;
            const out = (1 - 0.15 * ring) * radius;
            return [out * Math.cos(angle), out * Math.sin(angle)];
          }),
        );
        const k = turn % depth;
        const { panels } = patternFromOutlines(drawing([...rings.slice(k), ...rings.slice(0, k)]), {
          leastArea: 1,
        });
        expect(panels.length).toBe(Math.ceil(depth / 2));
        expect(panels.reduce((sum, { holes }) => sum + (holes?.length ?? 0), 0)).toBe(Math.floor(depth / 2));
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  it("patternFromOutlines › whatever the drawing and options, a pattern or one typed error [oracle: hostile input]", () => {
    const part = fc.oneof(
      odd,
      fc.record({ name: odd, points: fc.oneof(odd, fc.array(odd), star) }),
      star.map((points) => ({ name: "a", points })),
    );
    const given = fc.oneof(
      odd,
      fc.record({ outlines: fc.oneof(odd, fc.array(part)), lines: fc.oneof(odd, fc.array(part)) }),
    );
    const options = fc.record(
      { name: odd, fabric: odd, cornerDeg: odd, cornerReach: odd, leastArea: odd, pile: odd },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(given, fc.option(options, { nil: undefined }), (what, how) => {
        codeOf(() => {
          const { panels } = patternFromOutlines(what as WrapDrawing, how as object);
          for (const { edges } of panels)
            for (const { points } of edges) expect(points.flat().every(Number.isFinite)).toBe(true);
        });
      }),
      { seed: 4, numRuns: 300 },
    );
  });
});

describe("readWrapPhoto", () => {
  const [width, height] = [160, 120];
  /** A light table with a dark rectangle, pixels; covered shares at its edges. */
  const photo = (left: number, top: number, w: number, h: number): Uint8Array => {
    const data = new Uint8Array(3 * width * height);
    const share = (at: number, from: number, size: number): number =>
      Math.max(0, Math.min(at + 1, from + size) - Math.max(at, from));
    for (let j = 0; j < height; j++)
      for (let i = 0; i < width; i++)
        data.fill(
          Math.round(220 - 180 * share(i, left, w) * share(j, top, h)),
          3 * (j * width + i),
          3 * (j * width + i) + 3,
        );
    return encodePng({ width, height, data, channels: 3 });
  };
  /** Marks of a table on which a pixel is `k` mm, its lower left corner at `dx`, `dy`. */
  const marks = (k: number, dx: number, dy: number): PhotoOptions["marks"] =>
    [
      [4, 4],
      [width - 4, 4],
      [width - 4, height - 4],
      [4, height - 4],
    ].map(([u, v]) => ({ pixel: [u, v] as Point, mm: [dx + k * u, dy + k * (height - v)] as Point }));

  it("readWrapPhoto › a piece has the size it is seen at; moving the table moves it, and a table of another size scales it [oracle: the rectangle drawn, metamorphic]", () => {
    fc.assert(
      fc.property(
        within(30, 60),
        within(25, 50),
        within(30, 60),
        within(30, 45),
        within(1, 4),
        within(-400, 400),
        (left, top, w, h, k, dx) => {
          const bytes = photo(left, top, w, h);
          const before = bytes.slice();
          const plain = readWrapPhoto(bytes, { marks: marks(1, 0, 0), gridMm: 0.5 });
          expect(plain.outlines.length).toBe(1);
          const { points } = plain.outlines[0];
          near(signedArea(points), w * h, 0.03);
          const moved = readWrapPhoto(bytes, { marks: [...marks(1, dx, -dx)].reverse(), gridMm: 0.5 });
          sameOutline(
            moved.outlines[0].points,
            points.map(([x, y]): Point => [x + dx, y - dx]),
            0.01,
          );
          const large = readWrapPhoto(bytes, { marks: marks(k, 0, 0), gridMm: 0.5 * k });
          near(signedArea(large.outlines[0].points), k * k * signedArea(points), 0.005);
          near(large.marks.pixelMm, k, 1e-6);
          expect(bytes).toEqual(before);
        },
      ),
      { seed: 1, numRuns: 3 },
    );
  });

  it("readWrapPhoto › whatever the picture, marks and options, outlines or one typed error [oracle: hostile input]", () => {
    const bytes = photo(40, 30, 50, 40);
    const damaged = fc
      .tuple(fc.nat(), fc.integer({ min: 0, max: 255 }), within(0.3, 1))
      .map(([at, value, share]) => {
        const copy = bytes.slice(0, Math.ceil(share * bytes.length));
        copy[at % copy.length] = value;
        return copy;
      });
    const point = fc.oneof(odd, fc.tuple(within(0, 120), within(0, 120)));
    const someMarks = fc.oneof(
      odd,
      fc.array(fc.oneof(odd, fc.record({ pixel: point, mm: point })), { maxLength: 5 }),
      fc.constant(marks(1, 0, 0)),
    );
    const options = fc.record(
      { marks: someMarks, piece: odd, gridMm: fc.oneof(within(2, 9), odd), leastArea: odd },
      { requiredKeys: ["marks"] },
    );
    fc.assert(
      fc.property(
        fc.oneof(fc.constant(bytes), damaged, fc.uint8Array(), odd),
        fc.oneof(options, odd),
        (given, how) => {
          codeOf(() => {
            const { outlines } = readWrapPhoto(given as Uint8Array, how as PhotoOptions);
            for (const { points } of outlines) expect(points.flat().every(Number.isFinite)).toBe(true);
          });
        },
      ),
      { seed: 2, numRuns: 150 },
    );
  });
});
