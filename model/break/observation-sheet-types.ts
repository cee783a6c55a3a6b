import type { FeatureId, ViewId } from "../evidence/features.ts";
import type { EndRole, MarkState, MeasureValue, TransferKind } from "../evidence/observations.ts";
import type { Geometry } from "./geometry.ts";
import type { Pairing } from "./wire-break.ts";

export interface SheetPhoto {
  readonly file: string;
  readonly view: ViewId;
  readonly px_per_mm: number | null;
}

export interface SheetFeature {
  readonly feature: FeatureId;
  readonly state: MarkState;
  readonly photo?: string;
  readonly geometry?: Geometry;
  /** Given values; they win over computed ones. */
  readonly measures: Readonly<Record<string, MeasureValue>>;
  readonly note?: string;
}

export interface SheetEnd {
  readonly role: EndRole;
  readonly recovered: boolean;
  /** In the order of the view list, each once, those of the photographs included. */
  readonly views: readonly ViewId[];
  readonly photos: readonly SheetPhoto[];
  readonly features: readonly SheetFeature[];
  readonly note?: string;
}

/** A break as an observation sheet, in today's spelling: written as JSON, it is read back as it is. */
export interface ObservationSheet {
  readonly id: string;
  readonly metal?: string;
  readonly grade?: string;
  readonly wire_mm?: number;
  readonly ends: readonly SheetEnd[];
  readonly context: SheetContext;
}

type Mate = NonNullable<Pairing["mate"]>;

/** Facts of the wire and the route as a sheet writes them. A key left out is unknown, which never counts as "no". */
export interface SheetContext {
  readonly draw_direction?: string;
  readonly machine_order?: readonly string[];
  readonly reversals?: number;
  readonly which_end_leads?: string;
  readonly transfers?: readonly TransferKind[];
  readonly passes?: readonly {
    readonly die: string;
    readonly semi_angle_deg: number;
    readonly reduction_pct: number;
  }[];
  readonly weld_log_distance_m?: number;
  readonly weld_log_clear?: boolean;
  readonly oxygen_ppm?: number;
  readonly hydrogen_anneal?: boolean;
  readonly pickled?: boolean;
  readonly delayed_h?: number;
  readonly first_trip?: boolean;
  readonly strength_mpa?: number;
  readonly ref_ra_pct?: number;
  readonly ref_ra_u_pct?: number;
  readonly slip_or_grab_logged?: boolean;
  readonly repeats_in_cast?: boolean;
  readonly tests?: Readonly<Record<string, MeasureValue>>;
  readonly d0_agree_pct?: number;
  readonly mate?: Mate;
  readonly same_line_clock?: boolean;
  readonly ends_swapped_check?: boolean;
  readonly process?: string;
  readonly notes?: string;
  readonly temper?: string;
  readonly measured_mm?: number;
  readonly measured_u_mm?: number;
  readonly cast?: string;
  readonly rod?: string;
  readonly coil?: string;
  readonly spool?: string;
  readonly machine?: string;
  readonly position?: string;
  readonly line_speed_mps?: number;
  readonly broke_at?: string;
  readonly rendered?: boolean;
  /** A text under a key of the mill's own. */
  readonly [key: string]: unknown;
}
