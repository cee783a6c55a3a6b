import { featureSpec } from "../evidence/features.ts";
import type { FeatureId, MeasureSpec } from "../evidence/features.ts";
import type { MeasureValue } from "../evidence/observations.ts";
import type { AbsentMeasure, MarkMeasures, Measure } from "./measure.ts";
import { MeasureError } from "./measure-error.ts";
import { exact, linear, standardUncertainty } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";

export interface NumberChoice {
  /** Scale the millimetres came from. */
  readonly scale?: string | null;
  /** False when an input came without an uncertainty: then none is stated. */
  readonly uStated?: boolean;
}

/** Collects the measures of one mark. Given values win; what cannot be computed is kept as absent with its reason. */
export class MarkSheet {
  readonly #specs: ReadonlyMap<string, MeasureSpec>;
  readonly #measures: Measure[] = [];
  readonly #absent: AbsentMeasure[] = [];
  readonly #warnings: string[] = [];
  readonly #quantities = new Map<string, Quantity>();

  constructor(
    readonly feature: FeatureId,
    given: Readonly<Record<string, MeasureValue>>,
  ) {
    this.#specs = new Map(featureSpec(feature).measures.map((m) => [m.key, m]));
    for (const [key, value] of Object.entries(given)) {
      if (typeof value === "number" && !Number.isFinite(value)) continue;
      this.#push(key, value, null, null, "Stated by a person or a sheet.", true);
      if (typeof value === "number") this.#quantities.set(key, exact(value));
    }
  }

  has(key: string): boolean {
    return this.#measures.some((m) => m.key === key);
  }

  /** The value behind a numeric measure with its sources, for joining several marks. */
  quantity(key: string): Quantity | undefined {
    return this.#quantities.get(key);
  }

  /**
   * Adds a computed number unless it was given. Values outside the range of the feature table are brought to its limit.
   *
   * @param how – plain sentence.
   */
  number(key: string, how: string, compute: () => Quantity, choice: NumberChoice = {}): void {
    if (this.has(key)) return;
    try {
      const found = compute();
      const spec = this.#specs.get(key);
      const u = standardUncertainty(found);
      if (!Number.isFinite(found.value) || !Number.isFinite(u))
        throw new MeasureError("degenerate-geometry", "The drawn shape is too small or too flat to measure.");
      const limit = spec?.kind === "number" ? limited(found.value, spec.min, spec.max) : found.value;
      const q = limit === found.value ? found : { value: limit, shares: found.shares };
      const said =
        limit === found.value
          ? how
          : `${how} The shape gives ${found.value.toPrecision(3)}, outside the possible range.`;
      this.#quantities.set(key, q);
      const counted = spec?.kind === "number" && spec.unit === "count";
      this.#push(key, q.value, counted || choice.uStated === false ? null : u, choice.scale ?? null, said, false);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      this.#absent.push({ key, label: this.#label(key), code: error.code, reason: error.message });
    }
  }

  /** Adds a computed flag or choice unless it was given; null = cannot be said. */
  word(key: string, how: string, value: string | boolean | null): void {
    if (value !== null && !this.has(key)) this.#push(key, value, null, null, how, false);
  }

  /**
   * Adds shares of uncertainty to the numbers that were computed.
   *
   * @param sharesOf – shares by name of the source, unit of the value; null = none for this key.
   */
  widen(sharesOf: (key: string, value: number) => ReadonlyMap<string, number> | null): void {
    for (const [i, measure] of this.#measures.entries()) {
      const q = this.#quantities.get(measure.key);
      const extra = q === undefined || measure.given ? null : sharesOf(measure.key, q.value);
      if (q === undefined || extra === null) continue;
      const wider = linear(q.value, [
        [q, 1],
        [{ value: 0, shares: extra }, 1],
      ]);
      this.#quantities.set(measure.key, wider);
      if (measure.u !== null) this.#measures[i] = { ...measure, u: standardUncertainty(wider) };
    }
  }

  warn(...sentences: readonly string[]): void {
    for (const s of sentences) if (!this.#warnings.includes(s)) this.#warnings.push(s);
  }

  result(): MarkMeasures {
    return { measures: this.#measures, absent: this.#absent, warnings: this.#warnings };
  }

  #label(key: string): string {
    return this.#specs.get(key)?.label ?? key.replaceAll("_", " ");
  }

  #push(key: string, value: MeasureValue, u: number | null, scale: string | null, how: string, given: boolean): void {
    const spec = this.#specs.get(key);
    const unit = spec?.kind === "number" ? spec.unit : null;
    this.#measures.push({ feature: this.feature, key, label: this.#label(key), value, unit, u, scale, how, given });
  }
}

const limited = (value: number, min = -Infinity, max = Infinity) => Math.min(max, Math.max(min, value));
