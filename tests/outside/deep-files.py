"""Deep TIFF and PNG files as tifffile and OpenCV (libtiff, libpng) read them: exact sums of the samples, for comparison with ours.

Two kinds of file: real ones (folder with real pictures) and small ones that tifffile and libtiff's tiffcp write here, which are
kept in the JSON so that every run of the tests has something to compare.

Run: /usr/bin/python3 tests/outside/deep-files.py REAL_DATA_FOLDER
"""

import base64
import json
import os
import subprocess
import sys
import tempfile

import cv2
import numpy as np
import tifffile

LIBTIFF = subprocess.run(["tiffcp", "-h"], capture_output=True, text=True).stdout.split("\n")[0]
HERE = os.path.dirname(os.path.abspath(__file__))


def figures(a):
    """Figures of an array rows x columns [x channels], as whole numbers or doubles; floats keep only what is finite."""
    flat = a.astype(np.float64).ravel()
    good = flat[np.isfinite(flat)]
    order = np.sort(good)
    place = (np.arange(flat.size) % 997 + 1)[np.isfinite(flat)]
    return {
        "shape": list(a.shape),
        "finite": int(good.size),
        "sum": float(good.sum()),
        "weighted": float((good * place).sum()),
        "low": float(order[int(np.floor(0.001 * (order.size - 1)))]),
        "high": float(order[int(np.ceil(0.999 * (order.size - 1)))]),
    }


def colour_last(page):
    a = page.asarray()
    if page.planarconfig == 2 and a.ndim == 3:
        a = np.moveaxis(a, 0, -1)
    if a.ndim == 3 and a.shape[-1] in (2, 4):  # extra channel: cover
        a = a[..., : a.shape[-1] - 1]
    return a[..., 0] if a.ndim == 3 and a.shape[-1] == 1 else a


def by_opencv(path):
    """Colours last, red first, without cover; None where this reader cannot."""
    a = cv2.imread(path, cv2.IMREAD_UNCHANGED)
    if a is None or a.ndim == 2:
        return a
    return a[..., 2::-1]


def by_libtiff(path):
    """Unpacked and laid together by libtiff's tiffcp, then read by tifffile; None where it cannot."""
    with tempfile.TemporaryDirectory() as at:
        plain = os.path.join(at, "plain.tif")
        if subprocess.run(["tiffcp", "-c", "none", "-p", "contig", path + ",0", plain], capture_output=True).returncode:
            return None
        with tifffile.TiffFile(plain) as file:
            return colour_last(file.pages[0])


def real(folder):
    rows = []
    for name in sorted(os.listdir(os.path.join(folder, "bit-depth"))):
        path = os.path.join(folder, "bit-depth", name)
        if not name.endswith((".tif", ".tiff")):
            continue
        a = None
        try:
            with tifffile.TiffFile(path) as file:
                page = file.pages[0]
                if page.bitspersample < 9:
                    continue
                if int(page.photometric) in (3, 5, 6):
                    continue
                a = colour_last(page)
                if 262 in page.tags and int(page.photometric) == 0:
                    a = 65535 - a
        except Exception as error:
            print(name, "tifffile:", error)
        other = by_opencv(path)
        if a is None:
            a = by_libtiff(path)
        if a is None:
            print(name, "read by neither")
            continue
        if a.dtype in (np.uint8, np.bool_):
            continue
        row = {"file": "bit-depth/" + name, "dtype": a.dtype.name, **figures(a)}
        if other is not None and other is not a and other.shape == a.shape and other.dtype == a.dtype:
            row["openCvMost"] = float(np.abs(other.astype(np.float64) - a.astype(np.float64)).max())
        rows.append(row)
    names = [os.path.join("png-suite", n) for n in os.listdir(os.path.join(folder, "png-suite")) if "16.png" in n]
    names += [os.path.join("bit-depth", n) for n in os.listdir(os.path.join(folder, "bit-depth")) if n.endswith(".png")]
    for name in sorted(names):
        a = by_opencv(os.path.join(folder, name))
        if a.dtype != np.uint16:
            continue
        if a.ndim == 3 and (a[..., 0] == a[..., 1]).all() and (a[..., 0] == a[..., 2]).all():
            a = a[..., 0]  # grey and cover comes as three equal colours
        rows.append({"file": name, "dtype": a.dtype.name, **figures(a)})
    return rows


def pictures():
    y, x = np.mgrid[0:19, 0:29].astype(np.int64)
    whole = (x * x * 7 + y * 131 + (x * y) % 31 * 50 + (x // 5) * (y // 7) * 30) * 11 % 60000
    colour = np.stack([whole, (whole * 3 + x) % 65536, (whole + 257 * y) % 65536], axis=-1)
    real = whole / 977.0 - 20
    holes = real.astype(np.float32).copy()
    holes[3, 4], holes[5, 6], holes[7, 8] = np.nan, np.inf, -np.inf
    inks = np.concatenate([colour, (colour[..., :1] * 5) % 65536], axis=-1)
    return {
        "uint16": whole.astype(np.uint16),
        "int16": (whole - 30000).astype(np.int16),
        "uint32": (whole * 70000).astype(np.uint32),
        "int32": (whole * 30000 - 9 * 10**8).astype(np.int32),
        "float32": real.astype(np.float32),
        "float64": real * 1e10,
        "holes": holes,
        "rgb16": colour.astype(np.uint16),
        "rgbf": (colour / 999.0).astype(np.float32),
        "cmyk16": inks.astype(np.uint16),
    }


def made():
    p = pictures()
    rows = []

    def add(name, a, write):
        with tempfile.TemporaryDirectory() as at:
            path = os.path.join(at, "a.tif")
            write(path)
            data = open(path, "rb").read()
            try:
                with tifffile.TiffFile(path) as file:
                    back = colour_last(file.pages[0])
            except ValueError:  # packed: not every method comes with this reader
                back = by_libtiff(path)
        keep = a[..., :3] if a.ndim == 3 else a
        if back is not None and back.shape == keep.shape and back.dtype == keep.dtype:
            assert np.array_equal(back, keep, equal_nan=a.dtype.kind == "f"), name
        rows.append({"name": name, "dtype": a.dtype.name, **figures(keep), "tiff": base64.b64encode(data).decode()})

    def plain(key, **options):
        return lambda path: tifffile.imwrite(path, p[key], metadata=None, **options)

    def copied(key, *options, **first):
        def write(path):
            plain(key, **first)(path + "0")
            subprocess.run(["tiffcp", *options, path + "0", path], check=True, capture_output=True)

        return write

    for key in ("uint16", "int16", "uint32", "int32", "float32", "float64", "holes"):
        for order in "<>":
            add(f"{key} {order}", p[key], plain(key, byteorder=order, photometric="minisblack"))
    grey = {"photometric": "minisblack"}
    add("big file, big endian", p["uint16"], plain("uint16", bigtiff=True, byteorder=">", **grey))
    add("tiles", p["uint16"], plain("uint16", tile=(16, 16), **grey))
    add("rgb", p["rgb16"], plain("rgb16", photometric="rgb"))
    add("rgb planes apart", p["rgb16"], plain_apart(p["rgb16"]))
    add("rgb float", p["rgbf"], plain("rgbf", photometric="rgb"))
    for method in ("lzw", "zip", "zstd", "packbits"):
        add(f"{method}", p["uint16"], copied("uint16", "-c", method, **grey))
        add(f"{method} rgb, strips of 5 rows", p["rgb16"], copied("rgb16", "-c", method, "-r", "5", photometric="rgb"))
    for method in ("lzw", "zip", "zstd"):
        for key in ("uint16", "int16", "uint32", "float32"):
            add(f"{method} differences {key}", p[key], copied(key, "-c", method + ":2", **grey))
        for key in ("float32", "holes", "float64"):
            add(f"{method} float predictor {key}", p[key], copied(key, "-c", method + ":3", **grey))
        add(f"{method} differences rgb tiles", p["rgb16"], copied("rgb16", "-c", method + ":2", "-t", "-w", "16", "-l", "16", photometric="rgb"))
        add(f"{method} float predictor rgb", p["rgbf"], copied("rgbf", "-c", method + ":3", photometric="rgb"))
        add(f"{method} differences, big endian", p["uint16"], copied("uint16", "-B", "-c", method + ":2", **grey))
        add(f"{method} planes apart", p["rgb16"], apart(p["rgb16"], method + ":2"))
    add("bits reversed", p["uint16"], copied("uint16", "-f", "lsb2msb", **grey))
    add("bits reversed lzw", p["uint16"], copied("uint16", "-f", "lsb2msb", "-c", "lzw", **grey))
    return rows


def plain_apart(a):
    return lambda path: tifffile.imwrite(path, np.moveaxis(a, -1, 0), photometric="rgb", planarconfig="separate", metadata=None)


def apart(a, method):
    def write(path):
        plain_apart(a)(path + "0")
        subprocess.run(["tiffcp", "-c", method, path + "0", path], check=True, capture_output=True)

    return write


out = {
    "library": "tifffile, libtiff (tiffcp), OpenCV",
    "version": f"{tifffile.__version__}, {LIBTIFF}, {cv2.__version__}",
    "tolerance": 1e-12,
    "real": real(sys.argv[1]),
    "made": made(),
}
with open(os.path.join(HERE, "deep-files.json"), "w") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
print(out["version"], len(out["real"]), "real", len(out["made"]), "made")
