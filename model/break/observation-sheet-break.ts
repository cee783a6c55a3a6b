import type { ViewId } from "../evidence/features.ts";
import { EMPTY_END, newBreak } from "./new-break.ts";
import { inViewOrder } from "./observation-sheet.ts";
import { contextFromSheet, contextToSheet } from "./observation-sheet-context.ts";
import type { ObservationSheet, SheetEnd, SheetFeature, SheetPhoto } from "./observation-sheet-types.ts";
import type { End, EndSide, Mark, Photograph, Scale, WireBreak } from "./wire-break.ts";
import { END_SIDES, otherSide } from "./wire-break.ts";

export interface SheetImport {
  /** Identifier of the new break; the sheet's own `id` becomes its number. */
  readonly id: string;
  readonly newId: () => string;
  /** Time of the import, ISO 8601. */
  readonly at: string;
  /** Who takes the sheet over. */
  readonly by: string;
  /** The pictures at hand, by the file name the sheet uses. */
  readonly photographs: ReadonlyMap<string, Photograph>;
}

/**
 * A break from an observation sheet: an old paper record, or a break of the demo mill.
 *
 * Given measures are kept as given and win over computed ones. A picture the sheet names but that is not at hand is
 * said in the note of its end; its marks keep their geometry but lie on no photograph.
 */
export function sheetToBreak(sheet: ObservationSheet, how: SheetImport): WireBreak {
  const { context, pairing } = contextFromSheet(sheet);
  const rendered = sheet.context.rendered === true;
  const ends: Record<EndSide, End> = {
    machine: { ...EMPTY_END, recovery: "not-recovered" },
    takeUp: { ...EMPTY_END, recovery: "not-recovered" },
  };
  const used = new Set<string>();
  sidesOf(sheet.ends).forEach((side, i) => {
    const end = sheet.ends[i];
    if (end) ends[side] = endFrom(end, how, rendered, used);
  });
  return {
    ...newBreak(how.id, sheet.id, how.at),
    rolesKnown: sheet.ends.every((end) => end.role !== "unknown"),
    ends,
    context,
    pairing,
    demo: rendered,
  };
}

/** The side each end of a sheet lies on; ends of unknown role take the places that are left, in their order. */
function sidesOf(ends: readonly SheetEnd[]): readonly EndSide[] {
  const stated = (end: SheetEnd | undefined): EndSide | null =>
    end?.role === "machine" ? "machine" : end?.role === "spool" ? "takeUp" : null;
  const [one, other] = ends;
  const otherStated = stated(other);
  const first = stated(one) ?? (otherStated === null ? "machine" : otherSide(otherStated));
  return [first, otherSide(first)].slice(0, ends.length);
}

function endFrom(end: SheetEnd, how: SheetImport, rendered: boolean, used: Set<string>): End {
  const filed = new Map<string, Photograph>();
  const missing: SheetPhoto[] = [];
  for (const photo of end.photos) {
    const picture = how.photographs.get(photo.file);
    if (!picture) {
      missing.push(photo);
      continue;
    }
    const id = used.has(picture.id) ? how.newId() : picture.id;
    used.add(id);
    const scale: Scale | null =
      photo.px_per_mm === null ? picture.scale : { method: "stated", pxPerMm: { value: photo.px_per_mm, u: 0 } };
    filed.set(photo.file, { ...picture, id, view: photo.view, scale, rendered: rendered || picture.rendered });
  }
  const photographs = [...filed.values()];
  const only = end.photos.length === 1 ? photographs[0] : undefined;
  const shown = new Set(photographs.map((p) => p.view));
  const statedViews = end.views.filter((view) => !shown.has(view));
  const notes = [
    ...(end.note === undefined ? [] : [end.note]),
    ...(missing.length === 0 ? [] : [`Pictures not at hand: ${missing.map(named).join("; ")}.`]),
  ];
  return {
    recovery: end.recovered ? "recovered" : "not-recovered",
    photographs,
    marks: end.features.map((feature) => markFrom(feature, filed, only, how)),
    note: notes.join("\n"),
    ...(statedViews.length === 0 ? {} : { statedViews }),
  };
}

const named = (photo: SheetPhoto): string =>
  photo.px_per_mm === null ? photo.file : `${photo.file} (${photo.px_per_mm} px/mm)`;

/** A shape whose picture is not named lies on the only picture of its end, when there is just one. */
function markFrom(
  feature: SheetFeature,
  filed: ReadonlyMap<string, Photograph>,
  only: Photograph | undefined,
  how: SheetImport,
): Mark {
  const picture =
    feature.photo !== undefined ? filed.get(feature.photo) : feature.geometry !== undefined ? only : undefined;
  return {
    id: how.newId(),
    feature: feature.feature,
    state: feature.state,
    photographId: picture?.id ?? null,
    geometry: feature.geometry ?? null,
    given: feature.measures,
    note: feature.note ?? "",
    by: how.by,
    at: how.at,
  };
}

/** A break as an observation sheet. Confirmations, colours of the screen and uncertainties of scales stay behind. */
export function breakToSheet(wireBreak: WireBreak): ObservationSheet {
  const { context } = wireBreak;
  return {
    id: wireBreak.number === "" ? wireBreak.id : wireBreak.number,
    ...(context.metal === null ? {} : { metal: context.metal }),
    ...(context.grade === null ? {} : { grade: context.grade }),
    ...(context.nominalDiameterMm === null ? {} : { wire_mm: context.nominalDiameterMm }),
    ends: END_SIDES.map((side) => endToSheet(wireBreak, side)),
    context: contextToSheet(wireBreak),
  };
}

function endToSheet(wireBreak: WireBreak, side: EndSide): SheetEnd {
  const end = wireBreak.ends[side];
  const fileOf = fileNames(end);
  const shows = end.photographs.length + end.marks.length > 0;
  const views: ViewId[] = [...(end.statedViews ?? []), ...end.photographs.map((p) => p.view)];
  return {
    role: !wireBreak.rolesKnown ? "unknown" : side === "machine" ? "machine" : "spool",
    // An end that shows something was recovered, whatever has been said of it since.
    recovered: shows || end.recovery === "recovered",
    views: inViewOrder(views),
    photos: end.photographs.map((p) => ({
      file: fileOf.get(p.id) ?? p.fileName,
      view: p.view,
      px_per_mm: pxPerMm(p.scale),
    })),
    features: end.marks.map((mark): SheetFeature => {
      const photo = mark.photographId === null ? undefined : fileOf.get(mark.photographId);
      return {
        feature: mark.feature,
        state: mark.state,
        ...(photo === undefined ? {} : { photo }),
        ...(mark.geometry === null ? {} : { geometry: mark.geometry }),
        measures: mark.given,
        ...(mark.note === "" ? {} : { note: mark.note }),
      };
    }),
    ...(end.note === "" ? {} : { note: end.note }),
  };
}

/** File names by photograph; a name that comes again is told apart by a number. */
function fileNames(end: End): ReadonlyMap<string, string> {
  const taken = new Map<string, number>();
  return new Map(
    end.photographs.map((p) => {
      const name = p.fileName === "" ? "photograph" : p.fileName;
      const times = (taken.get(name) ?? 0) + 1;
      taken.set(name, times);
      return [p.id, times === 1 ? name : `${name} (${times})`];
    }),
  );
}

/** The bare scale a sheet can carry. */
function pxPerMm(scale: Scale | null): number | null {
  if (scale === null) return null;
  switch (scale.method) {
    case "stated":
      return scale.pxPerMm.value;
    case "profile":
      // One number stands for both directions: their geometric mean keeps every area.
      return scale.pxPerMmY === undefined ? scale.pxPerMm.value : Math.sqrt(scale.pxPerMm.value * scale.pxPerMmY.value);
    case "wire-diameter":
      return usable(scale.diameterPx.value / scale.diameterMm.value);
    case "drawn-length":
      return usable(Math.hypot(scale.b[0] - scale.a[0], scale.b[1] - scale.a[1]) / scale.lengthMm.value);
  }
}

const usable = (ratio: number): number | null => (Number.isFinite(ratio) && ratio > 0 ? ratio : null);
