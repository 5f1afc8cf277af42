"""The job as a short script on general-purpose libraries does it: every SVG of
a folder as a PDF, a PNG of 300 dpi and one of 100 dpi.

    python3 by_script.py SVG_FOLDER OUT [--png cairosvg|resvg] [--jobs N]
                         [--fonts FOLDER] [--only pdf|png] [--dpi N...]

The SVG files are those that `shadecard make --format svg` writes: the script
need not lay out, shade or convert anything. PDF: reportlab, in vectors, with
live text in the fonts that the SVG carries. PNG: cairosvg, or the `resvg`
command. FONTS: what `webfonts.py` took out of the same SVG files.
"""

import argparse
import base64
import io
import multiprocessing
import re
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

NS = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?"
MM = 72 / 25.4


class Page:
    """One SVG file drawn on a reportlab canvas."""

    def __init__(self, svg, pdf):
        from reportlab.lib.colors import HexColor
        from reportlab.pdfbase import pdfmetrics, ttfonts
        from reportlab.pdfgen import canvas

        root = ET.parse(svg).getroot()
        width, height = (float(root.get(a).removesuffix("mm")) * MM for a in ("width", "height"))
        self.colour = HexColor
        self.by_id = {e.get("id"): e for e in root.iter() if e.get("id")}
        self.outlines, self.gradients = {}, {}
        for style in root.iter(NS + "style"):
            faces = r"font-family:([^;]+);src:url\(data:font/ttf;base64,([^)]*)\)"
            for name, data in re.findall(faces, style.text):
                file = io.BytesIO(base64.b64decode(data))
                pdfmetrics.registerFont(ttfonts.TTFont(name, file))
        self.canvas = canvas.Canvas(str(pdf), pagesize=(width, height), pageCompression=1)
        self.canvas.transform(MM, 0, 0, -MM, 0, height)
        for child in root:
            self.draw(child, {})
        self.canvas.save()

    def draw(self, element, inherited):
        kind = element.tag.removeprefix(NS)
        if kind in ("defs", "style", "title"):
            return
        style = inherited | element.attrib
        moved = element.get("transform")
        if moved:
            self.canvas.saveState()
            style.pop("transform")
            self.canvas.transform(*matrix(moved))
        if kind == "g":
            for child in element:
                self.draw(child, style)
        elif kind == "use":
            self.draw(self.by_id[element.get(HREF)[1:]], style)
        elif kind == "path":
            self.fill(self.outline(element), style)
        elif kind == "rect":
            path = self.canvas.beginPath()
            path.rect(*(float(element.get(a)) for a in ("x", "y", "width", "height")))
            self.fill(path, style)
        elif kind == "text":
            self.text(element, style)
        else:
            raise ValueError(f"{kind} is not drawn")
        if moved:
            self.canvas.restoreState()

    def fill(self, path, style):
        canvas = self.canvas
        rule = 0 if style.get("fill-rule") == "evenodd" else 1
        canvas.setFillAlpha(float(style.get("fill-opacity", 1)))
        paint = style.get("fill", "#000000")
        if not paint.startswith("url(#"):
            canvas.setFillColor(self.colour(paint))
            canvas.drawPath(path, stroke=0, fill=1, fillMode=rule)
            return
        where, colours, positions = self.gradient(paint[5:-1])
        canvas.saveState()
        canvas.clipPath(path, stroke=0, fill=0, fillMode=rule)
        if "gradientTransform" in where:
            canvas.transform(*matrix(where["gradientTransform"]))
        at = lambda *names: [float(where.get(n, 0)) for n in names]
        if "r" in where:
            canvas.radialGradient(*at("cx", "cy", "r"), colours, positions)
        else:
            canvas.linearGradient(*at("x1", "y1", "x2", "y2"), colours, positions)
        canvas.restoreState()

    def gradient(self, name):
        """Attributes, colours and positions, with what it takes from others."""
        if name not in self.gradients:
            element = self.by_id[name]
            where, colours, positions = {}, [], []
            if element.get(HREF):
                where, colours, positions = self.gradient(element.get(HREF)[1:])
            stops = [(float(s.get("offset")), self.colour(s.get("stop-color"))) for s in element]
            if stops:
                stops = [(0.0, stops[0][1])] * (stops[0][0] > 0) + stops
                stops += [(1.0, stops[-1][1])] * (stops[-1][0] < 1)
                positions, colours = map(list, zip(*stops))
            self.gradients[name] = where | element.attrib, colours, positions
        return self.gradients[name]

    def outline(self, element):
        """A path, read once however often it is drawn."""
        data = element.get("d")
        if data not in self.outlines:
            self.outlines[data] = read_path(data, self.canvas.beginPath())
        return self.outlines[data]

    def text(self, element, style):
        out = self.canvas.beginText()
        out.setFont(style["font-family"], float(style["font-size"]))
        self.canvas.setFillAlpha(float(style.get("fill-opacity", 1)))
        out.setFillColor(self.colour(style.get("fill", "#000000")))
        xs, y = [float(x) for x in style.get("x", "0").split()], float(style.get("y", 0))
        # Letter by letter where each has its place; the rest after the last place in one go.
        last = len(xs) - 1
        for x, piece in zip(xs, [*element.text[:last], element.text[last:]]):
            out.setTextTransform(1, 0, 0, -1, x, y)
            out.textOut(piece)
        self.canvas.drawText(out)


def matrix(transform):
    """The one matrix of an SVG transform list."""
    from reportlab.graphics.transform import mmult, rotate, scale, translate

    makes = {"translate": translate, "rotate": rotate, "scale": scale, "matrix": lambda *m: m}
    total = (1, 0, 0, 1, 0, 0)
    for name, numbers in re.findall(r"(\w+)\(([^)]*)\)", transform):
        values = [float(n) for n in re.findall(NUMBER, numbers)]
        if name in ("translate", "scale") and len(values) == 1:
            values += [0.0] if name == "translate" else values
        total = mmult(total, makes[name](*values))
    return total


def read_path(data, path):
    """SVG path data drawn into a reportlab path."""
    takes = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "q": 4, "z": 0}
    x = y = x0 = y0 = 0.0
    for letter, numbers in re.findall(r"([a-zA-Z])([^a-df-zA-DF-Z]*)", data):
        kind, relative = letter.lower(), letter.islower()
        values = [float(n) for n in re.findall(NUMBER, numbers)]
        if kind == "z":
            path.close()
            x, y = x0, y0
        for i in range(0, len(values), takes[kind] or 1):
            v = values[i : i + takes[kind]]
            dx, dy = (x, y) if relative else (0.0, 0.0)
            if kind == "h":
                v = [v[0] + dx, y]
            elif kind == "v":
                v = [x, v[0] + dy]
            else:
                v = [n + (dy if k % 2 else dx) for k, n in enumerate(v)]
            if kind == "m":
                path.moveTo(*v)
                x0, y0, kind = *v, "l"
            elif kind == "c":
                path.curveTo(*v)
            elif kind == "q":
                (qx, qy), (ex, ey) = v[:2], v[2:]
                path.curveTo(x + (qx - x) * 2 / 3, y + (qy - y) * 2 / 3,
                             ex + (qx - ex) * 2 / 3, ey + (qy - ey) * 2 / 3, ex, ey)
            else:
                path.lineTo(*v)
            x, y = v[-2:]
    return path


def make(task):
    svg, out, kind, painter, fonts = task
    if kind == "pdf":
        Page(svg, out / f"{svg.stem}.pdf")
        return
    png = out / f"{svg.stem}.{kind}dpi.png"
    if painter == "resvg":
        given = ["--use-fonts-dir", fonts, "--skip-system-fonts"] if fonts else []
        subprocess.run(["resvg", "--dpi", str(kind), *given, svg, png], check=True)
    else:
        import cairosvg

        cairosvg.svg2png(bytestring=written_out(svg), write_to=str(png), dpi=kind)


def written_out(svg):
    """The file without references and webfonts. At every reference cairosvg looks the whole
    document through and reads its styles again, which takes minutes a page."""
    root = ET.parse(svg).getroot()
    by_id = {e.get("id"): e for e in root.iter() if e.get("id")}
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag == NS + "style":
                parent.remove(child)
    for use in list(root.iter(NS + "use")):
        use.tag = NS + "g"
        use.append(by_id[use.attrib.pop(HREF)[1:]])

    def inherit(gradient):
        if HREF in gradient.attrib:
            other = by_id[gradient.attrib.pop(HREF)[1:]]
            inherit(other)
            gradient.attrib.update(other.attrib | gradient.attrib)
            if len(gradient) == 0:
                gradient.extend(other)

    for kind in ("linearGradient", "radialGradient"):
        for gradient in root.iter(NS + kind):
            inherit(gradient)
    return ET.tostring(root)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("svg", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--png", choices=["cairosvg", "resvg"], default="cairosvg")
    parser.add_argument("--fonts", type=Path)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--only", choices=["pdf", "png"])
    parser.add_argument("--dpi", type=int, nargs="+", default=[300, 100])
    args = parser.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    # The largest first, so that no process waits long for the other.
    files = sorted(args.svg.glob("*.svg"), key=lambda f: -f.stat().st_size)
    kinds = {"pdf": ["pdf"], "png": args.dpi, None: [*args.dpi, "pdf"]}[args.only]
    tasks = [(f, args.out, kind, args.png, args.fonts) for kind in kinds for f in files]
    if args.jobs == 1:
        for task in tasks:
            make(task)
    else:
        with multiprocessing.Pool(args.jobs) as pool:
            for _ in pool.imap_unordered(make, tasks):
                pass


if __name__ == "__main__":
    main()
