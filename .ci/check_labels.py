"""Label sheets: what stands in the file, and what its plates hold. Usage: check_labels.py LABEL_SHEET FILE.pdf LIST.csv"""

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

import pikepdf
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
# From the label_sheet files: first label, pitch, size (mm), columns, rows, the cut around all.
LABEL_SHEETS = {
    "a4": (15, 17, 61, 38, 58, 35, 3, 7, None),
    "letter": (14.95, 18.7, 63, 35, 60, 32, 3, 7, None),
    "roll": (7.5, 13.5, 49, 23, 46, 20, 2, 12, 3),
    "small": (10, 23, 48, 23, 46, 21, 4, 11, None),
}
DPI = 508  # 20 pixels a millimetre


def fail(why):
    sys.exit(f"FAILED: {why}")


def structure(pdf, frame):
    """ISO 19593-1, read second-hand: names in the metadata of a layer that the catalogue lists."""
    layers = pdf.Root.OCProperties
    found = []
    # ISO 32000-1, 8.11.4.4: whoever prints leaves the cuts out.
    usage = layers.D.AS[0]
    if usage.Event != "/Print" or list(usage.Category) != ["/Print"] or len(usage.OCGs) != len(layers.OCGs):
        fail("the usage of the layers")
    for group in layers.OCGs:
        if group.Usage.Print.PrintState != "/OFF":
            fail("a layer that is printed")
        meta = group.GTS_Metadata
        if meta.GTS_ProcStepsGroup != "/Structural":
            fail(f"group {meta.GTS_ProcStepsGroup}")
        found.append(str(meta.GTS_ProcStepsType))
    want = ["/Cutting", "/PartialCutting"] if frame else ["/PartialCutting"]
    if found != want:
        fail(f"steps {found}, not {want}")
    if "/Name" not in layers.D or layers.D.BaseState != "/ON":
        fail("the configuration of the layers")
    for page in pdf.pages:
        spaces = page.Resources.ColorSpace
        for name, space in spaces.items():
            if space[0] != "/Separation" or space[1] != name:
                fail(f"colour space {name}")
        inside = False
        for operands, operator in pikepdf.parse_content_stream(page):
            op = str(operator)
            if op == "BDC":
                inside = True
            elif op == "EMC":
                inside = False
            elif op in ("CS", "SCN") and not inside:
                fail("a spot colour outside its layer")
            elif op in ("cs", "scn"):
                fail("a spot colour fills")
            elif op in ("f", "f*", "Tj", "TJ") and inside:
                fail("print in the layer of cuts")


def edges(plate, box):
    """The middle of a line that crosses a stretch of the plate, in pixels; what is inked is dark."""
    part = plate.crop(box)
    wide = part.width > part.height
    values = part.tobytes()
    if wide:
        profile = [sum(255 - values[y * part.width + x] for y in range(part.height)) for x in range(part.width)]
        start = box[0]
    else:
        profile = [sum(255 - values[y * part.width + x] for x in range(part.width)) for y in range(part.height)]
        start = box[1]
    total = sum(profile)
    if total == 0:
        return None
    return start + sum((i + 0.5) * v for i, v in enumerate(profile)) / total


def plates(file, rows, label_sheet):
    x0, y0, px, py, w, h, columns, lines, frame = label_sheet
    k = DPI / 25.4
    worst, count = 0.0, 0
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(
            ["gs", "-q", "-dBATCH", "-dNOPAUSE", "-dSAFER", "-sDEVICE=tiffsep", f"-r{DPI}", "-dMaxSpots=4", "-dPrinted=false",
             f"-sOutputFile={folder}/%d.tif", str(file)],
            check=True,
        )
        pages = max(int(r["sheet"]) for r in rows)
        for page in range(1, pages + 1):
            plate = Image.open(Path(folder) / f"{page}(PartialCutting).tif").convert("L")
            taken = {(int(r["row"]) - 1, int(r["column"]) - 1) for r in rows if int(r["sheet"]) == page}
            for row in range(lines):
                for column in range(columns):
                    x, y = (x0 + column * px) * k, (y0 + row * py) * k
                    wk, hk, near = w * k, h * k, 1.2 * k
                    mx, my = x + wk / 2, y + hk / 2
                    sides = [
                        (edges(plate, (round(x - near), round(my), round(x + near), round(my) + 4)), x),
                        (edges(plate, (round(x + wk - near), round(my), round(x + wk + near), round(my) + 4)), x + wk),
                        (edges(plate, (round(mx), round(y - near), round(mx) + 4, round(y + near))), y),
                        (edges(plate, (round(mx), round(y + hk - near), round(mx) + 4, round(y + hk + near))), y + hk),
                    ]
                    if (row, column) not in taken:
                        if any(found is not None for found, _ in sides):
                            fail(f"page {page}: a cut at the empty place {row + 1}, {column + 1}")
                        continue
                    if any(found is None for found, _ in sides):
                        fail(f"page {page}: no cut at {row + 1}, {column + 1}")
                    worst = max(worst, max(abs(found - want) / k for found, want in sides))
                    count += 1
            if frame:
                through = Image.open(Path(folder) / f"{page}(Cutting).tif").convert("L")
                x = (x0 - frame) * k
                y = (y0 + h) * k
                found = edges(through, (round(x - k), round(y), round(x + k), round(y) + 4))
                if found is None or abs(found - x) / k > 0.06:
                    fail(f"page {page}: the cut around all labels")
    if count != len(rows):
        fail(f"{count} labels are cut, {len(rows)} are listed")
    # A pixel is 0.05 mm.
    if worst > 0.05:
        fail(f"a cut is {worst:.3f} mm off")
    return count, worst


def main():
    name, file, list_file = sys.argv[1:]
    label_sheet = LABEL_SHEETS[name]
    with open(list_file, newline="", encoding="utf-8") as f:
        rows = list(csv.DictReader(f))
    with pikepdf.open(file) as pdf:
        structure(pdf, label_sheet[8])
    count, worst = plates(file, rows, label_sheet)
    print(f"{name}: {count} cuts on the plate where the labels are, at most {worst:.3f} mm off at {DPI} dpi")


main()
