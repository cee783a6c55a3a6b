#!/usr/bin/python3
"""Local contrast, sRGB curve and flat field by other programs, for tests/model/picture/seeing/outside.test.ts.

Libraries: OpenCV (createCLAHE), scikit-image (color.rgb2xyz via its sRGB curve), NumPy and SciPy.
Writes seeing.json beside this file. Real pictures are read from ENDPAIR_REAL_DATA or the first argument.
Tolerances: local contrast mean difference 0.05 grey levels and at most 1 anywhere on made pictures; 0.2 mean on real
pictures (two JPEG decoders); sRGB 1e-9; flat field gains 1 part in 1000 (32-bit floats and a cut-off Gaussian).
Run: /usr/bin/python3 tests/outside/seeing.py FOLDER-OF-REAL-PICTURES
"""
import base64
import json
import os
import sys
import zlib

import cv2
import numpy as np
import scipy
import skimage
from scipy.ndimage import gaussian_filter
from skimage.color import rgb2xyz

here = os.path.dirname(os.path.abspath(__file__))


def made(w, h):
    """The same whole numbers as `madePlane` in the test."""
    x, y = np.meshgrid(np.arange(w), np.arange(h))
    return ((40 + (x * 60) // w + (y * 50) // h + (x * x + 3 * y * y + x * y) % 37) % 256).astype(np.uint8)


def packed(a):
    return base64.b64encode(zlib.compress(np.ascontiguousarray(a, dtype=np.uint8).tobytes(), 9)).decode()


clahe = []
for w, h, limit, columns, rows in [
    (96, 64, 3.0, 8, 8),
    (90, 67, 3.0, 8, 8),
    (96, 67, 2.0, 8, 8),
    (33, 50, 40.0, 4, 6),
    (64, 48, 0.5, 5, 3),
]:
    out = cv2.createCLAHE(clipLimit=limit, tileGridSize=(columns, rows)).apply(made(w, h))
    clahe.append(dict(w=w, h=h, clipLimit=limit, columns=columns, rows=rows, zlib=packed(out)))

real = []
folder = sys.argv[1] if len(sys.argv) > 1 else os.environ.get("ENDPAIR_REAL_DATA", "")
if folder:
    names = sorted(os.listdir(os.path.join(folder, "metal-surface")))
    for name in [f"metal-surface/{n}" for n in names if n.endswith(".jpg")][:24:8]:
        bgr = cv2.imread(os.path.join(folder, name), cv2.IMREAD_COLOR)
        green = np.ascontiguousarray(bgr[:, :, 1])
        out = cv2.createCLAHE(clipLimit=3.0, tileGridSize=(8, 8)).apply(green)
        every = 97
        real.append(dict(name=name, w=bgr.shape[1], h=bgr.shape[0], every=every, mean=float(out.mean()),
                         values=packed(out.ravel()[::every])))

# scikit-image has the curve inside rgb2xyz; grey (v, v, v) has Y = linear light times the sum of its middle row.
grey = np.repeat(np.arange(256)[:, None] / 255, 3, axis=1)[None]
y = rgb2xyz(grey)[0, :, 1] / rgb2xyz(np.ones((1, 1, 3)))[0, 0, 1]

# Flat field: the frame of `madeFrame` in the test, 3 × 3 pixels to a cell; smoothed with the slope going on at the rim.
W, H, C, R, SIGMA = 384, 240, 128, 80, 2
x, yy = np.meshgrid(np.arange(W), np.arange(H))
frame = np.stack([200 - ((x - 150) ** 2 + (yy - 100) ** 2) // 900 + k * 4 - (x * k) // 40 for k in range(3)], axis=2)
light = np.where(frame / 255 <= 0.04045, frame / 255 / 12.92, ((frame / 255 + 0.055) / 1.055) ** 2.4)
cells = light.reshape(R, 3, C, 3, 3).mean(axis=(1, 3))
rim = 4 * SIGMA
smooth = np.stack([
    gaussian_filter(np.pad(cells[:, :, k], rim, mode="reflect", reflect_type="odd"), SIGMA, mode="nearest",
                    truncate=4.0)[rim:-rim, rim:-rim]
    for k in range(3)], axis=2)
gains = smooth.mean(axis=(0, 1)) / smooth
picks = [(0, 0), (0, 127), (79, 0), (79, 127), (40, 64), (33, 50), (10, 100), (70, 5)]

json.dump(
    dict(
        libraries=dict(opencv=cv2.__version__, scikitImage=skimage.__version__, numpy=np.__version__,
                       scipy=scipy.__version__),
        clahe=clahe,
        real=real,
        srgbLight=[float(v) for v in y],
        flatField=dict(w=W, h=H, columns=C, rows=R,
                       picks=[dict(row=r, column=c, gains=[float(g) for g in gains[r, c]]) for r, c in picks]),
    ),
    open(os.path.join(here, "seeing.json"), "w"),
    separators=(",", ":"),
)
print("written", os.path.getsize(os.path.join(here, "seeing.json")), "bytes")
