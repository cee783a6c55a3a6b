import type { EndSide } from "../../model/break/wire-break.ts";

/** The screens, addressed by the part after "#", so that any static host serves every screen. */
export type Place =
  | { readonly screen: "log" }
  | { readonly screen: "intake" }
  | { readonly screen: "bench"; readonly breakId: string }
  | { readonly screen: "sheet"; readonly breakId: string }
  | { readonly screen: "route"; readonly breakId: string }
  /** Beside confirmed breaks: one of them first, when named. */
  | { readonly screen: "compare"; readonly breakId: string; readonly otherId: string | null }
  /** Photographs by camera; a new break when none is named; one end first when it is. */
  | { readonly screen: "camera"; readonly breakId: string | null; readonly side: EndSide | null }
  | { readonly screen: "types"; readonly typeId: string | null }
  /** What the bench has learnt from confirmed breaks. */
  | { readonly screen: "improve" }
  /** The reference set: its versions, what it covers, writing and checking it. */
  | { readonly screen: "set" }
  /** Second reading: the queue, or one break read blind. */
  | { readonly screen: "second"; readonly breakId: string | null }
  /** Where readers disagree; one break side by side, when named. */
  | { readonly screen: "readers"; readonly breakId: string | null }
  /** Sets and old records brought in, changes exchanged with other benches. */
  | { readonly screen: "exchange" }
  | { readonly screen: "settings" };

/** Stands in the address for a break that is not begun yet. */
const NEW = "new";

export function placeOf(hash: string): Place {
  const [screen, id, part] = hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  switch (screen) {
    case "bench":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "sheet":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "route":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "compare":
      return id ? { screen, breakId: id, otherId: part || null } : { screen: "log" };
    case "camera":
      return {
        screen,
        breakId: id === undefined || id === "" || id === NEW ? null : id,
        side: part === "machine" || part === "takeUp" ? part : null,
      };
    case "types":
      return { screen, typeId: id ?? null };
    case "second":
    case "readers":
      return { screen, breakId: id || null };
    case "set":
    case "exchange":
    case "intake":
      return { screen };
    case "improve":
      return { screen };
    case "settings":
      return { screen };
    default:
      return { screen: "log" };
  }
}

export function hashOf(place: Place): string {
  switch (place.screen) {
    case "bench":
    case "sheet":
    case "route":
      return `#/${place.screen}/${encodeURIComponent(place.breakId)}`;
    case "compare": {
      const other = place.otherId === null ? "" : `/${encodeURIComponent(place.otherId)}`;
      return `#/compare/${encodeURIComponent(place.breakId)}${other}`;
    }
    case "camera": {
      const which = place.breakId === null ? NEW : encodeURIComponent(place.breakId);
      return `#/camera/${which}${place.side === null ? "" : `/${place.side}`}`;
    }
    case "second":
    case "readers":
      return place.breakId === null ? `#/${place.screen}` : `#/${place.screen}/${encodeURIComponent(place.breakId)}`;
    case "types":
      return place.typeId === null ? "#/types" : `#/types/${encodeURIComponent(place.typeId)}`;
    default:
      return `#/${place.screen}`;
  }
}
