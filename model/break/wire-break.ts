import type { Verdict } from "../evidence/break-type-ids.ts";
import type { FeatureId, ViewId } from "../evidence/features.ts";
import type { EvidenceContext, MarkState, MeasureValue } from "../evidence/observations.ts";
import type { RuleId, Suggestion } from "../evidence/suggestion.ts";
import type { DeepTone } from "../picture/deep-tone.ts";
import type { ViewSettings } from "../picture/view-settings.ts";
import type { Route } from "../route/route.ts";
import type { Geometry } from "./geometry.ts";

/** Version of the stored record; each step up has a migration in `migrations.ts`. */
export const RECORD_VERSION = 1;

/** The two ends as they lie on the bench: machine end left, take-up end right. */
export type EndSide = "machine" | "takeUp";
export const END_SIDES = ["machine", "takeUp"] as const;
export const otherSide = (side: EndSide): EndSide => (side === "machine" ? "takeUp" : "machine");

/** A length or ratio with its standard uncertainty (k = 1), same unit. */
export interface Uncertain {
  readonly value: number;
  readonly u: number;
}

/** How the pixels of a photograph became millimetres. */
export type Scale =
  | {
      readonly method: "wire-diameter";
      /** Known wire diameter. */
      readonly diameterMm: Uncertain;
      /** Diameter of the fitted outline, px of the upright photograph. */
      readonly diameterPx: Uncertain;
      readonly markId: string | null;
    }
  | {
      readonly method: "drawn-length";
      readonly lengthMm: Uncertain;
      readonly a: readonly [number, number];
      readonly b: readonly [number, number];
      /** Standard uncertainty of placing one end of the line, px. */
      readonly placingPx: number;
      readonly over: "stage-micrometer" | "scale-bar";
    }
  | {
      readonly method: "profile";
      readonly profileId: string;
      readonly name: string;
      /** Along x of the photograph; along y too when `pxPerMmY` is left out. */
      readonly pxPerMm: Uncertain;
      /** Along y, where the stage micrometer read differently in the two directions. */
      readonly pxPerMmY?: Uncertain;
      /** The calibration these values come from; left out on records of before it was kept. */
      readonly calibration?: {
        /** ISO 8601 day or time. */
        readonly at: string;
        /** Overdue from this day on, ISO 8601. */
        readonly dueAt: string;
        /** Relative standard uncertainty that both directions share: the stage micrometer's own. */
        readonly commonU: number;
        /** Size of the photographs it holds for, px, width and height; null = not recorded. */
        readonly picturePx: readonly [number, number] | null;
      };
    }
  /** From an imported observation sheet; uncertainty 0 means "not stated". */
  | { readonly method: "stated"; readonly pxPerMm: Uncertain };

export interface Photograph {
  readonly id: string;
  /** SHA-256 of the original file, lower-case hex. The original is stored once under this key. */
  readonly hash: string;
  readonly fileName: string;
  readonly mediaType: string;
  readonly byteLength: number;
  /** Size after the camera orientation is applied; marks use these pixels. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** EXIF / TIFF orientation 1–8, 1 when none. */
  readonly orientation: number;
  /** As the camera wrote it, "YYYY-MM-DDTHH:MM:SS" with offset if recorded; null = none. */
  readonly capturedAt: string | null;
  readonly view: ViewId;
  /** Turn for display so that the break faces the middle, degrees clockwise. Marks are unaffected. */
  readonly turnDeg: number;
  readonly scale: Scale | null;
  /** Direction of the wire axis in the photograph, from the wire toward the break, degrees from +x toward +y; null = not set. */
  readonly axisDeg: number | null;
  /** True for the rendered photographs of the demo mill. */
  readonly rendered: boolean;
  /** Black and white points of a deep file; left out for 8-bit files. */
  readonly deepTone?: DeepTone;
  /** How the specimen was lit, in the lab's words, such as "ring light"; left out = not recorded. */
  readonly light?: string;
  /** Page shown of a file with several, from 0; left out = the first. */
  readonly page?: number;
  /** How it is looked at; left out = as it is. */
  readonly seeing?: ViewSettings;
  /** Proposed marks that a reader turned down; kept, because they teach as much as the ones taken. */
  readonly turnedDown?: readonly ProposedMark[];
  /** Set on a picture that was put together from frames at different focus. */
  readonly stack?: FocusStack;
}

/** A mark found by the machine in the pixels. It counts for nothing until a reader takes it. */
export interface ProposedMark {
  readonly feature: FeatureId;
  readonly geometry: Geometry;
  /** 0–1: share of such proposals that were right on the pictures it was tried on. */
  readonly confidence: number;
  /** Name and version of the finder. */
  readonly finder: string;
}

/** Where a stacked picture came from. The frames are kept as originals under their hashes. */
export interface FocusStack {
  /** From the nearest to the farthest focus, or as taken when the step is unknown. */
  readonly frames: readonly { readonly hash: string; readonly fileName: string }[];
  /** Focus step between frames, µm, positive away from the lens; null = unknown, then there are no heights. */
  readonly stepUm: Uncertain | null;
}

export interface Mark {
  readonly id: string;
  readonly feature: FeatureId;
  readonly state: MarkState;
  /** The photograph it is drawn on; null when it was stated without a picture. */
  readonly photographId: string | null;
  readonly geometry: Geometry | null;
  /** Measures typed by a person or given by a sheet; they win over computed ones. */
  readonly given: Readonly<Record<string, MeasureValue>>;
  readonly note: string;
  readonly by: string;
  readonly at: string;
  /** What the machine had proposed before the reader took or corrected it; left out = drawn by hand. */
  readonly proposed?: ProposedMark;
}

export interface End {
  /** "not-recovered" is a fact; "awaited" means nobody has said yet. */
  readonly recovery: "recovered" | "not-recovered" | "awaited";
  readonly photographs: readonly Photograph[];
  readonly marks: readonly Mark[];
  readonly note: string;
  /** Views an imported sheet names without bringing the pictures; they count as looked at. */
  readonly statedViews?: readonly ViewId[];
}

/** Facts about the wire and the process. null = unknown, which never counts as "no". */
export interface BreakContext extends Omit<
  EvidenceContext,
  "wireMm" | "drawDirectionKnown" | "d0AgreePct" | "mate" | "mateReading"
> {
  readonly temper: string | null;
  readonly nominalDiameterMm: number | null;
  readonly measuredDiameterMm: number | null;
  /** Standard uncertainty of the measured diameter, mm. */
  readonly measuredDiameterUMm: number | null;
  /** Standard uncertainty of the reference reduction of area, percentage points. */
  readonly refRaUPct: number | null;
  readonly cast: string | null;
  readonly rod: string | null;
  readonly coil: string | null;
  readonly spool: string | null;
  readonly machine: string | null;
  /** Where on the machine it broke: block, pass, capstan, die. */
  readonly position: string | null;
  readonly lineSpeedMps: number | null;
  readonly brokeAt: string | null;
  readonly drawDirection: "recorded" | "not-recorded" | "not-applicable";
  readonly machineOrder: readonly string[];
  readonly notes: string | null;
}

/** Facts about the pair, not about one end. */
export interface Pairing {
  /** Judged from photographs, never by touching the faces. */
  readonly mate: "yes" | "no" | "unsure" | null;
  /** Difference of the wire diameters in percent, when stated; else computed from the outlines. */
  readonly d0AgreePct: number | null;
  /** What laying one face over the other gave; a reading by the machine, beside what a person judged. */
  readonly fit?: FaceFit;
}

/** One end-on view laid, mirrored, over the other. */
export interface FaceFit {
  readonly machinePhotographId: string;
  readonly takeUpPhotographId: string;
  /** Turn of the mirrored take-up face onto the machine face, degrees clockwise. */
  readonly turnDeg: number;
  /** Shift after the turn, as a share of the wire diameter, x right and y down. */
  readonly shiftD: readonly [number, number];
  /** Size ratio of the two wire outlines. */
  readonly scale: number;
  /** 0–1, larger fits better. */
  readonly score: number;
  readonly says: "belong-together" | "do-not-fit" | "cannot-tell";
  /** Name and version of the comparison and its reference pairs. */
  readonly finder: string;
}

export const CONFIRMATION_MEANS = [
  "both-ends-microscope",
  "longitudinal-section",
  "transverse-section",
  "sem",
  "eds",
  "hardness",
  "tensile-test",
  "torsion-test",
  "bake-test",
  "b577-test",
  "weld-log",
  "repeat-after-correction",
  "other",
] as const;
export type ConfirmationMeans = (typeof CONFIRMATION_MEANS)[number];

/** A rule that spoke against the confirmed type, and the reader's answer to it. */
export interface AnsweredRule {
  readonly rule: RuleId;
  readonly words: string;
}

/** What the model in use said of a break. */
export interface EarlierLean {
  readonly model: string;
  /** SHA-256 of its file, lower-case hex. */
  readonly digest: string;
  /** The likeliest types, at most three. */
  readonly ranking: readonly { readonly type: string; readonly probability: number }[];
  /** 0–1: how unlike everything learnt from the break is. */
  readonly unlike: number;
}

/** One line of the confirmation history. Lines are only ever added. */
export type Confirmation =
  | {
      readonly kind: "confirmed";
      readonly id: string;
      readonly type: Verdict;
      readonly means: readonly ConfirmationMeans[];
      readonly reason: string;
      readonly by: string;
      readonly at: string;
      /** The suggestion of that moment, kept as it was. */
      readonly suggestion: Suggestion;
      readonly revision: number;
      /** Identifier of the confirmation level it reached by the ladder of that moment; left out = no ladder was in use. */
      readonly level?: string;
      /** Why the evidence against the type does not hold, rule by rule. */
      readonly answers?: readonly AnsweredRule[];
      /** What earlier breaks leaned to at that moment; left out = they were not asked, or said nothing of this state. */
      readonly earlier?: EarlierLean;
      /** Identifiers of the second readings whose disagreement this line settles; left out = none. */
      readonly resolves?: readonly string[];
    }
  | {
      readonly kind: "reopened";
      readonly id: string;
      readonly reason: string;
      readonly by: string;
      readonly at: string;
    };

/**
 * What a second reader made of a break without seeing the first label, the marks or the suggestion. Readings are only
 * ever added.
 */
export interface SecondReading {
  readonly id: string;
  readonly type: Verdict;
  /** Marks of the second reader's own, by the ends as they lay at `revision`; a photograph that changed its end since takes its marks along. */
  readonly marks: Readonly<Record<EndSide, readonly Mark[]>>;
  readonly note: string;
  readonly by: string;
  readonly at: string;
  /** The confirmation it was to be compared with; null = the break was not confirmed when it was read. */
  readonly beside: string | null;
  /** Revision of the record that was read. */
  readonly revision: number;
}

/** A set, a file or a table of others that a break came with. What it may be used for goes by its licence. */
export interface CameWith {
  readonly kind: "set" | "bench-file" | "pictures" | "table";
  /** Name of the set, or of the file. */
  readonly name: string;
  readonly version: string | null;
  readonly licence: string | null;
  /** Who made it, as it says itself. */
  readonly creator: string | null;
  /** SHA-256 of the list of hashes of a set, or of the file; lower-case hex. */
  readonly sha256: string | null;
  /** Who brought it in, and when. */
  readonly by: string;
  readonly at: string;
}

export interface WireBreak {
  readonly version: typeof RECORD_VERSION;
  /** Random identifier, never shown. */
  readonly id: string;
  /** The lab's own number, shown everywhere. */
  readonly number: string;
  /** Counts the edits applied; the storage names the revision it has on disk. */
  readonly revision: number;
  readonly createdAt: string;
  readonly updatedAt: string;
  /** True when it is recorded which piece stayed in the machine. */
  readonly rolesKnown: boolean;
  readonly ends: Readonly<Record<EndSide, End>>;
  readonly context: BreakContext;
  readonly pairing: Pairing;
  readonly confirmations: readonly Confirmation[];
  /** What second readers found; left out = nobody has read it a second time. */
  readonly readings?: readonly SecondReading[];
  /** The drawing route from the rod to the break; left out = not recorded. */
  readonly route?: Route;
  /** What it came with, oldest first; left out = recorded here. */
  readonly cameWith?: readonly CameWith[];
  /** True for the invented breaks of the demo mill. */
  readonly demo: boolean;
  /** Set when the break was put in the bin; it can be taken out again. */
  readonly binnedAt: string | null;
}
