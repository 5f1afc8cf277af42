"""Writes the files of the two stories that tests/commands/stories.rs tells.

    python3 tests/stories/make_fixtures.py        # needs openpyxl; soffice, where there is one, saves buttons.ods

The lists are invented. They stand as people keep them: headings in two rows with merged cells, families in merged
cells, crosses, a sheet of parts, notes; and a CSV file as a spreadsheet with German settings saves it. The drawings
are written as editors save them: in pixels with a size in millimetres, with a unit in the style, with groups and
transforms, with empty layers and metadata.
"""
import pathlib
import shutil
import subprocess
import tempfile

import openpyxl
from openpyxl.styles import Alignment, Font, PatternFill

HERE = pathlib.Path(__file__).parent

COLOURS = [
    # family, works no., works name, dealer no., dealer name, L, a, b, finish, years, note, crosses
    ("Gloss", "101", "Gannet", "3-237", "Chalk Ledge", 96.9, -0.1, 1.8, "gloss", "2016–", "", "xxxxxx"),
    (None, "102", "Cuttlebone", "3-238", "Oat", 92.1, 0.4, 6.2, "gloss", "2016–", "", "xxxxxx"),
    (None, "113", "Wreck Buoy", "3-301", "Signal", 44.3, 58.2, 33.7, "gloss", "2018–2025", "being replaced", "xxxx.x"),
    (None, "128", "Dulse", "3-310", "Purple Laver", 28.4, 24.1, 3.9, "gloss", "2016–", "", "xx.x.x"),
    (None, "137", "Pilot Coat", "3-322", "Navy", 24.0, 3.1, -22.8, "gloss", "2019–", "", "xxxxxx"),
    ("Clear", "201", "Rock Pool", "4-010", "Ice", 88.2, -5.5, -3.1, "transparent", "2017–", "", "x.xx.."),
    (None, "204", "Amber Wash", "4-021", "Honey", 62.8, 20.4, 58.9, "transparent", "2017–", "colour varies a little", "x.xx.."),
    (None, "210", "Sloe Wine", "4-030", "Plum", 25.5, 28.7, -12.2, "transparent", "2020–", "", "x.x..."),
    ("Matt", "301", "Driftwood", "5-100", "Bark", 47.5, 8.9, 17.3, "matt", "2021–", "", ".xxxxx"),
    (None, "302", "Basalt", "5-101", "Slate", 30.2, -0.6, -2.4, "matt", "2021–", "", ".xxxxx"),
]
PARTS = [
    # number, dealer's number, name, drawing, width, height
    ("1102", "B-09", "Button, two holes", "button-two.svg", 15, 15),
    ("1104", "B-11", "Button, four holes", "button-four.svg", 18, 18),
    ("2080", "R-08", "Round bead", "bead.svg", 8, 8),
    ("2215", "T-15", "Toggle", "toggle.svg", 30, 10),
    ("3010", "S-10", "Square tile", "tile.svg", 10, 10),
    ("3020", "D-20", "Drop", "drop.svg", 12, 20),
]


def workbook(path):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Colours 2026"
    sheet["A1"] = "Colour range 2026"
    sheet["A1"].font = Font(bold=True, size=14)
    upper = ["Family", "Works list", None, "Dealer list", None, "CIELAB (D50)", None, None, "Finish", "Made", "Remarks", "Made as"]
    lower = [None, "No.", "Name", "No.", "Name", "L*", "a*", "b*", None, None, None] + [p[0] for p in PARTS]
    for column, text in enumerate(upper, 1):
        sheet.cell(3, column, text).font = Font(bold=True)
    for column, text in enumerate(lower, 1):
        sheet.cell(4, column, text).font = Font(bold=True)
    for merged in ["A3:A4", "B3:C3", "D3:E3", "F3:H3", "I3:I4", "J3:J4", "K3:K4", "L3:Q3"]:
        sheet.merge_cells(merged)
    for n, colour in enumerate(COLOURS):
        row = 5 + n
        for column, value in enumerate(colour[:11], 1):
            sheet.cell(row, column, value if value != "" else None)
        for column, mark in enumerate(colour[11], 12):
            if mark == "x":
                sheet.cell(row, column, "x").alignment = Alignment(horizontal="center")
        sheet.cell(row, 3).fill = PatternFill("solid", fgColor="EEEEEE")
    for first, last in [(5, 9), (10, 12), (13, 14)]:
        sheet.merge_cells(f"A{first}:A{last}")
    parts = book.create_sheet("Parts")
    parts.append(["No.", "Dealer no.", "Name", "Drawing", "Width (mm)", "Height (mm)"])
    for part in PARTS:
        parts.append(list(part))
    book.create_sheet("Prices")["A1"] = "see the price list"
    book.save(path)


def cp1252(path):
    rows = ["Art.-Nr.;Farbname;L*;a*;b*;Gruppe;Oberfläche;lieferbar seit;Größe;Bemerkung;Lagerplatz"]
    names = ["Möwe", "Tintenfisch", "Wrackboje", "Lappentang", "Lotsenrock", "Felsbecken", "Bernstein", "Schlehe", "Treibholz", "Basalt"]
    german = {"gloss": "glänzend", "transparent": "transparent", "matt": "matt"}
    groups = {"gloss": "Glänzend", "transparent": "Durchsichtig", "matt": "Matt"}
    for n, (colour, name) in enumerate(zip(COLOURS, names)):
        number, (l, a, b), finish, year = colour[1], colour[5:8], colour[8], colour[9][:4]
        lab = ";".join(f"{v:.1f}".replace(".", ",") for v in (l, a, b))
        size = ["11,5 mm", "15 mm", "18 mm"][n % 3]
        note = "Rest – läuft aus" if n == 2 else ""
        rows.append(f"{number};{name};{lab};{groups[finish]};{german[finish]};{year};{size};{note};R{n + 1}")
    path.write_bytes(("\r\n".join(rows) + "\r\n").encode("cp1252"))


def drawings(folder):
    folder.mkdir(exist_ok=True)

    def save(name, text):
        (folder / name).write_text(text, encoding="utf-8")

    head = '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    px = 96 / 25.4
    # A size in millimetres over user units in millimetres, with the layers and metadata of an editor.
    save(
        "button-two.svg",
        head
        + '<svg width="15mm" height="15mm" viewBox="0 0 15 15" version="1.1" id="svg5" xmlns="http://www.w3.org/2000/svg"'
        ' xmlns:svg="http://www.w3.org/2000/svg">\n  <metadata id="m1"/>\n  <defs id="defs2"/>\n'
        '  <g id="layer1"><path id="p1" style="fill:#808080;stroke:none" d="M 15,7.5 A 7.5,7.5 0 0 1 7.5,15 7.5,7.5 0 0 1 0,7.5'
        ' 7.5,7.5 0 0 1 7.5,0 7.5,7.5 0 0 1 15,7.5 Z"/>\n'
        '  <circle id="c1" style="fill:#ffffff" class="hole" cx="5.4" cy="7.5" r="1"/><circle id="c2" style="fill:#ffffff"'
        ' class="hole" cx="9.6" cy="7.5" r="1"/></g>\n  <g id="layer2" style="display:inline"/>\n</svg>\n',
    )
    # User units in pixels, the size in millimetres.
    r = 9 * px
    holes = "".join(
        f'<circle class="hole" fill="#fff" cx="{r + dx * px:.4f}" cy="{r + dy * px:.4f}" r="{1.1 * px:.4f}"/>'
        for dx in (-2.2, 2.2)
        for dy in (-2.2, 2.2)
    )
    save(
        "button-four.svg",
        f'<svg xmlns="http://www.w3.org/2000/svg" width="18mm" height="18mm" viewBox="0 0 {2 * r:.4f} {2 * r:.4f}">'
        f'<g transform="translate({r:.4f} {r:.4f})"><circle r="{r:.4f}" fill="gray"/></g>{holes}</svg>\n',
    )
    # A page larger than the part, the part moved on it.
    save(
        "bead.svg",
        head
        + '<svg width="210mm" height="297mm" viewBox="0 0 210 297" xmlns="http://www.w3.org/2000/svg"><g transform="translate(-20,-30)">'
        '<circle style="fill:#7f7f7f;fill-opacity:1" cx="80" cy="90" r="4"/>'
        '<circle style="fill:#ffffff" class="hole" cx="80" cy="90" r="1"/></g></svg>\n',
    )
    save(
        "toggle.svg",
        '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="10mm" viewBox="0 0 300 100">'
        '<rect x="0" y="0" width="300" height="100" rx="50" ry="50" style="fill:#888888"/></svg>\n',
    )
    # Centimetres.
    save(
        "tile.svg",
        '<svg xmlns="http://www.w3.org/2000/svg" width="1cm" height="1cm" viewBox="0 0 1000 1000">'
        '<style type="text/css">.fil0 {fill:#767676}</style><g><polygon class="fil0" points="0,0 1000,0 1000,1000 0,1000"/></g></svg>\n',
    )
    # Light and shade in greys.
    save(
        "drop.svg",
        '<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="20mm" viewBox="0 0 12 20">'
        '<path class="body" fill="#777" d="M6 0C8 5 12 9 12 14A6 6 0 0 1 0 14C0 9 4 5 6 0Z"/>'
        '<path fill="#bbb" d="M3 12C3 10 4 8.5 5 7.5C4.6 9.5 4.6 11 4.4 13Z"/></svg>\n',
    )


def by_libreoffice(source, target):
    office = shutil.which("soffice")
    if office is None:
        print("soffice is not there: buttons.ods stays as it is")
        return
    with tempfile.TemporaryDirectory() as out:
        profile = f"-env:UserInstallation=file://{out}/profile"
        subprocess.run([office, profile, "--headless", "--convert-to", "ods", "--outdir", out, str(source)], check=True)
        shutil.copy(pathlib.Path(out) / "buttons.ods", target)


if __name__ == "__main__":
    workbook(HERE / "buttons.xlsx")
    cp1252(HERE / "knoepfe.csv")
    drawings(HERE / "drawings")
    by_libreoffice(HERE / "buttons.xlsx", HERE / "buttons.ods")
