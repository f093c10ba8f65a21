import { power } from "@peltry/geometry";
import { isPeltryError, type Issue } from "@peltry/issues";
import { bufferView } from "./accessor";
import { embeddedData, type GltfFile } from "./container";
import { entryAt, listAt, numbersAt, objectAt } from "./json-value";
import { readPicture, type Picture } from "./texture";

/** Colour of a material: a picture, or one colour. */
export interface Paint {
  readonly picture?: Picture;
  /** Attribute that holds the place in the picture. */
  readonly texcoord: string;
  readonly colour: readonly [number, number, number];
  /** True when the material names a colour. */
  readonly stated: boolean;
}

const PLAIN: Paint = { texcoord: "TEXCOORD_0", colour: [255, 255, 255], stated: false };

/** Pixels that all pictures of a file may have together: 4096 × 4096. Colours go to vertices, far coarser than that. */
const MOST_PIXELS = 4096 * 4096;

/** The paints of a file's materials; each picture is unpacked once. */
export class Paints {
  private readonly paints = new Map<number, Paint>();
  private readonly pictures = new Map<number, Picture | undefined>();
  private pixels = 0;

  constructor(
    private readonly file: GltfFile,
    private readonly notes: Issue[],
  ) {}

  /**
   * The base colour of a material. A texture that cannot be had is left out with a note: the mesh is still good.
   *
   * @throws `forms/external-file` when the picture lies in another file
   */
  of(material: unknown): Paint {
    if (material === undefined) return PLAIN;
    const index = Number(material);
    let paint = this.paints.get(index);
    if (!paint) {
      paint = this.read(material, index);
      this.paints.set(index, paint);
    }
    return paint;
  }

  private read(index: unknown, number: number): Paint {
    const { json } = this.file;
    const material = entryAt(listAt(json.materials, ["materials"]), index, "materials", ["material"]);
    const at = ["materials", number];
    const pbr = objectAt(material.pbrMetallicRoughness, [...at, "pbrMetallicRoughness"]);
    const factor = numbersAt(pbr.baseColorFactor, 4, [...at, "baseColorFactor"], [1, 1, 1, 1]);
    const colour = [encode(factor[0]), encode(factor[1]), encode(factor[2])] as const;
    const paint: Paint = { ...PLAIN, colour, stated: pbr.baseColorFactor !== undefined };
    if (pbr.baseColorTexture === undefined) return paint;
    const info = objectAt(pbr.baseColorTexture, [...at, "baseColorTexture"]);
    const texture = entryAt(listAt(json.textures, ["textures"]), info.index, "textures", [
      ...at,
      "baseColorTexture",
      "index",
    ]);
    if (texture.source === undefined) {
      this.notes.push(
        left(
          `The texture of material ${number} is of a kind that is not supported; its colours were left out.`,
        ),
      );
      return paint;
    }
    const picture = this.picture(texture.source, ["textures", Number(info.index), "source"]);
    const set = typeof info.texCoord === "number" ? info.texCoord : 0;
    return picture ? { ...paint, picture, texcoord: `TEXCOORD_${set}` } : paint;
  }

  private picture(source: unknown, path: readonly (string | number)[]): Picture | undefined {
    const { json } = this.file;
    const number = Number(source);
    if (this.pictures.has(number)) return this.pictures.get(number);
    const image = entryAt(listAt(json.images, ["images"]), source, "images", path);
    const imageAt = ["images", number];
    const data =
      image.uri === undefined
        ? bufferView(this.file, image.bufferView, imageAt).data
        : embeddedData(image.uri, imageAt);
    let picture: Picture | undefined;
    try {
      picture = readPicture(data, MOST_PIXELS - this.pixels, true);
      this.pixels += picture.width * picture.height * (picture.coarse ? 64 : 1);
      if (picture.coarse) this.notes.push(coarse(number));
    } catch (error) {
      if (!isPeltryError(error)) throw error;
      this.notes.push(left(`${error.issues[0].message} The colours of image ${number} were left out.`));
    }
    this.pictures.set(number, picture);
    return picture;
  }
}

function coarse(image: number): Issue {
  return {
    code: "forms/texture-coarse",
    severity: "note",
    message: `Image ${image} was read at an eighth of its size: its colours are means of 8 × 8 pixels.`,
    at: {},
    fix: "For finer colours, save the texture at 2048 × 2048 pixels.",
  };
}

function left(message: string): Issue {
  return {
    code: "forms/texture-left-out",
    severity: "warning",
    message,
    at: {},
    fix: "Save the texture as PNG or JPEG inside the GLB file.",
  };
}

/**
 * A linear fraction as the byte that shows it.
 *
 * @source IEC 61966-2-1:1999, sRGB transfer function
 */
function encode(x: number): number {
  const y = x <= 0.0031308 ? 12.92 * x : 1.055 * power(x, 1 / 2.4) - 0.055;
  return Math.max(0, Math.min(255, Math.round(255 * y)));
}
