/** The screens, addressed by the part after "#", so that any static host serves every screen. */
export type Place =
  | { readonly screen: "log" }
  | { readonly screen: "intake" }
  | { readonly screen: "bench"; readonly breakId: string }
  | { readonly screen: "sheet"; readonly breakId: string }
  | { readonly screen: "route"; readonly breakId: string }
  | { readonly screen: "types"; readonly typeId: string | null }
  | { readonly screen: "settings" };

export function placeOf(hash: string): Place {
  const [screen, id] = hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  switch (screen) {
    case "bench":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "sheet":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "route":
      return id ? { screen, breakId: id } : { screen: "log" };
    case "types":
      return { screen, typeId: id ?? null };
    case "intake":
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
    case "types":
      return place.typeId === null ? "#/types" : `#/types/${encodeURIComponent(place.typeId)}`;
    default:
      return `#/${place.screen}`;
  }
}
