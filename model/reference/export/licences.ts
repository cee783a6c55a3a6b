/** A licence a set can be given away under. */
export interface Licence {
  /** SPDX identifier. */
  readonly id: string;
  readonly name: string;
  readonly url: string;
  /** What it lets others do, in one sentence. */
  readonly says: string;
}

/** @source identifiers: SPDX licence list; addresses: creativecommons.org; from memory. */
export const LICENCES: readonly Licence[] = [
  {
    id: "CC-BY-4.0",
    name: "CC BY 4.0",
    url: "https://creativecommons.org/licenses/by/4.0/",
    says: "Anybody may use it for anything and must name you.",
  },
  {
    id: "CC0-1.0",
    name: "CC0 1.0",
    url: "https://creativecommons.org/publicdomain/zero/1.0/",
    says: "Anybody may use it for anything, without naming you.",
  },
  {
    id: "CC-BY-SA-4.0",
    name: "CC BY-SA 4.0",
    url: "https://creativecommons.org/licenses/by-sa/4.0/",
    says: "Anybody may use it, must name you, and must give what is made from it away alike.",
  },
  {
    id: "CC-BY-NC-4.0",
    name: "CC BY-NC 4.0",
    url: "https://creativecommons.org/licenses/by-nc/4.0/",
    says: "Anybody may use it, must name you, and not for gain.",
  },
];

/** @throws RangeError when no licence of the list has this identifier. */
export function licenceOf(id: string): Licence {
  const found = LICENCES.find((licence) => licence.id.toLowerCase() === id.toLowerCase());
  if (found === undefined)
    throw new RangeError(`No licence is called "${id}". Choose one of ${LICENCES.map((l) => l.id).join(", ")}.`);
  return found;
}

/** A licence as it is named in a set, by address or identifier, under its usual name; one not known here stays as it is. */
export const licenceName = (named: string): string =>
  LICENCES.find(({ id, url }) => id === named || url === named)?.name ?? named;
