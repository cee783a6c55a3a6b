#!/usr/bin/python3
"""Fourier transform and phase correlation by other programs, for tests/model/picture/pixels/phase-correlation.test.ts.

Libraries: NumPy (fft.fft2), OpenCV (phaseCorrelate, createHanningWindow), scikit-image (phase_cross_correlation).
Writes phase-correlation.json beside this file. Real pictures are read from ENDPAIR_REAL_DATA or the first argument.
Tolerances: transform 1e-9 of the largest value; shifts 0.1 px.
Run: /usr/bin/python3 tests/outside/phase-correlation.py FOLDER-OF-REAL-PICTURES
"""
import json
import os
import sys

import cv2
import numpy as np
import skimage
from skimage.registration import phase_cross_correlation

here = os.path.dirname(os.path.abspath(__file__))


def made(w, h, dx=0.0, dy=0.0):
    """The same bright spots as `madeSpots` in the test: they can be moved by any part of a pixel."""
    x, y = np.meshgrid(np.arange(w) + 0.5, np.arange(h) + 0.5)
    out = np.zeros((h, w))
    seed = 12345
    for _ in range(150):
        place = []
        for _ in range(3):
            seed = (seed * 1103 + 12849) % 65536
            place.append(seed / 65536)
        sx, sy, height = place[0] * w, place[1] * h, 0.3 + 0.7 * place[2]
        out += height * np.exp(-((x - sx - dx) ** 2 + (y - sy - dy) ** 2) / (2 * 1.3**2))
    return out


def shifts(a, b):
    """Shift of b against a by both programs, x right and y down."""
    window = cv2.createHanningWindow((a.shape[1], a.shape[0]), cv2.CV_64F)
    (cx, cy), _ = cv2.phaseCorrelate(np.float64(a), np.float64(b), window)
    sy, sx = phase_cross_correlation((a - a.mean()) * window, (b - b.mean()) * window, upsample_factor=100)[0]
    return dict(opencv=[cx, cy], skimage=[-float(sx), -float(sy)])


w, h = 32, 16
spectrum = np.fft.fft2(made(w, h))
transform = dict(w=w, h=h, re=spectrum.real.ravel()[::7].tolist(), im=spectrum.imag.ravel()[::7].tolist())

spots = []
for dx, dy in [(3, -5), (0.25, 0.5), (-7.4, 2.3)]:
    spots.append(dict(dx=dx, dy=dy, **shifts(made(128, 128), made(128, 128, dx, dy))))

real = []
folder = sys.argv[1] if len(sys.argv) > 1 else os.environ.get("ENDPAIR_REAL_DATA", "")
SIZE = 128
if folder:
    names = [f"metal-surface/{n}" for n in sorted(os.listdir(os.path.join(folder, "metal-surface"))) if n.endswith(".jpg")]
    # By is how many pixels are averaged: the crops lie whole pixels apart, so the copies lie parts of a pixel apart.
    for i, name in enumerate(names[:40:8]):
        grey = cv2.imread(os.path.join(folder, name), cv2.IMREAD_COLOR)[:, :, 1] / 255.0
        by = 2
        ox, oy = 5 + i, 3 - 2 * i

        def crop(x, y):
            c = grey[y:y + SIZE * by, x:x + SIZE * by]
            return c.reshape(SIZE, by, SIZE, by).mean(axis=(1, 3))

        if min(grey.shape) < SIZE * by + 30:
            continue
        # What lies at x in the first crop lies at x − ox in the second.
        real.append(dict(name=name, by=by, ox=ox, oy=oy, dx=-ox / by, dy=-oy / by, **shifts(crop(12, 12), crop(12 + ox, 12 + oy))))

with open(os.path.join(here, "phase-correlation.json"), "w") as f:
    json.dump(dict(numpy=np.__version__, opencv=cv2.__version__, skimage=skimage.__version__, size=SIZE, transform=transform,
                   spots=spots, real=real), f, indent=1)
for r in spots + real:
    print(r)
