#!/usr/bin/python3
"""Agreement of readers by other programs, for tests/model/reference/agreement/outside.test.ts.

Libraries: scikit-learn (cohen_kappa_score), statsmodels (inter_rater.cohens_kappa with standard errors and interval),
scikit-image (draw.polygon for the overlap of areas), SciPy (linear_sum_assignment).
Writes agreement.json beside this file. Tolerances: kappa and standard errors 1e-9; overlap 0.004 (pixels against exact
pieces on pictures of 400 px); best sum of pairs 1e-9.
Run: /usr/bin/python3 tests/outside/agreement.py
"""
import json
import os

import numpy as np
import scipy
import skimage
import sklearn
import statsmodels
from scipy.optimize import linear_sum_assignment
from skimage.draw import polygon
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

here = os.path.dirname(os.path.abspath(__file__))
rng = np.random.default_rng(20260301)


def one_table(counts, weights):
    counts = np.asarray(counts)
    wt = {"same-only": None, "by-steps": "linear", "by-squared-steps": "quadratic"}[weights]
    theirs = cohens_kappa(counts, wt=wt)
    a, b = np.indices(counts.shape)
    first, second = np.repeat(a.ravel(), counts.ravel()), np.repeat(b.ravel(), counts.ravel())
    return dict(
        counts=counts.tolist(),
        weights=weights,
        sklearn=float(cohen_kappa_score(first, second, labels=list(range(len(counts))), weights=wt)),
        kappa=float(theirs.kappa),
        se=float(theirs.std_kappa),
        seWithoutAgreement=float(theirs.std_kappa0),
        low=float(theirs.kappa_low),
        high=float(theirs.kappa_upp),
    )


tables = [[[88, 14, 18], [10, 40, 10], [2, 6, 12]], [[106, 10, 4], [22, 28, 10], [2, 12, 6]], [[20, 5], [10, 15]]]
for size in (2, 3, 4, 6, 17):
    t = rng.integers(0, 9, (size, size)) + np.diag(rng.integers(5, 30, size))
    tables.append(t.tolist())
kappas = [one_table(t, w) for t in tables for w in ("same-only", "by-steps", "by-squared-steps")]

areas = []
for _ in range(12):
    star = lambda: np.c_[
        (lambda t, r: (200 + r * np.cos(t), 190 + r * np.sin(t)))(np.sort(rng.uniform(0, 2 * np.pi, 9)), rng.uniform(40, 170, 9))
    ].reshape(2, -1).T
    a, b = star(), star()
    masks = []
    for s in (a, b):
        m = np.zeros((400, 400), bool)
        # Centres of pixels lie at whole numbers there, half a pixel further here.
        m[polygon(s[:, 1] - 0.5, s[:, 0] - 0.5, m.shape)] = True
        masks.append(m)
    iou = (masks[0] & masks[1]).sum() / (masks[0] | masks[1]).sum()
    areas.append(dict(a=np.round(a, 3).tolist(), b=np.round(b, 3).tolist(), iou=float(iou)))
ellipses = []
for _ in range(6):
    pair, masks = [], []
    for _ in range(2):
        cx, cy = rng.uniform(150, 250, 2)
        rx, ry = rng.uniform(40, 120, 2)
        deg = rng.uniform(0, 180)
        pair.append(dict(type="ellipse", cx=cx, cy=cy, rx=rx, ry=ry, angle_deg=deg))
        y, x = np.mgrid[0:400, 0:400] + 0.5
        t = np.deg2rad(deg)
        u = (x - cx) * np.cos(t) + (y - cy) * np.sin(t)
        v = -(x - cx) * np.sin(t) + (y - cy) * np.cos(t)
        masks.append((u / rx) ** 2 + (v / ry) ** 2 <= 1)
    ellipses.append(dict(pair=pair, iou=float((masks[0] & masks[1]).sum() / (masks[0] | masks[1]).sum())))

matches = []
for rows, columns in [(1, 1), (3, 3), (4, 6), (7, 5), (20, 20)]:
    worth = np.round(rng.uniform(-0.3, 1, (rows, columns)), 4)
    r, c = linear_sum_assignment(np.maximum(worth, 0), maximize=True)
    matches.append(dict(worth=worth.tolist(), best=float(np.maximum(worth, 0)[r, c].sum())))

out = dict(
    sklearn=sklearn.__version__,
    statsmodels=statsmodels.__version__,
    skimage=skimage.__version__,
    scipy=scipy.__version__,
    kappas=kappas,
    areas=areas,
    ellipses=ellipses,
    matches=matches,
)
with open(os.path.join(here, "agreement.json"), "w") as f:
    json.dump(out, f, separators=(",", ":"))
    f.write("\n")
print(len(kappas), "tables", len(areas) + len(ellipses), "areas", len(matches), "pairings")
