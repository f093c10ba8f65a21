import { encode as encodePng } from "fast-png";
import { polylineLength, signedArea, type Point } from "@peltry/geometry";
import { describe, expect, it } from "vitest";
import { patternFromOutlines, readWrapDxf, readWrapPhoto, readWrapSvg } from "../src/index";
import { text } from "./mesh-bytes";

const svg = (body: string, head = 'width="200mm" height="100mm" viewBox="0 0 400 200"'): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${head}>${body}</svg>`;
const area = (points: readonly Point[]): number => signedArea(points);
const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return "none";
};

describe("readWrapSvg", () => {
  it("readWrapSvg › reads a page in mm at true size, y up [oracle: by hand]", () => {
    const { outlines, mmPerUnit } = readWrapSvg(
      svg('<rect id="left" x="20" y="20" width="80" height="40"/>'),
    );
    expect(mmPerUnit).toBeCloseTo(0.5, 12);
    expect(outlines[0].name).toBe("left");
    expect(area(outlines[0].points)).toBeCloseTo(40 * 20, 6);
    expect(Math.max(...outlines[0].points.map((p) => p[1]))).toBeCloseTo(-10, 9);
  });

  it("readWrapSvg › a page of no width or less states no size [oracle: 96 px = 25.4 mm]", () => {
    for (const width of ["0", "-200mm"]) {
      const head = `width="${width}" viewBox="0 0 400 200"`;
      const { mmPerUnit, issues } = readWrapSvg(svg('<rect width="80" height="40"/>', head));
      expect(mmPerUnit).toBeCloseTo(25.4 / 96, 12);
      expect(issues.map(({ code }) => code)).toContain("forms/unit-guessed");
    }
  });

  it("readWrapSvg › carries groups of transforms, rotations about a point and nested uses [oracle: areas by determinants]", () => {
    const body =
      '<defs><path id="p" d="M0 0h40v20h-40z"/></defs><g transform="scale(2) translate(10 5)"><g transform="rotate(30 20 10) skewX(20)"><use xlink:href="#p" x="5"/></g></g><path display="none" d="M0 0h9v9z"/>';
    const { outlines } = readWrapSvg(svg(body));
    expect(outlines).toHaveLength(1);
    expect(area(outlines[0].points)).toBeCloseTo(40 * 20 * 4 * 0.25, 6);
  });

  it("readWrapSvg › follows curves and arcs within a fiftieth of a millimetre [oracle: closed forms]", () => {
    const circle = readWrapSvg(svg('<circle cx="100" cy="100" r="80"/>')).outlines[0].points;
    const arcs = readWrapSvg(svg('<path d="M20 100a80 80 0 10160 0A80 80 0 0 0 20 100Z"/>')).outlines[0]
      .points;
    const ellipse = readWrapSvg(svg('<ellipse cx="0" cy="0" rx="80" ry="40" transform="rotate(20)"/>'))
      .outlines[0].points;
    for (const points of [circle, arcs])
      expect(Math.abs(area(points) / (Math.PI * 1600) - 1)).toBeLessThan(0.0012);
    for (const p of arcs) expect(Math.hypot(p[0] - 50, p[1] + 50)).toBeCloseTo(40, 6);
    expect(Math.abs(area(ellipse) / (Math.PI * 40 * 20) - 1)).toBeLessThan(0.0015);
    // A cubic that is a parabola lifted: area under y = x² on 0..1 is a third.
    const cubic = readWrapSvg(svg('<path d="M0 0Q200 0 400 400L400 0Z"/>')).outlines[0].points;
    expect(Math.abs(Math.abs(area(cubic)) / ((200 * 200) / 3) - 1)).toBeLessThan(0.001);
  });

  it("readWrapSvg › joins open lines that meet into one outline [oracle: by hand]", () => {
    const { outlines, lines } = readWrapSvg(
      svg(
        '<line x1="0" y1="0" x2="100" y2="0"/><line x1="100" y1="100" x2="100" y2="0"/><polyline points="100,100 0,100 0,0.1"/><line x1="10" y1="10" x2="40" y2="10"/>',
      ),
    );
    expect(outlines).toHaveLength(1);
    expect(area(outlines[0].points)).toBeCloseTo(2500, 1);
    expect(lines).toHaveLength(1);
  });

  it.each([
    [
      "an entity bomb",
      '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg>&b;</svg>',
      "forms/entities-refused",
    ],
    ["broken XML", "<svg><g></svg>", "forms/bad-svg"],
    ["text that is no XML", "hello", "forms/bad-svg"],
    ["another document", "<html></html>", "forms/bad-svg"],
    ["a use that holds itself", svg('<g id="a"><use href="#a"/><use href="#a"/></g>'), "forms/bad-svg"],
    ["a broken path", svg('<path d="M0 0 L 10 q"/>'), "forms/bad-path"],
    ["a broken transform", svg('<g transform="rotate(x)"><rect width="1" height="1"/></g>'), "forms/bad-svg"],
    ["an endless nesting", "<svg>" + "<g>".repeat(5000), "forms/bad-svg"],
    ["an overflowing number", svg('<path d="M0 0L1e400 0L0 5Z"/>'), "forms/bad-path"],
    ["a lone byte", "\u0000", "forms/bad-svg"],
  ])("readWrapSvg › refuses %s with one typed error", (_, source, code) => {
    expect(codeOf(() => readWrapSvg(source))).toBe(code);
  });
});

const dxf = (entities: string[], more: { header?: string; blocks?: string[] } = {}): string =>
  [
    "0",
    "SECTION",
    "2",
    "HEADER",
    ...(more.header ? ["9", "$INSUNITS", "70", more.header] : []),
    "0",
    "ENDSEC",
    "0",
    "SECTION",
    "2",
    "BLOCKS",
    ...(more.blocks ?? []),
    "0",
    "ENDSEC",
    "0",
    "SECTION",
    "2",
    "ENTITIES",
    ...entities,
    "0",
    "ENDSEC",
    "0",
    "EOF",
  ].join("\r\n");
const pairs = (...list: (string | number)[]): string[] => list.map(String);

describe("readWrapDxf", () => {
  it("readWrapDxf › reads a bulged polyline as its arc, in inches [oracle: closed form]", () => {
    // Two half circles of radius 1 inch.
    const circle = pairs(0, "LWPOLYLINE", 8, "CUT", 90, 2, 70, 1, 10, -1, 20, 0, 42, 1, 10, 1, 20, 0, 42, 1);
    const { outlines, mmPerUnit } = readWrapDxf(dxf(circle, { header: "1" }));
    expect(mmPerUnit).toBe(25.4);
    expect(outlines[0].name).toBe("CUT");
    expect(Math.abs(area(outlines[0].points) / (Math.PI * 25.4 ** 2) - 1)).toBeLessThan(0.002);
    for (const p of outlines[0].points) expect(Math.hypot(p[0], p[1])).toBeCloseTo(25.4, 6);
  });

  it("readWrapDxf › joins lines and arcs, old polylines, circles, ellipses and splines [oracle: closed forms]", () => {
    const slot = pairs(
      0,
      "LINE",
      8,
      "A",
      10,
      0,
      20,
      0,
      11,
      100,
      21,
      0,
      0,
      "ARC",
      8,
      "A",
      10,
      100,
      20,
      20,
      40,
      20,
      50,
      270,
      51,
      90,
      0,
      "LINE",
      8,
      "A",
      10,
      100,
      20,
      40,
      11,
      0,
      21,
      40,
      0,
      "ARC",
      8,
      "A",
      10,
      0,
      20,
      20,
      40,
      20,
      50,
      90,
      51,
      270,
    );
    const old = pairs(
      0,
      "POLYLINE",
      8,
      "B",
      70,
      1,
      0,
      "VERTEX",
      10,
      0,
      20,
      100,
      0,
      "VERTEX",
      10,
      50,
      20,
      100,
      0,
      "VERTEX",
      10,
      0,
      20,
      150,
      0,
      "SEQEND",
    );
    const round = pairs(
      0,
      "CIRCLE",
      8,
      "C",
      10,
      300,
      20,
      0,
      40,
      50,
      0,
      "ELLIPSE",
      8,
      "D",
      10,
      500,
      20,
      0,
      11,
      60,
      21,
      0,
      40,
      0.5,
      41,
      0,
      42,
      6.283185307179586,
    );
    // The quarter circle as a rational quadratic, closed through its middle.
    const spline = pairs(
      0,
      "SPLINE",
      8,
      "E",
      70,
      8,
      71,
      2,
      40,
      0,
      40,
      0,
      40,
      0,
      40,
      1,
      40,
      1,
      40,
      1,
      41,
      1,
      41,
      Math.SQRT1_2,
      41,
      1,
      10,
      740,
      20,
      0,
      10,
      740,
      20,
      40,
      10,
      700,
      20,
      40,
      0,
      "LINE",
      8,
      "E",
      10,
      700,
      20,
      40,
      11,
      700,
      21,
      0,
      0,
      "LINE",
      8,
      "E",
      10,
      700,
      20,
      0,
      11,
      740,
      21,
      0,
    );
    const { outlines } = readWrapDxf(dxf([...slot, ...old, ...round, ...spline], { header: "4" }));
    const areas = Object.fromEntries(outlines.map((o) => [o.name, area(o.points)]));
    const wanted = {
      A: 4000 + Math.PI * 400,
      B: 1250,
      C: Math.PI * 2500,
      D: Math.PI * 1800,
      E: (Math.PI * 1600) / 4,
    };
    for (const [name, value] of Object.entries(wanted))
      expect(Math.abs(areas[name] / value - 1), name).toBeLessThan(0.002);
  });

  it("readWrapDxf › unfolds blocks, turned, scaled and in rows [oracle: area times copies]", () => {
    const blocks = pairs(
      0,
      "BLOCK",
      2,
      "PIECE",
      10,
      5,
      20,
      5,
      0,
      "LWPOLYLINE",
      8,
      "0",
      70,
      1,
      10,
      5,
      20,
      5,
      10,
      15,
      20,
      5,
      10,
      15,
      20,
      25,
      10,
      5,
      20,
      25,
      0,
      "ENDBLK",
    );
    const insert = pairs(
      0,
      "INSERT",
      8,
      "CUT",
      2,
      "PIECE",
      10,
      100,
      20,
      0,
      41,
      2,
      42,
      3,
      50,
      90,
      70,
      2,
      44,
      200,
    );
    const { outlines } = readWrapDxf(dxf(insert, { header: "4", blocks }));
    expect(outlines.map((o) => [o.name, Math.round(area(o.points) * 1e6) / 1e6])).toEqual([
      ["CUT", 1200],
      ["CUT", 1200],
    ]);
    const xs = outlines[0].points.map((p) => p[0]);
    expect([Math.min(...xs), Math.max(...xs)].map((x) => Math.round(x * 1e6) / 1e6)).toEqual([40, 100]);
  });

  it.each([
    ["a binary file", text("AutoCAD Binary DXF\r\n\u001a\u0000"), "forms/not-supported"],
    ["a file cut short", dxf([]).slice(0, -9), "forms/truncated"],
    ["a file that is no DXF", "just\nsome\nwords", "forms/bad-dxf"],
    ["an empty file", "", "forms/bad-dxf"],
    ["a word for a number", dxf(pairs(0, "CIRCLE", 10, "here", 20, 0, 40, 1)), "forms/bad-dxf"],
    [
      "a block that holds itself",
      dxf(pairs(0, "INSERT", 2, "X", 10, 0, 20, 0), {
        blocks: pairs(0, "BLOCK", 2, "X", 0, "INSERT", 2, "X", 0, "INSERT", 2, "X", 0, "ENDBLK"),
      }),
      "forms/bad-dxf",
    ],
    [
      "a million copies",
      dxf(pairs(0, "INSERT", 2, "X", 70, 30000, 71, 30000), {
        blocks: pairs(0, "BLOCK", 2, "X", 0, "ENDBLK"),
      }),
      "forms/bad-dxf",
    ],
    ["a spline without knots", dxf(pairs(0, "SPLINE", 71, 3, 10, 0, 20, 0, 10, 1, 20, 1)), "forms/bad-dxf"],
  ])("readWrapDxf › refuses %s with one typed error", (_, source, code) => {
    expect(codeOf(() => readWrapDxf(source))).toBe(code);
  });
});

describe("patternFromOutlines", () => {
  it("patternFromOutlines › parts edges at corners and keeps every point [oracle: outline length]", () => {
    const drawing = readWrapSvg(
      svg(
        '<path id="thigh" d="M0 0H200C250 100 250 100 200 200H0Z"/><circle cx="100" cy="100" r="30"/><line x1="20" y1="20" x2="20" y2="80"/>',
      ),
    );
    const { panels, seams } = patternFromOutlines(drawing);
    expect(seams).toEqual([]);
    expect(panels.map((p) => [p.id, p.edges.length, p.holes?.length, p.markings.length])).toEqual([
      ["thigh", 4, 1, 1],
    ]);
    const outline = drawing.outlines[0].points;
    const total = panels[0].edges.reduce((sum, edge) => sum + polylineLength(edge.points), 0);
    expect(total).toBeCloseTo(polylineLength([...outline, outline[0]]), 9);
    panels[0].edges.forEach((edge, i, all) =>
      expect(edge.points[edge.points.length - 1]).toEqual(all[(i + 1) % all.length].points[0]),
    );
  });

  it("patternFromOutlines › refuses a drawing without outlines", () => {
    expect(codeOf(() => patternFromOutlines({ outlines: [], lines: [] }))).toBe("forms/no-outline");
  });
});

describe("readWrapPhoto", () => {
  // A table seen in perspective: w = 1 + 0.0004 x + 0.0003 y, so that far things are smaller.
  const see = ([x, y]: Point): Point => {
    const w = 1 + 0.0006 * x + 0.0009 * y;
    return [(40 + 1.4 * x + 0.1 * y) / w, (560 - 0.05 * x - 1.3 * y) / w];
  };
  const unsee = (u: number, v: number): Point => {
    // Two linear equations in x and y.
    const [a, b, c] = [1.4 - 0.0006 * u, 0.1 - 0.0009 * u, u - 40];
    const [d, e, f] = [-0.05 - 0.0006 * v, -1.3 - 0.0009 * v, v - 560];
    const det = a * e - b * d;
    return [(c * e - b * f) / det, (a * f - c * d) / det];
  };
  let kept: Uint8Array | undefined;
  const photo = (): Uint8Array => (kept ??= drawPhoto());
  const drawPhoto = (): Uint8Array => {
    const [width, height] = [640, 600];
    const data = new Uint8Array(3 * width * height);
    for (let j = 0; j < height; j++) {
      for (let i = 0; i < width; i++) {
        let covered = 0;
        for (let s = 0; s < 16; s++) {
          const [x, y] = unsee(i + (s % 4) / 4 + 0.125, j + (s >> 2) / 4 + 0.125);
          if (Math.hypot(x - 130, y - 170) < 70 || (x > 230 && x < 330 && y > 60 && y < 260)) covered++;
        }
        const shade = 20 * (i / width);
        for (let k = 0; k < 3; k++)
          data[3 * (j * width + i) + k] = Math.round(
            ([200, 190, 60][k] * covered + [60, 70, 80][k] * (16 - covered)) / 16 + shade,
          );
      }
    }
    return encodePng({ width, height, data, channels: 3, depth: 8 });
  };
  const corners: Point[] = [
    [0, 0],
    [400, 0],
    [400, 300],
    [0, 300],
  ];

  it("readWrapPhoto › lays a slanted photo flat and traces its pieces to half a millimetre [oracle: the shapes drawn]", () => {
    const result = readWrapPhoto(photo(), { marks: corners.map((mm) => ({ mm, pixel: see(mm) })) });
    const areas = result.outlines.map((o) => area(o.points)).sort((a, b) => a - b);
    expect(areas).toHaveLength(2);
    expect(Math.abs(areas[0] / (Math.PI * 4900) - 1)).toBeLessThan(0.01);
    expect(Math.abs(areas[1] / 20000 - 1)).toBeLessThan(0.01);
    const disc = result.outlines.find((o) => Math.abs(area(o.points) - areas[0]) < 1e-9)!;
    for (const p of disc.points) expect(Math.abs(Math.hypot(p[0] - 130, p[1] - 170) - 70)).toBeLessThan(0.6);
    expect(Math.max(...result.marks.offMm)).toBeLessThan(1e-6);
    expect(result.marks.scaleError).toBeLessThan(0.005);
    const { panels } = patternFromOutlines(result);
    expect(panels.map((p) => p.edges.length).sort()).toEqual([2, 4]);
  });

  it("readWrapPhoto › says when a fifth mark disagrees, and refuses marks on one line", () => {
    const marks = [...corners, [200, 150] as Point].map((mm, i) => ({
      mm,
      pixel: i === 4 ? ([see(mm)[0] + 25, see(mm)[1]] as Point) : see(mm),
    }));
    expect(readWrapPhoto(photo(), { marks }).issues.map((i) => i.code)).toContain("forms/marks-disagree");
    const line = [0, 1, 2, 3].map((k) => ({ mm: [100 * k, 0] as Point, pixel: [10 + 100 * k, 50] as Point }));
    expect(codeOf(() => readWrapPhoto(photo(), { marks: line }))).toBe("forms/bad-marks");
    expect(codeOf(() => readWrapPhoto(photo().slice(0, 400), { marks }))).toBe("forms/bad-picture");
    expect(codeOf(() => readWrapPhoto(text("no picture"), { marks }))).toBe("forms/bad-picture");
  });
});
