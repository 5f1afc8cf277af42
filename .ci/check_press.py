#!/usr/bin/env python3
"""Checks a PDF for a press: its structure (PDF/X-4, rules read second-hand) and its plates.

    check_press.py structure FILE.pdf..       a table of rules; exit code 1 where one is broken
    check_press.py plates FILE.pdf FILE.json  separates it with Ghostscript; the JSON says what the plates hold
    check_press.py self-test FILE.pdf         breaks a good file in many ways, and must see each
    check_press.py self-test-plates FILE.pdf FILE.json

Not a certificate: ISO 15930-7 was not at hand. What the JSON holds is told in examples/press_sheet.rs.
"""

import json
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream, String

RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
DC = "{http://purl.org/dc/elements/1.1/}"
PDF = "{http://ns.adobe.com/pdf/1.3/}"
XMP = "{http://ns.adobe.com/xap/1.0/}"
XMP_MM = "{http://ns.adobe.com/xap/1.0/mm/}"
PDFX_ID = "{http://www.npes.org/pdfx/ns/id/}"

RULES = []


def rule(name, how):
    """Registers a check: a function that yields what it finds wrong."""
    return lambda check: RULES.append((name, how, check)) or check


class File:
    """A PDF with what several rules look at, read once."""

    def __init__(self, path):
        self.path = Path(path)
        self.bytes = self.path.read_bytes()
        self.pdf = pikepdf.open(path)
        self.root = self.pdf.Root
        self.info = self.pdf.trailer.get("/Info", Dictionary())
        self.xmp = self._xmp()
        self.dicts = list(all_dictionaries(self.pdf))
        self.contents = Contents(self.pdf)

    def _xmp(self):
        stream = self.root.get("/Metadata")
        if stream is None:
            return {}
        tree = ET.fromstring(stream.read_bytes().decode("utf-8").strip().strip("\ufeff"))
        out = {}
        for description in tree.iter(RDF + "Description"):
            out.update((k, v) for k, v in description.attrib.items())
            out.update((child.tag, "".join(child.itertext()).strip()) for child in description)
        return out

    def text(self, key):
        value = self.info.get(key)
        return None if value is None else str(value)

    @property
    def intents(self):
        return list(self.root.get("/OutputIntents", []))


def all_dictionaries(pdf):
    """Every dictionary, those of streams and those inside others included."""
    stack = list(pdf.objects) + [pdf.trailer]
    while stack:
        obj = stack.pop()
        if isinstance(obj, (Dictionary, Stream)):
            yield obj
            stack.extend(v for k, v in obj.items() if isinstance(v, pikepdf.Object) and not v.is_indirect)
        elif isinstance(obj, Array):
            stack.extend(v for v in obj if isinstance(v, pikepdf.Object) and not v.is_indirect)


# Operators of ISO 32000-1, annex A, that set a colour; those that paint; and all others.
BARE = {"rg": "DeviceRGB", "RG": "DeviceRGB", "g": "DeviceGray", "G": "DeviceGray"}
FILLS = {"f", "F", "f*", "Tj", "TJ", "'", '"'}
STROKES = {"S", "s"}
BOTH = {"B", "B*", "b", "b*"}
OTHERS = set("q Q cm w J j M d ri i gs m l c v y h re n W W* BT ET Tc Tw Tz TL Tf Tr Ts Td TD Tm T* "
             "CS cs SC SCN sc scn K k sh Do BI ID EI INLINE IMAGE MP DP BMC BDC EMC d0 d1".split())


class Contents:
    """A walk of pages and the forms that they call, with the colours in force."""

    def __init__(self, pdf):
        self.bare, self.unset, self.unknown = [], [], []
        self.seen = set()
        for number, page in enumerate(pdf.pages, 1):
            self.run(page.obj, page.obj.get("/Resources", Dictionary()), [False, False], f"page {number}")

    def run(self, stream, resources, colours, where):
        """`colours`: is the fill colour set, and the stroke colour?"""
        stack, colours = [], list(colours)
        for operands, operator in pikepdf.parse_content_stream(stream):
            op = str(operator)
            if op in BARE:
                self.bare.append(f"{where}: {op} ({BARE[op]})")
            if op in ("k", "rg", "g", "sc", "scn"):
                colours[0] = True
            elif op in ("K", "RG", "G", "SC", "SCN"):
                colours[1] = True
            elif op in ("cs", "CS"):
                self.space(operands[0], resources, where)
            elif op == "sh":
                pass
            elif op == "q":
                stack.append(list(colours))
            elif op == "Q":
                colours = stack.pop() if stack else colours
            elif op == "Do":
                self.form(resources.get("/XObject", Dictionary()).get(operands[0]), colours, f"{where}{operands[0]}")
            elif op not in FILLS | STROKES | BOTH | OTHERS:
                self.unknown.append(f"{where}: {op}")
            if (op in FILLS | BOTH and not colours[0]) or (op in STROKES | BOTH and not colours[1]):
                self.unset.append(f"{where}: {op} before a colour is set, so in DeviceGray")

    def space(self, name, resources, where):
        if name in (Name.DeviceRGB, Name.DeviceGray):
            self.bare.append(f"{where}: cs {name}")
        elif name not in (Name.DeviceCMYK, Name.Pattern):
            space = resources.get("/ColorSpace", Dictionary()).get(name)
            if space is None:
                self.bare.append(f"{where}: the colour space {name} is not there")

    def form(self, form, colours, where):
        if form is None or form.get("/Subtype") != Name.Form:
            return
        # A form paints with the caller's colours until it sets its own.
        key = (form.objgen, *colours)
        if key in self.seen:
            return
        self.seen.add(key)
        self.run(form, form.get("/Resources", Dictionary()), colours, where)


def spaces(obj):
    """The names that stand in a colour space."""
    if isinstance(obj, Name):
        yield str(obj)
    elif isinstance(obj, Array):
        for part in obj:
            yield from spaces(part)


@rule("version 1.6, and a comment of bytes over 127", "first bytes")
def header(file):
    if not file.bytes.startswith(b"%PDF-1.6"):
        yield f"the file starts with {file.bytes[:8]!r}"
    second = re.split(rb"[\r\n]+", file.bytes[:64])[1]
    if second[:1] != b"%" or sum(b > 127 for b in second) < 4:
        yield "the second line is no such comment"


@rule("trailer has /ID", "pikepdf")
def identified(file):
    ids = file.pdf.trailer.get("/ID")
    if ids is None or len(ids) != 2 or any(len(bytes(i)) < 16 for i in ids):
        yield "no /ID of two strings"


@rule("not encrypted", "pikepdf")
def plain(file):
    if file.pdf.is_encrypted or "/Encrypt" in file.pdf.trailer:
        yield "it is encrypted"


@rule("reads without repair", "qpdf --check")
def sound(file):
    done = subprocess.run(["qpdf", "--check", file.path], capture_output=True, text=True)
    if done.returncode != 0:
        yield (done.stdout + done.stderr).strip().splitlines()[-1]


@rule("one output intent, of subtype GTS_PDFX", "pikepdf")
def one_intent(file):
    kinds = [str(i.get("/S")) for i in file.intents]
    if kinds != ["/GTS_PDFX"]:
        yield f"output intents: {kinds}"


@rule("it names its printing condition", "pikepdf")
def condition(file):
    for intent in file.intents:
        for key in ("/OutputConditionIdentifier", "/Info"):
            if not str(intent.get(key, "")).strip():
                yield f"{key} is missing or empty"


@rule("its profile: an output profile for CMYK, /N = its channels", "pikepdf, bytes of the ICC header")
def profile(file):
    for intent in file.intents:
        stream = intent.get("/DestOutputProfile")
        if stream is None:
            yield "no DestOutputProfile"
            continue
        data = stream.read_bytes()
        if len(data) < 128 or data[36:40] != b"acsp" or int.from_bytes(data[:4], "big") != len(data):
            yield "it is no ICC profile, or cut off"
        if data[12:16] != b"prtr":
            yield f"its class is {data[12:16]!r}"
        channels = {b"CMYK": 4, b"RGB ": 3, b"GRAY": 1}.get(data[16:20])
        if channels != 4 or stream.get("/N") != channels:
            yield f"its space is {data[16:20]!r} and /N {stream.get('/N')}"


@rule("XMP says PDF/X-4", "pikepdf, XML")
def version(file):
    if file.xmp.get(PDFX_ID + "GTS_PDFXVersion") != "PDF/X-4":
        yield f"GTS_PDFXVersion is {file.xmp.get(PDFX_ID + 'GTS_PDFXVersion')}"


@rule("XMP is readable as it stands", "pikepdf")
def readable(file):
    stream = file.root.get("/Metadata")
    if stream is None or "/Filter" in stream or stream.get("/Subtype") != Name.XML:
        yield "no XMP, or it is compressed"


@rule("trapped or not: a name, the same in both places", "pikepdf, XML")
def trapped(file):
    name, said = file.info.get("/Trapped"), file.xmp.get(PDF + "Trapped")
    if not isinstance(name, Name) or str(name) not in ("/True", "/False") or said != str(name)[1:]:
        yield f"Info says {name!r}, XMP {said!r}"


@rule("title the same in both places", "pikepdf, XML")
def title(file):
    a, b = file.text("/Title"), file.xmp.get(DC + "title")
    if not a or a != b:
        yield f"Info says {a!r}, XMP {b!r}"


@rule("dates the same in both places", "pikepdf, XML")
def dates(file):
    for key, other in (("/CreationDate", "CreateDate"), ("/ModDate", "ModifyDate"), ("/ModDate", "MetadataDate")):
        a, b = file.text(key), file.xmp.get(XMP + other)
        if not a or not b or re.sub(r"\D", "", a) != re.sub(r"\D", "", b):
            yield f"{key} is {a!r}, {other} {b!r}"


@rule("XMP has document id, version and rendition", "pikepdf, XML")
def managed(file):
    for key in ("DocumentID", "VersionID", "RenditionClass"):
        if not file.xmp.get(XMP_MM + key):
            yield f"{key} is missing"


@rule("TrimBox or ArtBox, not both", "pikepdf")
def one_box(file):
    for n, page in enumerate(file.pdf.pages, 1):
        if ("/TrimBox" in page.obj) == ("/ArtBox" in page.obj):
            yield f"page {n}: both, or none"


@rule("trim inside bleed inside media", "pikepdf")
def nested(file):
    for n, page in enumerate(file.pdf.pages, 1):
        boxes = [[float(v) for v in page.obj[k]] for k in ("/TrimBox", "/BleedBox", "/MediaBox") if k in page.obj]
        for inner, outer in zip(boxes, boxes[1:]):
            if not (outer[0] <= inner[0] < inner[2] <= outer[2] and outer[1] <= inner[1] < inner[3] <= outer[3]):
                yield f"page {n}: {inner} is not inside {outer}"


@rule("all fonts embedded", "pikepdf, pdffonts")
def embedded(file):
    for font in (d for d in file.dicts if d.get("/Type") == Name.Font):
        if font.get("/Subtype") in (Name.Type0, Name.Type3):
            continue
        descriptor = font.get("/FontDescriptor", Dictionary())
        if not any(k in descriptor for k in ("/FontFile", "/FontFile2", "/FontFile3")):
            yield f"{font.get('/BaseFont')} is not"
    done = subprocess.run(["pdffonts", file.path], capture_output=True, text=True)
    lines = done.stdout.splitlines()[2:]
    if done.returncode != 0 or not lines:
        yield f"pdffonts finds none: {done.stderr.strip()}"
    for line in lines:
        if line.split()[-5] != "yes":
            yield line


@rule("no scripts, actions, forms, annotations, attachments", "walk of all objects")
def nothing_active(file):
    keys = ("/JS", "/JavaScript", "/AA", "/OpenAction", "/AcroForm", "/XFA", "/EF", "/EmbeddedFiles")
    for d in file.dicts:
        for key in keys:
            if key in d:
                yield f"{key}"
        if d.get("/Type") == Name.Page and len(d.get("/Annots", [])):
            yield "annotations on a page"
        if d.get("/Type") == Name.Action or (isinstance(d.get("/S"), Name) and d["/S"] in (Name.JavaScript, Name.Launch, Name.URI)):
            yield "an action"


@rule("no LZW, external data, alternates, OPI, PostScript, transfer curves", "walk of all objects")
def nothing_old(file):
    for d in file.dicts:
        filters = d.get("/Filter")
        if filters is not None and isinstance(d, Stream):
            names = [filters] if isinstance(filters, Name) else list(filters)
            if Name.LZWDecode in names or Name.Crypt in names:
                yield f"filter {names}"
        if isinstance(d, Stream) and "/F" in d:
            yield "a stream outside the file"
        for key in ("/Alternates", "/OPI", "/TR", "/HTP"):
            if key in d:
                yield key
        if "/TR2" in d and d["/TR2"] != Name.Default:
            yield "/TR2"
        if d.get("/Subtype") == Name.PS or (d.get("/Subtype") == Name.Form and ("/PS" in d or "/Ref" in d)):
            yield "PostScript or a reference to another file"


@rule("no bare DeviceRGB or DeviceGray in any content", "walk of content streams, forms included")
def no_bare_operators(file):
    yield from file.contents.bare[:5]


@rule("nor in any shading, image, group, mask or space", "walk of all objects")
def no_bare_names(file):
    for d in file.dicts:
        named = []
        for key in ("/ColorSpace", "/CS", "/Cs", "/DefaultRGB", "/DefaultGray"):
            value = d.get(key)
            # In resources, a dictionary of named spaces.
            named += [s for v in (value.values() if isinstance(value, Dictionary) else [value]) for s in spaces(v)]
        for name in named:
            if name in ("/DeviceRGB", "/DeviceGray", "/CalRGB", "/CalGray"):
                yield f"{name} in an object of type {d.get('/Type', d.get('/S', d.get('/ShadingType', '?')))}"


@rule("a colour is set before anything is painted", "walk of content streams, forms included")
def colour_is_set(file):
    yield from file.contents.unset[:5]


@rule("no operators but those of PDF 1.6", "walk of content streams, forms included")
def known_operators(file):
    yield from file.contents.unknown[:5]


@rule("transparency mixes in DeviceCMYK", "pikepdf: /Group of pages and forms, soft masks")
def mixes(file):
    clear = any(float(d.get("/ca", 1)) < 1 or float(d.get("/CA", 1)) < 1 or isinstance(d.get("/SMask"), (Dictionary, Stream))
                for d in file.dicts if d.get("/Type") != Name.Annot)
    for n, page in enumerate(file.pdf.pages, 1):
        if clear and page.obj.get("/Group", Dictionary()).get("/CS") != Name.DeviceCMYK:
            yield f"page {n} has no group of DeviceCMYK"
    for d in file.dicts:
        if d.get("/S") == Name.Transparency and d.get("/CS", Name.DeviceCMYK) != Name.DeviceCMYK:
            yield f"a group of {d['/CS']}"


@rule("overprint without surprises: OPM 1 only on DeviceCMYK", "walk of all objects")
def overprint(file):
    spaced = any(str(s) == "/ICCBased" for d in file.dicts for s in spaces(d.get("/ColorSpace")))
    for d in file.dicts:
        if "/OP" in d and d.get("/op", d["/OP"]) != d["/OP"]:
            yield "OP and op differ"
        if d.get("/OPM") == 1 and spaced:
            yield "OPM 1 beside ICC-based colours"


@rule("optional content: none, or as PDF/X-4 has it", "pikepdf")
def optional(file):
    properties = file.root.get("/OCProperties")
    if properties is None:
        return
    if "/D" not in properties:
        yield "no /D"
    configs = [properties.get("/D", Dictionary()), *properties.get("/Configs", [])]
    for config in configs:
        if not str(config.get("/Name", "")):
            yield "a configuration without a name"
        if "/AS" in config:
            yield "/AS"
        if config.get("/BaseState", Name.ON) != Name.ON:
            yield "not all on"


@rule("no claim to any other standard", "XML")
def no_claims(file):
    for key in file.xmp:
        if "pdfa/ns/id" in key or "pdfua/ns/id" in key:
            yield key


def judge(path):
    """(rule, how, faults) of every rule; a rule that cannot be asked is broken."""
    file = File(path)
    out = []
    for name, how, check in RULES:
        try:
            faults = list(dict.fromkeys(check(file)))
        except Exception as e:  # noqa: BLE001 - a file can be broken in any way
            faults = [f"{type(e).__name__}: {e}"]
        out.append((name, how, faults))
    return out


def table(rows):
    widths = [max(len(str(row[i])) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        print("  ".join(str(v).ljust(w) for v, w in zip(row, widths)).rstrip())


def structure(paths):
    broken = 0
    for path in paths:
        print(f"{path}: PDF/X-4 structure checked")
        results = judge(path)
        table([("rule", "how checked", "result")]
              + [(name, how, "; ".join(faults[:3]) if faults else "holds") for name, how, faults in results])
        broken += sum(bool(faults) for _, _, faults in results)
    if broken:
        sys.exit(f"{broken} rules are broken")


# --- mutants

def set_key(get, key, value):
    def change(pdf):
        get(pdf)[key] = value(pdf) if callable(value) else value
    return change


def drop_key(get, key):
    def change(pdf):
        del get(pdf)[key]
    return change


def page_of(pdf):
    return pdf.pages[0].obj


def note():
    return Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=Array([0, 0, 9, 9]))


def intent_of(pdf):
    return pdf.Root.OutputIntents[0]


def info_of(pdf):
    return pdf.trailer.Info


def resources_of(pdf):
    return page_of(pdf).Resources


def xmp_text(old, new):
    def change(pdf):
        data = pdf.Root.Metadata.read_bytes()
        assert re.search(old, data), old
        pdf.Root.Metadata = pdf.make_stream(re.sub(old, new, data), Type=Name.Metadata, Subtype=Name.XML)
    return change


def before_page(text):
    def change(pdf):
        pdf.pages[0].contents_add(text, prepend=True)
    return change


def in_form(text):
    def change(pdf):
        form = next(iter(resources_of(pdf).XObject.values()))
        form.write(text + b"\n" + form.read_bytes())
    return change


def profile_class(pdf):
    data = bytearray(intent_of(pdf).DestOutputProfile.read_bytes())
    data[12:16] = b"mntr"
    intent_of(pdf).DestOutputProfile.write(bytes(data))


def first(pdf, test):
    return next(d for d in all_dictionaries(pdf) if test(d))


def shading_rgb(pdf):
    first(pdf, lambda d: "/ShadingType" in d)["/ColorSpace"] = Name.DeviceRGB


def no_font_file(pdf):
    del first(pdf, lambda d: d.get("/Type") == Name.FontDescriptor)["/FontFile2"]


def lzw(pdf):
    stream = pdf.make_stream(b"")
    stream.write(b"\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01", filter=Name.LZWDecode)
    pdf.Root["/Extra"] = stream


def javascript(pdf):
    pdf.Root["/OpenAction"] = Dictionary(S=Name.JavaScript, JS=String("1"))


def rgb_group(pdf):
    page_of(pdf).Group.CS = Name.DeviceRGB


def second_intent(pdf):
    pdf.Root.OutputIntents.append(Dictionary(Type=Name.OutputIntent, S=Name.GTS_PDFA1, OutputConditionIdentifier=String("x"),
                                             Info=String("x"), DestOutputProfile=intent_of(pdf).DestOutputProfile))


def layers(pdf):
    group = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("a")))
    pdf.Root["/OCProperties"] = Dictionary(OCGs=Array([group]), D=Dictionary(BaseState=Name.OFF))


def grow(key, by):
    def change(pdf):
        box = page_of(pdf)[key]
        page_of(pdf)[key] = Array([float(box[0]) - by, box[1], box[2], box[3]])
    return change


def grey_image(pdf):
    image = pdf.make_stream(b"\0", Type=Name.XObject, Subtype=Name.Image, Width=1, Height=1,
                            ColorSpace=Name.DeviceGray, BitsPerComponent=8)
    resources_of(pdf)["/XObject"]["/Grey"] = image


def bytes_for_bytes(old, new):
    """A change of the file itself, of one length."""
    def change(data):
        found = re.search(old, data)
        assert found, old
        text = new(found.group())
        assert len(text) == len(found.group())
        return data[:found.start()] + text + data[found.end():]
    change.raw = True
    return change


def encrypted(pdf):
    pass


encrypted.options = {"encryption": pikepdf.Encryption(owner="a", user="", R=4)}

# What is broken, how, and the rule that must see it.
MUTANTS = [
    ("version 1.7", bytes_for_bytes(rb"%PDF-1\.6", lambda b: b"%PDF-1.7"), "version 1.6"),
    ("no /ID", bytes_for_bytes(rb"/ID\[[^]]*\]", lambda b: b" " * len(b)), "trailer has /ID"),
    ("encrypted", encrypted, "not encrypted"),
    ("a lost cross-reference table", bytes_for_bytes(rb"startxref\n\d+", lambda b: b"startxref\n" + b"9" * (len(b) - 10)), "reads without"),
    ("subtype GTS_PDFA1", set_key(intent_of, "/S", Name.GTS_PDFA1), "one output intent"),
    ("two output intents", second_intent, "one output intent"),
    ("no identifier", drop_key(intent_of, "/OutputConditionIdentifier"), "it names its"),
    ("no profile", drop_key(intent_of, "/DestOutputProfile"), "its profile"),
    ("a display's profile", profile_class, "its profile"),
    ("/N 3", set_key(lambda pdf: intent_of(pdf).DestOutputProfile, "/N", 3), "its profile"),
    ("no GTS_PDFXVersion", xmp_text(rb"<pdfxid:GTS_PDFXVersion>.*?</pdfxid:GTS_PDFXVersion>", b""), "XMP says PDF/X-4"),
    ("PDF/X-3", xmp_text(rb"PDF/X-4", b"PDF/X-3"), "XMP says PDF/X-4"),
    ("wrong namespace", xmp_text(rb"pdfx/ns/id/", b"pdfx/ns/"), "XMP says PDF/X-4"),
    ("no XMP", drop_key(lambda pdf: pdf.Root, "/Metadata"), "XMP is readable"),
    ("Trapped differs", set_key(info_of, "/Trapped", Name("/True")), "trapped or not"),
    ("Trapped unknown", set_key(info_of, "/Trapped", Name.Unknown), "trapped or not"),
    ("Trapped a string", set_key(info_of, "/Trapped", String("False")), "trapped or not"),
    ("title differs", set_key(info_of, "/Title", String("another")), "title the same"),
    ("date differs", set_key(info_of, "/ModDate", String("D:20010101000000Z")), "dates the same"),
    ("no creation date", drop_key(info_of, "/CreationDate"), "dates the same"),
    ("no document id", xmp_text(rb"xmpMM:DocumentID", b"xmpMM:Other"), "XMP has document id"),
    ("trim and art box", set_key(page_of, "/ArtBox", lambda pdf: page_of(pdf).TrimBox), "TrimBox or ArtBox"),
    ("no trim box", drop_key(page_of, "/TrimBox"), "TrimBox or ArtBox"),
    ("trim over the bleed", grow("/TrimBox", 200.0), "trim inside"),
    ("bleed over the media", grow("/BleedBox", 200.0), "trim inside"),
    ("a font not embedded", no_font_file, "all fonts"),
    ("JavaScript", javascript, "no scripts"),
    ("an annotation", set_key(page_of, "/Annots", lambda pdf: Array([note()])), "no scripts"),
    ("LZW", lzw, "no LZW"),
    ("a transfer curve", set_key(lambda pdf: resources_of(pdf).ExtGState.Out, "/TR", Name.Identity), "no LZW"),
    ("rg on a page", before_page(b"1 0 0 rg\n"), "no bare DeviceRGB"),
    ("g in a form", in_form(b"0.5 g"), "no bare DeviceRGB"),
    ("DeviceRGB by cs", before_page(b"/DeviceRGB cs\n"), "no bare DeviceRGB"),
    ("a shading of DeviceRGB", shading_rgb, "nor in any"),
    ("an image of DeviceGray", grey_image, "nor in any"),
    ("a page group of DeviceRGB", rgb_group, "nor in any"),
    ("no page group", drop_key(page_of, "/Group"), "transparency mixes"),
    ("painted without a colour", before_page(b"0 0 9 9 re f\n"), "a colour is set"),
    ("an unknown operator", before_page(b"1 zz\n"), "no operators"),
    ("op without OP", set_key(lambda pdf: resources_of(pdf).ExtGState.Over, "/OP", False), "overprint without"),
    ("layers without a name, off", layers, "optional content"),
    ("claims PDF/A", xmp_text(rb"<pdf:Producer>", b"<pdfaid:part xmlns:pdfaid='http://www.aiim.org/pdfa/ns/id/'>2</pdfaid:part><pdf:Producer>"), "no claim"),
]


def broken_copy(path, change, out):
    if getattr(change, "raw", False):
        out.write_bytes(change(Path(path).read_bytes()))
        return
    as_it_is = {"compress_streams": False, "stream_decode_level": pikepdf.StreamDecodeLevel.none}
    with pikepdf.open(path) as pdf:
        change(pdf)
        pdf.save(out, force_version="1.6", fix_metadata_version=False, **getattr(change, "options", as_it_is))


def self_test(path):
    missed = 0
    seen = set()
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "mutant.pdf"
        # What the writer of the mutants changes by itself must not count.
        broken_copy(path, lambda pdf: None, out)
        for name, _, faults in judge(path) + judge(out):
            if faults:
                sys.exit(f"the good file breaks '{name}': {faults[0]}")
        rows = [("broken on purpose", "seen by", "as")]
        for what, change, expected in MUTANTS:
            broken_copy(path, change, out)
            try:
                found = {name: faults for name, _, faults in judge(out) if faults}
            except Exception as e:  # noqa: BLE001
                found = {"reads without repair": [f"{e}"]}
            hit = next((n for n in found if n.startswith(expected)), None)
            seen.add(hit)
            missed += hit is None
            rows.append((what, hit or "MISSED", found[hit][0][:60] if hit else f"only {list(found)}"))
        table(rows)
    never = [name for name, _, _ in RULES if name not in seen]
    if never:
        sys.exit(f"no mutant breaks: {never}")
    if missed:
        sys.exit(f"{missed} of {len(MUTANTS)} mutants were missed")
    print(f"{len(MUTANTS)} of {len(MUTANTS)} mutants seen; every rule has one")


# --- plates

DPI = 150
PLATES = ("Cyan", "Magenta", "Yellow", "Black")


class Separated:
    """The plates of every page, 0 for no ink to 255 for solid."""

    def __init__(self, path, folder):
        from PIL import Image, ImageOps

        target = Path(folder) / "plate-%d.tif"
        subprocess.run(["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=tiffsep", f"-r{DPI}",
                        f"-sOutputFile={target}", str(path)], check=True)
        with pikepdf.open(path) as pdf:
            self.pages = []
            for n, page in enumerate(pdf.pages, 1):
                media, trim = ([float(v) for v in page.obj[k]] for k in ("/MediaBox", "/TrimBox"))
                offset = (trim[0] - media[0]) / 72 * DPI, (media[3] - trim[3]) / 72 * DPI
                # A plate is a picture of its film: white where there is no ink.
                plates = [ImageOps.invert(Image.open(Path(folder) / f"plate-{n}({p}).tif").convert("L")) for p in PLATES]
                self.pages.append((offset, plates))

    def pixel(self, page, x, y):
        (left, top), plates = self.pages[page - 1]
        return left + x / 25.4 * DPI, top + y / 25.4 * DPI, plates

    def at(self, page, x, y):
        px, py, plates = self.pixel(page, x, y)
        return [p.getpixel((int(px), int(py))) for p in plates]

    def most(self, page):
        """The most that all plates of a page hold together inside the trim, percent."""
        (left, top), plates = self.pages[page - 1]
        inside = [p.crop((left, top, p.width - left, p.height - top)) for p in plates]
        return max(map(sum, zip(*(p.tobytes() for p in inside)))) / 2.55

    def extremes(self, page, box):
        x0, y0, plates = self.pixel(page, box[0], box[1])
        x1, y1, _ = self.pixel(page, box[2], box[3])
        area = tuple(round(v) for v in (x0, y0, x1, y1))
        return [p.crop(area).getextrema() for p in plates]


def plate_faults(path, expected):
    with tempfile.TemporaryDirectory() as folder:
        plates = Separated(path, folder)
        for p in expected.get("points", []):
            got = plates.at(p["page"], p["x"], p["y"])
            if max(abs(a - b) for a, b in zip(got, p["cmyk"])) > p.get("tolerance", 0):
                yield f"{p['what']} at {p['x']:.1f} {p['y']:.1f}: the plates hold {got}, not {p['cmyk']}"
        for w in expected.get("words", []):
            *cmy, black = plates.extremes(w["page"], w["box"])
            if [tuple(e) for e in cmy] != [(v, v) for v in w["cmy"]]:
                yield f"'{w['what']}': the coloured plates hold {cmy}, not {w['cmy']} throughout"
            if black[1] != 255:
                yield f"'{w['what']}': the black plate comes up to {black[1]} only"
        for m in expected.get("marks", []):
            got = plates.extremes(m["page"], m["box"])
            if any(high != 255 for _, high in got):
                yield f"{m['what']} is not on every plate: {got}"
        for n in range(len(plates.pages)):
            if "limit" in expected and (most := plates.most(n + 1)) > expected["limit"] + 1e-6:
                yield f"page {n + 1}: the plates hold {most:.2f} % together, over {expected['limit']} %"


def plates(path, beside):
    expected = json.loads(Path(beside).read_text())
    counts = [(key, len(expected.get(key, []))) for key in ("points", "words", "marks")]
    if not any(n for _, n in counts):
        sys.exit(f"{beside} expects nothing")
    faults = list(plate_faults(path, expected))
    for fault in faults[:20]:
        print(fault)
    if faults:
        sys.exit(f"{path}: {len(faults)} places are wrong")
    print(f"{path}: plates hold what they should: " + ", ".join(f"{n} {key}" for key, n in counts))


def plates_self_test(path, beside):
    expected = json.loads(Path(beside).read_text())
    off_by_one = json.loads(json.dumps(expected))
    ink = off_by_one["points"][100]["cmyk"]
    ink[2] += 1 if ink[2] < 255 else -1

    def knock_out(pdf):
        resources_of(pdf).ExtGState.Over = resources_of(pdf).ExtGState.Out

    def all_over(pdf):
        resources_of(pdf).ExtGState.Out = resources_of(pdf).ExtGState.Over

    def mode_0(pdf):
        resources_of(pdf).ExtGState.Over.OPM = 0

    def black_marks(pdf):
        resources_of(pdf).ColorSpace.All[1] = Name.Black

    def nothing(pdf):
        pass

    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "mutant.pdf"
        rows = [("broken on purpose", "places", "first")]
        for what, change, wanted in [
            ("a value off by one", nothing, off_by_one),
            ("black words knock out", knock_out, expected),
            ("everything overprints", all_over, expected),
            ("overprint mode 0", mode_0, expected),
            ("marks on the black plate alone", black_marks, expected),
        ]:
            broken_copy(path, change, out)
            faults = list(plate_faults(out, wanted))
            rows.append((what, len(faults), faults[0][:90] if faults else "MISSED"))
        table(rows)
        if any(n == 0 for _, n, _ in rows[1:]):
            sys.exit("a mutant was missed")


def main():
    commands = {"structure": lambda *a: structure(a), "plates": plates, "self-test": self_test,
                "self-test-plates": plates_self_test}
    if len(sys.argv) < 3 or sys.argv[1] not in commands:
        sys.exit(__doc__)
    commands[sys.argv[1]](*sys.argv[2:])


if __name__ == "__main__":
    main()
