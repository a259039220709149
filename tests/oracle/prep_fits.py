#!/usr/bin/env python3
"""Prep-day readings fitted by a general-purpose scientific library.

    prep_fits.py          write prep_readings.csv and prep_fits.csv
    prep_fits.py --check  say whether they are what this script gives, to 1e-9

Invented lenses on an invented camera. Each reading says where a lens stood (travel from its
infinity position, mm, give or take sd); its chart stood at `chart` mm from the image plane, plus
what the tape's zero is off, the same for all readings of a set and 0 +- 3 mm beforehand. The model
is travel = f m(chart + zero) - error: one error for each group, one zero for each set. The least
squares are scipy's (optimize.least_squares, not linear, to the last digits), the standard errors
those of its Jacobian. m solves D = e + f (2 + m + 1/m) by a root finder here, not by the closed
form the program uses. Needs numpy and scipy of requirements.txt.
"""
import csv, io, sys
from pathlib import Path
import numpy as np
from scipy.optimize import brentq, least_squares

HERE = Path(__file__).resolve().parent
ZERO_SD = 3.0
LENSES = [(18, 60), (25, 0), (25, 50), (32, 19), (50, 0), (50, -15.6), (75, -10), (100, -31), (135, 30)]


def magnification(f, e, d):
    if np.isinf(d):
        return 0.0
    return brentq(lambda m: (e + f * (2 + m)) * m + f - d * m, 1e-12, 1.0, xtol=1e-17, rtol=1e-15)


def sets():
    rng = np.random.default_rng(20310402)
    for number in range(12):
        groups = 1 + number % 4
        zero = rng.normal(0, ZERO_SD)
        rows = []
        for group in range(groups):
            f, e = LENSES[rng.integers(len(LENSES))]
            error = rng.normal(0, 0.03)
            for _ in range(3 + number):
                near = e + 4.0 * f + 8.0 * f
                chart = float(np.round(np.exp(rng.uniform(np.log(near), np.log(12000))), 1))
                if rng.random() < 0.1:
                    chart = np.inf
                sd = float(np.round(rng.uniform(0.002, 0.02), 5))
                travel = f * magnification(f, e, chart + zero) - error + rng.normal(0, sd)
                rows.append((number, group, f, e, chart, float(np.round(travel, 9)), sd))
        yield rows


def fit(rows):
    groups = 1 + max(row[1] for row in rows)

    def residuals(x):
        zero, errors = x[0], x[1:]
        out = [zero / ZERO_SD]
        for _, group, f, e, chart, travel, sd in rows:
            out.append((f * magnification(f, e, chart + zero) - travel - errors[group]) / sd)
        return np.array(out)

    start = np.zeros(1 + groups)
    found = least_squares(residuals, start, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    sd = np.sqrt(np.diag(covariance))
    for group in range(groups):
        yield rows[0][0], group, found.x[1 + group], sd[1 + group], found.x[0], sd[0]


def text(header, rows):
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(header)
    for row in rows:
        write.writerow("infinity" if isinstance(x, float) and np.isinf(x) else repr(x.item() if hasattr(x, "item") else x) for x in row)
    return out.getvalue()


def near(one, other):
    """Whether two tables say the same to 1e-9."""
    split = lambda t: [cell for line in t.splitlines() for cell in line.split(",")]
    a, b = split(one), split(other)
    return len(a) == len(b) and all(x == y or abs(float(x) - float(y)) < 1e-9 for x, y in zip(a, b))


def main():
    all_sets = list(sets())
    readings = text(["set", "group", "focal", "hiatus", "chart", "travel", "sd"], [row for rows in all_sets for row in rows])
    fits = text(["set", "group", "error", "sd", "zero", "zero_sd"], [row for rows in all_sets for row in fit(rows)])
    files = {"prep_readings.csv": readings, "prep_fits.csv": fits}
    if "--check" in sys.argv:
        wrong = [name for name, new in files.items() if not near((HERE / name).read_text(), new)]
        print("differs: " + " ".join(wrong) if wrong else f"{len(files)} files")
        return bool(wrong)
    for name, new in files.items():
        (HERE / name).write_text(new)
    print(f"{len(files)} files")
    return False


if __name__ == "__main__":
    sys.exit(main())
