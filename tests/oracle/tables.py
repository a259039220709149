#!/usr/bin/env python3
"""Reference tables for depth, field, ring and hold, at 50 digits and more.

    tables.py                write depth.csv field.csv ring.csv hold.csv and tables.sha256
    tables.py --check K SEED recompute K rows drawn over all tables; verify tables.sha256
    tables.py --agree        compare the tables with the closed forms, in 60 digits and in doubles

Route. The program under test works with closed forms for the magnification, the pupil's
station and the two limits. Nothing here uses them: a lens is the 2x2 matrix between its
pupils, rays are traced through it, and every unknown is found by bracketed root finding,
so that a wrong closed form shows. A limit is found where the traced blur equals the
circle, and is then confirmed by similar triangles behind the exit pupil.

    entrance pupil -> exit pupil:   y' = p y          (the pupils are images of each other,
                                    a' = a/p - y/f     p apart in size; determinant 1 in air)

Every input is rounded to a double first and its exact value is used. All lengths are in
mm, all angles in degrees. Source of all figures: this computation. Needs only mpmath.
"""
import csv, hashlib, io, math, random, sys
from pathlib import Path
from mpmath import mp, mpf

mp.dps = 60                                   # ten more than promised: 1:1 costs some
HERE = Path(__file__).resolve().parent
SEED = 20310402
INF = mp.inf


def exact(text):
    """The exact value of the double nearest to a decimal text."""
    return INF if text == "infinity" else mpf(float(text))


def shown(x):
    """The nearest double, in the fewest digits that name it (17 at most)."""
    return x if isinstance(x, str) else "infinity" if x == INF else repr(float(x))


def root(g, a, b):
    """A root of g between a and b, whose signs must differ (Ridders: keeps the bracket)."""
    ga, gb = g(a), g(b)
    if ga == 0: return a
    if gb == 0: return b
    assert ga * gb < 0, "not bracketed"
    last = None
    for _ in range(400):
        mid = (a + b) / 2
        gm = g(mid)
        if gm == 0: return mid
        x = mid + (mid - a) * mp.sign(ga - gb) * gm / mp.sqrt(gm * gm - ga * gb)
        gx = g(x)
        if gx == 0 or (last is not None and abs(x - last) <= abs(x) * mpf(10) ** (5 - mp.dps)): return x
        last = x
        if gm * gx < 0: a, ga, b, gb = mid, gm, x, gx
        elif ga * gx < 0: b, gb = x, gx
        else: a, ga = x, gx
    raise ArithmeticError("no convergence")


class Lens:
    """A thick lens seen from its pupils. `l` is always exit pupil to image plane."""

    def __init__(self, f, e, p):
        self.f, self.p = f, p
        # Place the principal planes: T(y) [1 0; -1/f 1] T(x) must be the pupil matrix.
        self.ep_to_h, self.h_to_xp = f * (1 - 1 / p), f * (1 - p)
        self.pupils_apart = self.ep_to_h + e + self.h_to_xp
        self.l_infinity = root(lambda l: self.height(l, 0), f * p / 2, 2 * f * p)
        self.l_unity = root(lambda l: self.shrink(l) - 1, self.l_infinity, 9 * (f + f * p))

    def height(self, l, w):
        """Height in the image plane of the ray entering the pupil at height 1 from the axis
        point at distance 1/w in front of it. Zero: in focus."""
        return self.p + l * (w / self.p - 1 / self.f)

    def shrink(self, l):
        """Magnification, as a positive number: minus the first element of object to image."""
        m = l / self.f - self.p
        return m if abs(m) > mpf(10) ** -50 else mpf(0)       # infinity focus, less the root's dust

    def station(self, l):
        """Entrance pupil to image plane."""
        return self.pupils_apart + l

    def vergence(self, l, d):
        """1/(entrance pupil to object) for an object at d from the image plane."""
        return mpf(0) if d == INF else 1 / (d - self.station(l))

    def focus(self, d, branch="far"):
        """Exit pupil to image plane when an object at d from the image plane is in focus."""
        if d == INF: return self.l_infinity
        miss = lambda l: self.height(l, self.vergence(l, d))
        if branch == "far": return root(miss, self.l_infinity, self.l_unity)
        return root(miss, self.l_unity, d - self.pupils_apart - self.f / self.p)

    def object(self, l):
        """Image plane to the object in focus; None when the plane sees past infinity."""
        if l < self.l_infinity: return None
        if l == self.l_infinity: return INF
        top = mpf(1)
        while self.height(l, top) < 0: top *= 2
        return self.station(l) + 1 / root(lambda w: self.height(l, w), mpf(0), top)

    def limits(self, l, aperture, c):
        """Near and far limits from the image plane."""
        w0 = mpf(0) if l == self.l_infinity else 1 / (self.object(l) - self.station(l))
        top = 2 * w0 + mpf(10) ** -9
        while aperture * self.height(l, top) < c: top *= 2
        near = root(lambda w: aperture * self.height(l, w) - c, w0, top)
        far = mpf(0)
        if -aperture * self.height(l, far) > c:
            far = root(lambda w: aperture * self.height(l, w) + c, far, w0)
        for w in (near, far):                 # the cone behind the exit pupil, cut by the plane
            if w == 0: continue
            apex = self.p / (1 / self.f - w / self.p)
            blur = self.p * aperture * abs((l - apex) / apex)
            assert abs(blur / c - 1) < mpf(10) ** -40, "similar triangles disagree"
        return self.station(l) + 1 / near, INF if far == 0 else self.station(l) + 1 / far


def depth(r):
    f, e, p, n, c, d = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle", "focus"))
    lens, a = Lens(f, e, p), f / n
    l = lens.focus(d, r["branch"])
    near, far = lens.limits(l, a, c)
    assert near > 0
    # Hyperfocal: the image plane where light from infinity makes a blur of just c.
    lh = root(lambda x: a * lens.height(x, 0) + c, lens.l_infinity, lens.l_unity)
    hyper = lens.object(lh)
    sh = hyper - lens.station(lh)
    focal_point = root(lambda s: 1 / (s * p) - 1 / f, f / p / 2, f / p * 3)   # ray leaves parallel
    return dict(magnification=lens.shrink(l), entrance_pupil=lens.station(l), near=near, far=far,
                in_front=INF if d == INF else d - near, behind=INF if far == INF else far - d,
                total=INF if far == INF else far - near, working_n=l / (p * a), hyperfocal=hyper,
                hf_front_focal_point=sh - focal_point, hf_principal=sh + lens.ep_to_h, hf_pupil=sh)


def field(r):
    f, e, p, w, h, d, plane = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "gate_width", "gate_height", "focus", "plane"))
    lens = Lens(f, e, p)
    l = lens.focus(d)
    sizes = (w, h, mp.sqrt(w * w + h * h))
    slope = lambda size, l: p * size / 2 / l            # chief ray: through both pupil centres
    angles = lambda l: [2 * mp.degrees(mp.atan(slope(x, l))) for x in sizes]
    across = lambda d: [INF if d == INF else 2 * slope(x, l) * (d - lens.station(l)) for x in sizes[:2]]
    names = [q + s for s in ("_infinity", "") for q in ("horizontal", "vertical", "diagonal")] + \
            ["width", "height", "plane_width", "plane_height"]
    return dict(zip(names, angles(lens.l_infinity) + angles(l) + across(d) + across(plane)))


def ring(r):
    f, e, p, n, c, g, d, delta = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle", "gain", "focus", "image_plane_error"))
    lens, a = Lens(f, e, p), f / n
    l = lens.focus(d)
    turn = lambda l: g * (l - lens.l_infinity)
    near, far = lens.limits(l, a, c)
    # Ring tolerance: the subject stays, the lens (and with it the pupil) moves.
    blur = lambda x: a * lens.height(x, lens.vergence(x, d))
    step = c * n / 8
    back = l - step
    while blur(back) < c: back -= step
    room = [l - root(lambda x: blur(x) - c, back, l)]
    ahead = l + step
    while blur(ahead) > -c and ahead < lens.l_unity: ahead += step
    if blur(ahead) <= -c: room.append(root(lambda x: blur(x) + c, l, ahead) - l)
    real = lens.object(l + delta)
    return dict(position_deg=turn(l), near_offset_deg=turn(lens.focus(near)) - turn(l),
                far_offset_deg=turn(lens.focus(far)) - turn(l), tolerance_deg=g * min(room),
                real_focus="beyond_infinity" if real is None else real)


def hold(r):
    f, e, p, c, near, far = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "circle", "near", "far"))
    lens = Lens(f, e, p)
    at = lambda l, d: lens.height(l, lens.vergence(l, d))
    l = root(lambda l: at(l, near) + at(l, far), lens.focus(far), lens.focus(near))
    return dict(magnification=lens.shrink(l), focus=lens.object(l), n=f * at(l, near) / c)


# ---- the draws: strata by turns, inside them pseudo-random from a fixed seed ----

class Draw:
    def __init__(self, seed): self.r = random.Random(seed)
    def real(self, a, b, digits): return round(a + (b - a) * self.r.random(), digits)
    def log(self, a, b, digits):     # the power in mpmath: no dependence on a C library
        return round(float(mpf(a) * (mpf(b) / mpf(a)) ** mpf(self.r.random())), digits)
    def of(self, *choices): return choices[int(self.r.random() * len(choices))]

    def lens(self, i, f_from=6, f_to=600):
        f = self.of(12, 16, 18, 25, 27, 32, 35, 40, 50, 65, 75, 85, 100, 135, 180, 200, 300) if i % 3 == 0 else 0
        if not f_from <= f <= f_to: f = self.log(f_from, f_to, 2)
        e = [0.0, self.real(-0.35 * f, 0, 2), self.real(0, 0.6 * f, 2), self.real(0, 60, 2)][i % 4]
        p = 1.0 if i % 5 == 0 else self.log(0.4, 2.5, 3)
        return dict(focal=float(f), hiatus=e, pupil=p)

    def stop(self):
        return float(self.of(0.95, 1, 1.2, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, self.log(0.95, 32, 2), self.log(0.95, 32, 2)))

    def circle(self): return self.of(0.0254, 0.0127, 0.025, 0.03, self.log(0.005, 0.06, 4), self.log(0.005, 0.06, 4))

    def distance(self, lens, room=1.002, floor=200.0, reach=4e5):
        least = float(mpf(4 * lens["focal"] + lens["hiatus"])) * room
        return self.log(max(floor, least), max(reach, 2 * least, 2 * floor), 1)


def rows_depth():
    w, out = Draw(SEED), []
    def add(kind, branch, lens, d, n, c):
        out.append({**lens, "n": n, "circle": c, "focus": d, "branch": branch, "conditioning": kind})
    for i in range(1880):
        lens, n, c = w.lens(i), w.stop(), w.circle()
        # two in three within the hyperfocal, or most far limits would be infinite
        reach = 4e5 if i % 3 == 1 else min(4e5, lens["focal"] ** 2 / (n * c))
        add("plain", "far", lens, w.distance(lens, reach=reach), n, c)
    for i in range(100):
        add("plain", "far", w.lens(i), "infinity", w.stop(), w.circle())
    for i in range(240):                       # macro: 1:1 to 12:1; nearer than 0.2 m where the lens is short
        lens = w.lens(i, 15, 300); m = w.log(1.02, 12, 4)
        d = round(lens["hiatus"] + lens["focal"] * (2 + m + 1 / m), 2)
        add("plain", "macro", lens, d, w.stop(), w.circle())
    for i in range(120):                       # where dm/dD runs away
        lens = w.lens(i, 50, 600); tiny = (1e-3, 1e-5, 1e-8, 1e-11)[i // 2 % 4]
        d = float((mpf(lens["hiatus"]) + 4 * mpf(lens["focal"])) * (1 + mpf(tiny)))
        add("near_1to1", ("far", "macro")[i % 2], lens, d, w.stop(), w.circle())
    for i in range(200):                       # where the far limit runs away
        lens, n, c = w.lens(i), w.stop(), w.circle()
        probe = {**lens, "n": n, "circle": c, "focus": "infinity", "branch": "far"}
        tiny = (1e-2, 1e-4, 1e-6, 1e-9, 1e-12)[i // 2 % 5] * (1, -1)[i % 2]
        add("near_hyperfocal", "far", lens, float(depth(probe)["hyperfocal"] * (1 + mpf(tiny))), n, c)
    return out


def rows_field():
    w, out = Draw(SEED + 1), []
    for i in range(300):
        lens = w.lens(i, 6, 300)
        gw, gh = w.of((24.892, 18.669), (22.0, 16.0), (20.96, 11.33), (36.0, 24.0), (10.26, 7.49), (5.31, 4.01), (52.48, 23.01), (w.real(4, 70, 2), w.real(3, 50, 2)))
        d = "infinity" if i % 11 == 5 else w.distance(lens, 1.05, 200, 1e5)
        # the other plane: nearer or farther, but before the pupil at every focus drawn
        least = max(150.0, 4.2 * lens["focal"] + abs(lens["hiatus"]))
        out.append({**lens, "gate_width": gw, "gate_height": gh, "focus": d, "plane": w.log(least, 2e5, 1)})
    return out


def rows_ring():
    w, out = Draw(SEED + 2), []
    while len(out) < 200:
        i = len(out)
        lens, n, c = w.lens(i, 10, 400), w.stop(), w.circle()
        d = "infinity" if i % 19 == 7 else w.distance(lens, 1.4, 300, 1e5)
        row = {**lens, "n": n, "circle": c, "gain": w.log(5, 200, 2), "focus": d,
               "image_plane_error": 0.0 if i % 9 == 5 else w.real(-0.05, 0.05, 3)}
        l = Lens(*(exact(lens[k]) for k in ("focal", "hiatus", "pupil")))
        near, _ = l.limits(l.focus(exact(d)), exact(lens["focal"]) / exact(n), exact(c))
        if near > mpf("1.02") * (4 * lens["focal"] + lens["hiatus"]): out.append(row)   # the ring has a place for it
    return out


def rows_hold():
    w, out = Draw(SEED + 3), []
    while len(out) < 100:
        lens, n, c = w.lens(len(out), 10, 400), w.stop(), w.circle()
        got = depth({**lens, "n": n, "circle": c, "focus": w.distance(lens, 1.4, 300, 5e4), "branch": "far"})
        near, far = round(float(got["near"]), 1), "infinity" if got["far"] == INF else round(float(got["far"]), 1)
        thin = far != "infinity" and far < 1.004 * near          # N would be a difference of equals
        if near > 1.05 * (4 * lens["focal"] + lens["hiatus"]) and not thin and (far == "infinity" or far < 1e7):
            out.append({**lens, "circle": c, "near": near, "far": far})
    return out


TABLES = {"depth.csv": (rows_depth, depth), "field.csv": (rows_field, field), "ring.csv": (rows_ring, ring), "hold.csv": (rows_hold, hold)}


def fill(make, row):
    row = {k: v if isinstance(v, str) else repr(v) for k, v in row.items()}
    tail = {"conditioning": row.pop("conditioning")} if "conditioning" in row else {}
    return {**row, **{k: shown(x) for k, x in make(row).items()}, **tail}


def digest(name): return hashlib.sha256((HERE / name).read_bytes()).hexdigest()


def write():
    for name, (draws, make) in TABLES.items():
        rows = [fill(make, r) for r in draws()]
        text = io.StringIO(newline="")
        out = csv.DictWriter(text, rows[0].keys(), lineterminator="\n")
        out.writeheader(); out.writerows(rows)
        (HERE / name).write_bytes(text.getvalue().encode())
        print(f"{name}: {len(rows)} rows, {len(text.getvalue())} bytes")
    names = [Path(__file__).name, *TABLES]
    (HERE / "tables.sha256").write_text("".join(f"{digest(n)}  {n}\n" for n in names))


def read(name):
    with open(HERE / name, newline="") as file: return list(csv.DictReader(file))


def check(k, seed):
    wrong = 0
    for line in (HERE / "tables.sha256").read_text().splitlines():
        want, name = line.split()
        if digest(name) != want: wrong += 1; print(f"sha256 differs: {name}")
    every = [(name, i, row) for name in TABLES for i, row in enumerate(read(name), 2)]
    drawn = random.Random(seed).sample(every, min(k, len(every)))
    for name, line, row in drawn:
        for key, x in TABLES[name][1](row).items():
            a, b = row[key], shown(x)
            try: near = a == b or abs(float(a) - float(b)) <= math.ulp(max(abs(float(a)), abs(float(b))))
            except ValueError: near = False
            if not near or "infinity" in (a, b) and a != b: wrong += 1; print(f"{name}:{line}: {key} is {a}, recomputed {b}")
    print(f"checked {len(drawn)} of {len(every)} rows and {len(TABLES) + 1} sha256 sums: {wrong} wrong")
    return 1 if wrong else 0


def agree():
    """Closed forms against the tables: a bound in 60 digits, and what doubles lose."""
    def closed(r, num, sqrt):
        f, e, p, n, c = (num(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle"))
        one, m = num("1"), num("0")
        if r["focus"] != "infinity":
            L = num(r["focus"]) - e
            big = (L + sqrt(L * (L - 4 * f))) / 2
            m = f / (big - f) if r["branch"] == "far" else (big - f) / f
        q, kappa, t = f * (one + m / p), c * n / f, e + f * (2 + m - one / p)
        out = dict(magnification=m, entrance_pupil=t, near=q / (m + kappa) + t, working_n=n * (one + m / p),
                   hyperfocal=f * f / (n * c) + 2 * f + e + n * c, hf_pupil=f * f / (n * c) + f / p)
        if r["far"] != "infinity": out.update(far=q / (m - kappa) + t, behind=q / m * (kappa / m) / (1 - kappa / m),
                                              total=2 * q * kappa / (m * m - kappa * kappa))
        if m: out["in_front"] = q / m * (kappa / m) / (1 + kappa / m)
        return out
    worst, loss = mpf(0), {}
    for r in read("depth.csv"):
        for key, x in closed(r, exact, mp.sqrt).items():
            y = exact(r[key]); worst = max(worst, abs(x - y) / (abs(y) or 1))
        for key, x in closed(r, float, math.sqrt).items():
            y = float(r[key]); scale = float(r["focal"]) if key == "entrance_pupil" else abs(y) or 1
            at = (r["conditioning"], key); loss[at] = max(loss.get(at, 0), abs(x - y) / scale)
    print(f"closed forms at {mp.dps} digits: largest relative difference {mp.nstr(worst, 3)} (half an ulp is 1.1e-16)")
    for (kind, key), x in sorted(loss.items()): print(f"in doubles, {kind:16} {key:15} {x:.1e}")
    return 0 if worst < mpf("1.2e-16") else 1


if __name__ == "__main__":
    args = sys.argv[1:]
    if not args: write()
    elif args == ["--agree"]: sys.exit(agree())
    elif len(args) == 3 and args[0] == "--check": sys.exit(check(int(args[1]), int(args[2])))
    else: sys.exit(__doc__)
