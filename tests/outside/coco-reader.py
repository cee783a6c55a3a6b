#!/usr/bin/python3
"""A reader of COCO files by the published definition (https://cocodataset.org/#format-data, "Object Detection" and
"Keypoint Detection"; from memory), with NumPy: what a loader of training pictures would make of our files.

Reads the files of marks of an unpacked reference set, builds the index by image and category as loaders do, makes a
mask of every outline by counting crossings at the centres of pixels, and prints as JSON: numbers, areas by mask and by
corners, boxes around the masks, pictures as OpenCV reads them.

Run: /usr/bin/python3 tests/outside/coco-reader.py FOLDER     (writes nothing)
"""
import json
import os
import sys
from collections import defaultdict

import cv2
import numpy as np


def mask_of(outline, width, height):
    """Pixels whose centre lies inside: an odd number of edges is crossed to the left of it."""
    p = np.asarray(outline, dtype=np.float64).reshape(-1, 2)
    q = np.roll(p, -1, axis=0)
    mask = np.zeros((height, width), bool)
    x = np.arange(width) + 0.5
    for row in range(max(0, int(p[:, 1].min()) - 1), min(height, int(p[:, 1].max()) + 2)):
        y = row + 0.5
        crossed = (p[:, 1] <= y) != (q[:, 1] <= y)
        if crossed.any():
            a, b = p[crossed], q[crossed]
            at = np.sort(a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0]))
            mask[row] = np.searchsorted(at, x) % 2 == 1
    return mask


def read(folder, name):
    with open(os.path.join(folder, "annotations", name), encoding="utf-8") as f:
        data = json.load(f)
    assert set(data) >= {"info", "licenses", "images", "annotations", "categories"}, sorted(data)
    images = {image["id"]: image for image in data["images"]}
    categories = {category["id"]: category for category in data["categories"]}
    assert len(images) == len(data["images"]) and len(categories) == len(data["categories"])
    by_image, by_category = defaultdict(list), defaultdict(list)
    for mark in data["annotations"]:
        by_image[mark["image_id"]].append(mark["id"])
        by_category[categories[mark["category_id"]]["name"]].append(mark["id"])
    pictures = {}
    for image in images.values():
        # As a loader does that knows nothing of camera orientation.
        pixels = cv2.imread(os.path.join(folder, "images", image["file_name"]), cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION)
        pictures[image["file_name"]] = None if pixels is None else [int(pixels.shape[1]), int(pixels.shape[0])]
    marks = []
    for mark in data["annotations"]:
        image = images[mark["image_id"]]
        assert mark["iscrowd"] == 0 and all(len(s) >= 6 and len(s) % 2 == 0 for s in mark["segmentation"])
        masks = [mask_of(s, image["width"], image["height"]) for s in mark["segmentation"]]
        whole = np.logical_or.reduce(masks)
        ys, xs = np.nonzero(whole)
        corners = np.concatenate([np.asarray(s).reshape(-1, 2) for s in mark["segmentation"]])
        low, high = corners.min(axis=0), corners.max(axis=0)
        marks.append(
            dict(
                id=mark["id"],
                pixels=int(sum(m.sum() for m in masks)),
                box=[float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1])],
                maskBox=[int(xs.min()), int(ys.min()), int(xs.max() + 1), int(ys.max() + 1)] if len(xs) else None,
                perimeter=float(sum(np.hypot(*(np.roll(c, -1, axis=0) - c).T).sum() for c in (np.asarray(s).reshape(-1, 2) for s in mark["segmentation"]))),
            )
        )
    return dict(
        images=len(images),
        annotations=len(marks),
        byCategory={name: len(ids) for name, ids in sorted(by_category.items())},
        marksOfImages={images[i]["file_name"]: len(ids) for i, ids in sorted(by_image.items())},
        pictures=pictures,
        marks=marks,
    )


folder = sys.argv[1]
print(json.dumps({n: read(folder, n) for n in sorted(os.listdir(os.path.join(folder, "annotations")))}))
