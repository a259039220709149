#!/usr/bin/env python3
"""The tables against general-purpose libraries that know nothing of this program.

    crosscheck.py [--formats FILE]    writes crosscheck_*.csv; exit 1 if one disagrees

Versions in requirements.txt. FILE is the table of recording formats (id, width_mm,
height_mm, kind); without it the crop check is left out and its committed result stands.
Each difference is relative, against the bound in the last column.
"""
import argparse, csv, math, random
from pathlib import Path
import cv2, numpy, pint
from paraxial import sources, surfaces
from prysm import thinlens
from mpmath import mpf
from facts import feet
from tables import INF, Lens, read

HERE = Path(__file__).resolve().parent
bad = 0


def table(name, rows):
    global bad
    bad += sum(r["bound"] is not None and abs(r["difference"]) > r["bound"] for r in rows)
    for r in rows: r.update(difference=f"{r['difference']:.1e}", bound="" if r["bound"] is None else f"{r['bound']:.0e}")
    with open(HERE / f"crosscheck_{name}.csv", "w", newline="") as file:
        out = csv.DictWriter(file, rows[0].keys(), lineterminator="\n")
        out.writeheader(); out.writerows(rows)
    print(f"{name}: {len(rows)} comparisons, largest difference {max(abs(float(r['difference'])) for r in rows):.1e}")


def pair(what, inputs, ours, theirs, bound, scale=None):
    return dict(what=what, inputs=inputs, ours=f"{float(ours):.13g}", theirs=f"{float(theirs):.13g}",
                difference=(float(theirs) - float(ours)) / float(scale or ours), bound=bound)


def thin():
    """Conjugates, magnification, working f-number. That library's object distance is negative
    in object_to_image_dist and positive in object_dist_to_mag: both conventions are met here."""
    rows = []
    plain = [r for r in read("depth.csv") if r["conditioning"] == "plain" and r["focus"] != "infinity"]
    for r in random.Random(1).sample(plain, 60):
        f, e, p, n, d = (float(r[k]) for k in ("focal", "hiatus", "pupil", "n", "focus"))
        lens = Lens(mpf(f), mpf(e), mpf(p))
        l = lens.focus(mpf(d), r["branch"])
        u, v = mpf(d) - lens.station(l) + lens.ep_to_h, l + lens.h_to_xp
        at = ";".join(f"{k}={r[k]}" for k in ("focal", "hiatus", "pupil", "n", "focus", "branch"))
        rows.append(pair("image_distance", at, v, thinlens.object_to_image_dist(f, -float(u)), 1e-12))
        # the library forms f/(f - u): near u = f it can be no better than this
        rows.append(pair("magnification", at, r["magnification"], -thinlens.object_dist_to_mag(f, float(u)), 1e-12))
        rows.append(pair("working_n", at, r["working_n"], thinlens.mag_to_fno(-float(r["magnification"]), n, p), 1e-12))
    rows.append(pair("working_n", "magnification=1;n=2.8", 5.6, thinlens.mag_to_fno(-1, 2.8), 1e-12))
    table("thin_lens", rows)


LENSES = {   # invented; groups of focal length and where each stands, the stop's place, image side last
    "two-group retrofocus": ([(-90, 0), (45, 60)], 52),
    "strong retrofocus": ([(-60, 0), (32, 75)], 70),
    "two-group telephoto": ([(80, 0), (-70, 55)], 8),
    "two positive groups": ([(95, 0), (90, 25)], 12),
    "three groups": ([(70, 0), (-40, 14), (48, 30)], 17),
    "stop in front": ([(50, 10)], 0),
    "stop behind": ([(-120, 0), (40, 45)], 58),
}


def thick():
    """Principal planes and pupils by a package of 2x2 matrices; the pupil law and the hiatus
    sign; then rays from our limits through those matrices: their blur must be the circle."""
    gap, lens_of = surfaces.Transfer, lambda f: surfaces.ABCD(1, 0, -1 / f, 1)
    rows = []
    def through(parts, a, b):
        """Matrix from station a to station b over the parts between."""
        m, z = surfaces.ABCD(), a
        for f, at in parts:
            m, z = lens_of(f) @ gap(at - z) @ m, at
        return gap(b - z) @ m
    for name, (parts, stop) in LENSES.items():
        first, last = parts[0][1], parts[-1][1]
        whole = through(parts, first, last)
        h, h2 = first + whole.P1, last + whole.P2
        f, e = whole.f2, h2 - h
        front = [x for x in parts if x[1] < stop]; rear = [x for x in parts if x[1] >= stop]
        # the stop imaged forward through what is behind it, and backward through what is before
        def pupil(m, z):      # image station and magnification of the point m starts from
            back = -m.B / m.D
            return z + back, m.A + back * m.C
        xp, mx = pupil(through(rear, stop, rear[-1][1]), rear[-1][1]) if rear else (stop, 1)
        mirrored = [(g, -at) for g, at in reversed(front)]
        ep, me = pupil(through(mirrored, -stop, mirrored[-1][1]), mirrored[-1][1]) if front else (-stop, 1)
        ep, p = -ep, mx / me
        say = f"{name};stop={stop}"
        ours = Lens(mpf(f), mpf(e), mpf(p))
        rows.append(pair("entrance pupil to H", say, ours.ep_to_h, h - ep, 1e-12, f))
        rows.append(pair("H' to exit pupil", say, ours.h_to_xp, xp - h2, 1e-12, f))
        if len(parts) == 2:
            (f1, _), (f2, d) = parts
            rows.append(pair("hiatus -f d^2/(f1 f2)", say, -f * d * d / (f1 * f2), e, 1e-12))
            rows.append(pair("focal length", say, f, thinlens.twolens_efl(f1, f2, d), 1e-12))
        for d, n, c in ((8 * f + abs(e), 2.8, 0.025), (60 * f, 4, 0.02), (9000, 2, 0.03)):
            l = ours.focus(mpf(d)); a = f / n
            plane = xp + float(l)
            near, far = ours.limits(l, mpf(a), mpf(c))
            at = f"{say};focus={d:.12g};n={n};circle={c}"
            to_image = through(parts, plane - d, plane)
            rows.append(pair("in focus: B of object to image is 0", at, 0, to_image.B, 1e-10, d))
            rows.append(pair("magnification", at, ours.shrink(l), -to_image.A, 1e-9))
            for which, limit in (("near", near), ("far", far)):
                if limit == INF: continue
                z = plane - float(limit)
                ray = through(parts, z, plane) @ sources.Ray(y=0, u=a / 2 / (ep - z))
                rows.append(pair(f"blur at the {which} limit", at, c, 2 * abs(ray.y), 1e-8))
    table("thick_lens", rows)


def units():
    u = pint.UnitRegistry()
    mm = lambda x: x.to(u.mm).magnitude
    texts = {"5'6\"": 5 * u.ft + 6 * u.inch, "7'3 1/2\"": 7 * u.ft + 3.5 * u.inch, "10'": 10 * u.ft, "1/8\"": 0.125 * u.inch,
             "5.6'": 5.6 * u.ft, "41'8\"": 500 * u.inch, "83'4\"": 1000 * u.inch, "8'6 1/2\"": 8 * u.ft + 6.5 * u.inch, "0'1/64\"": u.inch / 64}
    rows = [pair("length in mm", t, feet(t), mm(x), 1e-15) for t, x in texts.items()]
    rows.append(pair("point in mm", "1 pt", 25.4 / 72, mm(1 * u.point), 1e-15))
    rows.append(pair("CSS pixel in mm", "1 px", 25.4 / 96, mm(1 * u.css_pixel), 1e-15))
    rows.append(pair("module of 32 per inch", "", 0.79375, mm(1 * u.inch / 32), 1e-15))
    rows.append(pair("arcminute in degrees", "1'", 1 / 60, (1 * u.arcminute).to(u.degree).magnitude, 1e-15))
    table("units", rows)


def fields():
    """Angles of field.csv. The grid of 1000 pixels a side is ours; only ratios matter."""
    rows = []
    for r in random.Random(2).sample(read("field.csv"), 60):
        f, e, p, w, h = (float(r[k]) for k in ("focal", "hiatus", "pupil", "gate_width", "gate_height"))
        lens = Lens(mpf(f), mpf(e), mpf(p))
        q = float(lens.focus(INF if r["focus"] == "infinity" else mpf(float(r["focus"]))) / lens.p)
        at = ";".join(f"{k}={r[k]}" for k in ("focal", "hiatus", "pupil", "gate_width", "gate_height", "focus"))
        for distance, end in ((f, "_infinity"), (q, "")):
            k = numpy.array([[distance * 1000 / w, 0, 500], [0, distance * 1000 / h, 500], [0, 0, 1]])
            x, y, *_ = cv2.calibrationMatrixValues(k, (1000, 1000), w, h)
            rows.append(pair("horizontal" + end, at, r["horizontal" + end], x, 1e-13))
            rows.append(pair("vertical" + end, at, r["vertical" + end], y, 1e-13))
    table("field", rows)


def crops(formats):
    """Diagonals of the digital formats against the nearest crop factor of an open camera data
    set (CC BY-SA). Only our id and the difference are written; nothing of the data set is."""
    import lensfunpy
    known = sorted({c.crop_factor for c in lensfunpy.Database().cameras})
    full, rows = math.hypot(36, 24), []
    with open(formats, newline="") as file: digital = [r for r in csv.DictReader(file) if r["kind"] == "digital"]
    for r in digital:
        d = math.hypot(float(r["width_mm"]), float(r["height_mm"]))
        gap = min((full / k - d for k in known), key=abs)
        # Extractions and classes without a camera in the set need not be near anything: no bound.
        claimed = "crop" in r["source"] or r["id"] == "dig-ff"
        rows.append(dict(format=r["id"], difference_mm=f"{gap:.3f}", difference=gap / d, bound=0.01 if claimed else None))
    table("crop", rows)


if __name__ == "__main__":
    args = argparse.ArgumentParser()
    args.add_argument("--formats")
    args = args.parse_args()
    thin(); thick(); units(); fields()
    if args.formats: crops(args.formats)
    print("all within bounds" if not bad else f"{bad} beyond their bounds")
    raise SystemExit(bad != 0)
