"""Runs the built program on icons of other people as the parts of a sheet: each is used, or refused with a reason.

    python3 fuzz/icons.py target/release/shadecard FOLDER... --runs 200

Run N takes the same icons, sizes and finishes everywhere. `check` and `make` must agree: what `check` accepts is made.
"""

import argparse
import os
import random
import re
import sys
import tempfile
from pathlib import Path

import program
from program import Broken

FINISHES = ["opaque", "clear", "pearl", "metal", "flecked", "satin", "glow"]
PARTS = 3


def sized(text, mm):
    """The drawing so many millimetres wide."""
    head = re.search(r"<svg\b[^>]*>", text, re.S)
    if not head:
        return text
    tag = re.sub(r"""\s(width|height)\s*=\s*("[^"]*"|'[^']*')""", "", head.group(0))
    return text[:head.start()] + tag.replace("<svg", f"<svg width='{mm}mm' height='{mm}mm'", 1) + text[head.end():]


def write(where, icons, chance):
    parts = []
    for n, icon in enumerate(icons):
        mm = round(chance.uniform(3, 30), 2)
        (where / f"p{n}.svg").write_text(sized(icon.read_text("utf-8", "replace"), mm), "utf-8")
        side = "left" if n % 2 == 0 else "right"
        parts.append(f'(key: "p{n}", numbers: {{"w": "{100 + n}"}}, side: {side}, shape: "p{n}.svg"),')
    finishes = chance.sample(FINISHES, 3)
    families = "".join(f'(key: "{f}", title: "{f}", finish: {f}),' for f in finishes)
    colours, rows = "", ""
    for n in range(9):
        value = "#%06x" % chance.randrange(1 << 24)
        colours += f'(key: "c{n}", family: "{finishes[n // 3]}", names: {{"w": "Shade {n}"}}, value: "{value}"),'
        rows += f'"c{n}": "{"x" * len(icons)}",'
    (where / "range.ron").write_text(
        f'Range(maker: "M", listings: [(key: "w")], families: [{families}], parts: [{"".join(parts)}], '
        f"colours: [{colours}], made: (rows: {{{rows}}}))"
    )
    (where / "sheet.ron").write_text(
        'Sheet(range: "range.ron", name: "s", title: "Icons", spellings: ["en-GB"], editions: [(name: "a4", layout: "a4")])'
    )


def one(binary, icons, number):
    chance = random.Random(number)
    chosen = chance.sample(icons, PARTS)
    names = ", ".join(i.name for i in chosen)
    with tempfile.TemporaryDirectory() as top:
        where = Path(top)
        write(where, chosen, chance)
        # An icon that is refused goes, and the rest is made.
        try:
            code, said, wrong, seconds, megabytes = program.run(binary, ["check", "sheet.ron", "--json"], where)
            program.places(said, where)
            refused = {f"p{n}.svg" for n in range(PARTS) if f"p{n}.svg" in said and code == 1}
            if code == 1:
                left = [icon for n, icon in enumerate(chosen) if f"p{n}.svg" not in refused]
                if not refused:
                    raise Broken(f"refused for another reason: {said[:500]}")
                if not left:
                    return number, 1, seconds, megabytes, None
                for file in where.iterdir():
                    file.unlink()
                write(where, left, chance)
            made = program.run(binary, ["make", "sheet.ron", "--format", "svg", "--quiet", "--out", "o"], where)
            if made[0] != 0:
                raise Broken(f"accepted by check, not made: {made[2][:800]}")
            if not list((where / "o").rglob("*.svg")):
                raise Broken("nothing was made")
        except Broken as broken:
            return number, None, 0, 0, f"run {number}: {names}: {broken}"
        return number, code, seconds + made[3], max(megabytes, made[4]), None


def main():
    options = argparse.ArgumentParser()
    options.add_argument("program")
    options.add_argument("folders", nargs="+")
    options.add_argument("--runs", type=int, default=200)
    options.add_argument("--first", type=int, default=0)
    options = options.parse_args()
    binary = os.path.abspath(options.program)
    icons = sorted(p for folder in options.folders for p in Path(folder).rglob("*.svg"))
    if len(icons) < 100:
        sys.exit(f"only {len(icons)} icons in {options.folders}")
    numbers = range(options.first, options.first + options.runs)
    what = f"sheets of {len(icons)} icons"
    program.every(numbers, lambda n: one(binary, icons, n), what, ("used whole", "with some refused"))


if __name__ == "__main__":
    main()
