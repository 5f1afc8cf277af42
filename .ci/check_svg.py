"""Where each word of an SVG stands in pictures that other programs drew of it.

Each word of the picture that shadecard drew is looked for in the others, up to 1 mm around its place: the shift at which
both correlate best, to a fraction of a pixel. Fails where a word moved by more than 0.3 mm, or is not to be found.

Programs that know no `font-variant-numeric` draw the other figures of the same font: high and low instead of all of one
height. Where such a number does not look alike, the middle of its ink along the line of writing is compared instead,
and may have moved by a fifth of its size where that is more.

Usage: check_svg.py FILE.svg DPI OURS.png TITLE OTHER.png...
"""

import re
import sys
import xml.etree.ElementTree as ET

import numpy as np
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
MOST_MM = 0.3
REACH_MM = 1.0
# Words that are not there at all correlate with nothing.
LEAST_LIKENESS = 0.35
# These do: their words are all held against the picture itself.
KNOW_FIGURES = {"chromium", "inkscape"}
# A number below this is drawn in other figures.
OTHER_FIGURES = 0.92
# How far its middle may then move, em: figures of one width and others differ in the white beside them, '1' most.
OTHER_MOST = 0.2
# Share of a number's ink that must be there in other figures.
LEAST_INK = 0.3
SVG = "{http://www.w3.org/2000/svg}"


def words(svg):
    """The words with the boxes that they stand in, mm: string; left, top, right, bottom; does it run upwards? Size of type."""
    for text in ET.parse(svg).iter(SVG + "text"):
        size = float(text.get("font-size"))
        y = float(text.get("y", 0))
        turned = re.match(r"translate\(([-\d.]+) ([-\d.]+)\) rotate\(-90\)", text.get("transform", ""))
        letters = []
        for piece in [text, *text]:
            places = [float(x) for x in piece.get("x", "").split()]
            # Spaces at the end of a piece have no place.
            letters += list(zip(piece.text or "", places)) + [(" ", 0)] * (len(piece.text or "") - len(places))
        word = []
        for letter, x in letters + [(" ", 0)]:
            if letter != " ":
                word.append((letter, x))
                continue
            if word:
                left, right = word[0][1], word[-1][1] + size * 0.6
                box = left, y - size * 0.8, right, y + size * 0.25
                if turned:
                    at = float(turned[1]), float(turned[2])
                    box = at[0] - size * 0.8, at[1] - right, at[0] + size * 0.25, at[1] - left
                yield "".join(c for c, _ in word), box, bool(turned), size
            word = []


def grey(file):
    return 255 - np.asarray(Image.open(file).convert("RGB").convert("L"), dtype=np.float32)


def moved(ours, other, box, scale, reach):
    """Shift right and down in pixels at which the other picture shows the same, and how alike they are then."""
    left, top, right, bottom = (int(round(v * scale)) for v in box)
    here = ours[max(top, reach):bottom, max(left, reach):right]
    rows, columns = np.nonzero(here > 60)
    if len(rows) == 0:
        return None
    # No more than the ink.
    top, left = max(top, reach) + rows.min(), max(left, reach) + columns.min()
    height, width = rows.max() - rows.min() + 1, columns.max() - columns.min() + 1
    here = ours[top:top + height, left:left + width]
    here = here - here.mean()
    norm = np.sqrt((here**2).sum()) + 1e-6
    likeness = np.full((2 * reach + 1, 2 * reach + 1), -1.0)
    for dy in range(-reach, reach + 1):
        for dx in range(-reach, reach + 1):
            there = other[top + dy:top + dy + height, left + dx:left + dx + width]
            if there.shape != here.shape:
                continue
            there = there - there.mean()
            likeness[dy + reach, dx + reach] = (here * there).sum() / norm / (np.sqrt((there**2).sum()) + 1e-6)
    dy, dx = np.unravel_index(likeness.argmax(), likeness.shape)

    def peak(line, at):
        if not 0 < at < len(line) - 1:
            return at
        before, here, after = line[at - 1:at + 2]
        bend = before - 2 * here + after
        return at + (0.5 * (before - after) / bend if bend < 0 else 0)

    return peak(likeness[dy], dx) - reach, peak(likeness[:, dx], dy) - reach, likeness[dy, dx]


def along(ours, other, box, scale, turned):
    """How far the middle between the ends of the ink moved along the line of writing, mm, and the share of ink that is there."""
    left, top, right, bottom = (int(round(v * scale)) for v in box)

    def middle(picture):
        ink = picture[max(top, 0):bottom, max(left, 0):right]
        lines = np.nonzero((ink > 60).any(axis=1 if turned else 0))[0]
        return ((lines[0] + lines[-1]) / 2 if len(lines) else 0), ink.sum()

    (here, ink), (there, found) = middle(ours), middle(other)
    return abs(here - there) / scale, found / (ink + 1e-6)


def main():
    svg, dpi, ours, title, *others = sys.argv[1:]
    scale = float(dpi) / 25.4
    reach = int(np.ceil(REACH_MM * scale))
    picture = grey(ours)
    wanted = list(words(svg))
    bad = 0
    for file in others:
        other = grey(file)
        program = file.rsplit(".", 2)[1]
        found = []
        figures = 0
        for word, box, turned, size in wanted:
            shift = moved(picture, other, box, scale, reach)
            if not shift:
                continue
            distance, likeness, most = np.hypot(shift[0], shift[1]) / scale, shift[2], MOST_MM
            other_figures = program not in KNOW_FIGURES and (likeness < OTHER_FIGURES or distance > MOST_MM)
            if other_figures and not any(c.isalpha() for c in word):
                distance, ink = along(picture, other, box, scale, turned)
                likeness = max(likeness, LEAST_LIKENESS) if ink > LEAST_INK else 0
                most = max(MOST_MM, OTHER_MOST * size)
                figures += 1
            found.append((distance, likeness, word, box, most))
        found.sort(reverse=True)
        lost = [f for f in found if f[1] < LEAST_LIKENESS]
        far = [f for f in found if f[1] >= LEAST_LIKENESS and f[0] > f[4]]
        middle = found[len(found) // 2][0]
        most = max((f[0] for f in found if f[1] >= LEAST_LIKENESS), default=0)
        print(f"{title}: {program}: {len(found)} words ({figures} in other figures), "
              f"moved {middle:.3f} mm in the middle, {most:.3f} mm at most")
        for kind, all_of_them in (("moved", far), ("not found", lost)):
            for distance, likeness, word, box, _ in all_of_them[:8]:
                at = ", ".join(f"{v:.1f}" for v in box[:2])
                print(f"  {kind}: '{word}' at {at} mm: {distance:.3f} mm, likeness {likeness:.2f}")
        bad += len(lost) + len(far) + (not found)
    sys.exit(1 if bad else 0)


main()
