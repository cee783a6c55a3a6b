#!/usr/bin/python3
"""The yardstick of scripts/compare-training.ts: scikit-learn's classifiers on the same rows and splits.

Reads a JSON description from standard input: folder of the raw arrays, rows, columns, the training rows and the
test rows. Writes accuracy, log loss and seconds of each classifier as JSON to standard output.
LogisticRegression gets what our linear model gets: standardised values, 0 where missing, and one flag per column.
"""
import json
import sys
import time

import numpy as np

try:
    import sklearn
    from sklearn.ensemble import HistGradientBoostingClassifier
    from sklearn.linear_model import LogisticRegression
    from sklearn.metrics import accuracy_score, log_loss
except ImportError:
    print(json.dumps({"missing": "python3-sklearn is not installed: apt-get install python3-sklearn"}))
    sys.exit(0)


def flagged(x, mean, spread):
    known = ~np.isnan(x)
    return np.hstack([np.where(known, np.clip((x - mean) / spread, -4, 4), 0), known])


asked = json.load(sys.stdin)
x = np.fromfile(asked["x"], dtype="<f4").reshape(asked["rows"], asked["columns"]).astype(np.float64)
y = np.fromfile(asked["y"], dtype="<i4")
train = np.array(asked["train"])
test = np.array(asked["test"])
with np.errstate(all="ignore"):
    mean = np.nan_to_num(np.nanmean(x[train], axis=0))
    spread = np.nan_to_num(np.nanstd(x[train], axis=0))
spread[spread < 1e-9] = 1
found = []
for name, make, rows in [
    # C is one over (rows × our penalty): scikit-learn sums the loss where we take its mean.
    ("LogisticRegression, penalty 0.003", lambda: LogisticRegression(C=1 / (0.003 * len(train)), max_iter=300), True),
    ("LogisticRegression, penalty 0.03", lambda: LogisticRegression(C=1 / (0.03 * len(train)), max_iter=300), True),
    (
        "HistGradientBoostingClassifier, 25 rounds of depth 3",
        lambda: HistGradientBoostingClassifier(
            max_iter=25, max_depth=3, learning_rate=0.2, l2_regularization=2, max_bins=31, random_state=1
        ),
        False,
    ),
]:
    start = time.perf_counter()
    made = flagged(x, mean, spread) if rows else x
    model = make().fit(made[train], y[train])
    seconds = time.perf_counter() - start
    p = model.predict_proba(made[test])
    found.append(
        {
            "name": name,
            "accuracy": float(accuracy_score(y[test], model.classes_[p.argmax(axis=1)])),
            "logLoss": float(log_loss(y[test], p, labels=model.classes_)),
            "seconds": seconds,
        }
    )
json.dump({"version": sklearn.__version__, "found": found}, sys.stdout)
