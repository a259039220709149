#!/usr/bin/env python3
"""Reference table for subjects on their way: where the ring is to be, how far it may be off,
how fast it turns.

    pull.py                 write pull.csv and pull.sha256 (20 s)
    pull.py --check K SEED  recompute K rows; verify pull.sha256

Route. The program works with distances along the path, half-angle tangents and a formula for
the rate. Here the image-plane mark is the origin of a plane, a subject is a point in it that
moves: on a line it is found by the angle at which the camera sees it, on a circle by turning
about the centre, where it begins and ends by root finding on its distance. The focus distance
is the point's length, or its product with the unit vector at which a still frame is aimed. The
lens is the one of tables.py, traced; how far the ring may be off is where the traced blur of the
standing subject meets the circle. A rate is the derivative of the traced position over time by
differences in 60 digits; the peak is the highest of a scan, refined by golden section.

Lengths in mm, angles in degrees, positions from infinity toward close focus, `seconds` from the
beginning. `sharp_from` is `infinity` where the edge lies beyond infinity focus.
"""
import csv, hashlib, io, math, random, sys
from pathlib import Path
import tables
from tables import Draw, Lens, exact, root, shown
from mpmath import mp, mpf

HERE = Path(__file__).resolve().parent
SEED = tables.SEED + 40


class Way:
    """A point that moves in a plane whose origin is the image-plane mark, y away from it."""

    def __init__(self, r):
        num = lambda k: exact(r[k]) if r[k] else None
        self.kind, self.still = r["kind"], r["frame"] == "still"
        self.v, self.a, self.b = num("speed"), num("from"), num("to")
        self.size, self.radius, self.frame_at = num("size"), num("radius"), num("frame_at")
        passes = r["passes"] == "yes"
        if self.kind == "axis":
            self.whole = abs(self.a - self.b) / self.v
            return
        half = mp.pi / 2 if self.kind == "passing" else mp.pi
        seen = lambda d: mpf(0) if abs(self.length(self.point(mpf(0))) - d) < mpf(10) ** -40 else (
            mp.acos(self.size / d) if self.kind == "passing"
            else half if d == self.size + self.radius
            else root(lambda w: self.length(self.point(w)) - d, mpf(0), half))
        begin, end = seen(self.a), seen(self.b)
        self.away = not passes and self.b > self.a
        self.begin = begin if self.away else -begin
        self.end = end if self.away or passes else -end
        place = lambda w: self.size * mp.tan(w) if self.kind == "passing" else self.radius * w
        self.x0, self.x1 = place(self.begin), place(self.end)
        self.whole = (self.x1 - self.x0) / self.v
        if self.still:
            aim = (mpf(0), self.size) if self.kind == "circling" else \
                self.point(seen(self.frame_at) * (1 if self.away else -1))
            self.aim = tuple(x / self.length(aim) for x in aim)

    def length(self, p): return mp.sqrt(p[0] ** 2 + p[1] ** 2)

    def point(self, w):
        """The point at an angle: at the camera for a line, at the centre for a circle."""
        if self.kind == "passing": return self.size * mp.tan(w), self.size
        return self.radius * mp.sin(w), self.size - self.radius * mp.cos(w)

    def at(self, t):
        """Straight distance and focus distance after t seconds."""
        if self.kind == "axis":
            d = self.a + (self.b - self.a) * t / self.whole
            return d, d
        x = self.x0 + self.v * t
        p = (x, self.size) if self.kind == "passing" else self.point(x / self.radius)
        d = self.length(p)
        return d, (p[0] * self.aim[0] + p[1] * self.aim[1] if self.still else d)

    def nearest(self):
        """The times between which focus goes one way."""
        turns = self.kind != "axis" and not (self.still and self.kind == "passing") and self.x0 < 0 < self.x1
        return [mpf(0), -self.x0 / self.v, self.whole] if turns else [mpf(0), self.whole]


def pull(r):
    f, e, p, n, c, g = (exact(r[k]) for k in ("focal", "hiatus", "pupil", "n", "circle", "gain"))
    lens, a, way = Lens(f, e, p), exact(r["focal"]) / exact(r["n"]), Way(r)
    turn = lambda d: g * (lens.focus(d) - lens.l_infinity)
    ring = lambda t: turn(way.at(t)[1])
    h = mpf(10) ** -14 * way.whole
    rate = lambda t: (ring(t + h) - ring(t - h)) / (2 * h)
    t = exact(r["part"]) * way.whole
    taped, d = way.at(t)
    l = lens.focus(d)
    blur = lambda x: a * lens.height(x, lens.vergence(x, d))
    step = c * n / 8
    back, ahead = l - step, l + step
    while blur(back) < c: back -= step
    while blur(ahead) > -c: ahead += step
    back, ahead = (root(lambda x: blur(x) - c, back, l), root(lambda x: blur(x) + c, l, ahead))
    times = way.nearest()
    peak = mpf(0)
    with mp.workdps(40):
        for one, other in zip(times, times[1:]):
            far = max(way.at(one)[1], way.at(other)[1])
            near_end = one if way.at(one)[1] < far else other
            far_end = other if near_end == one else one
            look = [near_end + (far_end - near_end) * (mpf(k) / 120) ** 3 for k in range(121)]
            seen = [abs(rate(x)) for x in look]
            k = max(range(121), key=lambda k: seen[k])
            lo, hi = look[max(k - 1, 0)], look[min(k + 1, 120)]
            ratio = (mp.sqrt(5) - 1) / 2
            for _ in range(45):
                x, y = hi - ratio * (hi - lo), lo + ratio * (hi - lo)
                if abs(rate(x)) < abs(rate(y)): lo = x
                else: hi = y
            peak = max(peak, seen[k], abs(rate((lo + hi) / 2)))
    places = [ring(x) for x in times]
    return dict(seconds=t, whole=way.whole, taped=taped, focus=d, position_deg=turn(d),
                sharp_from_deg=mp.inf if back < lens.l_infinity else g * (back - lens.l_infinity),
                sharp_to_deg=g * (ahead - lens.l_infinity), deg_per_s=rate(t), peak_deg_per_s=peak,
                turning_deg=sum(abs(x - y) for x, y in zip(places, places[1:])))


def draws():
    w, out = Draw(SEED), []
    while len(out) < 84:
        i = len(out)
        lens = w.lens(i, 12, 200)
        least = max(350.0, 1.6 * (4 * lens["focal"] + lens["hiatus"]))
        near = w.log(least, 6 * least, 0)
        row = dict(**lens, n=w.stop(), circle=w.circle(), gain=w.log(8, 120, 2), kind=("axis", "passing", "passing", "circling")[i % 4],
                   frame="pans", size="", radius="", frame_at="", passes="no",
                   speed=w.log(300, 20000, 0), part=w.real(0.02, 0.98, 4))
        far = lambda: w.log(near * 1.05, near * 12, 0)
        if row["kind"] == "axis":
            row["from"], row["to"] = (far(), near) if i % 8 else (near, far())
        elif row["kind"] == "passing":
            row.update(size=near, passes=w.of("yes", "yes", "no"))
            row["from"], row["to"] = far(), far()
            if i % 12 == 1: row["to"] = near
            if i % 3 == 0:
                row.update(frame="still", frame_at=w.log(near * 1.02, near * 3, 0))
        else:
            radius = w.log(300, 5 * near, 0)
            row.update(size=near + radius, radius=radius, passes=w.of("yes", "yes", "no"), frame=w.of("pans", "still"))
            within = lambda: round(near + 2 * radius * (0.05 + 0.95 * w.r.random()), 0)
            row["from"], row["to"] = within(), within()
            if i % 16 == 3: row.update({"from": near + 2 * radius, "to": near + 2 * radius, "passes": "yes"})
        if row["from"] == row["to"] and row["passes"] == "no": continue
        way = Way({k: str(v) for k, v in row.items()})
        # The frame's own distance must stay where the lens focuses.
        if min(way.at(t)[1] for t in way.nearest()) < least / 1.2: continue
        out.append(row)
    return out


def digest(name): return hashlib.sha256((HERE / name).read_bytes()).hexdigest()


def write():
    rows = [tables.fill(pull, r) for r in draws()]
    out = io.StringIO(newline="")
    table = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
    table.writeheader(); table.writerows(rows)
    (HERE / "pull.csv").write_bytes(out.getvalue().encode())
    names = [Path(__file__).name, "pull.csv"]
    (HERE / "pull.sha256").write_text("".join(f"{digest(n)}  {n}\n" for n in names))
    print(f"pull.csv: {len(rows)} rows, {len(out.getvalue())} bytes")


def check(k, seed):
    wrong = 0
    for line in (HERE / "pull.sha256").read_text().splitlines():
        want, name = line.split()
        if digest(name) != want: wrong += 1; print(f"sha256 differs: {name}")
    every = list(enumerate(tables.read("pull.csv"), 2))
    drawn = random.Random(seed).sample(every, min(k, len(every)))
    for line, row in drawn:
        for key, x in pull(row).items():
            a, b = row[key], shown(x)
            same = a == b or ("infinity" not in (a, b) and abs(float(a) - float(b)) <= math.ulp(max(abs(float(a)), abs(float(b)), 1e-12)))
            if not same: wrong += 1; print(f"pull.csv:{line}: {key} is {a}, recomputed {b}")
    print(f"checked {len(drawn)} of {len(every)} rows and 2 sha256 sums: {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    args = sys.argv[1:]
    if not args: write()
    elif len(args) == 3 and args[0] == "--check": sys.exit(check(int(args[1]), int(args[2])))
    else: sys.exit(__doc__)
