"""Checks cut files with svgpathtools and shapely; see check-cuts."""

import json
import pathlib
import re
import sys
import xml.etree.ElementTree as ET

from shapely import STRtree
from shapely.geometry import Polygon
from svgpathtools import Arc, Line, parse_path

SVG = "{http://www.w3.org/2000/svg}"
GROUPS = ["registration-marks", "kiss-cuts", "through-cuts"]
# A curve becomes a polygon of so many corners.
STEPS = 64


def outline(path):
    points = []
    for segment in path:
        steps = 1 if isinstance(segment, Line) else STEPS
        points += [segment.point(i / steps) for i in range(steps)]
    return Polygon([(p.real, p.imag) for p in points])


def faults(text, told=None):
    """Everything that is wrong with a file's text."""
    out = []
    root = ET.fromstring(text)
    sizes = [re.fullmatch(r"([0-9.]+)mm", root.get(k, "")) for k in ("width", "height")]
    if not all(sizes):
        return ["width and height are not in mm"]
    width, height = (float(s[1]) for s in sizes)
    if [float(v) for v in root.get("viewBox", "").split()] != [0, 0, width, height]:
        out.append("the viewBox is another size than width and height")
    if told and (width, height) != (told["width"], told["height"]):
        out.append(f"{width} x {height} mm in place of {told['width']} x {told['height']}")
    tags = {e.tag.removeprefix(SVG) for e in root.iter()}
    if tags - {"svg", "g", "path"}:
        out.append(f"something else than lines: {sorted(tags)}")
    groups = [(g.get("id"), g) for g in root]
    names = [n for n, _ in groups]
    if [n for n in GROUPS if n in names] != names:
        out.append(f"the groups are {names}")
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    if len(ids) != len(set(ids)):
        out.append("an id stands twice")
    for name, group in groups:
        if group.get("fill") != "none" or not 0 < float(group.get("stroke-width", 0)) <= 0.025:
            out.append(f"{name} is filled, or no hairline")
        shapes = []
        for n, element in enumerate(group):
            what = element.get("id") or f"{name} {n + 1}"
            if element.get("transform") or element.get("fill", "none") != "none":
                out.append(f"{what} is moved or filled")
            data = element.get("d")
            if not re.fullmatch(r"M[^MZ]*Z", data):
                out.append(f"{what} is not one closed line")
                continue
            path = parse_path(data)
            if not (path.iscontinuous() and path.isclosed()):
                out.append(f"{what} is not closed")
                continue
            if not all(isinstance(s, (Line, Arc)) for s in path):
                out.append(f"{what} has more than lines and arcs")
            shape = outline(path)
            if not shape.is_valid:
                out.append(f"{what} crosses itself")
                continue
            shapes.append((what, shape))
        out += relations(shapes)
        if told:
            out += counted(name, shapes, told)
    if told and set(told["groups"]) != set(names):
        out.append(f"the groups are {names}")
    return out


def relations(shapes):
    """No two overlap, but one may lie inside another and then comes first."""
    out = []
    tree = STRtree([s for _, s in shapes])
    for n, (what, shape) in enumerate(shapes):
        for other in tree.query(shape):
            if other <= n:
                continue
            name, second = shapes[other]
            if not shape.intersects(second) or second.contains_properly(shape):
                continue
            if shape.contains_properly(second):
                out.append(f"{what} is cut before {name}, which lies inside it")
            else:
                out.append(f"{what} and {name} overlap")
    return out


def counted(name, shapes, told):
    want = told["groups"].get(name)
    if want is None:
        return [f"{name} should not be there"]
    out = []
    if len(shapes) != want["count"]:
        out.append(f"{name} has {len(shapes)} lines in place of {want['count']}")
    for what, shape in shapes:
        # All round by the tolerance, and what the polygon of an arc cuts off.
        give = shape.length * told["tolerance"]
        if min(abs(shape.area - a) for a in want["areas"]) > give:
            out.append(f"{what} has {shape.area:.3f} mm2")
    for area in want["areas"]:
        if not any(abs(s.area - area) <= s.length * told["tolerance"] for _, s in shapes):
            out.append(f"{name} has no line of {area:.3f} mm2")
    return out


def self_test(file):
    """Each kind of fault, put into a good file, is found."""
    text = file.read_text()
    told = json.loads(file.with_suffix(".json").read_text())
    assert faults(text, told) == [], faults(text, told)
    first = re.search(r'<g [^>]*id="kiss-cuts".*?(<path[^>]*/>)', text, re.S)[1]
    # Its start lies beyond the opposite corner.
    far = r'd="M([0-9.]+) ([0-9.]+)'
    moved = re.sub(far, lambda m: f'd="M{float(m[1]) + 60} {float(m[2]) + 60}', first)
    through = re.search(r'(<g [^>]*id="through-cuts"[^>]*>\s*)(.*?)(</g>)', text, re.S)
    lines = re.findall(r"<path[^>]*/>", through[2])
    turned = through[1] + "\n".join(reversed(lines)) + through[3]
    broken = {
        "in mm": text.replace("210mm", "210"),
        "viewBox": text.replace("0 0 210 297", "0 0 595 842"),
        "in place of 210": text.replace("210mm", "211mm").replace("0 0 210", "0 0 211"),
        "something else than lines": text.replace("</svg>", "<text>1</text></svg>"),
        "hairline": text.replace("0.01", "0.5"),
        "filled": text.replace('fill="none"', 'fill="red"', 1),
        "not one closed line": text.replace(first, first.replace("Z", "")),
        "overlap": text.replace(first, first + first.replace('id="', 'id="again-')),
        "an id stands twice": text.replace(first, first + first),
        "20 lines in place of 21": text.replace(first, ""),
        "crosses itself": text.replace(first, moved),
        "which lies inside it": text.replace(through[0], turned),
        "mm2": text.replace("A2.5 2.5", "A30 30"),
        "the groups are": text.replace("kiss-cuts", "cuts"),
    }
    for want, bad in broken.items():
        assert bad != text, f"the file was not broken for '{want}'"
        found = faults(bad, told)
        assert any(want in f for f in found), f"'{want}' was not found: {found[:3]}"
    print(f"self-test: {len(broken)} kinds of faults found")


def main(files):
    if files[0] == "--self-test":
        return self_test(pathlib.Path(files[1]))
    failed = False
    for file in map(pathlib.Path, files):
        beside = file.with_suffix(".json")
        told = json.loads(beside.read_text()) if beside.exists() else None
        found = faults(file.read_text(), told)
        failed |= bool(found)
        print(f"{file.name}: {'good' if not found else 'FAULTY'}")
        for fault in found:
            print(f"  {fault}")
    sys.exit(failed)


main(sys.argv[1:])
