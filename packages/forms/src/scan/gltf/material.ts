import { isPeltryError, type Issue } from "@peltry/issues";
import { bufferView } from "./accessor";
import { embeddedData, type GltfFile } from "./container";
import { entryAt, listAt, numbersAt, objectAt } from "./json-value";
import { readPicture, type Picture } from "./texture";

/** Colour of a material: a picture, or one colour. */
export interface Paint {
  /** Index of the picture, −1 without. */
  readonly key: number;
  readonly picture?: Picture;
  /** Attribute that holds the place in the picture. */
  readonly texcoord: string;
  readonly colour: readonly [number, number, number];
  /** True when the material names a colour. */
  readonly stated: boolean;
}

const PLAIN: Paint = { key: -1, texcoord: "TEXCOORD_0", colour: [255, 255, 255], stated: false };

/**
 * The base colour of a material. A texture that cannot be had is left out with a note: the mesh is still good.
 *
 * @throws `forms/external-file` when the picture lies in another file
 */
export function materialPaint(file: GltfFile, index: unknown, notes: Issue[]): Paint {
  if (index === undefined) return PLAIN;
  const { json } = file;
  const material = entryAt(listAt(json.materials, ["materials"]), index, "materials", ["material"]);
  const at = ["materials", Number(index)];
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
    notes.push(
      left(
        `The texture of material ${Number(index)} is of a kind that is not supported; its colours were left out.`,
      ),
    );
    return paint;
  }
  const image = entryAt(listAt(json.images, ["images"]), texture.source, "images", [
    "textures",
    Number(info.index),
    "source",
  ]);
  const imageAt = ["images", Number(texture.source)];
  const data =
    image.uri === undefined
      ? bufferView(file, image.bufferView, imageAt).data
      : embeddedData(image.uri, imageAt);
  try {
    const set = typeof info.texCoord === "number" ? info.texCoord : 0;
    return { ...paint, key: Number(texture.source), picture: readPicture(data), texcoord: `TEXCOORD_${set}` };
  } catch (error) {
    if (!isPeltryError(error)) throw error;
    notes.push(left(`${error.issues[0].message} The colours of material ${Number(index)} were left out.`));
    return paint;
  }
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
  const y = x <= 0.0031308 ? 12.92 * x : 1.055 * Math.pow(x, 1 / 2.4) - 0.055;
  return Math.max(0, Math.min(255, Math.round(255 * y)));
}
