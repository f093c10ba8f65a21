// Generated from the JSON under `data` by scripts/build-data.ts: change it there, not here.

/** Ids of the cautions. */
// prettier-ignore
export const CAUTION_IDS = ["solvent-vapour","flammable","toluene-hexane","aerosol","isocyanate","cyanoacrylate-fibre","bonds-skin","epoxy","ptbp-rosin","hot-glue-burn","nozzle","fibre-dust","foam-dust","hot-cut-fume","heat-gun-fume","latex","rubber-accel","nickel","chromium-leather","flame","heat-strain","vision","footing","head-load","body-wrap","dye","airbrush","alcohol-ink","ammonia","acid-cure","knife","magnet","wire-ends","small-parts","compression"] as const;

/** One of {@link CAUTION_IDS}. */
export type CautionId = (typeof CAUTION_IDS)[number];
