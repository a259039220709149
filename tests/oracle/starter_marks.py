#!/usr/bin/env python3
"""Marks and prep readings of the starter kit, from the law of a helicoid.

    starter_marks.py          write charts/starter/marks/*.csv and charts/starter/prep.csv
    starter_marks.py --check  say whether they are what this script writes

A lens moves f m away from its infinity focus to focus at D = e + f (2 + m + 1/m), and its ring
turns G degrees for each mm of that. An engraved mark stands at G f m. With the image plane
delta too far from the lens, the picture of a chart is sharp at G (f m - delta) instead: that is
where eye marks stand, and what the scale reads there is the distance that is engraved at that
place. Positions are arcs on the ring, read to a quarter of a millimetre from any zero; distances
on the scale are read to half an inch, beyond 4 ft to an inch. Lenses are those of
charts/starter/lenses.csv; delta and the zero of the strip are invented here.
"""
import csv, io, math, re, sys
from pathlib import Path

STARTER = Path(__file__).resolve().parents[2] / "charts" / "starter"

# Lens: image-plane error in mm; where the strip's zero left the infinity mark, in mm; the way its
# figures run toward close focus; distances found by eye.
LENSES = {
    "18": (0.020, 14.0, +1, "inf 15' 8' 5' 4' 3' 2'6\" 2' 1'6\" 1'2\" 10\""),
    "25": (0.015, 22.5, +1, "inf 20' 10' 6' 4' 3' 2'6\" 2' 1'6\" 1'2\" 11\""),
    "32": (-0.010, 8.0, +1, "inf 25' 12' 8' 5' 4' 3' 2' 1'6\" 1'"),
    "40": (0.025, 31.0, +1, "inf 30' 15' 10' 7' 5' 4' 3' 2' 1'3\""),
    "50": (0.020, 11.5, +1, "inf 40' 20' 12' 8' 6' 4' 3' 2' 1'6\""),
    "75": (-0.015, 268.0, -1, "inf 50' 25' 15' 10' 8' 6' 5' 4' 3' 2'3\""),
    "100": (0.035, 285.5, -1, "inf 60' 30' 20' 15' 10' 8' 6' 5' 4' 2'9\""),
}
ENGRAVED = ["3'", "6'"]
PREP = [("25", "3' 6' 12'"), ("40", "3' 6' 12'"), ("100", "4' 8' 20'")]

COMMENTS = """\
# Where distances stand on this lens's ring, read on a strip of millimetre paper wrapped round it
# (`markwright print strip-ruler` makes one): what the witness mark points at.
#
# distance     from the image plane, taped; inf for infinity
# position_mm  what the strip says; any zero, either direction; repeats with a space between. Empty: not read yet
# kind         eye: found sharp on a focus chart at that distance. engraved: the maker's own mark;
#              the tape is lined up on one of these and checked at another
"""
PREP_COMMENTS = """\
# Prep day: what each scale said when the chart was sharp.
#
# lens     its id in lenses.csv
# stop     the stop it was tested at, wide open as a rule
# taped    from the image plane to the chart
# reading  what the engraved scale said; set it again and write every reading into the one cell
# note     anything
"""


def mm(text):
    """Feet and inches in mm."""
    feet, inches = re.fullmatch(r"(?:(\d+)')?(?:(\d+)\")?", text).groups()
    return (int(feet or 0) * 12 + int(inches or 0)) * 25.4


def magnification(lens, distance):
    k = (distance - lens["e"]) / lens["f"] - 2
    return (k - math.sqrt(k * k - 4)) / 2


def distance_at(lens, m):
    return lens["e"] + lens["f"] * (2 + m + 1 / m)


def lenses():
    text = (STARTER / "lenses.csv").read_text()
    rows = csv.DictReader((l for l in text.splitlines() if not l.startswith("#")), quoting=csv.QUOTE_NONE)
    for row in rows:
        lens = {"f": float(row["focal_mm"]), "e": float(row["hiatus_mm"])}
        close = magnification(lens, mm(row["close_focus"]))
        lens["gain"] = float(row["travel_deg"]) / (lens["f"] * close)
        lens["mm_per_deg"] = float(row["ring_circumference_mm"]) / 360
        yield row["id"], lens


def quarter(x):
    """As a person reads a millimetre scale."""
    return f"{math.floor(x * 4 + 0.5) / 4:.2f}"


def position(lens, distance, delta):
    """Arc from the infinity mark."""
    m = 0 if distance == "inf" else magnification(lens, mm(distance))
    return lens["gain"] * (lens["f"] * m - delta) * lens["mm_per_deg"]


def marks(lens, delta, zero, way, distances):
    out = io.StringIO()
    out.write(COMMENTS + "distance,position_mm,kind\n")
    for distance in distances.split():
        out.write(f"{distance},{quarter(zero + way * position(lens, distance, delta))},eye\n")
    for distance in ENGRAVED:
        out.write(f"{distance},{quarter(zero + way * position(lens, distance, 0))},engraved\n")
    return out.getvalue()


def reading(lens, taped, delta):
    """What the scale says where the chart at `taped` is sharp."""
    inches = distance_at(lens, magnification(lens, mm(taped)) - delta / lens["f"]) / 25.4
    step = 2 if inches < 48 else 1
    halves = math.floor(inches * step + 0.5) * (2 // step)
    feet, halves = divmod(halves, 24)
    part = f"{halves // 2} 1/2" if halves % 2 else f"{halves // 2}"
    return f"{feet}'{part}\"" if halves else f"{feet}'"


def prep(all_lenses):
    out = io.StringIO()
    out.write(PREP_COMMENTS + "lens,stop,taped,reading,note\n")
    for name, distances in PREP:
        for number, taped in enumerate(distances.split()):
            note = "after the body was checked" if number == 0 and name == "25" else ""
            out.write(f"{name},T2.1,{taped},{reading(all_lenses[name], taped, LENSES[name][0])},{note}\n")
    return out.getvalue()


def main():
    all_lenses = dict(lenses())
    files = {f"marks/{name}.csv": marks(lens, *LENSES[name]) for name, lens in all_lenses.items()}
    files["prep.csv"] = prep(all_lenses)
    wrong = []
    for name, text in files.items():
        path = STARTER / name
        if "--check" in sys.argv:
            if not path.exists() or path.read_text() != text:
                wrong.append(name)
        else:
            path.write_text(text)
    print("differs: " + " ".join(wrong) if wrong else f"{len(files)} files")
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
