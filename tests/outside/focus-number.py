"""Tenengrad, variance of the Laplacian and the focus number by OpenCV, on pictures made by a formula.

The formula is the one in tests/model/picture/live/focus-number.test.ts. Run: python3 tests/outside/focus-number.py
"""

import json
import pathlib

import cv2
import numpy as np


def made_picture(turn):
    y, x = np.mgrid[0:64, 0:96].astype(np.float64)
    grain = ((x * 7 + y * 13) % 11 - 5) * 0.01
    picture = 0.5 + 0.2 * np.sin(0.37 * x + 0.11 * turn * y) + 0.15 * np.cos(0.51 * y - 0.2 * turn * x) + grain
    return picture.astype(np.float32).astype(np.float64)


def inside(values):
    return values[1:-1, 1:-1]


def tenengrad(picture):
    gx = cv2.Sobel(picture, cv2.CV_64F, 1, 0, ksize=3)
    gy = cv2.Sobel(picture, cv2.CV_64F, 0, 1, ksize=3)
    return float(np.mean(inside(gx * gx + gy * gy)))


def focus_number(picture):
    taps = np.array([1, 4, 6, 4, 1]) / 16
    smooth = cv2.sepFilter2D(picture, cv2.CV_64F, taps, taps, borderType=cv2.BORDER_REPLICATE)
    return 100 * tenengrad(smooth) ** 0.5 / 8 / float(np.mean(picture))


pictures = [
    {
        "turn": turn,
        "tenengrad": tenengrad(made_picture(turn)),
        "laplacianVariance": float(np.var(inside(cv2.Laplacian(made_picture(turn), cv2.CV_64F, ksize=1)))),
        "focusNumber": focus_number(made_picture(turn)),
    }
    for turn in (0, 1, 2)
]
result = {"library": f"OpenCV {cv2.__version__}", "tolerance": 1e-4, "pictures": pictures}
pathlib.Path(__file__).with_suffix(".json").write_text(json.dumps(result, indent=2) + "\n")
