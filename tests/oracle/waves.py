#!/usr/bin/env python3
"""Reference tables for contrast out of focus, at 40 digits.

    waves.py                write otf.csv contrast.csv optimum.csv and waves.sha256
    waves.py --check K SEED recompute K rows drawn over all tables; verify waves.sha256
    waves.py --transform    compare the integral with transforms of a sampled pupil (needs numpy)

Route. The program under test integrates sin(a (cos t - sigma)) cos t over an angle, with 16
Gauss points a panel. Here the same common area of two discs is cut the other way,

    OTF = 4/pi * integral of cos(a x) sqrt(1 - (x + sigma)^2) dx,   x from 0 to 1 - sigma,

which has no 1/a in it, and every row of otf.csv is confirmed by a series of Bessel functions
(their values by downward recurrence). Blurs are found by walking outward from focus until
contrast has first come down, then by bracketed root finding; what limits by moving the stop a
millionth both ways at an object that stays; the best stop by golden section of the contrast
itself. Lenses and their limits are those of tables.py: rays through a matrix, no closed form.

Every input is rounded to a double first and its exact value is used. Lengths in mm, frequencies
in cycles/mm; `light` is nm:weight, `pitch` mm or `none`. Source of all figures: this
computation. Needs only mpmath.
"""
import csv, io, math, random, sys
from pathlib import Path
from mpmath import mp, mpf
import tables
from tables import Draw, Lens, exact, root, shown

mp.dps = 40
HERE = Path(__file__).resolve().parent
SEED = 20310403
PI = mp.pi
AIRY = mp.besseljzero(1, 1) / PI           # 1.2196698912665045...


def gauss(n):
    """Gauss points and weights on 0..1, by Newton's method on the Legendre polynomial."""
    out = []
    for i in range(n):
        x = mp.cos(PI * (i + mpf(3) / 4) / (n + mpf(1) / 2))
        for _ in range(100):
            p, q = mpf(1), x
            for k in range(1, n): p, q = q, ((2 * k + 1) * x * q - k * p) / (k + 1)
            slope = n * (p - x * q) / (1 - x * x)
            x -= q / slope
            if abs(q / slope) < mpf(10) ** -(mp.dps - 3): break
        out.append(((1 + x) / 2, 1 / ((1 - x * x) * slope * slope)))
    return out


NODES = gauss(48)
COARSE = [(float(x), float(w)) for x, w in NODES]


def area(a, s, cos=mp.cos, sqrt=mp.sqrt, nodes=None, four_over_pi=None):
    """The common area. x = (1 - s)(1 - t^2) takes the square root's end away."""
    if s >= 1: return s * 0
    nodes = nodes or NODES
    gap, panels, total = 1 - s, 1 + int(a * (1 - s) / 8), s * 0
    for i in range(panels):
        for node, weight in nodes:
            t = (i + node) / panels
            x = gap * (1 - t * t)
            total += weight * cos(a * x) * sqrt(gap * (1 + x + s)) * t * t
    return (four_over_pi or 4 / PI) * 2 * gap * total / panels


def quick(a, s): return area(a, s, math.cos, math.sqrt, COARSE, 4 / math.pi)


def bessels(a):
    """J_0 to J_n of a, n far beyond a, by downward recurrence."""
    n = int(a + 60 + 30 * float(a + 1) ** (1 / 3)) // 2 * 2
    js = [mpf(0)] * (n + 2)
    js[n] = mpf(10) ** -mp.dps
    for k in range(n, 0, -1): js[k - 1] = 2 * k / a * js[k] - js[k + 1]
    norm = js[0] + 2 * sum(js[2::2])
    return [j / norm for j in js]


def series(a, s):
    """The same by Bessel functions of the defocus."""
    if s >= 1: return mpf(0)
    b = mp.acos(s)
    if a == 0: return 2 / PI * (b - s * mp.sqrt(1 - s * s))
    with mp.workdps(mp.dps + 15 + max(0, int(-2 * mp.log10(a)))):
        j, even, odd = bessels(a), b * 0, b * 0
        even = b * j[1]
        for n in range(1, (len(j) - 2) // 2): even += (-1) ** (n + 1) * mp.sin(2 * n * b) / (2 * n) * (j[2 * n - 1] - j[2 * n + 1])
        for n in range((len(j) - 3) // 2): odd += (-1) ** n * mp.sin((2 * n + 1) * b) / (2 * n + 1) * (j[2 * n] - j[2 * n + 2])
        return +(4 / (PI * a) * (mp.cos(a * s) * even - mp.sin(a * s) * odd))


def otf(r):
    a, s = exact(r["a"]), exact(r["sigma"])
    one = series(a, s)
    if a * (1 - s) < 3000:                 # beyond, the series alone
        assert abs(area(a, s) - one) < mpf(10) ** -30, ("integral and series disagree", r)
    return dict(otf=one)


class Detail:
    def __init__(self, r):
        parts = [p.partition(":") for p in r["light"].split()]
        weights = [exact(w) for _, _, w in parts]
        self.lines = [(exact(nm + "e-6"), w / mp.fsum(weights)) for (nm, _, _), w in zip(parts, weights)]
        self.nu = exact(r["frequency"])
        self.pitch = None if r["pitch"] == "none" else exact(r["pitch"])
        self.shortest = min(l for l, _ in self.lines)

    def site(self, nu=None):
        x = PI * (nu or self.nu) * self.pitch if self.pitch else 0
        return mp.sin(x) / x if x else mpf(1)

    def contrast(self, b, nw, nu=None):
        nu = nu or self.nu
        return self.site(nu) * mp.fsum(w * area(PI * abs(b) * nu, l * nw * nu) for l, w in self.lines)

    def roughly(self, b, nw):
        return float(self.site()) * sum(float(w) * quick(math.pi * b * float(self.nu), float(l * nw * self.nu)) for l, w in self.lines)

    def first(self, wanted, nw):
        """The blur at which contrast has first come down to what is wanted; None if never above."""
        if self.contrast(mpf(0), nw) <= wanted: return None
        step = 0.02 / float(self.nu) / (1 - min(1, float(self.shortest * nw * self.nu)))
        b = step
        while self.roughly(b, nw) > wanted: b += step
        return root(lambda x: self.contrast(x, nw) - wanted, mpf(max(0, b - 2 * step)), mpf(b + step))


def contrast(r):
    f, e, p, n, d = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "focus"))
    detail, wanted = Detail(r), exact(r["contrast"])
    lens, aperture = Lens(f, e, p), f / n
    with mp.workdps(60):
        l = lens.focus(d)
        nw = l / (p * aperture)
    best = detail.contrast(mpf(0), nw)
    out = dict(working_n=nw, airy=2 * AIRY * nw * mp.fsum(w * l for l, w in detail.lines), cut_off=1 / (detail.shortest * nw), in_focus=best)
    b = detail.first(wanted, nw)
    if b is None:
        end = min([1 / (detail.shortest * nw)] + ([1 / detail.pitch] if detail.pitch else []))
        finest = root(lambda nu: detail.contrast(mpf(0), nw, nu) - wanted, end / 10 ** 9, end)
        darkest = "none"
        if detail.site() > wanted: darkest = root(lambda x: detail.contrast(mpf(0), x) - wanted, mpf(10) ** -6, 1 / (detail.shortest * detail.nu))
        return {**out, "circle": "unreachable", "near": "none", "far": "none", "limit": "none", "largest_frequency": finest, "darkest_n": darkest}
    with mp.workdps(60): near, far = lens.limits(l, aperture, b)
    little = mpf(10) ** -6                 # the stop a little darker, then a little wider; the object stays
    gain = detail.contrast(b / (1 + little), nw * (1 + little)) - detail.contrast(b * (1 + little), nw / (1 + little))
    return {**out, "circle": b, "near": near, "far": far, "limit": "defocus" if gain > 0 else "diffraction", "largest_frequency": "none", "darkest_n": "none"}


def optimum(r):
    f, e, p, near, far = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "near", "far"))
    detail, lens = Detail(r), Lens(f, e, p)
    with mp.workdps(60):
        at = lambda l, d: lens.height(l, lens.vergence(l, d))
        l = root(lambda l: at(l, near) + at(l, far), lens.focus(far), lens.focus(near))
        height = at(l, near)               # blur at either end for an entrance pupil of 1 mm
        mean = mp.fsum(w * x for x, w in detail.lines)
        equal = f / root(lambda a: a * height - 2 * AIRY * mean * l / (p * a), f / 10 ** 9, f * 10 ** 6)
        focus = lens.object(l)
    value = lambda logn: detail.contrast(f / mp.exp(logn) * height, l * mp.exp(logn) / (p * f))
    rough = lambda logn: detail.roughly(float(f * height) / math.exp(logn), float(l / (p * f)) * math.exp(logn))
    dark = math.log(float(p * f / (l * detail.shortest * detail.nu)))     # the cut-off
    steps, best = [dark - 0.02 * i for i in range(700)], None
    for i in range(1, 699):                # from the cut-off toward wider stops, up to the first zero
        here = rough(steps[i])
        if here < 0: break
        if best is None or here > rough(steps[best]): best = i
    a, b = mpf(steps[best + 1]), mpf(steps[best - 1])
    ratio = (mp.sqrt(5) - 1) / 2
    x, y = b - ratio * (b - a), a + ratio * (b - a)
    fx, fy = value(x), value(y)
    while b - a > mpf(10) ** -18:
        if fx > fy: b, y, fy = y, x, fx; x = b - ratio * (b - a); fx = value(x)
        else: a, x, fx = x, y, fy; y = a + ratio * (b - a); fy = value(y)
    return dict(focus=focus, n_equal=equal, n_best=mp.exp((a + b) / 2), contrast=value((a + b) / 2))


# ---- the draws, as in tables.py: strata by turns, pseudo-random from a fixed seed ----

def rows_otf():
    w = Draw(SEED)
    sigmas = [0.0, 1e-6, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999]
    out = [dict(a=a, sigma=s) for s in sigmas for a in
           (0.0, 1e-12, 1e-7, 1e-4, 0.01, 0.1, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 20.0, 50.0, 100.0)]
    out += [dict(a=round(16 * math.pi * x * s, 12), sigma=s) for x in (0.125, 0.25, 0.5) for s in (0.1, 0.25, 0.5)]   # W20 1/4, 1/2, 1 wave
    out += [dict(a=w.log(1e-3, 150, 6), sigma=w.real(0, 0.999, 6)) for _ in range(150)]
    out += [dict(a=w.log(0.1, 5, 6) * 2 ** i, sigma=1 - 2.0 ** -i) for i in range(1, 21)]           # about the first lobe, to the cut-off
    out += [dict(a=w.log(150, 9000, 3), sigma=w.real(0, 0.99, 4)) for _ in range(15)]
    out += [dict(a=float(a), sigma=s) for a in (10001, 12345, 50000) for s in (0.0, 0.01, 0.1, 0.5, 0.8)]
    out += [dict(a=2.5, sigma=1.0), dict(a=0.0, sigma=1.5)]
    return out


def light(w, i):
    if i % 3: return f"{w.of(436, 486, 546, 550, 555, 588, 633, w.real(400, 700, 1))}:1"
    return w.of("486:1 546:2 633:1", "450:1 550:1 650:1", "486.1:0.2 587.6:0.5 656.3:0.3", "400:1 700:5", "470:1 510:2 550:3 590:2 630:1")


def rows_contrast():
    w, out = Draw(SEED + 1), []
    for i in range(200):
        lens, kind = w.lens(i, 10, 300), i % 5
        # one in five finer and darker than most can reach, two near the most there is
        n, nu = ((w.log(8, 32, 2), w.log(40, 200, 1)) if kind == 4 else (w.log(5.6, 32, 2), w.log(8, 60, 1)) if kind > 1 else (w.log(1, 22, 2), w.log(4, 80, 1)))
        row = {**lens, "n": n, "focus": "infinity" if i % 13 == 6 else w.distance(lens, 1.3, 300, 5e4), "light": light(w, i),
               "pitch": w.of(0.0044, 0.006, 0.0082, 0.003) if i % 4 == 1 else "none", "frequency": nu, "contrast": w.of(0.1, 0.2, 0.3, 0.5, 0.8, w.real(0.02, 0.95, 3))}
        share = w.real(0.6, 1.02, 3)
        if kind in (2, 3): row["contrast"] = min(0.999, max(0.001, round(float(share * Detail({k: str(v) for k, v in row.items()}).contrast(mpf(0), mpf(n))), 3)))
        out.append(row)
    return out


def rows_optimum():
    w, out = Draw(SEED + 2), []
    while len(out) < 60:
        i = len(out)
        lens = w.lens(i, 14, 200)
        near = w.distance(lens, 1.5, 400, 8e3)
        far = "infinity" if i % 7 == 3 else round(near * w.log(1.05, 6, 3), 1)
        out.append({**lens, "near": near, "far": far, "light": light(w, i), "pitch": 0.005 if i % 6 == 2 else "none", "frequency": w.of(5.0, 10.0, 20.0, 40.0, w.log(5, 60, 1))})
    return out


TABLES = {"otf.csv": (rows_otf, otf), "contrast.csv": (rows_contrast, contrast), "optimum.csv": (rows_optimum, optimum)}


def write():
    for name, (draws, make) in TABLES.items():
        rows = [tables.fill(make, r) for r in draws()]
        text = io.StringIO(newline="")
        out = csv.DictWriter(text, rows[0].keys(), lineterminator="\n")
        out.writeheader(); out.writerows(rows)
        (HERE / name).write_bytes(text.getvalue().encode())
        print(f"{name}: {len(rows)} rows, {len(text.getvalue())} bytes")
    names = [Path(__file__).name, *TABLES]
    (HERE / "waves.sha256").write_text("".join(f"{tables.digest(n)}  {n}\n" for n in names))


def check(k, seed):
    wrong = 0
    for line in (HERE / "waves.sha256").read_text().splitlines():
        want, name = line.split()
        if tables.digest(name) != want: wrong += 1; print(f"sha256 differs: {name}")
    every = [(name, i, row) for name in TABLES for i, row in enumerate(tables.read(name), 2)]
    drawn = random.Random(seed).sample(every, min(k, len(every)))
    for name, line, row in drawn:
        for key, x in TABLES[name][1](row).items():
            a, b = row[key], shown(x)
            try: near = a == b or abs(float(a) - float(b)) <= math.ulp(max(abs(float(a)), abs(float(b))))
            except ValueError: near = False
            if not near or "infinity" in (a, b) and a != b: wrong += 1; print(f"{name}:{line}: {key} is {a}, recomputed {b}")
    print(f"checked {len(drawn)} of {len(every)} rows and {len(TABLES) + 1} sha256 sums: {wrong} wrong")
    return 1 if wrong else 0


def transform(radius=1000, size=4096):
    """The pupil sampled on a grid with a hard edge; point image, then transfer function."""
    import numpy as np
    axis = np.arange(size) - size // 2 + 0.5
    rim = (axis[:, None] ** 2 + axis[None, :] ** 2 <= radius ** 2).astype(np.float64)
    square = (axis[:, None] ** 2 + axis[None, :] ** 2) / radius ** 2
    worst = 0
    for waves in (0.0, 0.25, 0.5, 1.0, 2.0):
        point = np.abs(np.fft.fft2(rim * np.exp(2j * np.pi * waves * square))) ** 2
        got = np.fft.ifft2(point)[0, :].real
        for shift in (100, 200, 500, 1000, 1500, 1950):
            s = shift / (2 * radius)
            a = 16 * math.pi * waves * s / 2   # 8 pi W20 sigma / wavelength
            off = got[shift] / got[0] - float(area(mpf(a), mpf(s)))
            worst = max(worst, abs(off))
            print(f"W20 {waves} waves, sigma {s:.4f}: off by {off:.1e}")
    print(f"largest difference {worst:.1e}: the sampling's own, about the edge's share of the pupil")
    return 0 if worst < 3e-5 else 1


if __name__ == "__main__":
    args = sys.argv[1:]
    if not args: write()
    elif args == ["--transform"]: sys.exit(transform())
    elif len(args) == 3 and args[0] == "--check": sys.exit(check(int(args[1]), int(args[2])))
    else: sys.exit(__doc__)
