"""Takes the fonts out of SVG files, for painters that do not load webfonts:

    python3 webfonts.py SVG_FOLDER FONTS_FOLDER

Each file is named by its family. Programs that find fonts through fontconfig
see them with FONTCONFIG_FILE=FONTS_FOLDER/fonts.conf.
"""

import base64
import re
import sys
from pathlib import Path

FACE = r"font-family:([^;]+);src:url\(data:font/ttf;base64,([^)]*)\)"

svg, out = map(Path, sys.argv[1:3])
out.mkdir(parents=True, exist_ok=True)
for file in sorted(svg.glob("*.svg")):
    for name, data in re.findall(FACE, file.read_text(encoding="utf-8")):
        (out / f"{name}.ttf").write_bytes(base64.b64decode(data))
(out / "fonts.conf").write_text(
    '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">\n'
    f"<fontconfig><dir>{out.resolve()}</dir><cachedir>{out.resolve()}/cache</cachedir></fontconfig>\n"
)
