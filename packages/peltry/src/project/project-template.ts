export function projectTemplate(): string {
  return "peltry: 1\n";
}
