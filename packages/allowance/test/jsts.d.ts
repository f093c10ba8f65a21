type Line = readonly (readonly number[])[];
export function invalidity(outline: Line, holes: readonly Line[]): string | undefined;
export function leastDistance(one: Line, two: Line): number;
export function insideTest(outline: Line, holes: readonly Line[]): (p: readonly number[]) => boolean;
