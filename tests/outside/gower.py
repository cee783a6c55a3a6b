"""Gower's coefficient on the spread of a set, computed with numpy: 40 made breaks of 9 columns, some values missing.

Source: J. C. Gower, "A general coefficient of similarity and some of its properties", Biometrics 27 (1971) 857-871:
S = sum(w * delta * s) / sum(w * delta); s = 1 - |a - b| / range for quantitative characters, 1 or 0 for qualitative ones,
and delta = 0 where a dichotomous character is absent in both. Here the range leaves out values more than 3
interquartile ranges (1.349 standard deviations where the quartiles coincide) beyond the quartiles, which count as at its
edge, and is at least 0.4 of the median wide.
"""

import json
from pathlib import Path

import numpy as np

rng = np.random.default_rng(20261129)
KINDS = ["presence", "presence", "presence", "alternative", "alternative", "number", "number", "number", "number"]
WEIGHTS = [256, 256, 256, 85, 256, 256, 10, 256, 10]
N = 40

columns = []
for k, kind in enumerate(KINDS):
    if kind != "number":
        values = (rng.random(N) < 0.4).astype(float)
    elif k == 7:
        # Mostly zero: the quartiles coincide.
        values = np.where(rng.random(N) < 0.85, 0.0, rng.normal(3, 1, N))
    else:
        values = rng.normal(10 * k, k, N)
        values[:2] += 60  # wild ones
    values[rng.random(N) < 0.25] = np.nan
    columns.append(values)
x = np.float32(np.stack(columns, axis=1)).astype(np.float64)

spreads = []
u = np.empty_like(x)
for k, kind in enumerate(KINDS):
    if kind != "number":
        low, width = 0.0, 1.0
    else:
        known = x[~np.isnan(x[:, k]), k]
        q1, median, q3 = np.percentile(known, [25, 50, 75])
        iqr = (q3 - q1) or 1.349 * np.std(known, ddof=1)
        low, high = max(known.min(), q1 - 3 * iqr), min(known.max(), q3 + 3 * iqr)
        width = max(high - low, 0.4 * abs(median))
        low = (low + high) / 2 - width / 2
    spreads.append([float(low), float(width)])
    u[:, k] = np.clip((x[:, k] - low) / width, 0, 1)

w = np.array(WEIGHTS, dtype=float)
dichotomous = np.array([kind == "presence" for kind in KINDS])
pairs = []
for i in range(N):
    for j in range(i, N):
        delta = ~np.isnan(x[i]) & ~np.isnan(x[j])
        delta &= ~(dichotomous & (x[i] == 0) & (x[j] == 0))
        s = 1 - np.abs(u[i] - u[j])
        total = w[delta].sum()
        pairs.append([i, j, None if total == 0 else float((w[delta] * s[delta]).sum() / total)])

out = {
    "source": __doc__.strip().splitlines()[0],
    "numpy": np.__version__,
    "kinds": KINDS,
    "weights": WEIGHTS,
    "values": [[None if np.isnan(v) else float(v) for v in row] for row in x],
    "spreads": spreads,
    "pairs": pairs,
}
Path(__file__).with_suffix(".json").write_text(json.dumps(out) + "\n")
