#!/usr/bin/env python3
"""A sheet of 2,000 colours in 30 parts, by chance but always the same. Usage: large.py FOLDER"""
import os
import random
import sys

to = sys.argv[1]
os.makedirs(to, exist_ok=True)
chance = random.Random(42)
WORDS = ["Tideline", "Gannet", "Dulse", "Brine", "Samphire", "Quern", "Wrack", "Fulmar", "Haar", "Ormer", "Statice",
         "Thrift", "Prawn", "Mussel", "Limpet", "Kelp", "Marram", "Skerry", "Cockle", "Whelk", "Seaweed", "Sandbar"]
FAMILIES = [("gloss", "Gloss", "opaque"), ("clear", "Clear", "clear"), ("nacre", "Nacre", "pearl"), ("plated", "Plated", "metal")]


def name():
    return f"{chance.choice(WORDS)} {chance.choice(WORDS)}"


svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{0}mm" viewBox="0 0 {0} {0}"><circle cx="{1}" cy="{1}" r="{1}"/></svg>'
for size in range(6, 12):
    with open(f"{to}/disc-{size}.svg", "w") as out:
        out.write(svg.format(size, size / 2))
parts = [f'(key: "p{i}", numbers: {{"works": "{1100 + i}", "dealer": "P-{i}"}}, title: "Button {i}", role: "r{i % 6}", '
         f'side: {"left" if i % 2 else "right"}, size: "{6 + i % 6}", shape: "disc-{6 + i % 6}.svg"),' for i in range(30)]
colours, made = [], []
for i in range(2000):
    key, family = f"k{i}", FAMILIES[i * len(FAMILIES) // 2000][0]
    colours.append(f'(key: "{key}", family: "{family}", names: {{"works": "{name()} {i}", "dealer": "{name()} {i}"}}, '
                   f'numbers: {{"works": "{10000 + i}", "dealer": "3-{i}"}}, value: "#{chance.randrange(1 << 24):06x}", first: {2000 + chance.randrange(26)}),')
    own = "".join("x" if chance.random() < 0.8 else "." for _ in range(30))
    made.append(f'"{key}": "{own}",')
families = [f'(key: "{k}", title: "{t}", finish: {f}),' for k, t, f in FAMILIES]
nl = "\n        "
with open(f"{to}/range.ron", "w") as out:
    out.write(f"""Range(
    maker: "Wrackline Works", release: "Release 7",
    listings: [(key: "works", title: "Works list"), (key: "dealer", title: "Dealer list")],
    families: [{nl.join(families)}],
    parts: [{nl.join(parts)}],
    colours: [{nl.join(colours)}],
    made: (parts: [{", ".join(f'"p{i}"' for i in range(30))}], rows: {{{nl.join(made)}}}),
)
""")
with open(f"{to}/sheet.ron", "w") as out:
    out.write('Sheet(range: "range.ron", name: "large", title: "Buttons", editions: [(name: "poster", layout: "page.ron", spellings: ["en-GB", "en-US"])])\n')
with open(f"{to}/page.ron", "w") as out:
    out.write('Layout(title: "Posters", page: Mm(1200, 1800), scale: Fit, pages: 20)\n')
