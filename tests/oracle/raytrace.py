#!/usr/bin/env python3
"""Rays through lenses by a general optics package (optiland), from the limits of depth.

    raytrace.py              write raytrace.csv
    raytrace.py --check      trace again and compare with it (to 1e-9 of each figure)

Needs `optiland` (0.6.3 was used) beside mpmath; not part of the daily check, which reads the
table. Each row is a lens as the package describes it paraxially (focal length, entrance
pupil, pupil magnification, hiatus from the principal planes), a stop, a circle, a focus, and
the near and far limits from tables.py or kinds.py, which know nothing of optiland. From an
object at each limit, on the axis, the package traces the ray that grazes the rim of the
stop; `blur_near` and `blur_far` are twice its height on the image plane, signed + behind the
focus and - in front. If the limits are right, an ideal lens makes them the circle; a real
one adds its own spherical aberration, which cancels from the half-sum.

Lenses. Ideal ones are thin groups about a stop. Real ones ship with the package as samples: a
double-Gauss objective, a reverse telephoto (scaled to 32.08 mm) and a telephoto (Laikin, Lens
Design, 4th ed., 2007, p. 91). The close-up lenses: an ideal one, and a biconvex one of BK7.
The anamorphic fronts: two cylinders, the negative one in front, whose gap is adjusted until
both meridians are in focus on the same object, ideal ones and plano-cylinders of glass; each
row says which meridian. A row of kind `model` has the limits of the model that gives both
meridians one pupil station and one squeeze; all others have those of the lens as it stands.
"""
import csv, io, math, sys
from pathlib import Path
import warnings
warnings.simplefilter("ignore")        # a compiler's, about its own variables
import numpy as np
from mpmath import mpf
from optiland import optic
from optiland.interactions.thin_lens_interaction_model import ThinLensInteractionModel
from optiland.materials import IdealMaterial
from optiland.rays import RealRays
from optiland.samples.objectives import DoubleGauss, ReverseTelephoto, Telephoto
import kinds, tables

HERE = Path(__file__).resolve().parent
WAVE = 0.5876                          # um, the d line, as the samples' primary wavelength
BK7 = 1.5168


class CylinderModel(ThinLensInteractionModel):
    """An ideal thin cylinder: the slope changes across one axis only."""

    interaction_type = "thin_cylinder"

    def __init__(self, f, axis):
        super().__init__(parent_surface=None, focal_length=f, is_reflective=False)
        self.axis = axis

    def interact_real_rays(self, rays):
        x, y = rays.L / rays.N, rays.M / rays.N
        if self.axis == "x": x = x - rays.x / self.f
        else: y = y - rays.y / self.f
        rays.N = 1 / np.sqrt(1 + x * x + y * y)
        rays.L, rays.M = x * rays.N, y * rays.N
        return rays


# A lens is a list of elements: ("thin", f), ("stop",), ("gap", mm), ("glass", radius, index or material),
# ("cylinder", f, axis), ("plano", radius, index, axis) (power across that axis), ("air", radius).

def sample(cls, scale=None):
    lens = cls()
    if scale: lens.updater.scale_system(scale / float(lens.paraxial.f2()))
    out, group = [], lens.surfaces
    for i in range(1, group.num_surfaces - 1):
        s = group[i]
        if i == group.stop_index: out.append(("stop",))
        else: out.append(("glass", float(s.geometry.radius), s.material_post))
        if i < group.num_surfaces - 2: out.append(("gap", float(np.ravel(group.get_thickness(i))[0])))
    return out


def build(elements, image, meridian=None):
    """The system with its image plane `image` behind the last element. With a meridian named,
    cylinders become round lenses of the power they have in it: for paraxial figures."""
    o = optic.Optic()
    o.surfaces.add(index=0, radius=np.inf, thickness=np.inf)
    rows, gap = [], 0.0
    for e in elements:
        if e[0] == "gap": rows[-1][1] += e[1]
        else: rows.append([e, 0.0])
    rows[-1][1] = image
    cylinders = []
    for i, (e, thickness) in enumerate(rows, 1):
        what, add = e[0], lambda **k: o.surfaces.add(index=i, thickness=thickness, **k)
        if what == "stop": add(radius=np.inf, is_stop=True)
        elif what == "thin": add(surface_type="paraxial", f=e[1])
        elif what == "cylinder":
            if meridian is None: add(surface_type="paraxial", f=e[1]); cylinders.append((i, e))
            elif e[2] == meridian: add(surface_type="paraxial", f=e[1])
            else: add(radius=np.inf)
        elif what == "glass": add(radius=e[1], material=e[2] if not isinstance(e[2], float) else IdealMaterial(n=e[2]))
        elif what == "plano":
            glass = IdealMaterial(n=e[2])
            if meridian is None: add(surface_type="biconic", radius_x=e[1] if e[3] == "x" else np.inf, radius_y=e[1] if e[3] == "y" else np.inf, material=glass, tol=1e-13)
            else: add(radius=e[1] if e[3] == meridian else np.inf, material=glass)
        else: raise ValueError(what)
    o.surfaces.add(index=len(rows) + 1)
    o.set_aperture(aperture_type="EPD", value=1.0)
    o.fields.set_type(field_type="angle"); o.fields.add(y=0)
    o.wavelengths.add(value=WAVE, is_primary=True)
    for i, e in cylinders: o.surfaces[i].interaction_model = CylinderModel(e[1], e[2])
    return o


def length(elements): return sum(e[1] for e in elements if e[0] == "gap")


def paraxial(o, y, u, z):
    """Heights and slopes of a paraxial ray that starts at z before the first surface."""
    ys, us = o.paraxial.trace_generic(float(y), float(u), float(z), WAVE)
    return [float(v[0]) for v in ys], [float(v[0]) for v in us]


def image_distance(elements, s, meridian=None):
    """From the last element to the image of an object s before the first one."""
    o = build(elements, 1.0, meridian)
    ys, us = paraxial(o, 1e-3 if s == math.inf else 0.0, 0.0 if s == math.inf else 1e-3 / s, 0.0 if s == math.inf else -s)
    return 1.0 - ys[-1] / us[-1]


def solve(f, a, b):
    fa, fb = f(a), f(b)
    assert fa * fb < 0, (a, fa, b, fb)
    for _ in range(200):
        c = b - fb * (b - a) / (fb - fa) if abs(fb - fa) > 0 else (a + b) / 2
        if not min(a, b) < c < max(a, b): c = (a + b) / 2
        fc = f(c)
        if fc == 0 or abs(b - a) < 1e-13 * abs(c): return c
        if fa * fc < 0: b, fb, fa = c, fc, fa / 2 if (fc > 0) == (fb > 0) else fa
        else: a, fa, fb = c, fc, fb / 2 if (fc > 0) == (fa > 0) else fb
    return c


def figures(elements, meridian=None):
    """Focal length, entrance pupil before the image plane at infinity focus, pupil
    magnification and hiatus, all as the package gives them."""
    back = image_distance(elements, math.inf, meridian)
    o = build(elements, back, meridian)
    p = o.paraxial
    whole = length(elements) + back
    first, second = float(p.P1()), float(p.P2())            # from the first surface, from the image plane
    return dict(focal=float(p.f2()), station=whole - float(p.EPL()), pupil=float(p.XPD()) / float(p.EPD()), hiatus=whole + second - first)


def stop_radius(elements, pupil, meridian=None):
    """Height in the stop of the ray that enters along the axis at the rim of the pupil: linear,
    so that it needs no rim of its own."""
    o = build(elements, 1.0, meridian)
    ys, _ = paraxial(o, pupil / 2, 0.0, 0.0)
    return abs(ys[o.surfaces.stop_index])


def grazing(elements, image, s, radius, axis="y"):
    """Height on the image plane of the real ray from an object s before the first element that
    meets the stop at its rim."""
    o = build(elements, image)
    stop = o.surfaces.stop_index
    one = lambda v: np.array([float(v)])
    across, along = ("x", "y") if axis == "x" else ("y", "x")
    def trace(u):
        """From the object with slope u; from infinity at height u."""
        height, start, slope = (u, -10.0, 0.0) if s == math.inf else (0.0, -s, u)
        n = 1 / math.sqrt(1 + slope * slope)
        at = {across: one(height), along: one(0)}
        to = {across: one(slope * n), along: one(0)}
        rays = RealRays(at["x"], at["y"], one(start), to["x"], to["y"], one(n), one(1), one(WAVE))
        o.surfaces.trace(rays, skip=1)
        return o.surfaces.x if axis == "x" else o.surfaces.y
    at_stop = lambda u: float(trace(u)[stop - 1, 0]) - radius                   # the object is left out
    step = radius / s if s != math.inf else radius
    top = step
    while at_stop(top) < 0: top *= 1.5
    heights = trace(solve(at_stop, 0.0, top))
    return float(heights[-1, 0])


def blur(elements, image, d, radius, axis="y"):
    """Diameter on the image plane, + for an object behind the focus: its image then lies
    before the plane, and the ray has crossed the axis."""
    s = d - image - length(elements) if d != math.inf else math.inf
    return -2 * grazing(elements, image, s, radius, axis)


def focused(elements, d, meridian=None):
    """Last element to image plane when an object at d from the image plane is in focus and the
    lens moves as a whole."""
    def miss(image): return image_distance(elements, d - image - length(elements), meridian) - image
    back = image_distance(elements, math.inf, meridian)
    f = float(build(elements, back, meridian).paraxial.f2())
    return back if d == math.inf else solve(miss, back, back + f * 0.999)


def limits(f, d, n, c):
    """Near and far from tables.py."""
    lens = tables.Lens(mpf(f["focal"]), mpf(f["hiatus"]), mpf(f["pupil"]))
    l = lens.focus(mpf(d) if d != math.inf else tables.INF)
    near, far = lens.limits(l, mpf(f["focal"]) / mpf(n), mpf(c))
    return float(near), float(far)


def row(case, kind, f, n, c, d, near, far, blurs, **more):
    base = dict(case=case, kind=kind, focal=f["focal"], station=f["station"], pupil=f["pupil"], hiatus=f["hiatus"], n=n, circle=c, focus=d,
                close_up="", mark="", squeeze="", meridian="", near=near, far=far, blur_near=blurs[0], blur_far=blurs[1])
    return {**base, **more}


def plain(case, kind, elements, n, c, d):
    f = figures(elements)
    radius = stop_radius(elements, f["focal"] / n)
    image = focused(elements, d)
    near, far = limits(f, d, n, c)
    return row(case, kind, f, n, c, d, near, far, [blur(elements, image, x, radius) for x in (near, far)])


def with_close_up(case, kind, lens, lens_elements, power, n, c, mark, gap_to_lens):
    """A close-up lens in front; the lens stays on its mark."""
    f = figures(lens_elements)
    radius = stop_radius(lens_elements, f["focal"] / n)
    image = focused(lens_elements, mark)
    front = lens["elements"]
    whole = front + [("gap", gap_to_lens)] + lens_elements
    # Where the thin lens would stand: at the rear principal plane, the object seen from the front one.
    at = image + length(lens_elements) + gap_to_lens + lens["rear"]
    apart = lens["apart"]
    unit = kinds.Unit(mpf(f["focal"]), mpf(f["hiatus"]), mpf(f["pupil"]))
    bare = kinds.Whole(unit, mpf(n))
    m = mpf(0) if mark == math.inf else bare.setting(mpf(mark), mpf(0), mpf(1))
    s = kinds.Whole(unit, mpf(n), "", f"{power!r}@{at!r}").set(m)
    focus = float(s.focus())
    near, far = (float(x) for x in s.limits(mpf(c)))
    blurs = [blur(whole, image, x + apart, radius) for x in (near, far)]
    return row(case, kind, f, n, c, focus, near, far, blurs, close_up=f"{power!r}@{at!r}", mark=mark)


def biconvex(power, thickness, index):
    """Of equal radii, with the given power in glass that thick; principal planes by the package."""
    def off(r): return 1000 / float(build(elements(r), 1.0).paraxial.f2()) - power
    def elements(r): return [("glass", r, index), ("gap", thickness), ("glass", -r, 1.0)]
    made = elements(solve(off, 0.5 * 2000 * (index - 1) / power, 2 * 2000 * (index - 1) / power))
    lens = made + [("gap", 1.0), ("stop",)]
    o = build(lens, 1.0)
    front, rear = float(o.paraxial.P1()), float(o.paraxial.P2()) + 1.0 + 1.0          # rear from the last vertex
    return dict(elements=made, rear=-rear, apart=thickness + rear - front)


def anamorph(kind, squeeze, focal):
    """Two cylinders, the negative one in front, `focal` and squeeze times that; `gap` is what is adjusted."""
    if kind == "ideal": return lambda gap: [("cylinder", -focal, "x"), ("gap", gap), ("cylinder", squeeze * focal, "x")]
    radius = (BK7 - 1) * focal
    thin = 2.0
    return lambda gap: [("plano", -radius, BK7, "x"), ("gap", thin), ("glass", math.inf, 1.0), ("gap", gap),
                        ("glass", math.inf, BK7), ("gap", thin), ("plano", -squeeze * radius, 1.0, "x")]


def anamorphic(case, kind, glass, squeeze, focal, elements, n, c, d, gap_to_lens):
    made = anamorph(glass, squeeze, focal)
    def whole(gap): return made(gap) + [("gap", gap_to_lens)] + elements
    # The vertical meridian: glass plates at most. Focus both.
    gap = (squeeze - 1) * focal
    for _ in range(60):
        system = whole(gap)
        image = focused(system, d, "y")
        s = d - image - length(system)
        def miss(g): return image_distance(whole(g), d - image - length(whole(g)), "x") - image
        new = solve(miss, gap * 0.5, gap * 1.3)
        done, gap = abs(new - gap) < 1e-12 * gap, new
        if done: break
    system = whole(gap)
    image = focused(system, d, "y")
    fy, fx = figures(system, "y"), figures(system, "x")
    radius = stop_radius(system, fy["focal"] / n, "y")
    nx = fx["focal"] * stop_radius(system, 1.0, "x") / radius
    out = []
    for axis, f, stop in (("y", fy, n), ("x", fx, nx)):
        # each meridian as the lens it is where it stands: focal length, hiatus and pupils of that setting
        near, far = limits(f, d, stop, c)
        out.append(row(case, kind, f, stop, c, d, near, far, [blur(system, image, x, radius, axis) for x in (near, far)], meridian=axis))
    model = kinds.anamorphic(dict(focal=repr(fy["focal"]), hiatus=repr(fy["hiatus"]), pupil=repr(fy["pupil"]), n=repr(n), circle=repr(c), focus=repr(d),
                                  squeeze=repr(squeeze), part="front", gate_width="20.96"))
    near, far = float(model["near_x"]), float(model["far_x"])
    out.append(row(case, "model", fy, n, c, d, near, far, [blur(system, image, x, radius, "x") for x in (near, far)], squeeze=squeeze, meridian="x"))
    return out


# Ideal two-group lenses with the stop between them.
RETROFOCUS = [("thin", -80.0), ("gap", 30.0), ("stop",), ("gap", 10.0), ("thin", 50.0)]
TELEPHOTO = [("thin", 60.0), ("gap", 15.0), ("stop",), ("gap", 25.0), ("thin", -60.0)]
SYMMETRIC = [("thin", 90.0), ("gap", 6.0), ("stop",), ("gap", 6.0), ("thin", 90.0)]


def rows():
    out, inf = [], math.inf
    for name, lens, distances in (("retrofocus", RETROFOCUS, (450.0, 1000.0, 3000.0)), ("telephoto", TELEPHOTO, (740.0, 1500.0, 5000.0)), ("symmetric", SYMMETRIC, (400.0, 2000.0))):
        for n in (1.4, 2.8, 5.6, 11.0):
            for d in distances: out.append(plain(name, "ideal", lens, n, 0.025, d))
    for name, lens, stops, distances in (("double-Gauss", sample(DoubleGauss, 50.0), (5.6, 8.0, 16.0), (450.0, 1000.0, 3000.0)),
                                         ("reverse telephoto", sample(ReverseTelephoto, 32.08), (8.0, 16.0), (450.0, 1000.0)),
                                         ("telephoto", sample(Telephoto), (16.0,), (1500.0, 3000.0))):
        for n in stops:
            for d in distances: out.append(plain(name, "real", lens, n, 0.025, d))
    for name, lens in (("retrofocus", RETROFOCUS), ("telephoto", TELEPHOTO)):
        for power in (1.0, 2.0):
            ideal = dict(elements=[("thin", 1000 / power)], rear=0.0, apart=0.0)
            glass = biconvex(power, 4.0, BK7)
            for n in (2.8, 8.0):
                for mark in (inf, 3000.0, 1000.0):
                    out.append(with_close_up(name, "close-up", ideal, lens, power, n, 0.025, mark, 12.0))
                    if n == 8.0: out.append(with_close_up(name, "close-up of glass", glass, lens, power, n, 0.025, mark, 12.0))
    for squeeze in (2.0, 1.33):
        for d in (1500.0, 2500.0, 10000.0):
            for n in (2.8, 5.6): out += anamorphic("symmetric", "anamorphic", "ideal", squeeze, 120.0, SYMMETRIC, n, 0.025, d, 15.0)
        for d in (1000.0, 1500.0): out += anamorphic("symmetric", "anamorphic of glass", "glass", squeeze, 120.0, SYMMETRIC, 5.6, 0.025, d, 15.0)
    return out


def shown(x): return x if isinstance(x, str) else "infinity" if x == math.inf else repr(float(x))


def main():
    traced = rows()
    made = [{k: shown(v) for k, v in r.items()} for r in traced]
    text = io.StringIO(newline="")
    out = csv.DictWriter(text, made[0].keys(), lineterminator="\n")
    out.writeheader(); out.writerows(made)
    path = HERE / "raytrace.csv"
    if sys.argv[1:] == ["--check"]:
        old = list(csv.DictReader(path.open()))
        same = lambda a, b: a == b or (b not in ("", "infinity") and abs(float(a) - float(b)) <= 1e-9 * max(abs(float(b)), 1e-3))
        wrong = [(i, k) for i, (a, b) in enumerate(zip(old, made), 2) for k in b if not same(a[k], b[k])] + ([] if len(old) == len(made) else ["rows"])
        print(f"{len(made)} rows, {len(wrong)} figures differ", wrong[:5]); return 1 if wrong else 0
    path.write_bytes(text.getvalue().encode())
    worst = {}
    for r in traced:
        if r["far"] == math.inf: continue
        half = abs((abs(r["blur_near"]) + abs(r["blur_far"])) / 2 / r["circle"] - 1)
        each = max(abs(abs(b) / r["circle"] - 1) for b in (r["blur_near"], r["blur_far"]))
        w = worst.setdefault((r["kind"], r["case"], r["meridian"]), [0, 0]); w[0] = max(w[0], each); w[1] = max(w[1], half)
    for k, (each, half) in worst.items(): print(*k, f"worst limit {each:.1e} of the circle, worst half-sum {half:.1e}")
    return 0


if __name__ == "__main__": sys.exit(main())
