import { distanceToOutline, pointInOutline, type Point, type Point3 } from "@peltry/geometry";
import { fail } from "@peltry/issues";
import { mirrorPanel, type Panel } from "@peltry/pattern";
import { edgesArea } from "./flat-shapes";
import {
  MASK_HEAD,
  maskPoint,
  mirrorWorn,
  nosePanel,
  wornNose,
  wornShell,
  type MaskShape,
} from "./half-mask-shape";
import { need, plainPanel, sewTogether, totalMass, type Join, type MadePart } from "./made-part";
import { PART_DENSITIES, statedDensity, type Stated } from "./material-densities";
import { partNumber, partWord } from "./number";
import type { WornPiece } from "./worn-piece";

/** Head, sight windows, nose and fixing of a half mask. Lengths in mm. */
export interface HalfMaskOptions {
  readonly name?: string | undefined;
  /** Head girth with hair flat, and wig thickness under the elastic, mm. */
  readonly headGirth: number;
  readonly wigThickness?: number | undefined;
  /** Lower edge to brow, mm; 0.18 of the girth by default. */
  readonly height?: number | undefined;
  /** How far each half bends round the head past its flat front, degrees; 65 by default. */
  readonly wrapDeg?: number | undefined;
  /** Middle to middle of the eyes; 63 by default (usual adult distance, from memory: measure). */
  readonly eyeSpacing?: number | undefined;
  /** Middle of the eyes over the lower edge; 0.55 of the height by default. */
  readonly eyeHeight?: number | undefined;
  /** From the eye to the shell; 18 by default (judgement). */
  readonly eyeRelief?: number | undefined;
  /** Oval sight windows: width and height, 46 and 32 by default. */
  readonly window?: { readonly width?: number | undefined; readonly height?: number | undefined } | undefined;
  /** Room for the nose: its bridge over the lower edge, breadth and stand-out at that edge; 0.45 of the height, 34 and 22 by default. */
  readonly nose?:
    | {
        readonly bridge?: number | undefined;
        readonly width?: number | undefined;
        readonly out?: number | undefined;
      }
    | undefined;
  /** An elastic round the back of the head, or hook-and-loop under the face edge of a hood. */
  readonly fixing?: "elastic" | "hood" | undefined;
  /** How much the elastic is stretched when worn, fraction; 0.2 by default (judgement). */
  readonly elasticStrain?: number | undefined;
  readonly fabric?: string | undefined;
  readonly lining?: string | undefined;
  readonly fabricGsm?: Stated | undefined;
  readonly liningGsm?: Stated | undefined;
  /** A sheet of foam between the layers, mm thick. */
  readonly foamMm?: number | undefined;
}

/** A half mask with its figures. */
export interface MadeHalfMask extends MadePart {
  /** From side edge to side edge over the face, mm. */
  readonly across: number;
  /** Cut length of the elastic, or of each tape of hook-and-loop, mm. */
  readonly fixingLength: number;
  /** Lowest angle under level that an eye sees through its window, and the whole width seen by both, degrees; not more than bare eyes. */
  readonly lowestSeenDeg: number;
  readonly widthSeenDeg: number;
  /** Centre of mass from the middle of the head at the level of a headband, mm (y up, z forward). */
  readonly centreOnHead: Point3;
}

/** Bare eyes see about this far down and across, degrees. From memory. */
const BARE = { lowestDeg: 75, widthDeg: 200 } as const;
/** Least cloth between a window and any edge, mm, and elastic sewn in at each end, mm. Judgements. */
const RIM = 8;
const SEWN_IN = 15;
/** Elastic and hook-and-loop tape of 20 mm. */
const TAPE = { low: 0.008, high: 0.018, source: "8 to 18 g/m, elastic or tape of 20 mm, from memory" };

/**
 * A half mask from brow to nose: two halves that are flat over the nose and bend round the head, a folded piece for
 * the nose, all lined. All of it unrolls without strain. Frame: middle of the lower edge at the origin, y up, z forward, x to
 * the wearer's left.
 *
 * @throws forms/bad-part
 * @source plane, cylinder and two triangles: closed forms derived here; sizes of the head from its girth: from memory
 * @remarks What is seen is reckoned with the eye behind the middle of its window; the nose piece and thick pile round a window take some of it away.
 */
export function makeHalfMask(options: HalfMaskOptions): MadeHalfMask {
  const girth = partNumber(options.headGirth, "headGirth", 400, 700);
  const wig = partNumber(options.wigThickness ?? 0, "wigThickness", 0, 60);
  const shape = shapeOf(options, girth);
  const fixing = partWord(options.fixing ?? "elastic", "fixing", ["elastic", "hood"]);
  const strain = partNumber(options.elasticStrain ?? 0.2, "elasticStrain", 0, 1);
  const left = shellPanel(shape, options.fabric ?? "fur", fixing);
  const nose = nosePanel(shape, options.fabric ?? "fur");
  const right: Panel = { ...mirrorPanel(left), id: "shell-right", name: "Shell, right half" };
  const lined = (panel: Panel): Panel => ({
    ...mirrorPanel(panel),
    id: `${panel.id}-lining`,
    name: `${panel.name}, lining`,
    fabric: options.lining ?? "lining",
    markings: [],
  });
  const across = 2 * shape.half;
  const round = girth + 2 * Math.PI * wig - across;
  const fixingLength = fixing === "elastic" ? round / (1 + strain) + 2 * SEWN_IN : across;
  const area = 2 * (edgesArea(left.edges) + edgesArea(left.holes!.flat())) + edgesArea(nose.edges);
  const gsm = (value: Stated | undefined, name: string, usual: typeof TAPE): typeof TAPE =>
    value === undefined ? usual : statedDensity(value, name, [20, 3000], "gsm");
  const needs = [
    need("cloth", area, "mm2", gsm(options.fabricGsm, "fabricGsm", PART_DENSITIES.fur)),
    need("lining", area, "mm2", gsm(options.liningGsm, "liningGsm", PART_DENSITIES.cloth)),
    ...(options.foamMm === undefined
      ? []
      : [
          need(
            "foam sheet",
            area * partNumber(options.foamMm, "foamMm", 0.5, 30),
            "mm3",
            PART_DENSITIES.foamSheet,
          ),
        ]),
    need(fixing === "elastic" ? "elastic" : "hook-and-loop", fixingLength, "mm", TAPE),
  ];
  const half = wornShell(shape, outlineOf(shape));
  const worn = [half, mirrorWorn(half, right.id), wornNose(shape, nose)];
  const centre = centreOf(worn);
  const name = options.name ?? "half mask";
  return {
    name,
    worn,
    pattern: sewTogether(name, [left, right, nose, lined(left), lined(right), lined(nose)], JOINS),
    needs,
    copies: 1,
    ...totalMass(needs),
    centreOfMass: centre,
    across,
    fixingLength,
    ...seen(shape),
    centreOnHead: [
      0,
      centre[1] - shape.eyeHeight - MASK_HEAD.eyesUnderBand,
      centre[2] + MASK_HEAD.frontOfGirth * girth + MASK_HEAD.standOff,
    ],
    issues: [],
  };
}

const both = (panel: string, edge: string): Join => ({ a: [panel, edge], b: [`${panel}-lining`, edge] });

const JOINS: readonly Join[] = [
  { a: ["shell-left", "middle"], b: ["shell-right", "middle"], note: "From the brow to the bridge." },
  { a: ["shell-left", "nose"], b: ["nose", "bridge-left"], note: "From the lower edge to the bridge." },
  { a: ["shell-right", "nose"], b: ["nose", "bridge-right"], note: "From the lower edge to the bridge." },
  { a: ["shell-left-lining", "middle"], b: ["shell-right-lining", "middle"] },
  { a: ["shell-left-lining", "nose"], b: ["nose-lining", "bridge-left"] },
  { a: ["shell-right-lining", "nose"], b: ["nose-lining", "bridge-right"] },
  { ...both("shell-left", "foot"), note: "Right sides together, all round." },
  both("nose", "foot-left"),
  both("nose", "foot-right"),
  both("shell-right", "foot"),
  both("shell-left", "side"),
  both("shell-right", "side"),
  both("shell-left", "top"),
  { ...both("shell-right", "top"), note: "Turn through here; close by hand.", hand: true },
];

function shapeOf(options: HalfMaskOptions, girth: number): MaskShape {
  const height = partNumber(options.height ?? 0.18 * girth, "height", 40, 250);
  const flat = partNumber(options.nose?.width ?? 34, "nose.width", 10, 80) / 2;
  const radius = MASK_HEAD.halfBreadthOfGirth * girth + MASK_HEAD.standOff - flat;
  const wrap = (partNumber(options.wrapDeg ?? 65, "wrapDeg", 20, 100) * Math.PI) / 180;
  const spacing = partNumber(options.eyeSpacing ?? 63, "eyeSpacing", 40, 90) / 2;
  const shape: MaskShape = {
    height,
    flat,
    radius,
    half: flat + radius * wrap,
    eyeSide: spacing,
    eyeHeight: partNumber(options.eyeHeight ?? 0.55 * height, "eyeHeight", 0, height),
    relief: partNumber(options.eyeRelief ?? 18, "eyeRelief", 5, 80),
    // The window's middle lies straight before the eye.
    windowAt: spacing <= flat ? spacing : flat + radius * Math.asin((spacing - flat) / radius),
    windowWidth: partNumber(options.window?.width ?? 46, "window.width", 10, 120),
    windowHeight: partNumber(options.window?.height ?? 32, "window.height", 8, 120),
    bridge: partNumber(options.nose?.bridge ?? 0.45 * height, "nose.bridge", 5, 0.9 * height),
    noseOut: partNumber(options.nose?.out ?? 22, "nose.out", 5, 120),
  };
  const outline = outlineOf(shape);
  const window = windowPoints(shape);
  // A window whose middle is inside and whose rim keeps clear of the outline lies inside as a whole.
  const room = Math.min(
    pointInOutline([shape.windowAt, shape.eyeHeight], outline) === "inside" ? Infinity : 0,
    ...window.map((p) => distanceToOutline(p, outline)),
    2 * RIM,
  );
  if (room < RIM)
    fail(
      "forms/bad-part",
      `The sight windows leave ${Math.max(0, room).toFixed(1)} mm of cloth to an edge.`,
      { path: ["window"] },
      {
        found: `${shape.windowWidth} × ${shape.windowHeight} mm`,
        limit: `${RIM} mm of cloth all round`,
        fix: "Make the windows smaller, the mask higher, the bridge of the nose lower, or set the eyes further in.",
      },
    );
  return shape;
}

/** Corners of the left half, counter-clockwise from the bridge of the nose, seen from outside. */
function outlineOf({ half, flat, height, bridge }: MaskShape): Point[] {
  return [
    [0, bridge],
    [flat, 0],
    [half, 0],
    [half, height],
    [0, height],
  ];
}

/** The oval of the left window, clockwise. */
function windowPoints({ windowAt, eyeHeight, windowWidth, windowHeight }: MaskShape): Point[] {
  const steps = 48;
  return Array.from({ length: steps }, (_, k): Point => {
    const angle = (-2 * Math.PI * k) / steps;
    return [windowAt + (windowWidth / 2) * Math.cos(angle), eyeHeight + (windowHeight / 2) * Math.sin(angle)];
  });
}

const EDGE_NAMES = ["nose", "lower edge", "side edge", "brow", "middle"] as const;

function shellPanel(shape: MaskShape, fabric: string, fixing: "elastic" | "hood"): Panel {
  const { half, height, eyeHeight } = shape;
  const corners = outlineOf(shape);
  const window = windowPoints(shape);
  const inset = 12;
  return plainPanel({
    id: "shell-left",
    name: "Shell, left half",
    fabric,
    edges: ["nose", "foot", "side", "top", "middle"].map((id, k) => ({
      id,
      name: EDGE_NAMES[k],
      role: "raw",
      points: [corners[k], corners[(k + 1) % corners.length]],
    })),
    holes: [[{ id: "window", role: "raw", points: [...window, window[0]] }]],
    pile: -90,
    markings:
      fixing === "elastic"
        ? [{ id: "elastic", kind: "drill", points: [[half - inset, eyeHeight]], label: "elastic" }]
        : [
            {
              id: "hood-edge",
              kind: "line",
              points: [
                [0, height - inset],
                [half, height - inset],
              ],
              label: "under the hood to here",
            },
          ],
    notes: [
      "Sew the layers together 4 mm outside the window, then cut it open (common practice, no source).",
    ],
  });
}

/** What an eye behind the middle of its window sees through it. */
function seen(shape: MaskShape): { lowestSeenDeg: number; widthSeenDeg: number } {
  const deg = 180 / Math.PI;
  const front = maskPoint(shape, shape.windowAt, 0);
  const rim = maskPoint(shape, shape.windowAt + shape.windowWidth / 2, 0);
  const outward = Math.atan2(rim[0] - shape.eyeSide, rim[2] - (front[2] - shape.relief));
  return {
    lowestSeenDeg: Math.min(BARE.lowestDeg, Math.atan2(shape.windowHeight / 2, shape.relief) * deg),
    widthSeenDeg: Math.min(BARE.widthDeg, 2 * outward * deg),
  };
}

/** Middle of the area of all pieces. */
function centreOf(worn: readonly WornPiece[]): Point3 {
  let [whole, y, z] = [0, 0, 0];
  for (const { mesh, flat } of worn)
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      const [a, b, c] = mesh.triangles.subarray(t, t + 3);
      const area =
        (flat[2 * b] - flat[2 * a]) * (flat[2 * c + 1] - flat[2 * a + 1]) -
        (flat[2 * b + 1] - flat[2 * a + 1]) * (flat[2 * c] - flat[2 * a]);
      const mean = (k: number): number =>
        (mesh.positions[3 * a + k] + mesh.positions[3 * b + k] + mesh.positions[3 * c + k]) / 3;
      whole += area;
      y += area * mean(1);
      z += area * mean(2);
    }
  // Left and right mirror each other.
  return [0, y / whole, z / whole];
}
