"""Runs the built program on mutated folders: the demo and the fixtures, a few files of each changed.

    python3 fuzz/folders.py target/release/shadecard --runs 1000
    python3 fuzz/folders.py target/release/shadecard --only 4711 --keep FOLDER

Run N is the same everywhere. Each must end with 0 or 1, in time and memory, without a panic, with places that are
there; what was given must be as it was, and where the program refuses nothing may be left.
"""

import argparse
import os
import random
import shutil
import tempfile
from pathlib import Path

import program
from program import Broken

TOKENS = [
    "(", ")", "[", "]", "{", "}", ",", ":", '"', "'", "\\", "//", "/*", "*/", "\n", "\t", "\r\n", "\0", "\ufeff",
    "None", "Some(", "true", "NaN", "inf", "-1", "0", "1e308", "1e-308", "18446744073709551616", "0.1", "-0.0",
    "99999999999999999999999999", "#000000", "#ffffff", "#12345", "Lab(50, 0, 0)", "Lab(-1, 999, 0)", "Mm(1, 1)",
    "Forms(", "Table(file: \"list.csv\")", "Table(file: \"../x.csv\")", "key: \"\"", "key: \"a\"", "range.ron",
    "\u202e", "\u0301", "\U0001f9f5", "ﷺ", "A" * 300, "é", "Ọ̀", "<g>", "</g>", "<svg", "/>", "<use href='#a'/>",
    "transform='scale(0)'", "width='1e9mm'", "d='M0 0'", "stroke-dasharray='0.0001'", "&lt;", "&#0;", "]]>",
    "letter", "a4", "plate", "en-US", "xx", "order: hue", "scale: True", "pages: 200", "type_floor: 0",
]


def sources(root):
    """Folders, and the sheet in each."""
    base = root / "tests/faults/base"
    out = [(root / "demo/haberdashery", "sheet.ron"), (root / "demo/css-colours", "sheet.ron")]
    out += [(base, "sheet.ron")] * 6
    for name in ("gap", "loose", "split", "stand-in"):
        folder = root / "tests/golden" / name
        if (folder / "sheet.ron").is_file():
            out.append((folder, "sheet.ron"))
    # The fixtures of faults stand beside the base's drawing.
    for file in sorted((root / "tests/faults").glob("*.ron")):
        out.append((base, file))
    return out


def copy(source, where):
    folder, sheet = source
    shutil.copytree(folder, where, dirs_exist_ok=True)
    if isinstance(sheet, Path):
        lines = [l for l in sheet.read_text("utf-8", "surrogateescape").split("\n") if not l.startswith("//!")]
        text = "\n".join(lines)
        name = "range.ron" if text.lstrip().startswith("Range") else "sheet.ron"
        (where / name).write_text(text, "utf-8", "surrogateescape")
    return "sheet.ron"


def changed(data, chance, others):
    """Some bytes with a change."""
    kind = chance.randrange(10)
    at = chance.randrange(len(data) + 1)
    end = min(len(data), at + chance.choice([1, 1, 2, 5, 20, 200]))
    if kind == 0 and data:
        at = min(at, len(data) - 1)
        return data[:at] + bytes([chance.randrange(256)]) + data[at + 1:]
    if kind == 1:
        return data[:at] + data[end:]
    if kind == 2:
        return data[:end] + data[at:]
    if kind == 3:
        return data[:at]
    if kind == 4:
        lines = data.split(b"\n")
        i, j = chance.randrange(len(lines)), chance.randrange(len(lines))
        lines[i], lines[j] = lines[j], lines[i]
        return b"\n".join(lines)
    if kind == 5:
        other = chance.choice(others)
        cut = chance.randrange(len(other) + 1)
        return data[:at] + other[cut:cut + chance.choice([10, 100, 1000])] + data[at:]
    if kind == 6:
        digits = [i for i, b in enumerate(data) if chr(b).isdigit()]
        if digits:
            i = chance.choice(digits)
            return data[:i] + chance.choice(TOKENS[21:29]).encode() + data[i + 1:]
    token = chance.choice(TOKENS).encode("utf-8")
    return data[:at] + token + data[at if kind < 9 else end:]


def mutate(where, chance):
    files = sorted(p for p in where.rglob("*") if p.is_file())
    for _ in range(chance.choice([1, 1, 1, 2, 3, 8])):
        # The texts above all: of drawings and profiles there are many.
        texts = [p for p in files if p.suffix in (".ron", ".csv")]
        path = chance.choice(texts if texts and chance.random() < 0.7 else files)
        what = chance.random()
        if what < 0.03 and path.is_file():
            path.unlink()
        elif what < 0.05 and path.is_file():
            path.unlink()
            path.mkdir()
        elif path.is_file():
            others = [p.read_bytes()[:100_000] for p in chance.sample(files, min(3, len(files))) if p.is_file()]
            path.write_bytes(changed(path.read_bytes(), chance, others or [b"x"]))


def command(chance, sheet, is_demo):
    quick = [
        ["check", sheet, "--json"], ["check", sheet, "--json"], ["check", sheet], ["plan", sheet], ["plan", sheet, "--json"],
        ["compare", sheet, sheet], ["supplies", sheet, "--out", "o"], ["shapes", sheet, "--out", "o"],
        ["board", sheet, "--out", "o"], ["lookalikes", sheet], ["export", sheet, "--to", "xlsx", "--out", "o"],
        ["labels", sheet, "--out", "o"], ["new", "o", "--from", "list.csv"], ["export", sheet, "--to", "csv", "--out", "o"],
        ["tune", sheet, "--paper", "matte", "--out", "o.ron"], ["proof", sheet, "--paper", "matte", "--figures", "--out", "o"],
    ]
    slow = [["make", sheet, "--out", "o", "--quiet", "--format", "svg"], ["proof", sheet, "--paper", "matte", "--out", "o"],
            ["make", sheet, "--out", "o", "--format", "png", "--dpi", "60"]]
    return list(chance.choice(quick if is_demo or chance.random() < 0.9 else slow))


def one(binary, root, number, keep=None):
    chance = random.Random(number)
    all_sources = sources(root)
    # The demo takes a second; one run in twenty is enough.
    source = all_sources[chance.randrange(2)] if chance.random() < 0.05 else chance.choice(all_sources[2:])
    with tempfile.TemporaryDirectory() as top:
        where = Path(keep or top) / "desk"
        sheet = copy(source, where)
        (where / "list.csv").write_text("Name,Number,Colour\nTern,1,#336699\nSedge,2,#778844\n")
        mutate(where, chance)
        arguments = command(chance, sheet, "demo" in str(source[0]))
        before = program.tree(where)
        try:
            code, said, wrong, seconds, megabytes = program.run(binary, arguments, where)
            if "--json" in arguments and arguments[0] == "check":
                program.places(said, where)
            after = program.tree(where)
            touched = [name for name in before if after.get(name) != before[name]]
            if touched:
                raise Broken(f"changed what was given: {touched[:5]}")
            new = [name for name in after if name not in before]
            if code == 1 and arguments[0] not in ("make", "proof", "labels") and any(after[n] != "folder" for n in new):
                raise Broken(f"refused, and left {new[:5]}\n{wrong[:500]}")
            if any(".tmp" in name or name.endswith("~") for name in new):
                raise Broken(f"left over: {new[:5]}")
        except Broken as broken:
            return number, None, 0, 0, f"run {number}: {' '.join(arguments)}: {broken}"
        return number, code, seconds, megabytes, None


def main():
    options = argparse.ArgumentParser()
    options.add_argument("program")
    options.add_argument("--runs", type=int, default=1000)
    options.add_argument("--first", type=int, default=0)
    options.add_argument("--only", type=int)
    options.add_argument("--keep")
    options = options.parse_args()
    root, binary = Path(__file__).resolve().parent.parent, os.path.abspath(options.program)
    if options.only is not None:
        print(one(binary, root, options.only, options.keep))
        return
    numbers = range(options.first, options.first + options.runs)
    program.every(numbers, lambda n: one(binary, root, n), "folders", ("used", "refused"))


if __name__ == "__main__":
    main()
