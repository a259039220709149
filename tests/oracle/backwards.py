#!/usr/bin/env python3
"""Reference tables for the questions asked backwards, at 50 digits and more.

    backwards.py                write fixes.csv limits.csv steps.csv blur.csv slant.csv and backwards.sha256
    backwards.py --check K SEED recompute K rows drawn over all tables; verify backwards.sha256

Route. The program under test works with closed forms for limits, blur, the share of the
beam and the depth at a magnification. Nothing here uses them: rays go through the lens of
tables.py (a 2x2 matrix between its pupils), and whatever is wanted is found as the root of
a traced blur: the limit where the blur is the circle, the split where near and far blur
alike, the camera position, focal length or circle at which that blur is the circle. Tape
readings are turned to the axis by angles, not by squares.

Columns of fixes.csv, each a thing that lets stop `n` just hold `near` to `far`, which it
does not: `closer_far` (the far one moved nearer; focus then), `closer_near` (the near one
moved farther), `back` (the whole scene farther from the camera), `focal_here` (the longest
focal length of this hiatus and pupil magnification from the same place), `focal_framed`
(the longest when the camera moves in by `framed_closer` so that the magnification at the
split stays), a circle of `blur`.

steps.csv has one row a depth step, from far to near; the last row of a chain is the first
whose near limit is at or inside `to`, or (`end` = lens) the last the lens can be set to; for
touching steps that is its closest focus, overlapping the one before, where that leaves a gap.

Every input is rounded to a double first and its exact value is used. Lengths are in mm.
Source of all figures: this computation. Needs only mpmath.
"""
import csv, hashlib, io, math, random, sys
from pathlib import Path
from mpmath import mp, mpf
from tables import INF, SEED, Draw, Lens, depth, exact, fill, root, shown

HERE = Path(__file__).resolve().parent


def lens_of(r, focal=None):
    return Lens(exact(r["focal"]) if focal is None else focal, exact(r["hiatus"]), exact(r["pupil"]))


def blur(lens, l, aperture, d):
    """Diameter of the traced blur, positive in front of the focus."""
    return aperture * lens.height(l, lens.vergence(l, d))


def split(lens, near, far):
    """Where the lens stands when near and far blur alike."""
    return root(lambda l: blur(lens, l, 1, near) + blur(lens, l, 1, far), lens.focus(far), lens.focus(near))


def needed(lens, c, near, far):
    """The f-number at which both blur to the circle at the split."""
    return lens.f * blur(lens, split(lens, near, far), 1, near) / c


def grown(g, a, b, factor):
    """A root of g between a and the first b, b*factor, ... of the other sign."""
    sign = mp.sign(g(a))
    for _ in range(200):
        if mp.sign(g(b)) != sign: return root(g, a, b)
        b *= factor
    raise ArithmeticError("no bracket")


def focused_for_near(lens, a, c, near):
    """Focused so that the near limit is there; None when it is nearer even at infinity focus."""
    if blur(lens, lens.l_infinity, a, near) < c: return None
    return root(lambda l: blur(lens, l, a, near) - c, lens.l_infinity, lens.focus(near))


def focused_for_far(lens, a, c, far):
    """Focused so that the far limit is there; None when it is farther even at 1:1."""
    if -blur(lens, lens.l_unity, a, far) < c: return None
    return root(lambda l: blur(lens, l, a, far) + c, lens.focus(far), lens.l_unity)


def fixes(r):
    c, n, near, far = (exact(r[k]) for k in ("circle", "n", "near", "far"))
    lens = lens_of(r)
    a, at = lens.f / n, split(lens, near, far)
    assert needed(lens, c, near, far) > n, "it holds already"
    nearer, farther = focused_for_near(lens, a, c, near), focused_for_far(lens, a, c, far)
    back = grown(lambda x: needed(lens, c, near + x, far + x) - n, mpf(0), near, 2)
    here = grown(lambda f: needed(lens_of(r, f), c, near, far) - n, lens.f, lens.f / 2, mpf("0.5"))
    m = lens.shrink(at)

    def framed(f):
        """That lens at the same magnification, and where its near limit is."""
        other = lens_of(r, f)
        l = root(lambda l: other.shrink(l) - m, other.l_infinity, other.l_unity)
        return other, l, other.limits(l, f / n, c)[0]

    def too_soft(f):                       # of the far one, the near one standing at the near limit
        other, l, close = framed(f)
        return -blur(other, l, f / n, INF if far == INF else close + (far - near)) - c

    same = grown(too_soft, lens.f, lens.f / 2, mpf("0.5"))
    return dict(focus=lens.object(at), needed=needed(lens, c, near, far), blur=blur(lens, at, a, near),
                closer_far=lens.limits(nearer, a, c)[1], closer_far_focus=lens.object(nearer),
                closer_near=lens.limits(farther, a, c)[0], closer_near_focus=lens.object(farther),
                back=back, back_focus=lens.object(split(lens, near + back, far + back)),
                focal_here=here, focal_here_focus=(lambda o: o.object(split(o, near, far)))(lens_of(r, here)),
                focal_framed=same, framed_closer=near - framed(same)[2],
                framed_focus=(lambda o, l, _: o.object(l))(*framed(same)))


def limits(r):
    c, n, wanted = (exact(r[k]) for k in ("circle", "n", "wanted"))
    lens = lens_of(r)
    a = lens.f / n
    l = (focused_for_near if r["limit"] == "near" else focused_for_far)(lens, a, c, wanted)
    near, far = lens.limits(l, a, c)
    return dict(focus=lens.object(l), other=far if r["limit"] == "near" else near)


def chain(r):
    """Every step of a chain, from far to near, and why it ends."""
    c, n, begin, to = (exact(r[k]) for k in ("circle", "n", "from", "to"))
    lens, touching = lens_of(r), r["chain"] == "touching"
    a, out = lens.f / n, []
    while True:
        if touching: l = focused_for_far(lens, a, c, begin)
        else: l = lens.focus(begin) if begin == INF or begin >= lens.object(lens.l_unity) else None
        if l is None and not (touching and begin >= lens.object(lens.l_unity)): return out, "lens"
        if l is None: touching, l = "at its end", lens.l_unity
        near, far = lens.limits(l, a, c)
        if touching is True: far = begin     # less the root's dust, which shows where begin is infinity
        out.append((lens.object(l), near, far))
        if touching == "at its end": return out, "lens"
        if near <= to: return out, "to"
        begin = near


def step(r):
    focus, near, far = chain(r)[0][int(r["step"]) - 1]
    return dict(focus=focus, near=near, far=far)


def soft(r):
    c, n, focus, at, w = (exact(r[k]) for k in ("circle", "n", "focus", "object", "gate_width"))
    lens = lens_of(r)
    l, a = lens.focus(focus), lens.f / n
    b = -blur(lens, l, a, at)
    apex = lens.p / (1 / lens.f - lens.vergence(l, at) / lens.p)       # the cone behind the exit pupil
    cone = lens.p * a * (l - apex) / apex
    assert b == cone or abs(b - cone) <= mpf(10) ** -45 * a, "similar triangles disagree"
    return dict(blur=b, blur_circles=abs(b) / c, blur_of_width=abs(b) / w)


def slant(r):
    """The axis by angles: the tape's own line is turned into the plane of axis and floor."""
    g = lambda k: exact(r[k])
    if r["taped"]: tape = g("taped") * mp.cos(mp.asin(g("hook") / g("taped")))
    else: tape = g("floor") / mp.cos(mp.atan((g("camera_height") - g("eye_height")) / g("floor")))
    return dict(focus=tape * mp.cos(mp.asin(g("across") / tape)) if r["across"] else tape)


# ---- the draws ----

def pair(w, i, thin=1.01):
    """A lens, a circle, two subjects and the f-number they need."""
    while True:
        lens, n, c = w.lens(i, 10, 300), w.stop(), w.circle()
        got = depth({**lens, "n": n, "circle": c, "focus": w.distance(lens, 1.4, 300, 3e4), "branch": "far"})
        near, far = round(float(got["near"]), 1), "infinity" if got["far"] == INF or i % 6 == 5 else round(float(got["far"]), 1)
        if near > 1.05 * (4 * lens["focal"] + lens["hiatus"]) and (far == "infinity" or thin * near < far < 1e7):
            n = needed(lens_of({k: repr(v) for k, v in lens.items()}), exact(c), exact(near), exact(far))
            return lens, c, near, far, float(n)


def rows_fixes():
    w, out = Draw(SEED + 10), []
    while len(out) < 150:
        lens, c, near, far, n = pair(w, len(out))
        n = round(n / w.log(1.03, 12, 4), 3)
        if 0.6 < n < 200: out.append({**lens, "circle": c, "near": near, "far": far, "n": n})
    return out


def rows_limits():
    w, out = Draw(SEED + 11), []
    while len(out) < 120:
        i = len(out)
        lens, n, c, which = w.lens(i, 10, 400), w.stop(), w.circle(), ("near", "far")[i % 2]
        l = lens_of({k: repr(v) for k, v in lens.items()})
        wanted = "infinity" if i % 8 == 7 else w.distance(lens, 1.1, 300, 3e5)
        if which == "near":                # half of them so far that the far limit is infinity
            end = float(l.limits(l.l_infinity, l.f / n, mpf(c))[0])
            wanted = round(end * w.real(0.3, 0.97, 3), 1) if i % 4 == 0 else min(wanted, round(end * 0.9, 1))
            if wanted < 1.1 * (4 * lens["focal"] + lens["hiatus"]): continue
        elif focused_for_far(l, l.f / exact(n), exact(c), exact(wanted)) is None: continue
        out.append({**lens, "n": n, "circle": c, "limit": which, "wanted": wanted})
    return out


def rows_steps():
    w, out = Draw(SEED + 12), []
    name = 0
    while name < 32:
        lens, n, c = w.lens(name, 20, 300), w.stop(), w.circle()
        start = "infinity" if name % 4 < 2 else w.distance(lens, 3, 2000, 3e4)
        least = 4 * lens["focal"] + lens["hiatus"]
        close = name % 8 > 5               # down to where the lens can be set no nearer, at a dark stop
        if close: n, c, to = w.of(16.0, 22.0, 32.0), w.of(0.03, 0.05), round(0.8 * least, 1)
        else: to = w.distance(lens, 1.2, 400, 5e3)
        if start != "infinity" and to > 0.9 * start or not close and to < least or close and lens["focal"] > 60: continue
        r = {**lens, "n": n, "circle": c, "chain": ("overlapping", "touching")[name % 2], "from": start, "to": to}
        text = {k: v if isinstance(v, str) else repr(v) for k, v in r.items()}
        if not close and not 2 <= estimate(text) <= 16: continue
        rows, end = chain(text)
        clear = all(abs(near - exact(text["to"])) > 1e-3 for _, near, _ in rows)
        if not (2 <= len(rows) <= 30 and clear and close == (end == "lens")): continue
        name += 1
        out += [{"walk": name, **r, "end": end, "steps": len(rows), "step": i + 1} for i in range(len(rows))]
    return out


def estimate(r):
    """About how many steps: the chain is even in 1/D."""
    f, c, n, to = (float(r[k]) for k in ("focal", "circle", "n", "to"))
    begin = 0 if r["from"] == "infinity" else 1 / float(r["from"])
    return (1 / to - begin) * f * f / (n * c) / (2 if r["chain"] == "touching" else 1)


def rows_blur():
    w, out = Draw(SEED + 13), []
    for i in range(150):
        lens, n, c = w.lens(i, 8, 400), w.stop(), w.circle()
        focus = "infinity" if i % 10 == 3 else w.distance(lens, 1.2, 300, 5e4)
        least = max(250.0, 5 * lens["focal"] + 2 * abs(lens["hiatus"]))        # before every pupil drawn
        at = "infinity" if i % 10 in (3, 6) else w.log(least, 3e5, 1)
        out.append({**lens, "n": n, "circle": c, "gate_width": w.of(24.89, 22.0, 12.52, 36.0, 5.31), "focus": focus, "object": at})
    return out


def rows_slant():
    w, out = Draw(SEED + 14), []
    for i in range(80):
        row = dict.fromkeys(("taped", "hook", "floor", "camera_height", "eye_height", "across"), "")
        d = w.log(300, 3e4, 1)
        if i % 2: row.update(floor=d, camera_height=w.real(50, 3000, 1), eye_height=w.real(100, 1900, 1))
        else: row.update(taped=d, hook=w.real(10, 80, 1) if i % 4 == 0 else 0.0)
        if i % 3: row["across"] = round(d * w.real(0.01, 0.95, 3), 1)
        out.append(row)
    return out


TABLES = {"fixes.csv": (rows_fixes, fixes), "limits.csv": (rows_limits, limits), "steps.csv": (rows_steps, step),
          "blur.csv": (rows_blur, soft), "slant.csv": (rows_slant, slant)}


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
    (HERE / "backwards.sha256").write_text("".join(f"{digest(n)}  {n}\n" for n in names))


def check(k, seed):
    wrong = 0
    for line in (HERE / "backwards.sha256").read_text().splitlines():
        want, name = line.split()
        if digest(name) != want: wrong += 1; print(f"sha256 differs: {name}")
    every = []
    for name in TABLES:
        with open(HERE / name, newline="") as file: every += [(name, i, row) for i, row in enumerate(csv.DictReader(file), 2)]
    drawn = random.Random(seed).sample(every, min(k, len(every)))
    for name, line, row in drawn:
        for key, x in TABLES[name][1](row).items():
            a, b = row[key], shown(x)
            if a == b: continue
            if "infinity" in (a, b) or abs(float(a) - float(b)) > math.ulp(max(abs(float(a)), abs(float(b)))):
                wrong += 1; print(f"{name}:{line}: {key} is {a}, recomputed {b}")
    print(f"checked {len(drawn)} of {len(every)} rows and {len(TABLES) + 1} sha256 sums: {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    args = sys.argv[1:]
    if not args: write()
    elif len(args) == 3 and args[0] == "--check": sys.exit(check(int(args[1]), int(args[2])))
    else: sys.exit(__doc__)
