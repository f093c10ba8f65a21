import { boundingBox, polylineLength, signedArea } from "@peltry/geometry";
import { findEdge, findPanel, panelOutline } from "@peltry/pattern";
import type { Tiling } from "@peltry/print";
import type { MadeCostume } from "../run/make-costume";

const r = (value: number, digits = 1): number => Number(value.toFixed(digits));

/** Everything that the workbook says, as plain data: mm, g, mm², fractions; rounded to what can be measured. */
export type Facts = ReturnType<typeof collectFacts>;

/** Gathers the facts of a costume. */
export function collectFacts(costume: MadeCostume, tilings: ReadonlyMap<string, Tiling>) {
  const { pattern } = costume;
  const panels = pattern.panels.map((panel) => {
    const made = costume.parts.find((part) => part.pattern.panels.some((each) => each.id === panel.id))!;
    // A panel that was drawn by rule has nothing to certify.
    const { certificate, grain } = made.worn.find((each) => each.panel === panel.id)?.measured ?? {};
    const allowance = costume.allowances.get(panel.id)!;
    const box = boundingBox(allowance.cutLine);
    const placed = costume.layout.placements
      .filter((place) => place.panel === panel.id)
      .map((place) => place.piece);
    return {
      id: panel.id,
      name: panel.name,
      part: made.part.id,
      fabric: panel.fabric,
      pieces: panel.count * (panel.mirrored ? 2 : 1),
      mirrored: panel.mirrored,
      widthMm: r(box.maxX - box.minX),
      heightMm: r(box.maxY - box.minY),
      areaMm2: r(Math.abs(signedArea(panelOutline(panel))), 0),
      cutAreaMm2: r(Math.abs(signedArea(allowance.cutLine)), 0),
      darts: panel.darts.map((dart) => ({ id: dart.id, lengthMm: r(dart.length), intakeMm: r(dart.intake) })),
      cutFrom: [...new Set(placed)],
      ...(certificate && grain
        ? {
            certificate: {
              flips: certificate.flips,
              overlaps: certificate.overlaps,
              maxStrain: r(certificate.maxStrain, 4),
              p95Strain: r(certificate.p95Strain, 4),
              overLimitArea: r(certificate.overLimitArea, 4),
              overLimit: r(certificate.overLimit, 4),
              areaRatio: r(certificate.areaRatio, 4),
            },
            pileDeviationDeg: { p50: r(grain.p50), p95: r(grain.p95) },
          }
        : {}),
    };
  });
  const seams = pattern.seams.map((seam) => {
    const length = (ref: { panel: string; edge: string }): number => {
      const panel = findPanel(pattern, ref.panel);
      const edge = panel && findEdge(panel, ref.edge);
      return edge ? polylineLength(edge.points) : 0;
    };
    const [a, b] = [length(seam.a), length(seam.b)];
    const name = findEdge(findPanel(pattern, seam.a.panel)!, seam.a.edge)?.name ?? seam.letter;
    return {
      id: seam.id,
      letter: seam.letter,
      name,
      a: seam.a,
      b: seam.b,
      lengthAMm: r(a, 2),
      lengthBMm: r(b, 2),
      differenceMm: r(Math.abs(a - b), 3),
      ...(seam.ease ? { easedMm: r(Math.abs(a - b), 2) } : {}),
      matchPoints: seam.matchPoints.length,
    };
  });
  const fabrics = [...costume.cloths.values()].map((cloth) => {
    const mine = panels.filter((panel) => panel.fabric === cloth.id);
    return {
      id: cloth.id,
      name: cloth.name,
      material: cloth.entry.id,
      materialName: cloth.entry.name,
      pileMm: cloth.pileMm,
      behaviour: cloth.behaviour,
      netAreaMm2: mine.reduce((sum, panel) => sum + panel.cutAreaMm2 * panel.pieces, 0),
    };
  });
  return {
    format: "peltry-workbook" as const,
    version: 1 as const,
    name: pattern.name,
    totals: {
      pieces: panels.reduce((sum, panel) => sum + panel.pieces, 0),
      seamMm: r(seams.reduce((sum, seam) => sum + seam.lengthAMm, 0)),
    },
    fabrics,
    panels,
    seams,
    layout: {
      placed: costume.layout.placements.map(({ panel, copy, piece, rotation, mirrored, x, y, turn }) => ({
        panel,
        copy,
        piece,
        rotation,
        turn,
        mirrored,
        x,
        y,
      })),
      unplaced: costume.layout.unplaced.map(({ panel, copy, reason, code, maxScale }) => ({
        panel,
        copy,
        reason,
        code,
        maxScale,
      })),
      piecesTouched: costume.layout.piecesTouched,
      density: r(costume.layout.density, 4),
      toBuy: costume.layout.toBuy,
      rests: costume.layout.rests.map(({ piece, width, length }) => ({
        piece,
        widthMm: r(width),
        lengthMm: r(length),
      })),
    },
    sewing: costume.sewing.steps,
    corrections: costume.corrections,
    parts: costume.parts.map(({ part, built, closures }) => ({
      id: part.id,
      kind: part.kind,
      pair: part.pair,
      ...(closures ? { closures } : {}),
      ...(built
        ? {
            massG: r(built.massG),
            massRangeG: built.massRangeG.map((value) => r(value)),
            centreOfMassMm: built.centreOfMass.map((value) => r(value)),
            needs: built.needs.map((need) => ({ ...need, amount: r(need.amount), massG: r(need.massG) })),
          }
        : {}),
    })),
    wear: costume.wear,
    making: costume.making,
    glues: costume.glues.map(({ adhesive, joins, where, rating, reasons, source }) => ({
      adhesive,
      joins,
      where,
      rating,
      reasons,
      source,
    })),
    printing: [...tilings].map(([paper, tiling]) => ({
      paper,
      pages: tiling.pages.length,
      pagesSaved: tiling.pagesSaved,
      rows: tiling.rows,
      columns: tiling.columns,
      orientation: tiling.frame.orientation,
    })),
    measures: costume.body
      ? Object.fromEntries(
          Object.entries(costume.body.measures).flatMap(([key, m]) =>
            m ? [[key, { value: r(m.value), standardError: r(m.standardError), origin: m.origin }]] : [],
          ),
        )
      : {},
    issues: costume.issues,
  };
}
