#!/usr/bin/env python3
"""Checks every figure in facts.csv, in 60 digits, to the rounding it is given with.

    facts.py        exit 1 and a line for each figure that is wrong
    facts.py -v     every figure with its recomputed value

`inputs` is `quantity=NAME;key=value;...`: lengths in mm, angles in degrees, unless the key
ends in a unit. `from=` names the point a distance is measured from; all but `image_plane`
travel with the lens, so a limit `from=lens` is measured from the lens as it stands at the
focus in question. The optics comes from tables.py (rays, not closed forms); the rest is
one line of arithmetic each, below.
"""
import csv, re, sys
from fractions import Fraction
from pathlib import Path
from mpmath import mp, mpf
import kinds
from tables import INF, Lens, root

pi, sqrt, log2 = mp.pi, mp.sqrt, lambda x: mp.log(x, 2)
rad, deg = mp.radians, mp.degrees


class Case:
    """A lens, stop, circle and focus as the inputs give them; missing keys mean a thin lens."""

    def __init__(self, i):
        num = lambda k, other=None: INF if i.get(k) == "infinity" else mpf(i[k]) if k in i else other
        self.i, self.num = i, num
        self.f, self.n, self.c = num("focal"), num("n", mpf(1)), num("circle")
        self.e, self.p = num("hiatus", mpf(0)), num("pupil", mpf(1))
        self.lens, self.a = Lens(self.f, self.e, self.p), self.f / self.n

    def plane(self, l, name=None):
        """How far the named point stands in front of the image plane."""
        t, name = self.lens.station(l), name or self.i["from"]
        h = t - self.lens.ep_to_h
        return {"image_plane": 0, "entrance_pupil": t, "lens": h, "front_principal": h, "front_focal_point": h + self.f}[name]

    def at(self, d, l=None):
        """Where the lens stands when focused at d from the named point."""
        if self.i["from"] == "image_plane" or d == INF: return self.lens.focus(d)
        t = self.lens.l_infinity
        s = d - self.plane(t, "entrance_pupil") + self.plane(t)      # the gap moves with the lens
        return self.p / (1 / self.f - 1 / (s * self.p))

    def l(self):
        m = self.num("magnification")
        return root(lambda l: self.lens.shrink(l) - m, self.lens.l_infinity, 99 * self.lens.l_infinity) if m else self.at(self.num("focus"))

    def limits(self, l): return [x - self.plane(l) for x in self.lens.limits(l, self.a, self.c)]

    def gain(self):
        close = self.num("close_focus")
        return self.num("gain") or self.num("travel") / (self.lens.focus(close) - self.lens.l_infinity)

    def turn(self, d): return self.gain() * (self.lens.focus(d) - self.lens.l_infinity)

    def hyperfocal_l(self):
        return root(lambda x: self.a * self.lens.height(x, 0) + self.c, self.lens.l_infinity, self.lens.l_unity)

    def hold(self):
        near, far = self.num("near"), self.num("far")
        def w(l, d): return mpf(0) if d == INF else 1 / (d + self.plane(l) - self.lens.station(l))
        l = root(lambda l: self.lens.height(l, w(l, near)) + self.lens.height(l, w(l, far)), self.at(far), self.at(near))
        return self.lens.object(l) - self.plane(l), self.f * self.lens.height(l, w(l, near)) / self.c


def thin_total(f, n, c, u):
    """Textbook depth of a thin lens with a distance u from the lens."""
    h, x = f * f / (n * c), u - f
    return u / (1 - x / h) - u / (1 + x / h)


def tolerance(k):
    l, d, c = k.l(), k.num("focus"), k.c
    blur = lambda x: k.a * k.lens.height(x, k.lens.vergence(x, d))
    wide = 3 * c * k.n
    return k.gain() * min(l - root(lambda x: blur(x) - c, l - wide, l), root(lambda x: blur(x) + c, l, l + wide) - l)


def feet(text):
    """5'6", 7'3 1/2", 10', 1/8", 5.6' : exact inches, then mm."""
    ft, _, inch = text.rpartition("'")
    total = Fraction(ft or 0) * 12 + sum(Fraction(x) for x in inch.strip('"').split())
    return mpf(total.numerator) / total.denominator * mpf("25.4")


def disc_otf(c, nu):
    a = pi * c * nu
    return 2 * mp.besselj(1, a) / a


def transfer(a, s):
    """The common area of two discs, each point with its phase; the substitution takes the edge's root away."""
    x = lambda t: (1 - s) * (1 - t * t)
    return 8 / pi * (1 - s) * mp.quad(lambda t: mp.cos(a * x(t)) * sqrt((1 - s) * (1 + x(t) + s)) * t * t, [0, 1])


def singlet(r1, r2, d, n):
    """Power, and the two principal planes measured inward as positive along the light."""
    a, b = (n - 1) / r1, (1 - n) / r2
    power = a + b - d / n * a * b
    return 1 / power, d / n * b / power, -d / n * a / power


def compute(i):
    q = i["quantity"]
    g = lambda k: INF if i[k] == "infinity" else mpf(i[k])
    k = Case(i) if "focal" in i and q in OPTICS else None
    return OPTICS[q](k) if k else PLAIN[q](g, i)


OPTICS = {
    "hyperfocal": lambda k: k.lens.object(k.hyperfocal_l()) - k.plane(k.hyperfocal_l()),
    "hyperfocal_near": lambda k: k.limits(k.hyperfocal_l())[0],
    "near": lambda k: k.limits(k.l())[0],
    "far": lambda k: k.limits(k.l())[1],
    "total": lambda k: (lambda nf: nf[1] - nf[0])(k.limits(k.l())),
    "total_ratio_pupil": lambda k: (lambda a, b: (a[1] - a[0]) / (b[1] - b[0]))(k.limits(k.l()), (lambda o: o.limits(o.l()))(Case({**k.i, "pupil": "1"}))),
    "total_percent_of_stop": lambda k: (lambda a, b: (b[1] - b[0]) / (a[1] - a[0]) * 100 - 100)(k.limits(k.l()), Case({**k.i, "n": k.i["n2"]}).limits(k.l())),
    "harmonic_mean_of_limits": lambda k: (lambda a, b: 2 * a * b / (a + b))(*k.limits(k.l())),
    "behind_over_front": lambda k: (lambda a, b, s: (b - s) / (s - a))(*k.limits(k.l()), k.num("focus")),
    "near_change_sign": lambda k: change(k, 0),
    "far_change_sign": lambda k: change(k, 1),
    "near_difference": lambda k: other(k)[0] - k.limits(k.l())[0],
    "far_difference": lambda k: other(k)[1] - k.limits(k.l())[1],
    "hold_focus": lambda k: k.hold()[0],
    "hold_n": lambda k: k.hold()[1],
    "magnification": lambda k: k.lens.shrink(k.l()),
    "extension": lambda k: k.l() - k.lens.l_infinity,
    "lens_to_object": lambda k: k.num("focus") - k.plane(k.l(), "lens"),
    "image_distance": lambda k: k.f + k.l() - k.lens.l_infinity,
    "entrance_pupil": lambda k: k.plane(k.l(), "entrance_pupil"),
    "closest": lambda k: k.lens.object(k.lens.l_unity),
    "working_n": lambda k: k.l() / (k.p * k.a),
    "exposure_loss": lambda k: 2 * log2(k.l() / (k.p * k.a) / k.n),
    "ring_position": lambda k: k.turn(k.num("focus")),
    "ring_near_offset": lambda k: k.turn(k.lens.limits(k.l(), k.a, k.c)[0]) - k.turn(k.num("focus")),
    "ring_far_offset": lambda k: k.turn(k.lens.limits(k.l(), k.a, k.c)[1]) - k.turn(k.num("focus")),
    "ring_tolerance": tolerance,
    "ring_tolerance_first_order": lambda k: k.gain() * k.l() / (k.p * k.a) * k.c,
    "ring_depth_far_away": lambda k: k.gain() * k.n * k.c,
    "ring_arc_far_away": lambda k: k.gain() * k.n * k.c / 360 * pi * k.num("ring_diameter"),
    "ring_speed": lambda k: -mp.diff(lambda d: k.turn(d), k.num("focus"), h=mpf(10) ** -25) * k.num("speed_mm_per_s"),
    "ring_error_of_tape": lambda k: -mp.diff(lambda d: k.turn(d), k.num("focus"), h=mpf(10) ** -25) * k.num("taped_sd"),
    "real_focus": lambda k: (lambda l: k.lens.object(l) - k.plane(l))(k.l() + k.num("image_plane_error")),
    "infinity_setting_focus": lambda k: (lambda l: k.lens.object(l) - k.plane(l))(k.lens.l_infinity + k.num("image_plane_error")),
    # how much nearer the focus falls, seen from a lens that has not moved
    "focus_shift": lambda k: k.lens.object(k.l()) - k.lens.station(k.l()) - (lambda l: k.lens.object(l) - k.lens.station(l))(k.l() + k.num("image_plane_error")),
    "angle": lambda k: 2 * deg(mp.atan(k.p * k.num("size") / 2 / k.l())),
    "angle_from_principal": lambda k: 2 * deg(mp.atan(k.num("size") / 2 / (k.f + k.l() - k.lens.l_infinity))),
    "field_width": lambda k: k.num("size") / k.lens.shrink(k.l()),
    "percent_thin": lambda k: error(k, lambda d: (lambda t: t[1] - t[0])(Case({**k.i, "hiatus": "0", "pupil": "1"}).limits(Lens(k.f, mpf(0), mpf(1)).focus(d)))),
    "percent_ring_as_lens_distance": lambda k: error(k, lambda d: thin_total(k.f, k.n, k.c, d)),
    "percent_shortcut": lambda k: error(k, lambda d: (lambda h: h * d / (h - d) - h * d / (h + d))(k.f ** 2 / (k.n * k.c))),
}


def other(k):
    o = Case({**k.i, **{a[:-1]: b for a, b in k.i.items() if a in ("n2", "circle2", "focal2")}})
    return o.limits(o.l())


def change(k, which): return mp.sign(other(k)[which] - k.limits(k.l())[which])


def error(k, wrong):
    near, far = k.limits(k.l())
    return 100 * (wrong(k.num("focus")) / (far - near) - 1)


PLAIN = {
    "near_approximate": lambda g, i: g("hyperfocal") / (g("divisor") + 1),
    "far_approximate": lambda g, i: INF if g("divisor") == 1 else g("hyperfocal") / (g("divisor") - 1),
    "depth_step_overlapping": lambda g, i: g("hyperfocal") / g("step"),
    "depth_step_touching": lambda g, i: g("hyperfocal") / (2 * g("step") - 1),
    "depth_step_touching_near": lambda g, i: g("hyperfocal") / (2 * g("step")),
    "one_third_rule": lambda g, i: g("near") + (g("far") - g("near")) / 3,
    "harmonic_mean": lambda g, i: 2 / (1 / g("near") + 1 / g("far")),
    "full_stop_at_or_darker": lambda g, i: next(mpf(x) for x in "1 1.4 2 2.8 4 5.6 8 11 16 22 32 45 64".split() if mpf(x) >= g("n")),
    "near_by_angle": lambda g, i: g("focus") - g("focus") ** 2 * mp.tan(rad(g("angle_deg"))) / (g("aperture") + g("focus") * mp.tan(rad(g("angle_deg")))),
    "far_by_angle": lambda g, i: g("focus") + g("focus") ** 2 * mp.tan(rad(g("angle_deg"))) / (g("aperture") - g("focus") * mp.tan(rad(g("angle_deg")))),
    "near_first_order": lambda g, i: g("focal") * g("focus") * (g("aperture") + g("circle")) / (g("focal") * g("aperture") + g("focus") * g("circle")),
    "far_first_order": lambda g, i: g("focal") * g("focus") * (g("aperture") - g("circle")) / (g("focal") * g("aperture") - g("focus") * g("circle")),
    "focus_shift_linear": lambda g, i: g("image_plane_error") * (g("focus") - g("focal")) ** 2 / g("focal") ** 2,
    "dioptre_error": lambda g, i: 1000 * g("image_plane_error") / g("focal") ** 2,
    "share_of_half_depth_percent": lambda g, i: 100 * g("image_plane_error") / (g("n") * g("circle")),
    "image_blur_of_error": lambda g, i: g("image_plane_error") / g("n"),
    "angle_desqueezed": lambda g, i: 2 * deg(mp.atan(g("size") * g("squeeze") / 2 / g("focal"))),
    "width_by_ring_distance": lambda g, i: g("size") * g("focus") / g("focal"),
    "width_by_ring_distance_less_focal": lambda g, i: g("size") * (g("focus") - g("focal")) / g("focal"),
    "close_up_focus": lambda g, i: 1000 / (g("dioptres") + (0 if g("focus") == INF else 1000 / g("focus"))),
    "close_up_near": lambda g, i: close_up_limits(g, i)[0],
    "close_up_far": lambda g, i: close_up_limits(g, i)[1],
    "side_to_side_ratio": lambda g, i: side_to_side(i),
    "extender_loss": lambda g, i: 2 * log2(g("factor")),
    "tube_loss": lambda g, i: 2 * log2(with_tube(g, i, f"tube {i['tube']}") / with_tube(g, i, "")),
    "plate_shift": lambda g, i: g("thickness") - g("thickness") / g("index"),
    "plate_shift_marginal": lambda g, i: (lambda th: g("thickness") * (1 - mp.cos(th) / sqrt(g("index") ** 2 - mp.sin(th) ** 2)))(mp.atan(1 / (2 * g("n")))),
    "close_up_focal": lambda g, i: g("focal") / (1 + g("focal") / 1000 * g("dioptres")),
    "close_up_magnification": lambda g, i: g("focal") / 1000 * g("dioptres"),
    "length": lambda g, i: feet(i["text"]),
    "ratio": lambda g, i: g("a") / g("b"),
    "points": lambda g, i: mpf("25.4") / 72,
    "css_pixel": lambda g, i: mpf("25.4") / 96,
    "aperture": lambda g, i: g("focal") / g("n"),
    "aspect": lambda g, i: g("width") * g("squeeze") / g("height"),
    "extraction_height": lambda g, i: min(g("height"), g("width") / g("aspect")),
    "diagonal": lambda g, i: sqrt(g("width") ** 2 + g("height") ** 2),
    "crop_diagonal": lambda g, i: sqrt(mpf(36) ** 2 + mpf(24) ** 2) / g("crop"),
    "module_of_pitch": lambda g, i: mpf("25.4") / g("per_inch"),
    "module_ratio": lambda g, i: g("module") * g("per_inch") / mpf("25.4"),
    "t_number": lambda g, i: g("n") / sqrt(g("transmittance")),
    "nominal_error_stops": lambda g, i: abs(2 * log2(sqrt(mpf(2)) ** g("step") / g("n"))),
    "stop_plus": lambda g, i: g("n") * sqrt(mpf(2)) ** (g("thirds") / 3),
    "circle_diagonal": lambda g, i: sqrt(g("width") ** 2 + g("height") ** 2) / g("divisor"),
    "circle_of_diagonal": lambda g, i: g("diagonal") / g("divisor"),
    "circle_inch": lambda g, i: mpf("25.4") / g("per_inch"),
    "circle_viewing": lambda g, i: g("height") * g("picture_heights") * mp.tan(rad(g("arcmin") / 60)),
    "arcmin_of_circle": lambda g, i: 60 * deg(mp.atan(g("circle") / (g("height") * g("picture_heights")))),
    "disc_otf": lambda g, i: disc_otf(g("circle"), g("cycles_per_mm")),
    "airy": lambda g, i: 2 * mp.besseljzero(1, 1) / pi * g("wavelength_nm") / 10 ** 6 * g("n"),
    "diffraction_contrast": lambda g, i: transfer(mpf(0), g("sigma")),
    "quarter_wave_focus": lambda g, i: 2 * g("wavelength_nm") / 10 ** 6 * g("n") ** 2,
    "strehl": lambda g, i: (mp.sin(pi * g("waves")) / (pi * g("waves"))) ** 2,
    "defocused_transfer": lambda g, i: transfer(8 * pi * g("waves") * g("sigma"), g("sigma")),
    "best_stop_constant": lambda g, i: 1 / (4 * mp.besseljzero(1, 1) / pi * g("wavelength_nm") / 10 ** 6),
    "disc_first_zero": lambda g, i: mp.besseljzero(1, 1) / (pi * g("circle")),
    "tape_length": lambda g, i: pi * (g("diameter") + 2 * (g("under") if "under" in i else 0) + g("thickness")) * g("angle") / 360,
    "singlet_focal": lambda g, i: singlet(g("r1"), g("r2"), g("thickness"), g("index"))[0],
    "singlet_front_principal": lambda g, i: singlet(g("r1"), g("r2"), g("thickness"), g("index"))[1],
    "singlet_rear_principal": lambda g, i: singlet(g("r1"), g("r2"), g("thickness"), g("index"))[2],
    "singlet_image_from_principal": lambda g, i: (lambda f, h, k: 1 / (1 / f - 1 / (g("object") + h)))(*singlet(g("r1"), g("r2"), g("thickness"), g("index"))),
    "singlet_image_from_vertex": lambda g, i: (lambda f, h, k: 1 / (1 / f - 1 / (g("object") + h)) + k)(*singlet(g("r1"), g("r2"), g("thickness"), g("index"))),
    "singlet_back_focus": lambda g, i: (lambda f, h, k: f + k)(*singlet(g("r1"), g("r2"), g("thickness"), g("index"))),
    "contact_focal": lambda g, i: 1 / (1 / g("focal1") + 1 / g("focal2")),
    "contact_dioptres": lambda g, i: 1000 / g("focal1") + 1000 / g("focal2"),
}


def close_up_limits(g, i):
    whole = kinds.Whole(kinds.Unit(g("focal"), mpf(0), mpf(1)), g("n"), "", f"{i['dioptres']}@{i['at']}")
    return whole.set(mpf(0)).limits(g("circle"))


def with_tube(g, i, behind):
    s = kinds.Whole(kinds.Unit(g("focal"), mpf(0), mpf(i.get("pupil", 1))), mpf(4), behind).set(mpf(0))
    return s.working_n(s.slope(s.focus()))


def side_to_side(i):
    x = kinds.anamorphic({"hiatus": "0", "pupil": "1", "gate_width": "20.96", **i})
    far, near = ("far_x_screen", "near_x_screen") if i["circle_on"] == "screen" else ("far_x", "near_x")
    return (x[far] - x[near]) / (x["far"] - x["near"])


# Limits that no lens reaches: the table's tolerance is for the shortest lens the
# library takes, the closed form of the limit itself is held far closer.
LIMITS = {"quantity=depth_step_touching": "1e-9", "quantity=depth_step_touching_near": "1e-9"}


def main():
    wrong = 0
    with open(Path(__file__).resolve().parent / "facts.csv", newline="") as file: rows = list(csv.DictReader(file))
    assert len({r["id"] for r in rows}) == len(rows), "two facts share an id"
    for r in rows:
        assert r["statement"] and r["source"] and re.fullmatch(r"[^=;]+=[^=;]+(;[^=;]+=[^=;]+)*", r["inputs"]), r["id"]
        x = compute(dict(part.split("=") for part in r["inputs"].split(";")))
        want = INF if r["expected"] == "infinity" else mpf(r["expected"])
        tolerance = mpf(min(r["tolerance"], LIMITS.get(r["inputs"].split(";")[0], r["tolerance"]), key=float))
        ok = x == want if INF in (x, want) else abs(x - want) <= tolerance * (1 + mpf(10) ** -12)
        wrong += not ok
        if not ok or "-v" in sys.argv: print(f"{'' if ok else 'WRONG '}{r['id']}: {r['expected']} +- {r['tolerance']}, computed {mp.nstr(x, 12)}")
    print(f"{len(rows)} facts, {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__": sys.exit(main())
