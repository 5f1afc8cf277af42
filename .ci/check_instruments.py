"""Files of measured values by other people's programs, read by this one: every value compared with theirs.

Usage: check_instruments.py PROGRAM PROFILE.. [--keep DIR]; with --keep the small files of the tests are written there.
"""
import json
import math
import os
import pathlib
import random
import shlex
import subprocess
import sys
import tempfile
import warnings

warnings.filterwarnings("ignore")
import colour  # noqa: E402
import colour_cxf  # noqa: E402
from colour_cxf import cxf3  # noqa: E402

DISC = (
    "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'>"
    "<circle cx='4.5' cy='4.5' r='4.5'/></svg>"
)
WHITE = [96.422, 100.0, 82.521]
SHAPE = colour.SpectralShape(400, 700, 10)
FAILED = []


def run(*words, cwd):
    done = subprocess.run([str(w) for w in words], cwd=cwd, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{words}: {done.stdout}{done.stderr}")
    return done.stdout


def read_by_us(program, folder, file, count, light="D50"):
    """CIELAB of the colours 1 .. count from the file, by the program."""
    colours = ", ".join(
        f'(key: "c{n}", family: "f", names: {{"w": "Colour {n}"}}, numbers: {{"w": "{n}"}})' for n in range(1, count + 1)
    )
    (folder / "disc.svg").write_text(DISC)
    (folder / "range.ron").write_text(
        'Range(maker: "Works", listings: [(key: "w")], families: [(key: "f", finish: opaque)], '
        'parts: [(key: "p", side: left, shape: "disc.svg")], '
        f'colours: [{colours}], values: Table(file: "{file}"))'
    )
    (folder / "sheet.ron").write_text(
        f'Sheet(range: "range.ron", name: "s", title: "T", light: "{light}", editions: [(name: "e", layout: "a4")])'
    )
    done = subprocess.run(
        [program, "check", "sheet.ron", "--json"], cwd=folder, capture_output=True, text=True
    )
    entries = json.loads(done.stdout)
    faults = [e for e in entries if e["severity"] == "error"]
    if faults:
        sys.exit(f"{file}: {json.dumps(faults[:3], indent=1)}")
    found = {e["colour"]: e["lab"] for e in entries if e["code"] == "measured"}
    return [found.get(f"c{n}") for n in range(1, count + 1)]


def compare(what, ours, theirs, most):
    """CIEDE2000 of every colour: none may be missing, none further away than `most`."""
    lost = sum(lab is None for lab in ours)
    if lost or len(ours) != len(theirs):
        FAILED.append(what)
        print(f"{what}: {lost} of {len(theirs)} values are missing")
        return
    far = [float(colour.delta_E(a, b, method="CIE 2000")) for a, b in zip(ours, theirs)]
    good = max(far) <= most
    print(f"{what}: {len(far)} values, dE00 mean {sum(far) / len(far):.4f}, most {max(far):.4f} (at most {most} is good)")
    if not good:
        FAILED.append(what)


def xyz_to_lab(xyz):
    white = colour.XYZ_to_xy([v / 100 for v in WHITE])
    return [float(v) for v in colour.XYZ_to_Lab([v / 100 for v in xyz], white)]


def spectra(count, seed=7):
    """Smooth reflectances as dyed parts have them: a step or a band on a ground, made by formula."""
    chance = random.Random(seed)
    out = []
    for _ in range(count):
        low, high = chance.uniform(0.03, 0.2), chance.uniform(0.3, 0.9)
        centre, width = chance.uniform(430, 670), chance.uniform(18, 60)
        band = chance.random() < 0.4
        turn = chance.choice([-1, 1])
        values = []
        for nm in SHAPE.range():
            x = (nm - centre) / width
            part = math.exp(-x * x) if band else 1 / (1 + math.exp(-turn * 2 * x))
            values.append(round(low + (high - low) * part, 4))
        out.append(values)
    return out


def lab_of(values, illuminant="D50"):
    """By colour-science, as ASTM E308 has it."""
    sd = colour.SpectralDistribution(dict(zip(SHAPE.range(), values)))
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    xyz = colour.sd_to_XYZ(sd, cmfs, colour.SDS_ILLUMINANTS[illuminant], method="Integration")
    return xyz_to_lab(xyz)


def specification(ident, illuminant="D50", observer="2_Degree", spectrum=False):
    light = cxf3.Illuminant(value=getattr(cxf3.EilluminantType, illuminant))
    seen = cxf3.Observer(value=cxf3.EobserverType(observer))
    measured = None
    if spectrum:
        measured = cxf3.MeasurementSpec(
            measurement_type=cxf3.MeasurementType(value=cxf3.EspectrumType.SPECTRUM_REFLECTANCE),
            wavelength_range=cxf3.WavelengthRange(start_wl=400, increment=10),
        )
    return cxf3.ColorSpecification(
        id=ident,
        tristimulus_spec=cxf3.TristimulusSpec(illuminant_or_custom_illuminant=light, observer=seen),
        measurement_spec=measured,
    )


def cxf(objects, specifications):
    made = cxf3.CxF(
        file_information=cxf3.FileInformation(creator="colour-cxf", description="Made by formula"),
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=objects),
            color_specification_collection=cxf3.ColorSpecificationCollection(color_specification=specifications),
        ),
    )
    return colour_cxf.write_cxf(made)


def cxf_object(n, *values):
    return cxf3.Object(
        object_type="Standard", name=f"Colour {n}", id=f"o{n}", color_values=cxf3.ColorValues(choice=list(values))
    )


def with_profiles(program, work, profiles):
    """Charts made with targen and read through profiles by fakeread, as XYZ and as Lab."""
    for i, profile in enumerate(profiles):
        folder = work / f"profile-{i}"
        folder.mkdir()
        data = pathlib.Path(profile).read_bytes()
        (folder / "p.icc").write_bytes(data)
        kind = {"CMYK": "4", "RGB ": "2"}.get(data[16:20].decode("latin-1"))
        if kind is None:
            sys.exit(f"{profile}: neither CMYK nor RGB")
        run("targen", f"-d{kind}", "-f", "120", "t", cwd=folder)
        run("fakeread", "-l", "p.icc", "t", cwd=folder)
        as_lab = (folder / "t.ti3").read_text()
        (folder / "lab.ti3").write_text(as_lab)
        run("fakeread", "p.icc", "t", cwd=folder)
        labs = column(as_lab, ["LAB_L", "LAB_A", "LAB_B"])
        name = pathlib.Path(profile).name
        compare(f"{name}, Lab of a .ti3", read_by_us(program, folder, "lab.ti3", len(labs)), labs, 1e-9)
        ours = read_by_us(program, folder, "t.ti3", len(labs))
        # Its white is that of ICC.1, Z = 82.49; that of CIE 15 and of ISO 13655 is 82.521.
        compare(f"{name}, XYZ of a .ti3, with fakeread's own Lab", ours, labs, 0.03)
        xyz = column((folder / "t.ti3").read_text(), ["XYZ_X", "XYZ_Y", "XYZ_Z"])
        compare(f"{name}, XYZ of a .ti3, with colour-science", ours, [xyz_to_lab(v) for v in xyz], 0.001)
        shrunk = (folder / "t.ti3").read_text()
        (folder / "ones.txt").write_text(divided(shrunk, ["XYZ_X", "XYZ_Y", "XYZ_Z"], 100))
        ones = read_by_us(program, folder, "ones.txt", len(labs))
        compare(f"{name}, the same on the scale from 0 to 1", ones, ours, 0.001)


def column(text, names):
    """The values of some fields, by reading the file the plainest way."""
    fields = text.split("BEGIN_DATA_FORMAT")[1].split("END_DATA_FORMAT")[0].split()
    at = [fields.index(name) for name in names]
    lines = text.split("BEGIN_DATA\n")[1].split("END_DATA")[0].strip().splitlines()
    return [[float(shlex.split(line)[i]) for i in at] for line in lines]


def divided(text, names, by):
    head, rest = text.split("BEGIN_DATA\n")
    data, tail = rest.split("END_DATA", 1)
    fields = text.split("BEGIN_DATA_FORMAT")[1].split("END_DATA_FORMAT")[0].split()
    at = {fields.index(name) for name in names}
    lines = []
    for line in data.strip().splitlines():
        words = line.split()
        lines.append(" ".join(repr(float(w) / by) if i in at else w for i, w in enumerate(words)))
    return head + "BEGIN_DATA\n" + "\n".join(lines) + "\nEND_DATA" + tail


def with_spectra(program, work, keep):
    """Spectra in CxF, in what Argyll makes of it, and in a table."""
    folder = work / "spectra"
    folder.mkdir()
    all_of = spectra(60)
    want = [lab_of(values) for values in all_of]
    objects = [
        cxf_object(n, cxf3.ReflectanceSpectrum(value=values, color_specification="spec"))
        for n, values in enumerate(all_of, 1)
    ]
    written = cxf(objects, [specification("spec", spectrum=True)])
    (folder / "spectra.cxf").write_bytes(written)
    again = colour_cxf.read_cxf(written).resources.object_collection.object_value
    theirs = [lab_of(o.color_values.choice[0].value) for o in again]
    ours = read_by_us(program, folder, "spectra.cxf", len(all_of))
    compare("spectra of a CxF, with colour-science", ours, theirs, 0.02)
    run("cxf2ti3", "spectra.cxf", "argyll", cwd=folder)
    compare("the same by cxf2ti3", read_by_us(program, folder, "argyll.cie", len(all_of)), ours, 0.01)
    (folder / "argyll.ti3").write_text(with_device((folder / "argyll.cie").read_text()))
    run("spec2cie", "argyll.ti3", "cie.ti3", cwd=folder)
    labs = column((folder / "cie.ti3").read_text(), ["LAB_L", "LAB_A", "LAB_B"])
    both = read_by_us(program, folder, "cie.ti3", len(all_of))
    compare("a .ti3 with spectra, XYZ and Lab: the spectra", both, ours, 0.01)
    compare("the same spectra, with spec2cie's Lab", ours, labs, 0.04)
    run("spec2cie", "-n", "argyll.ti3", "plain.ti3", cwd=folder)
    plain = read_by_us(program, folder, "plain.ti3", len(all_of))
    compare("spec2cie's own Lab as we read it", plain, labs, 1e-9)
    head = "name," + ",".join(f"{nm:.0f} nm" for nm in SHAPE.range())
    rows = [f"Colour {n}," + ",".join(f"{v * 100:.2f}" for v in values) for n, values in enumerate(all_of, 1)]
    (folder / "table.csv").write_text("\n".join([head, *rows]) + "\n")
    compare("the same as percent in a table", read_by_us(program, folder, "table.csv", len(all_of)), ours, 1e-6)
    if keep:
        few = cxf(objects[:6], [specification("spec", spectrum=True)])
        (keep / "spectra.cxf").write_bytes(few)
        (keep / "spectra.expected").write_text(lines(want[:6]))
        (folder / "few.cxf").write_bytes(few)
        run("cxf2ti3", "few.cxf", "few", cwd=folder)
        (folder / "few.ti3").write_text(with_device((folder / "few.cie").read_text()))
        run("spec2cie", "few.ti3", "few-cie.ti3", cwd=folder)
        text = (folder / "few-cie.ti3").read_text()
        (keep / "spectra.ti3").write_text(text)
        (keep / "spectra-by-spec2cie.expected").write_text(lines(column(text, ["LAB_L", "LAB_A", "LAB_B"])))


def with_device(text):
    """spec2cie reads files of printed charts only: these are given ink values that mean nothing."""
    text = text.replace("CGATS.17", "CTI3", 1)
    text = text.replace("CREATED", 'DEVICE_CLASS "OUTPUT"\nCOLOR_REP "iRGB"\nCREATED', 1)
    fields = text.split("NUMBER_OF_FIELDS ")[1].split()[0]
    text = text.replace(f"NUMBER_OF_FIELDS {fields}", f"NUMBER_OF_FIELDS {int(fields) + 3}")
    text = text.replace("SAMPLE_LOC ", "SAMPLE_LOC RGB_R RGB_G RGB_B ", 1)
    head, rest = text.split("BEGIN_DATA\n")
    data = [line.replace('" ', '" 50 50 50 ', 1) for line in rest.splitlines()]
    return head + "BEGIN_DATA\n" + "\n".join(data) + "\n"


def lines(labs):
    return "".join(" ".join(f"{v:.6f}" for v in lab) + "\n" for lab in labs)


def with_colours(program, work, keep):
    """CIELAB and XYZ in CxF: several specifications, of which one is D50 and 2 degrees."""
    folder = work / "colours"
    folder.mkdir()
    chance = random.Random(3)
    labs = [[round(chance.uniform(a, b), 3) for a, b in ((8, 95), (-45, 45), (-45, 45))] for _ in range(40)]
    specifications = [
        specification("d65-10", "D65", "10_Degree"),
        specification("d50-2"),
    ]
    white = colour.XYZ_to_xy([v / 100 for v in WHITE])
    as_lab, as_xyz = [], []
    for n, (l, a, b) in enumerate(labs, 1):
        other = cxf3.ColorCielab(l=l - 3, a=a + 4, b=b - 5, color_specification="d65-10")
        as_lab.append(cxf_object(n, other, cxf3.ColorCielab(l=l, a=a, b=b, color_specification="d50-2")))
        x, y, z = (float(v) * 100 for v in colour.Lab_to_XYZ([l, a, b], white))
        as_xyz.append(cxf_object(n, cxf3.ColorCiexyz(x=x, y=y, z=z, color_specification="d50-2")))
    for name, objects, most in (("lab.cxf", as_lab, 1e-9), ("xyz.cxf", as_xyz, 0.001)):
        written = cxf(objects, specifications)
        (folder / name).write_bytes(written)
        compare(f"{name} by colour-cxf", read_by_us(program, folder, name, len(labs)), labs, most)
    if keep:
        (keep / "lab.cxf").write_bytes(cxf(as_lab[:6], specifications))
        (keep / "lab.expected").write_text(lines(labs[:6]))


RANGE = """Range(maker: "Works", listings: [(key: "w")], families: [(key: "f", finish: opaque)],
    parts: [(key: "p", side: left, shape: "disc.svg")], colours: [%s])"""


def with_targets(program, work):
    """A target of this program, taken in by txt2ti3, measured by fakeread on its own profile, and learnt from: what is
    measured must be what the paper's model shows."""
    folder = work / "target"
    folder.mkdir()
    (folder / "disc.svg").write_text(DISC)
    hexes = ["8c8f94", "b08d7a", "9fa98a", "7f93a8", "c2b59b", "a88f9f", "8aa39c", "b59a6a", "c4a9a0", "6f7d74"]
    colours = ", ".join(
        f'(key: "c{n}", family: "f", names: {{"w": "Colour {n}"}}, value: "#{h}")' for n, h in enumerate(hexes)
    )
    (folder / "range.ron").write_text(RANGE % colours)
    (folder / "sheet.ron").write_text(
        'Sheet(range: "range.ron", name: "s", title: "T", families: ["f"], editions: [(name: "e", layout: "a4")])'
    )
    (folder / "coated.icc").write_bytes(pathlib.Path("profiles/coated.icc").read_bytes())
    run(program, "target", "sheet.ron", "--paper", "coated.icc", "--by", "instrument", "--out", "t.pdf", cwd=folder)
    run("txt2ti3", "t.txt", "conv", cwd=folder)
    text = (folder / "conv.ti3").read_text().replace("CTI3   ", "CTI1   ", 1).replace('CMYK_LAB"', 'CMYK"')
    (folder / "m.ti1").write_text(text)
    run("fakeread", "coated.icc", "m", cwd=folder)
    learnt = json.loads(
        run(program, "learn", "sheet.ron", "--paper", "coated.icc", "--target", "t.json", "m.ti3", "--json", cwd=folder)
    )
    off = learnt["left_out"]["model"]
    print(f"a target measured on its own profile: {sum(learnt['rounds'])} readings, {off:.2f} off the paper's model")
    if sum(learnt["rounds"]) < 40 or off > 0.5:
        FAILED.append("what fakeread measures of a target is not what the paper shows")


def main():
    words = sys.argv[1:]
    keep = None
    if "--keep" in words:
        keep = pathlib.Path(words[words.index("--keep") + 1])
        del words[words.index("--keep"):words.index("--keep") + 2]
    program, profiles = os.path.abspath(words[0]), words[1:]
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        with_profiles(program, work, profiles)
        with_spectra(program, work, keep)
        with_colours(program, work, keep)
        with_targets(program, work)
    if FAILED:
        sys.exit("instrument files: " + "; ".join(FAILED))


main()
