"""Outlines of real things in photographs, against scikit-image.

Coins: the segmentation of scikit-image's own example of region-based segmentation (watershed of a Sobel gradient with
markers at 30 and 150), and its contours at half height between ground and coin. Horse: a black shape on white, against
the contour at half height.
"""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy import ndimage
from skimage import data, filters, io, measure, segmentation

# How far outlines may be apart: what nine tenths of the points are within, in pixels.
APART = 1.5
# Areas: the share by which they may differ. Watershed borders are whole pixels, and lie in the outer half of an edge.
AREA = 0.05
# Old coins on dark cloth: a rim in shadow runs into the ground, and such a coin is not traced rather than traced wrongly.
LEAST = 16


def traced(example, picture, boxes):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "picture.png"
        io.imsave(file, picture, check_contrast=False)
        words = [f"{x},{y},{w},{h}" for x, y, w, h in boxes]
        out = subprocess.run([example, str(file), *words], check=True, capture_output=True, text=True)
    return json.loads(out.stdout)


def area(ring):
    x, y = np.array(ring).T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(np.roll(x, -1), y))) / 2


def off(ring, other):
    """For each point of a ring the distance to the lines of another: what nine tenths are within."""
    points, lines = np.array(ring), np.array(other)
    a, b = lines, np.roll(lines, -1, axis=0)
    d = b - a
    length = np.maximum((d * d).sum(1), 1e-12)
    t = (((points[:, None] - a[None]) * d[None]).sum(2) / length[None]).clip(0, 1)
    foot = a[None] + t[..., None] * d[None]
    far = np.sqrt(((points[:, None] - foot) ** 2).sum(2)).min(1)
    return float(np.quantile(far, 0.9))


def box(region, shape, margin):
    top, left, bottom, right = region.bbox
    x, y = max(left - margin, 0), max(top - margin, 0)
    return x, y, min(right + margin, shape[1]) - x, min(bottom + margin, shape[0]) - y


def even(picture, labels):
    """The ground made even, as the program does by the paper between parts: divided by a smooth surface through it."""
    light = (picture / 255.0) ** 2.2
    y, x = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]] / 200.0
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y, x**3, x * x * y, x * y * y, y**3], axis=-1)
    bare = ~ndimage.binary_dilation(labels > 0, iterations=4)
    fit, *_ = np.linalg.lstsq(terms[bare], np.log(light[bare] + 1e-3), rcond=None)
    ground = np.exp(terms @ fit)
    return (np.clip(light / ground * 0.06, 0, 1) ** (1 / 2.2) * 255).round().astype(np.uint8)


def coins(example):
    picture = data.coins()
    markers = np.zeros_like(picture, dtype=int)
    markers[picture < 30] = 1
    markers[picture > 150] = 2
    found = segmentation.watershed(filters.sobel(picture), markers)
    filled = ndimage.binary_fill_holes(found - 1)
    labels, _ = ndimage.label(filled)
    regions = [r for r in measure.regionprops(labels) if r.area > 300]
    rings = traced(example, even(picture, labels), [box(r, picture.shape, 6) for r in regions])
    good, missed, worst = 0, 0, []
    for region, outline in zip(regions, rings):
        if not outline:
            missed += 1
            continue
        mask = np.pad(labels == region.label, 1).astype(float)
        other = max(measure.find_contours(mask, 0.5), key=len)
        # find_contours gives rows and columns of pixel middles, of the padded mask.
        other = [(c - 1 + 0.5, r - 1 + 0.5) for r, c in other]
        apart, share = off(outline[0], other), area(outline[0]) / region.area
        if apart <= APART and abs(share - 1) <= AREA:
            good += 1
        else:
            worst.append(f"at {region.centroid[1]:.0f}, {region.centroid[0]:.0f}: {apart:.2f} px, area {share:.3f}")
    print(f"coins: {good} of {len(regions)} traced as scikit-image has them, {missed} not traced" + "".join(f"\n  {w}" for w in worst))
    return len(regions) >= 24 and good >= LEAST and not worst


def horse(example):
    # True is the ground.
    shape = np.where(data.horse(), 235, 25).astype(np.uint8)
    shape = filters.gaussian(shape, 0.8, preserve_range=True).round().astype(np.uint8)
    rows, columns = np.nonzero(shape < 130)
    left, top = columns.min() - 6, rows.min() - 6
    place = left, top, columns.max() + 7 - left, rows.max() + 7 - top
    [outline] = traced(example, shape, [place])
    light = (shape / 255.0) ** 2.2
    level = (light.max() + light.min()) / 2
    other = max(measure.find_contours(light, level), key=len)
    other = [(c + 0.5, r + 0.5) for r, c in other]
    apart, share = off(outline[0], other), area(outline[0]) / area(other)
    print(f"horse: {apart:.2f} px apart, area {share:.4f}")
    return apart <= APART and abs(share - 1) <= 0.02


def main():
    example = sys.argv[1]
    done = [coins(example), horse(example)]
    sys.exit(0 if all(done) else 1)


main()
