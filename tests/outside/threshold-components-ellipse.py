"""Thresholds, connected patches and ellipse fits of two other libraries, for comparison with ours.

Run with a Python that has scikit-image and OpenCV: python3 tests/outside/threshold-components-ellipse.py [REAL_DATA]
Writes threshold-components-ellipse.json beside itself. Made pictures follow the formulas in the test, so they need no
files; pictures under REAL_DATA (default ../shared/real-data) are compared where that folder is at hand.
"""
import json
import math
import os
import sys

import cv2
import numpy as np
import skimage
from skimage.filters import threshold_multiotsu, threshold_otsu
from skimage.measure import EllipseModel, label, regionprops

HERE = os.path.dirname(os.path.abspath(__file__))
REAL = sys.argv[1] if len(sys.argv) > 1 else os.path.join(HERE, "../../../shared/real-data")
PICTURES = ["texture/coins.png", "texture/brick.png", "texture/gravel.png",
            "metal-surface/KGT2-V-300-A08_crop_4.jpg", "metal-surface/01_200907183008_462500_045_crop_1.jpg"]


def made():
    """Three discs of different grey and size on a sloping ground, 8 bits."""
    y, x = np.mgrid[0:160, 0:240] + 0.5
    v = 40 + 30 * x / 240
    for cx, cy, r, g in [(60, 60, 31, 150), (150, 90, 44, 210), (205, 30, 12, 120)]:
        v = np.where(np.hypot(x - cx, y - cy) < r, g + 10 * np.sin(x / 5), v)
    return np.floor(v + 0.5).astype(np.uint8)


def figures(grey):
    level = int(threshold_otsu(grey))
    two = [int(t) for t in threshold_multiotsu(grey, classes=3)]
    mask = grey > level
    patches = {}
    for n in (4, 8):
        regions = regionprops(label(mask, connectivity=1 if n == 4 else 2))
        areas = sorted((int(r.area) for r in regions), reverse=True)
        patches[str(n)] = {"count": len(areas), "largest": areas[:8]}
        stats = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=n)
        assert stats[0] - 1 == len(areas)
    return {"otsu": level, "two": two, "patches": patches}


def ring():
    """Points near an ellipse, with a fixed, uneven displacement."""
    points = []
    for i in range(72):
        t = 2 * math.pi * i / 72
        u, v = 130 * math.cos(t), 96 * math.sin(t)
        a = math.radians(25)
        x = 210 + u * math.cos(a) - v * math.sin(a) + 1.4 * math.sin(7.3 * i)
        y = 170 + u * math.sin(a) + v * math.cos(a) + 1.4 * math.cos(5.1 * i)
        points.append((x, y))
    return np.array(points)


def ellipses(points):
    model = EllipseModel()
    assert model.estimate(points)
    cx, cy, a, b, theta = model.params
    if a < b:
        a, b, theta = b, a, theta + math.pi / 2
    direct = cv2.fitEllipseDirect(points.astype(np.float32))
    return {
        "skimage": [cx, cy, a, b, math.degrees(theta) % 180],
        "opencv_direct": [direct[0][0], direct[0][1], max(direct[1]) / 2, min(direct[1]) / 2,
                          (direct[2] + (90 if direct[1][0] < direct[1][1] else 0)) % 180],
    }


out = {
    "libraries": {"scikit-image": skimage.__version__, "opencv": cv2.__version__},
    "tolerance": {"otsu_steps": 1, "two_steps": 1, "areas": "equal at the same level", "ellipse_px": 0.3, "ellipse_deg": 0.5},
    "made": figures(made()),
    "ring": ellipses(ring()),
    "pictures": {},
}
for name in PICTURES:
    path = os.path.join(REAL, name)
    if os.path.exists(path):
        bgr = cv2.imread(path, cv2.IMREAD_COLOR).astype(np.float64)
        grey = np.floor(0.2126 * bgr[..., 2] + 0.7152 * bgr[..., 1] + 0.0722 * bgr[..., 0] + 0.5).astype(np.uint8)
        out["pictures"][name] = figures(grey)
json.dump(out, open(os.path.join(HERE, "threshold-components-ellipse.json"), "w"), indent=1)
