import type { Family } from "./families";

/** What a numeric property is, in which one unit it is written, and what makes its figures comparable. */
export interface PropertyRule {
  readonly label: string;
  /** The one unit of this property, in UCUM spelling. */
  readonly unit: string;
  /** Figures outside are refused as slips of the pen: physics or trade, whichever is wider. */
  readonly plausible: readonly [number, number];
  /** Conditions without which the figure means nothing. */
  readonly needs?: readonly ConditionId[];
  /** Standard that defines or measures it. */
  readonly standard?: string;
}

/** Conditions of a measurement; each has one unit. */
export const CONDITIONS = {
  loadNPerCm: "N per cm of specimen width",
  load: "'hand': a firm pull by hand on 10 cm; only with the method hand-test",
  pressureKPa: "kPa on the foot of the thickness gauge",
  strainPercent: "%",
  hours: "h under load",
  temperatureCel: "°C",
  rhPercent: "% relative humidity",
  specimenMm: "mm, thickness of the specimen",
  cycles: "number",
  edition: "edition of the standard, text",
  partner: "what it was joined to, text",
  averaging: "how peaks were averaged, text",
} as const;

/** One of {@link CONDITIONS}. */
export type ConditionId = keyof typeof CONDITIONS;

/** Every numeric property, with its one unit. */
export const PROPERTIES = {
  massPerArea: {
    label: "Mass per area",
    unit: "g/m2",
    plausible: [5, 3000],
    standard: "ISO 3801, ASTM D3776",
  },
  widthUsable: { label: "Usable width", unit: "mm", plausible: [5, 5000], standard: "ISO 22198" },
  thickness: { label: "Thickness", unit: "mm", plausible: [0.001, 200], standard: "ISO 5084, ASTM D1777" },
  pileLength: { label: "Pile length", unit: "mm", plausible: [0.3, 200] },
  pileLengthGuard: { label: "Guard hair length", unit: "mm", plausible: [2, 300] },
  stretchAlong: {
    label: "Stretch along",
    unit: "%",
    plausible: [0, 400],
    needs: ["loadNPerCm"],
    standard: "ASTM D2594, ASTM D3107, ISO 20932-1",
  },
  stretchAcross: {
    label: "Stretch across",
    unit: "%",
    plausible: [0, 400],
    needs: ["loadNPerCm"],
    standard: "ASTM D2594, ASTM D3107, ISO 20932-1",
  },
  stretchBias: {
    label: "Stretch on the bias",
    unit: "%",
    plausible: [0, 400],
    needs: ["loadNPerCm"],
    standard: "ASTM D2594, ASTM D3107, ISO 20932-1",
  },
  growthAlong: {
    label: "Growth along",
    unit: "%",
    plausible: [0, 60],
    needs: ["hours"],
    standard: "ASTM D2594",
  },
  growthAcross: {
    label: "Growth across",
    unit: "%",
    plausible: [0, 60],
    needs: ["hours"],
    standard: "ASTM D2594",
  },
  modulusAlong: {
    label: "Pull along",
    unit: "N/cm",
    plausible: [0.001, 500],
    needs: ["strainPercent"],
    standard: "ISO 20932-1, ASTM D4964",
  },
  modulusAcross: {
    label: "Pull across",
    unit: "N/cm",
    plausible: [0.001, 500],
    needs: ["strainPercent"],
    standard: "ISO 20932-1, ASTM D4964",
  },
  density: { label: "Density", unit: "kg/m3", plausible: [3, 22000], standard: "ISO 845, ASTM D3574" },
  ifd25: { label: "Indentation force at 25 %", unit: "N", plausible: [5, 1500], standard: "ASTM D3574 B1" },
  ifd40: { label: "Indentation force at 40 %", unit: "N", plausible: [5, 1500], standard: "ISO 2439" },
  ifd65: { label: "Indentation force at 65 %", unit: "N", plausible: [5, 3000], standard: "ASTM D3574 B1" },
  supportFactor: {
    label: "Support factor (65 % over 25 %)",
    unit: "1",
    plausible: [1, 5],
    standard: "ASTM D3574",
  },
  compressionStress: {
    label: "Compression stress",
    unit: "kPa",
    plausible: [0.1, 2000],
    needs: ["strainPercent"],
    standard: "ISO 3386-1",
  },
  compressionSet: {
    label: "Compression set",
    unit: "%",
    plausible: [0, 100],
    needs: ["strainPercent", "hours"],
    standard: "ISO 1856, ASTM D3574",
  },
  hardnessShore00: { label: "Hardness, Shore 00", unit: "1", plausible: [0, 100], standard: "ASTM D2240" },
  hardnessShoreA: {
    label: "Hardness, Shore A",
    unit: "1",
    plausible: [0, 100],
    standard: "ISO 868, ASTM D2240",
  },
  hardnessShoreC: { label: "Hardness, Shore C", unit: "1", plausible: [0, 100], standard: "ASTM D2240" },
  tearStrength: { label: "Tear strength", unit: "N/m", plausible: [1, 1000000] },
  tensileStrength: { label: "Tensile strength", unit: "kPa", plausible: [1, 10000000], standard: "ISO 1798" },
  elongationAtBreak: { label: "Elongation at break", unit: "%", plausible: [0.1, 2000] },
  softening: { label: "Softening", unit: "Cel", plausible: [-50, 500], standard: "ISO 306" },
  polymerSoftening: {
    label: "Softening of the polymer before cross-linking",
    unit: "Cel",
    plausible: [-50, 500],
    standard: "ISO 306",
  },
  melting: { label: "Melting", unit: "Cel", plausible: [-50, 2000], standard: "ISO 11357" },
  decomposition: { label: "Decomposition", unit: "Cel", plausible: [50, 1000] },
  glassTransition: { label: "Glass transition", unit: "Cel", plausible: [-150, 300], standard: "ISO 11357" },
  activation: { label: "Softens for shaping", unit: "Cel", plausible: [35, 250] },
  heatShaping: { label: "Shaping by hot air", unit: "Cel", plausible: [40, 300] },
  shrinkage: { label: "Shrinks above", unit: "Cel", plausible: [30, 300] },
  ironMax: { label: "Iron, at most", unit: "Cel", plausible: [40, 260], standard: "ISO 3758" },
  washMax: { label: "Wash, at most", unit: "Cel", plausible: [15, 95], standard: "ISO 3758" },
  tumbleMax: { label: "Tumble dry, at most", unit: "Cel", plausible: [30, 90], standard: "ISO 3758" },
  glueGunMax: { label: "Hot glue, at most", unit: "Cel", plausible: [40, 300] },
  serviceTemperature: { label: "Service temperature", unit: "Cel", plausible: [-273, 400] },
  applicationTemperature: { label: "Applied at", unit: "Cel", plausible: [-30, 300] },
  dyeTemperature: { label: "Dye bath", unit: "Cel", plausible: [0, 230] },
  airPermeability: { label: "Air permeability", unit: "mm/s", plausible: [0, 20000], standard: "ISO 9237" },
  waterVapourResistance: {
    label: "Water vapour resistance",
    unit: "m2.Pa/W",
    plausible: [0, 1000],
    standard: "ISO 11092",
  },
  insulation: { label: "Thermal resistance", unit: "m2.K/W", plausible: [0, 2], standard: "ISO 11092" },
  thermalConductivity: {
    label: "Thermal conductivity",
    unit: "W/(m.K)",
    plausible: [0.005, 500],
    standard: "ISO 8302",
  },
  surfaceEnergy: {
    label: "Surface energy",
    unit: "mN/m",
    plausible: [10, 80],
    standard: "ISO 8296, ASTM D2578",
  },
  waterAbsorption: { label: "Water absorption, 1 day", unit: "%{vol}", plausible: [0, 100] },
  moistureRegain: { label: "Moisture regain", unit: "%", plausible: [0, 40] },
  oxygenIndex: { label: "Limiting oxygen index", unit: "%", plausible: [10, 100], standard: "ISO 4589-2" },
  burnRate: { label: "Burning rate", unit: "mm/s", plausible: [0, 200], standard: "ISO 3582" },
  elastaneContent: { label: "Elastane content", unit: "%{w/w}", plausible: [0, 60] },
  openTime: { label: "Open time", unit: "min", plausible: [0.02, 10000] },
  dryTime: { label: "Touch-dry", unit: "min", plausible: [0.02, 100000] },
  skinOverTime: { label: "Skin forms", unit: "min", plausible: [0.1, 10000] },
  potLife: { label: "Pot life", unit: "min", plausible: [0.1, 100000] },
  cureTime: { label: "Full cure", unit: "h", plausible: [0.001, 2000] },
  coatWeight: { label: "Coat weight", unit: "g/m2", plausible: [1, 2000] },
  gapFill: { label: "Fills gaps up to", unit: "mm", plausible: [0.01, 100] },
  solids: { label: "Solids", unit: "%{w/w}", plausible: [0, 100] },
  lapShear: { label: "Lap shear strength", unit: "kPa", plausible: [1, 100000], needs: ["partner"] },
  peelStrength: {
    label: "Peel strength",
    unit: "N/cm",
    plausible: [0.01, 500],
    needs: ["averaging"],
    standard: "ASTM D5170",
  },
  shearStrength: { label: "Shear strength", unit: "N/cm2", plausible: [0.01, 1000], standard: "ASTM D5169" },
  breakingForce: { label: "Breaking force", unit: "N", plausible: [0.1, 100000] },
  exothermPeak: {
    label: "Peak temperature of the reaction",
    unit: "Cel",
    plausible: [20, 400],
    needs: ["partner"],
  },
  exothermTime: { label: "Time to that peak", unit: "s", plausible: [1, 36000], needs: ["partner"] },
  diameter: { label: "Diameter", unit: "mm", plausible: [0.05, 300] },
  linearDensity: { label: "Linear density", unit: "tex", plausible: [0.5, 5000], standard: "ISO 2060" },
  massPerLength: { label: "Mass per length", unit: "g/m", plausible: [0.001, 10000] },
  elasticModulus: { label: "Young's modulus", unit: "GPa", plausible: [0.0001, 500] },
} as const satisfies Record<string, PropertyRule>;

/** One of {@link PROPERTIES}. */
export type PropertyId = keyof typeof PROPERTIES;

/** Property ids in the order of the pages. */
export const PROPERTY_IDS = Object.keys(PROPERTIES) as readonly PropertyId[];

/** The rule of a property, widened. */
export function propertyRule(id: PropertyId): PropertyRule {
  return PROPERTIES[id];
}

const CLOTH = ["massPerArea", "thickness", "stretchAlong", "stretchAcross", "widthUsable"] as const;
const SHEET_FOAM = [
  "density",
  "thickness",
  "compressionStress",
  "compressionSet",
  "thermalConductivity",
] as const;
const PLASTIC = ["density", "softening", "surfaceEnergy"] as const;
const GLUE = ["applicationTemperature", "openTime", "cureTime", "serviceTemperature"] as const;

/** What a maker asks of a family. A page says "unknown" for each of these that has no figure. */
export const EXPECTED: Readonly<Record<Family, readonly PropertyId[]>> = {
  "pile-fabric": ["pileLength", ...CLOTH, "insulation", "ironMax", "washMax"],
  "stretch-knit": [...CLOTH, "elastaneContent", "growthAlong", "growthAcross", "ironMax", "washMax"],
  mesh: [...CLOTH, "airPermeability", "washMax"],
  "coated-fabric": [...CLOTH, "waterVapourResistance", "washMax"],
  woven: [...CLOTH, "ironMax", "washMax"],
  felt: ["massPerArea", "thickness", "ironMax", "washMax"],
  "foam-open": [...SHEET_FOAM, "ifd25", "supportFactor"],
  "foam-closed": [...SHEET_FOAM, "surfaceEnergy", "serviceTemperature"],
  "foam-clay": ["density", "dryTime"],
  thermoplastic: [...PLASTIC, "thickness"],
  filling: ["density", "massPerArea", "insulation", "washMax"],
  frame: ["density", "diameter", "massPerLength"],
  yarn: ["linearDensity", "breakingForce"],
  fastener: ["breakingForce", "widthUsable"],
  leather: [...CLOTH, "shrinkage"],
  adhesive: GLUE,
  tape: ["widthUsable", "serviceTemperature", "peelStrength"],
  paint: ["dryTime", "coatWeight"],
  dye: ["dyeTemperature"],
  coating: ["dryTime", "cureTime", "coatWeight"],
  "wrap-film": ["thickness", "widthUsable"],
};
