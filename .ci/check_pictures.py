"""PNG, JPEG and TIFF of one page, read by Pillow and exiftool; see check-pictures.

Usage: check_pictures.py STEM WIDTH HEIGHT DPI PREVIEW_DPI
"""

import io
import json
import subprocess
import sys

import numpy as np
from PIL import Image, ImageCms

Image.MAX_IMAGE_PIXELS = None


def tags(file):
    text = subprocess.run(["exiftool", "-json", "-G1", file], capture_output=True, check=True, text=True)
    return json.loads(text.stdout)[0]


def main():
    stem, width, height, dpi, preview = sys.argv[1], *map(int, sys.argv[2:])
    png, jpeg, tiff = (f"{stem}.{dpi}dpi.{ending}" for ending in ("png", "jpg", "tif"))
    wrong = []

    def same(what, got, wanted):
        if got != wanted:
            wrong.append(f"{what}: {got}, not {wanted}")

    pictures = {}
    for file in (png, jpeg, tiff):
        with Image.open(file) as picture:
            same(f"{file}: size", picture.size, (width, height))
            same(f"{file}: mode", picture.mode, "RGB")
            same(f"{file}: dpi", tuple(round(float(v)) for v in picture.info["dpi"]), (dpi, dpi))
            if file != png:
                profile = ImageCms.ImageCmsProfile(io.BytesIO(picture.info["icc_profile"]))
                name = ImageCms.getProfileDescription(profile).strip()
                same(f"{file}: profile", "sRGB" in name, True)
            pictures[file] = np.asarray(picture, dtype=np.int16)
    with Image.open(f"{stem}.{preview}dpi.png") as small:
        same("preview", small.size, (-(-width * preview // dpi), -(-height * preview // dpi)))

    of_png, of_jpeg, of_tiff = tags(png), tags(jpeg), tags(tiff)
    same("PNG pHYs", of_png["PNG-pHYs:PixelsPerUnitX"], round(dpi / 0.0254))
    same("PNG sRGB", of_png["PNG:SRGBRendering"], "Relative Colorimetric")
    same("JPEG density", (of_jpeg["JFIF:ResolutionUnit"], of_jpeg["JFIF:XResolution"], of_jpeg["JFIF:YResolution"]),
         ("inches", dpi, dpi))
    same("JPEG sampling", of_jpeg["File:YCbCrSubSampling"], "YCbCr4:4:4 (1 1)")
    same("JPEG profile", of_jpeg["ICC-header:ColorSpaceData"].strip(), "RGB")
    same("TIFF density", (of_tiff["IFD0:ResolutionUnit"], of_tiff["IFD0:XResolution"], of_tiff["IFD0:YResolution"]),
         ("inches", dpi, dpi))
    same("TIFF compression", of_tiff["IFD0:Compression"], "LZW")
    same("TIFF profile", of_tiff["ICC-header:ColorSpaceData"].strip(), "RGB")

    same("pixels of PNG and TIFF alike", bool((pictures[png] == pictures[tiff]).all()), True)
    off = np.abs(pictures[png] - pictures[jpeg])
    print(f"{stem.rsplit('/', 1)[1]}: {width} x {height}; JPEG off by {off.mean():.3f} of 255 on average")
    if off.mean() > 1.0:
        wrong.append(f"the JPEG is off by {off.mean():.3f} on average")
    for line in wrong:
        print(line)
    sys.exit(1 if wrong else 0)


main()
