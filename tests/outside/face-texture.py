"""Local binary patterns and co-occurrence of real textures, by scikit-image; written beside ours in a test.

Run: /usr/bin/python3 tests/outside/face-texture.py REAL_DATA_FOLDER
"""
import json
import os
import sys

import numpy as np
import skimage
from skimage import io
from skimage.feature import graycomatrix, graycoprops, local_binary_pattern

folder = os.path.join(sys.argv[1], "texture")
out = {"library": "scikit-image", "version": skimage.__version__, "tolerance": "pairs 1e-9 relative; patterns: 0.5 % of the pixels (ties)", "pictures": []}


def figures(image, steps_per_level):
    rows = {}
    for radius in (1, 3):
        # Away from the rim: what lies beyond a picture is nobody's fault.
        patterns = local_binary_pattern(image.astype(np.float64), 8, radius, method="uniform")
        rows[f"patterns{radius}"] = np.bincount(patterns[4:-4, 4:-4].astype(int).ravel(), minlength=10).tolist()
    levels = (image // steps_per_level).astype(np.uint8)
    table = graycomatrix(levels, [1, 4], [0, np.pi / 2], levels=16, symmetric=True, normed=True)
    # One step to the right, four steps down.
    for name, k, a in (("right1", 0, 0), ("down4", 1, 1)):
        one = table[:, :, k : k + 1, a : a + 1]
        rows[name] = {p: float(graycoprops(one, p)[0, 0]) for p in ("contrast", "homogeneity", "energy", "correlation")}
    return rows


def made():
    # The same formula as in the test: whole numbers only, and so many of them that neighbours are hardly ever equal
    # (equal ones fall either way in the last bit of the interpolation).
    y, x = np.mgrid[0:48, 0:64].astype(np.int64)
    return (x * 7919 + y * 104729 + x * y * 31 + x * x * 17 + (x // 5) * (y // 7) * 977) % 65521


out["pictures"].append({"file": None, **figures(made(), 4096)})
for name in ("brick.png", "grass.png", "gravel.png"):
    image = io.imread(os.path.join(folder, name))[:160, :200]
    assert image.dtype == np.uint8 and image.ndim == 2
    out["pictures"].append({"file": name, **figures(image, 16)})
path = os.path.join(os.path.dirname(__file__), "face-texture.json")
with open(path, "w") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
