import type { FeatureId } from "../../model/evidence/features.ts";
import type { CocoImport } from "../../model/reference/import/coco.ts";
import type { ColumnMapping } from "../../model/reference/import/columns.ts";
import type { OldRecords } from "../../model/reference/import/csv.ts";

/** What came of a text, or the sentence that says why it is none of its kind. */
export type Read<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly says: string };

export type ImportRequests = {
  /** Marks of pictures; `meaning` names the feature of categories. */
  readonly coco: {
    readonly input: { readonly text: string; readonly meaning: Readonly<Record<string, FeatureId>> };
    readonly output: Read<CocoImport>;
  };
  readonly table: {
    readonly input: {
      readonly text: string;
      readonly mapping: ColumnMapping;
      readonly separator: "," | ";" | "\t";
      readonly there: ReadonlySet<string>;
    };
    readonly output: Read<OldRecords>;
  };
};
