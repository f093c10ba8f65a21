import { fail } from "@peltry/issues";

/** Refuses a picture, and says what it is or does. */
export function badPicture(what: string): never {
  fail("forms/bad-picture", `The picture ${what}.`, {}, { fix: "Save it again as an ordinary PNG or JPEG." });
}
