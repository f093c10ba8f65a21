/**
 * The known texts that look most like `text`, best first: an edit distance, with a bonus for shared words.
 *
 * @param most how many at most
 * @returns only texts that are plausibly meant
 */
export function nearestTexts(text: string, known: readonly string[], most: number): string[] {
  const wanted = text
    .toLowerCase()
    .trim()
    .slice(0, 80)
    .replace(/[\s_]+/g, "-");
  const words = new Set(wanted.split("-").filter((word) => word.length > 2));
  return known
    .map((id) => {
      const shared = id.split("-").filter((word) => words.has(word)).length;
      return {
        id,
        cost: editDistance(wanted, id) - 4 * shared,
        limit: Math.max(2, Math.ceil(id.length / 3)),
      };
    })
    .filter(({ cost, limit }) => cost <= limit)
    .sort((a, b) => a.cost - b.cost || (a.id < b.id ? -1 : 1))
    .slice(0, most)
    .map(({ id }) => id);
}

/** One thing that may be meant, with all texts it goes by. */
export interface Candidate {
  readonly id: string;
  readonly names: readonly string[];
}

/** Ids of the candidates one of whose names looks most like `text`, best first. */
export function nearestCandidates(text: string, candidates: readonly Candidate[], most: number): string[] {
  const owner = new Map<string, string>();
  for (const { id, names } of candidates)
    for (const name of [id, ...names]) {
      const key = name.toLowerCase().replace(/[^a-z0-9]+/g, "-");
      if (!owner.has(key)) owner.set(key, id);
    }
  const near = nearestTexts(text, [...owner.keys()], most * 3).map((name) => owner.get(name)!);
  return [...new Set(near)].slice(0, most);
}

/**
 * Fewest insertions, deletions and replacements that turn `a` into `b`.
 *
 * @source Wagner and Fischer, The String-to-String Correction Problem, JACM 21 (1974)
 */
export function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const swap = previous[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      row.push(Math.min(swap, previous[j]! + 1, row[j - 1]! + 1));
    }
    previous = row;
  }
  return previous[b.length]!;
}
