#!/usr/bin/env python3
"""Reference tables for lenses with something attached, lenses that breathe and anamorphic
lenses, at 50 digits and more.

    kinds.py                 write attachments.csv breathing.csv anamorphic.csv and kinds.sha256
    kinds.py --check K SEED  recompute K rows drawn over all tables; verify kinds.sha256

Route, as in tables.py: rays, not closed forms. A lens is the 2x2 matrix between its pupils
(tables.py); a close-up lens and an extender are thin lenses, a tube is a gap, a filter is a
plane plate. A ray goes from a point on the axis through the rim of the entrance pupil to the
image plane; its height there is half the blur. Focus, limits and the pupil as it is seen
from the front are found as roots or read off the matrix of the whole.

Conventions a chain needs. Parts behind the lens are named from the lens to the image plane.
Everything counts from where the lens alone would put its image plane at that setting of its
ring: a tube moves what follows back by its length. An extender E+L is a thin lens that
stands a = L/(E-1) before that plane and images it E a behind itself, so that the whole is
L longer; it stays there when the lens is racked out. Where nothing but gaps of the design
follows, any extender of factor E does the same, and one is taken whose principal planes are
apart by whatever makes up L. A plate of thickness d and index n stands where it is named,
just before what follows: along the light it is d/n of air.

A lens that breathes has, at the magnification m of a row, the focal length and pupil station
that put the row's object in focus at that magnification; between infinity and one row focal
length (and station, where the row tells it, else the hiatus stays) run straight in m,
through more rows on the monotone cubic of Fritsch and Butland. Its entrance pupil keeps its
size.

An anamorphic front is, in the horizontal meridian, a cylinder and an afocal pair of no
length at the entrance pupil: the pair makes beams S times as wide, the cylinder keeps the
meridian in focus with the other. An anamorphic rear makes the image S times narrower in its
place. All lengths in mm.
"""
import csv, hashlib, io, math, random, sys
from pathlib import Path
from mpmath import mp, mpf
import tables
from tables import INF, Draw, Lens, exact, root, shown

HERE = Path(__file__).resolve().parent
SEED = 20310403
DUST = mpf(10) ** -50                  # what rounding leaves of nought


# ---- matrices [a, b, c, d]: height' = a height + b slope, slope' = c height + d slope ----

ONE = (mpf(1), mpf(0), mpf(0), mpf(1))
def after(m, n): return (m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3], m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3])
def gap(x): return (mpf(1), x, mpf(0), mpf(1))
def thin(power): return (mpf(1), mpf(0), -power, mpf(1))
def chain(*parts):                    # in the order light meets them
    whole = ONE
    for part in parts: whole = after(part, whole)
    return whole


def figure(text):
    """A figure as a chain names it: the nearest double, exactly."""
    return mpf(float(text))


def behind_of(text):
    """`extender 1.4 15|tube 10|filter 4 1.5168` to tuples."""
    return [(what, *map(figure, figures)) for what, *figures in (part.split() for part in text.split("|") if part)]


def front_of(text): return sorted((figure(at), figure(power)) for power, at in (part.split("@") for part in text.split("|") if part))


class Thick:
    """The lens of tables.py without its two roots: lengths and the matrix between the pupils."""
    def __init__(self, f, e, p):
        self.f, self.p = f, p
        self.pupils_apart = f * (1 - 1 / p) + e + f * (1 - p)
    def station(self, l): return self.pupils_apart + l
    def height(self, l, w): return self.p + l * (w / self.p - 1 / self.f)


class Whole:
    """A lens on its ring with everything attached. `set(m)` stands it at one place of the ring."""

    def __init__(self, kind, n, behind="", front=""):
        self.kind, self.n, self.behind, self.front = kind, n, behind_of(behind), front_of(front)

    def set(self, m): return Set(self, m)

    def setting(self, d, low, high):
        """The place of the ring where an object at d from the image plane is in focus."""
        def miss(m):
            s = self.set(m)
            return s.height(s.slope(d)) if d == INF or d > s.first else -mpf(1)
        # the first place met from the infinity mark on: beyond 1:1 distances grow again
        step, at = (high - low) / 64, low
        while miss(low) * miss(at + step) > 0 and at < high: at += step
        return root(miss, at, at + step)


class Set:
    def __init__(self, whole, m):
        lens, l = whole.kind.at(m)
        self.aperture = whole.kind.f / whole.n
        # From the entrance pupil to the image plane; `left` is what lies before the place
        # where, without what is still to come, the image plane would be.
        parts, left, length = [(lens.p, mpf(0), -1 / lens.f, 1 / lens.p)], l, l
        for i, part in enumerate(whole.behind):
            if part[0] == "tube": left += part[1]; length += part[1]
            elif part[0] == "filter": left += part[1] / part[2] - part[1]        # a plate: d/n of air
            else:
                e, longer = part[1], part[2]
                last = not any(p[0] in ("tube", "filter") for p in whole.behind[i + 1:])
                if e == 1: left += longer
                else:
                    a = mpf(37) if last else longer / (e - 1)                     # 37: any will do
                    assert a > 0
                    parts += [gap(left - a), thin((1 - e) / (e * a))]
                    left = e * a
                length += longer
        parts.append(gap(left))
        self.rear = chain(*parts)
        self.station = lens.pupils_apart + length                                 # the lens's own pupil
        self.parts, self.first, self.to_pupil = [], self.station, ONE
        here = None
        for at, power in reversed(whole.front):                                   # as light meets them
            if here is not None: self.parts.append(gap(here - at))
            else: self.first = at
            self.parts.append(thin(power / 1000)); here = at
        if here is not None: self.parts.append(gap(here - self.station))
        self.to_pupil = chain(*self.parts)
        self.all = after(self.rear, self.to_pupil)

    def slope(self, d): return mpf(0) if d == INF else 1 / (d - self.first)

    def height(self, w):
        """Height on the image plane for a unit of height in the entrance pupil: an object at
        1/w before the first surface sends the ray (1, w) there."""
        return (self.all[0] + self.all[1] * w) / (self.to_pupil[0] + self.to_pupil[1] * w)

    def blur(self, w): return self.aperture * self.height(w)

    def magnification(self): return mpf(0) if abs(self.all[0]) < DUST else -self.all[0]

    def focus(self):
        """From the image plane to the object in focus; None beyond infinity."""
        if abs(self.height(mpf(0))) < DUST: return INF
        if self.height(mpf(0)) > 0: return None
        return self.first + 1 / root(self.height, mpf(0), self.above(0))

    def above(self, level):
        top = mpf(10) ** -6
        while self.blur(top) <= level:
            top *= 2
            if top > 100: raise ArithmeticError("nothing that near is imaged")
        return top

    def pupil(self):
        """Where the entrance pupil is seen from the front, before the image plane: a ray
        that passes its centre, carried back straight."""
        return self.first - self.to_pupil[1] / self.to_pupil[0]

    def working_n(self, w):
        """By the slope of the marginal ray where it meets the image plane."""
        y, u = mpf(1), w
        at_pupil = self.to_pupil[0] * y + self.to_pupil[1] * u
        return 1 / (2 * abs(self.all[2] * y + self.all[3] * u) * (self.aperture / 2) / at_pupil)

    def limits(self, c):
        w0 = root(self.height, mpf(0), self.above(0)) if self.height(mpf(0)) < -DUST else mpf(0)
        near = root(lambda w: self.blur(w) - c, w0, self.above(c))
        far = root(lambda w: self.blur(w) + c, mpf(0), w0) if self.blur(mpf(0)) < -c else None
        return self.first + 1 / near, INF if far is None else self.first + 1 / far


# ---- kinds of lens: `at(m)` is the lens and its exit pupil to image plane where its own magnification is m ----

class Unit:
    def __init__(self, f, e, p): self.f, self.lens = f, Thick(f, e, p)
    def at(self, m): return self.lens, self.lens.f * (m + self.lens.p)
    last = mpf(1)


class Breathing:
    def __init__(self, f, e, p, rows):
        self.f, self.e, self.p = f, e, p
        ms, fs, ts = [mpf(0)], [f], [Thick(f, e, p).station(Lens(f, e, p).l_infinity)]
        told = any(t is not None for _, _, t in rows)
        for m, d, t in sorted(rows, key=lambda row: row[0]):
            l = lambda g: g * (m + p)
            if t is None:
                # the focal length whose lens, set so that it shrinks by m, sees d
                off = lambda g: Thick(g, e, p).height(l(g), 1 / (d - Thick(g, e, p).station(l(g))))
                g = root(off, (d - e) * m / 50, (d - e) / 4)
                t = Thick(g, e, p).station(l(g))
            else:
                # any lens with its pupil there will do: where its parts stand does not matter
                g = root(lambda g: p + l(g) * (1 / (d - t) / p - 1 / g), (d - t) * m / 1000, (d - t) * m)
            ms.append(m); fs.append(g); ts.append(t)
        self.ms, self.fs, self.ts, self.last = ms, fs, ts if told else None, ms[-1]

    def at(self, m):
        f = monotone(self.ms, self.fs, m)
        e = self.e
        if self.ts is not None:
            stand = Thick(f, mpf(0), self.p)
            e = monotone(self.ms, self.ts, m) - stand.station(f * (m + self.p))
        return Thick(f, e, self.p), f * (m + self.p)


def monotone(xs, ys, x):
    """The monotone cubic of Fritsch and Butland (1984), one-sided parabolas at the ends held
    to three times the secant; through two points the straight line."""
    h = [b - a for a, b in zip(xs, xs[1:])]
    s = [(b - a) / k for a, b, k in zip(ys, ys[1:], h)]
    if len(h) == 1: return ys[0] + s[0] * (x - xs[0])
    def end(h0, h1, s0, s1):
        d = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
        if mp.sign(d) != mp.sign(s0): return mpf(0)
        return 3 * s0 if mp.sign(s0) != mp.sign(s1) and abs(d) > 3 * abs(s0) else d
    d = [end(h[0], h[1], s[0], s[1])]
    for i in range(1, len(s)):
        if s[i - 1] * s[i] <= 0: d.append(mpf(0)); continue
        w1, w2 = 2 * h[i] + h[i - 1], h[i] + 2 * h[i - 1]
        d.append((w1 + w2) / (w1 / s[i - 1] + w2 / s[i]))
    d.append(end(h[-1], h[-2], s[-1], s[-2]))
    i = max(j for j in range(len(h)) if j == 0 or xs[j] <= x)
    # Newton's divided differences of the Hermite data
    a, b, t = (s[i] - d[i]) / h[i], (d[i + 1] - 2 * s[i] + d[i]) / h[i] ** 2, x - xs[i]
    return ys[i] + d[i] * t + a * t * t + b * t * t * (t - h[i])


# ---- the tables ----

def attachments(r):
    f, e, p, n, c = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle"))
    kind = Unit(f, e, p)
    if r["row"]:
        m, d = r["row"].split("@")
        kind = Breathing(f, e, p, [(figure(m), figure(d), None)])
    whole = Whole(kind, n, r["behind"], r["front"])
    if r["mark"]:
        bare = Whole(kind, n)
        m = mpf(0) if r["mark"] == "infinity" else bare.setting(exact(r["mark"]), mpf(0), kind.last)
        d = None
    else:
        d = exact(r["wanted"])
        m = whole.setting(d, mpf(0), kind.last)
    s = whole.set(m)
    focus = s.focus() if d is None else d
    near, far = s.limits(c)
    return dict(setting=m, focus=focus, near=near, far=far, magnification=s.magnification(), pupil_station=s.pupil(),
                working_n=s.working_n(s.slope(focus)))


def breathing(r):
    f, e, p, n, c, d = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle", "focus"))
    kind = Breathing(f, e, p, rows_of(r["rows"]))
    whole = Whole(kind, n)
    m = mpf(0) if d == INF else whole.setting(d, mpf(0), kind.last)
    s = whole.set(m)
    near, far = s.limits(c)
    lens, _ = kind.at(m)
    return dict(focal_there=lens.f, magnification=s.magnification(), near=near, far=far, pupil_station=s.pupil(),
                working_n=s.working_n(s.slope(d)), angle=2 * mp.degrees(mp.atan(exact(r["gate_width"]) / 2 / camera_constant(s))))


def camera_constant(s):
    """Height on the image plane of the ray through the pupil's centre with slope 1."""
    return abs(s.rear[1])


def rows_of(text):
    out = []
    for part in text.split("|"):
        m, rest = part.split("@")
        d, _, t = rest.partition("/")
        out.append((figure(m), figure(d), figure(t) if t else None))
    return out


def anamorphic(r):
    f, e, p, n, c, d, S = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle", "focus", "squeeze"))
    s = Whole(Unit(f, e, p), n)
    s = s.set(mpf(0) if d == INF else s.setting(d, mpf(0), mpf(1)))
    vertical = s.limits(c)
    w0 = mpf(0) if d == INF else 1 / (d - s.station)
    if r["part"] == "front":
        # a cylinder that hands the pair a beam as the other meridian's lens wants it
        cylinder = w0 * (1 - S * S)
        before = chain(thin(cylinder), (S, mpf(0), mpf(0), 1 / S))
        all_x, to_pupil = after(s.rear, before), before
    else:
        all_x, to_pupil = after((1 / S, mpf(0), mpf(0), S), s.rear), ONE
    blur = lambda w: s.aperture * (all_x[0] + all_x[1] * w) / (to_pupil[0] + to_pupil[1] * w)
    assert abs(blur(w0)) < mpf(10) ** -45 * s.aperture, "the meridians are in focus together"
    def limits(c):
        top = 2 * w0 + mpf(10) ** -9
        while blur(top) < c: top *= 2
        near = s.station + 1 / root(lambda w: blur(w) - c, w0, top)
        return near, s.station + 1 / root(lambda w: blur(w) + c, mpf(0), w0) if blur(mpf(0)) < -c else INF
    sensor, screen = limits(c), limits(c / S)                        # on the screen the width is S times as large
    m = lambda whole: abs(whole[0]) if abs(whole[0]) > DUST else mpf(0)
    angle = lambda whole: 2 * mp.degrees(mp.atan(exact(r["gate_width"]) / 2 / abs(whole[1])))
    return dict(near=vertical[0], far=vertical[1], near_x=sensor[0], far_x=sensor[1], near_x_screen=screen[0], far_x_screen=screen[1],
                magnification=s.magnification(), magnification_x=m(all_x), angle_x=angle(all_x))


# ---- the draws ----

def text(x): return repr(x)


def plausible(s, c, focus):
    """Whether a test in doubles can be asked for nine digits: nothing within a thousandth of the hyperfocal."""
    near, far = s.limits(c)
    k = c / s.aperture / abs(s.height(mpf(0)))
    return focus is not None and near > 1 and (k == 0 or abs(1 - k) > mpf("1e-3")) and (focus == INF or focus < 1e7)


def some_parts(w, i):
    """What stands behind: one, two or three parts in any order, or nothing."""
    def extender():
        e = w.of(1.4, 2.0, 1.7, 1.25, 0.71, 0.8)
        return f"extender {e} {w.real(8, 45, 1) * (1 if e > 1 else -0.25)!r}"
    def tube(): return f"tube {w.of(4.0, 10.0, 12.0, 25.0, w.real(1, 40, 1))!r}"
    def plate(): return f"filter {w.of(0.1, 1.0, 4.0)!r} {w.of(1.5168, 1.5, 1.46)!r}"
    parts = [(), (tube,), (extender,), (plate,), (tube, extender), (extender, tube), (extender, plate), (plate, extender), (tube, plate),
             (extender, extender), (tube, extender, plate), (extender, tube, plate), (tube, extender, tube), (extender, tube, extender),
             (extender, extender, tube), (plate, tube, extender)][i % 16]
    return "|".join(part() for part in parts)


def some_front(w, i, station):
    """Close-up lenses before the lens, from the image plane; nothing for one row in two."""
    count = (0, 1, 0, 1, 0, 2, 0, 3)[i // 16 % 8]
    at, out = max(20.0, float(station) + w.real(10, 45, 1)), []
    for _ in range(count):
        out.append(f"{w.of(0.5, 1.0, 2.0, 3.0, w.real(0.2, 4, 2))!r}@{round(at, 1)!r}")
        at += w.real(4, 9, 1)
    if w.r.random() < 0.5: out.reverse()
    return "|".join(out)


def rows_attachments():
    w, out, i = Draw(SEED), [], 0
    while len(out) < 320:
        i += 1
        lens, n, c = w.lens(i, 12, 300), w.stop(), w.circle()
        f, e, p = (exact(repr(lens[k])) for k in ("focal", "hiatus", "pupil"))
        behind, row = some_parts(w, i), ""
        if i % 6 == 0:
            # breathing: a row whose focal length is 0.75 to 1.1 times that at infinity
            m, g = w.real(0.05, 0.3, 2), f * exact(repr(w.real(0.75, 1.1, 3)))
            row = f"{m!r}@{round(float(e + g * (2 + m + 1 / mpf(m))), 1)!r}"
        kind = Unit(f, e, p) if not row else Breathing(f, e, p, [(figure(row.split('@')[0]), figure(row.split('@')[1]), None)])
        bare = Whole(kind, exact(repr(n)), behind).set(mpf(0))
        front = some_front(w, i, bare.station)
        if not behind and not front: continue
        whole = Whole(kind, exact(repr(n)), behind, front)
        try:
            m = mpf(w.of(0.0, w.log(0.001, 0.6, 4), w.log(0.001, 0.3, 4))) * min(mpf(1), kind.last)
            s = whole.set(m)
            if s.to_pupil[0] < mpf("0.1") or s.magnification() > 3 or s.first - s.station < (5 if front else 0): continue
            focus = s.focus()
            nearer = whole.set(m + mpf(10) ** -4).focus()
            if focus is None or nearer is None or nearer >= focus: continue       # larger than life: not asked here
            if not plausible(s, exact(repr(c)), focus): continue
            base = {**lens, "row": row, "n": n, "circle": c, "behind": behind, "front": front}
            mark = Whole(kind, exact(repr(n))).set(m).focus()
            if i % 2 and (mark == INF or mark < 1e6):
                out.append({**base, "mark": "infinity" if mark == INF else repr(round(float(mark), 1)), "wanted": ""})
            elif focus != INF:
                out.append({**base, "mark": "", "wanted": repr(math.floor(float(focus) * 100) / 100)})
            else: continue
            attachments({k: v if isinstance(v, str) else repr(v) for k, v in out[-1].items()})
        except (AssertionError, ArithmeticError):
            if out and out[-1].get("behind") == behind and out[-1].get("n") == n: out.pop()
    return out


def rows_breathing():
    w, out, i = Draw(SEED + 1), [], 0
    while len(out) < 160:
        i += 1
        lens, n, c = w.lens(i, 14, 300), w.stop(), w.circle()
        f, e, p = (lens[k] for k in ("focal", "hiatus", "pupil"))
        count, rows, last = (1, 1, 2, 3, 4)[i % 5], [], None
        end, share = w.log(0.06, 0.4, 3), w.real(0.7, 1.12, 3)
        with_pupil = i % 2 == 0
        for j in range(1, count + 1):
            m = round(end * j / count, 3)
            g = f * (1 + (share - 1) * (m / end) * (1 + w.real(-0.1, 0.1, 3)))
            t = e + f * (2 + m - 1 / p) + w.real(-0.08, 0.02, 3) * f * j
            hiatus = e if not with_pupil else t - g * (2 + m - 1 / p)
            d = round(hiatus + g * (2 + m + 1 / m), 1)
            rows.append(f"{m!r}@{d!r}" + (f"/{round(t, 1)!r}" if with_pupil and (j == count or i % 3) else ""))
        row = {**lens, "n": n, "circle": c, "gate_width": w.of(24.89, 36.0, 21.95), "rows": "|".join(rows)}
        near_end = float(rows[-1].split("@")[1].split("/")[0])
        row["focus"] = "infinity" if i % 13 == 0 else w.log(near_end * 1.001, max(2e4, 3 * near_end), 1)
        try:
            ds = [float(part.split("@")[1].split("/")[0]) for part in rows]
            kind = Breathing(*(exact(repr(x)) for x in (f, e, p)), rows_of(row["rows"]))
            whole = Whole(kind, mpf(1))
            looks = [whole.set(kind.last * j / 60).focus() for j in range(61)]
            falling = all(a > b + 1 for a, b in zip(looks, looks[1:]))
            if not falling or any(a <= b for a, b in zip(ds, ds[1:])): continue
            m = mpf(0) if row["focus"] == "infinity" else whole.setting(exact(repr(row["focus"])), mpf(0), kind.last)
            s = Whole(kind, exact(repr(n))).set(m)
            if plausible(s, exact(repr(c)), s.focus()): out.append(row)
        except (AssertionError, ArithmeticError): continue
    return out


def rows_anamorphic():
    w, out, i = Draw(SEED + 2), [], 0
    while len(out) < 120:
        i += 1
        lens, n, c = w.lens(i, 20, 300), w.stop(), w.circle()
        S = w.of(2.0, 1.33, 1.5, 1.8, 1.25)
        d = "infinity" if i % 11 == 3 else w.distance(lens, 1.3, 400, 5e4)
        row = {**lens, "n": n, "circle": c, "squeeze": S, "part": ("front", "rear")[i % 2], "gate_width": w.of(20.96, 22.0, 36.0), "focus": d}
        k = lambda c: exact(repr(c)) * exact(repr(n)) / (exact(repr(lens["focal"])) * m)
        s = Whole(Unit(*(exact(repr(lens[x])) for x in ("focal", "hiatus", "pupil"))), exact(repr(n)))
        m = mpf(0) if d == "infinity" else s.setting(exact(repr(d)), mpf(0), mpf(1))
        if m and any(abs(1 - k(c) * x) < mpf("1e-3") for x in (1, mpf(S), mpf(S) ** 2)): continue
        out.append(row)
    return out


TABLES = {"attachments.csv": (rows_attachments, attachments), "breathing.csv": (rows_breathing, breathing), "anamorphic.csv": (rows_anamorphic, anamorphic)}


def digest(name): return hashlib.sha256((HERE / name).read_bytes()).hexdigest()


def write():
    for name, (draws, make) in TABLES.items():
        rows = [tables.fill(make, r) for r in draws()]
        out = io.StringIO(newline="")
        table = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
        table.writeheader(); table.writerows(rows)
        (HERE / name).write_bytes(out.getvalue().encode())
        print(f"{name}: {len(rows)} rows, {len(out.getvalue())} bytes")
    names = [Path(__file__).name, *TABLES]
    (HERE / "kinds.sha256").write_text("".join(f"{digest(n)}  {n}\n" for n in names))


def check(k, seed):
    wrong = 0
    for line in (HERE / "kinds.sha256").read_text().splitlines():
        want, name = line.split()
        if digest(name) != want: wrong += 1; print(f"sha256 differs: {name}")
    every = [(name, i, row) for name in TABLES for i, row in enumerate(tables.read(name), 2)]
    drawn = random.Random(seed).sample(every, min(k, len(every)))
    for name, line, row in drawn:
        for key, x in TABLES[name][1](row).items():
            a, b = row[key], shown(x)
            same = a == b or ("infinity" not in (a, b) and abs(float(a) - float(b)) <= math.ulp(max(abs(float(a)), abs(float(b)), 1e-12)))
            if not same: wrong += 1; print(f"{name}:{line}: {key} is {a}, recomputed {b}")
    print(f"checked {len(drawn)} of {len(every)} rows and {len(TABLES) + 1} sha256 sums: {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    args = sys.argv[1:]
    if not args: write()
    elif len(args) == 3 and args[0] == "--check": sys.exit(check(int(args[1]), int(args[2])))
    else: sys.exit(__doc__)
