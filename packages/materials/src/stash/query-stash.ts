import type { Issue } from "@peltry/issues";
import type { MaterialEntry } from "../entry/types";
import { candidatesOf, catalogue, findEntry } from "../query/catalogue";
import { colourDifference, hexToLab } from "../query/colour";
import { findMaterials, type MaterialQuery } from "../query/find-materials";
import { nearestCandidates } from "../query/nearest";
import { requireWithin } from "../query/require";
import { pieceArea } from "./substitutes";
import type { Stash, StashItem } from "./types";

/** A piece with its entry. */
export interface OwnedPiece {
  readonly item: StashItem;
  readonly material: MaterialEntry;
  /** m², when its size is noted. */
  readonly areaM2?: number;
  /** CIEDE2000 to the colour that was asked for. */
  readonly colourDifference?: number;
}

/** A query for materials, and what is asked of the piece. */
export interface StashQuery extends MaterialQuery {
  readonly colour?: string;
  /** CIEDE2000; 10 by default. */
  readonly colourTolerance?: number;
  readonly minAreaM2?: number;
  readonly condition?: readonly StashItem["condition"][];
}

/**
 * Pieces of a stash that fit a query: nearest colour first when one is asked for, else largest first.
 *
 * @throws `materials/bad-query`, `materials/bad-colour`, `materials/bad-measure`
 */
export function queryStash(stash: Stash, query: StashQuery = {}): readonly OwnedPiece[] {
  const { colour, colourTolerance = 10, minAreaM2, condition, ...wanted } = query;
  requireWithin("colourTolerance", colourTolerance, 0, Infinity);
  requireWithin("minAreaM2", minAreaM2 ?? 0, 0, Infinity);
  const ids = new Set(findMaterials({ ...wanted, deprecated: true }).map(({ id }) => id));
  const lab = colour === undefined ? undefined : hexToLab(colour);
  return stash.items
    .flatMap((item) => {
      const entry = findEntry(item.material);
      if (!entry || !ids.has(entry.id)) return [];
      const areaM2 = pieceArea(item);
      const difference = lab && item.colour ? colourDifference(lab, hexToLab(item.colour)) : undefined;
      if (lab && (difference === undefined || difference > colourTolerance)) return [];
      if (minAreaM2 !== undefined && (areaM2 === undefined || areaM2 < minAreaM2)) return [];
      if (condition && !condition.includes(item.condition)) return [];
      return [
        {
          item,
          material: entry,
          ...(areaM2 === undefined ? {} : { areaM2 }),
          ...(difference === undefined ? {} : { colourDifference: difference }),
        },
      ];
    })
    .sort(
      (a, b) =>
        (a.colourDifference ?? 0) - (b.colourDifference ?? 0) ||
        (b.areaM2 ?? 0) - (a.areaM2 ?? 0) ||
        (a.item.id < b.item.id ? -1 : 1),
    );
}

/** What a person should look at in a stash: unknown or deprecated materials, pieces without a size. */
export function checkStash(stash: Stash): readonly Issue[] {
  return stash.items.flatMap((item, index): Issue[] => {
    const at = { piece: item.id, path: ["items", index, "material"] };
    const entry = findEntry(item.material);
    if (!entry) {
      const near = nearestCandidates(item.material, candidatesOf(catalogue), 3);
      return [
        {
          code: "materials/unknown-material",
          severity: "error",
          message: `${item.id}: there is no material "${item.material}".`,
          at,
          found: item.material,
          fix: near.length > 0 ? `Did you mean ${near.join(", ")}?` : "findMaterials() lists all ids.",
        },
      ];
    }
    return [
      ...(entry.deprecated
        ? [
            {
              code: "materials/deprecated",
              severity: "warning" as const,
              message: `${item.id}: ${entry.id} is deprecated: ${entry.deprecated.reason}`,
              at,
              fix: `Use ${entry.deprecated.replacedBy.join(" or ")}.`,
            },
          ]
        : []),
      ...(item.size || item.outline || item.amount
        ? []
        : [
            {
              code: "materials/size-unknown",
              severity: "note" as const,
              message: `${item.id}: how much there is, is not noted.`,
              at: { piece: item.id, path: ["items", index] },
              fix: "Add size, outline or amount.",
            },
          ]),
    ];
  });
}
