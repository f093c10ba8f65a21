/** Factors by which figures go wrong, and how. */
const SLIPS: readonly { readonly factor: number; readonly how: string; readonly units?: string }[] = [
  { factor: 33.9057, how: "oz/yd² taken for g/m²", units: "g/m2" },
  { factor: 16.0185, how: "lb/ft³ taken for kg/m³", units: "kg/m3" },
  { factor: 25.4, how: "inches taken for mm", units: "mm" },
  { factor: 4.44822, how: "lbf taken for N", units: "N" },
  { factor: 6.89476, how: "psi taken for kPa", units: "kPa" },
  { factor: 10, how: "a factor of 10, as cm for mm" },
  { factor: 100, how: "a factor of 100, as a fraction for percent" },
  { factor: 1000, how: "a factor of 1000, as g/cm³ for kg/m³" },
];

/** How near a ratio has to come to the factor of a slip. */
const NEAR = 0.08;
/** Factors below this also come up between honest sources. */
const TELLING = 9;

/** The slip that this ratio (above 1) is the factor of, if it is telling. */
export function slipOf(ratio: number): string | undefined {
  return SLIPS.find(({ factor }) => factor >= TELLING && Math.abs(ratio / factor - 1) <= NEAR)?.how;
}

/** A hint at the slips that a ratio may come from, for the end of a sentence. */
export function slipText(ratio: number, unit: string): string {
  const above = ratio >= 1 ? ratio : 1 / ratio;
  const likely = SLIPS.filter(
    ({ factor, units }) => (units === undefined || units === unit) && Math.abs(above / factor - 1) <= 0.5,
  );
  return likely.length === 0 ? "" : `, perhaps ${likely.map(({ how }) => how).join(" or ")}`;
}
