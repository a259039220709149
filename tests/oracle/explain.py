#!/usr/bin/env python3
"""Checks the steps of an explained answer by doing the arithmetic again.

    markwright depth ... --explain --as json | explain.py [--given NAME=VALUE ...] [--figures KEY,...]
    explain.py --self-test

Exit 1, one line a fault, when a step's text does not give its value (1e-14 relative), when
an input comes from nowhere (not a number of the answer, not --given, not a constant, not
the value of an earlier step), when the last value is no number of the answer, or when a
number under one of the KEYs of a row is the value of no step. Figures an answer shows count
as given: so do, of a ring, its marks and the slopes of the curve at them. A number handed
on must be the same number, bit for bit: a step that rounds on the way is a fault.

A step whose `how` is "solved" shows an equation at its own solution: what goes into it
follows from what comes out. Such an input must come back, to 1e-10, as the value of a later
step or as a number of the answer; where it does, the equation holds. What was asked then
comes back with its last digits changed, and so may be the last value of the answer.
Exit 2 when what is read is not such an answer. Steps hold numbers only; the answer itself
may say "infinity".
"""
import argparse, ast, json, math, sys, unicodedata

TOLERANCE = 1e-14
SOLVED = 1e-10          # to the last digits of the root; differences of far distances lose some
FUNCTIONS = {name: getattr(math, name) for name in ("sqrt", "atan", "tan", "log2")}
# Numbers that need no origin: pi, units, angle, and what a nought or a one says for itself.
CONSTANTS = {0.0, 1.0, 2.0, math.pi, 25.4, 304.8, 180.0, 360.0, 60.0}
SUMS = {ast.Add: lambda a, b: a + b, ast.Sub: lambda a, b: a - b, ast.Mult: lambda a, b: a * b,
        ast.Div: lambda a, b: a / b, ast.Pow: lambda a, b: a ** b}


def plain(name): return unicodedata.normalize("NFKC", name)      # as Python reads identifiers


def evaluate(text, letters):
    """Arithmetic only: no names but the letters, pi and the four functions."""
    used = set()
    def walk(x):
        if isinstance(x, ast.Expression): return walk(x.body)
        if isinstance(x, ast.Constant) and type(x.value) in (int, float): return float(x.value)
        if isinstance(x, ast.BinOp) and type(x.op) in SUMS: return SUMS[type(x.op)](walk(x.left), walk(x.right))
        if isinstance(x, ast.UnaryOp) and isinstance(x.op, (ast.USub, ast.UAdd)): return -walk(x.operand) if isinstance(x.op, ast.USub) else walk(x.operand)
        if isinstance(x, ast.Call) and isinstance(x.func, ast.Name) and x.func.id in FUNCTIONS and not x.keywords: return FUNCTIONS[x.func.id](*map(walk, x.args))
        if isinstance(x, ast.Name):
            if x.id in letters: used.add(x.id); return letters[x.id]
            if x.id == "pi": return math.pi
            raise ValueError(f"'{x.id}' is neither an input nor known")
        raise ValueError(f"{type(x).__name__} is not arithmetic")
    value = walk(ast.parse(text, mode="eval"))
    if not isinstance(value, float) or not math.isfinite(value): raise ValueError(f"gives {value}, not a finite number")
    return value, set(letters) - used


def number(x): return type(x) in (int, float) and math.isfinite(x)


def numbers(x):
    """Every number of the answer outside `steps`."""
    if number(x): yield float(x)
    elif isinstance(x, dict):
        for key, inner in x.items():
            if key != "steps": yield from numbers(inner)
    elif isinstance(x, list):
        for inner in x: yield from numbers(inner)


def inputs_of(step):
    given = step["inputs"]
    pairs = given.items() if isinstance(given, dict) else [(i["letter"], i["value"]) for i in given]
    out = {}
    for letter, value in pairs:
        if not number(value): raise ValueError(f"input {letter} is {value!r}, not a number")
        if plain(letter) in out: raise ValueError(f"input {letter} is there twice")
        out[plain(letter)] = float(value)
    return out


def check(answer, given=(), figures=()):
    steps = answer.get("steps") if isinstance(answer, dict) else None
    if not isinstance(steps, list) or not steps: raise LookupError("no `steps` in the answer: was it asked with --explain --as json?")
    in_answer, earlier, faults = set(numbers(answer)), set(), []
    known = in_answer | set(given) | CONSTANTS
    close = lambda x, to: any(abs(x - y) <= SOLVED * abs(x) for y in to)
    solved = False
    for i, step in enumerate(steps, 1):
        at = f"step {i} ({step.get('symbol', '?')} = {step.get('text', '?')})"
        try:
            value, letters = step["value"], inputs_of(step)
            if not number(value): raise ValueError(f"value is {value!r}, not a number")
            here = step.get("how") == "solved"
            solved = solved or here
            later = in_answer.union(s["value"] for s in steps[i:] if number(s.get("value"))) if here else ()
            for letter, x in letters.items():
                if x in known or x in earlier: continue
                if not here: faults.append(f"{at}: {letter} = {x!r} comes from nowhere")
                elif not close(x, later): faults.append(f"{at}: {letter} = {x!r} does not come back")
            got, idle = evaluate(step["text"], letters)
            if abs(got - value) > TOLERANCE * abs(value): faults.append(f"{at}: gives {got!r}, says {value!r}")
            if idle: faults.append(f"{at}: input {', '.join(sorted(idle))} is not used")
            earlier.add(float(value))
        except KeyError as e: faults.append(f"{at}: has no {e}")
        except SyntaxError: faults.append(f"{at}: the text is not an expression")
        except (ValueError, ArithmeticError, TypeError) as e: faults.append(f"{at}: {e}")
    for i, row in enumerate(answer.get("rows", []), 1):
        for key in figures:
            if number(row.get(key)) and float(row[key]) not in earlier: faults.append(f"row {i}: no step gives {key}, {row[key]!r}")
    last = steps[-1].get("value")
    if number(last) and float(last) not in in_answer and not (solved and close(last, in_answer)): faults.append(f"the last value, {last!r}, is no number of the answer")
    return faults


def self_test():
    def answer(**change):
        near = {"symbol": "s", "text": "q / (m + κ)", "inputs": [{"letter": "q", "value": 50.5, "unit": "mm"}, {"letter": "m", "value": 0.01, "unit": ""}, {"letter": "κ", "value": 0.0014, "unit": ""}], "value": 50.5 / (0.01 + 0.0014), "unit": "mm"}
        q = {"symbol": "q", "text": "f*(1 + m/p)", "inputs": [{"letter": "f", "value": 50, "unit": "mm"}, {"letter": "m", "value": 0.01, "unit": ""}, {"letter": "p", "value": 1, "unit": ""}], "value": 50.5, "unit": "mm"}
        near.update(change)
        return {"focal_length_mm": 50, "k": 0.0014, "rows": [{"magnification": 0.01, "near_mm": 50.5 / (0.01 + 0.0014), "far_mm": "infinity"}], "steps": [q, near]}
    assert check(answer()) == [], check(answer())
    for change, says in (({"text": "q / (m - κ)"}, "gives"), ({"text": "q +"}, "not an expression"), ({"text": "q / (m + z)"}, "neither"),
                         ({"text": "__import__('os')"}, "not arithmetic"), ({"value": 51.0}, "gives"), ({"value": "infinity"}, "not a number"),
                         ({"text": "q / (m + 0*m)"}, "not used"), ({"text": "q / (m - m)"}, "division"),
                         ({"inputs": {"q": 50.5, "m": 0.01, "κ": 0.00140001}}, "from nowhere"), ({"inputs": {"q": 50.5}}, "neither")):
        assert any(says in x for x in check(answer(**change))), (change, check(answer(**change)))
    assert check({**answer(), "rows": [{"magnification": 0.01}]}) == [f"the last value, {50.5 / (0.01 + 0.0014)!r}, is no number of the answer"]
    assert check({**answer(), "k": 0}) and not check({**answer(), "k": 0}, [0.0014])
    assert not check(answer(), figures=["near_mm", "far_mm"]) and check(answer(), figures=["magnification"]) == ["row 1: no step gives magnification, 0.01"]
    # A root: x = 2/x is solved by the x that gives the y that goes into it.
    root = math.sqrt(2)
    def solution(y, **change):
        x = {"symbol": "x", "text": "2 / y", "inputs": {"y": y}, "value": 2 / y, "how": "solved"}
        back = {"symbol": "y", "text": "x * 1", "inputs": {"x": 2 / y}, "value": 2 / y}
        return {"x_mm": 2 / y, "steps": [{**x, **change}, back]}
    assert check(solution(root)) == [], check(solution(root))
    assert any("come back" in x for x in check(solution(1.5)))
    assert any("from nowhere" in x for x in check(solution(root + 1e-12, how="computed")))
    print("explain.py: self-test passed")


def main():
    args = argparse.ArgumentParser()
    args.add_argument("--given", action="append", default=[], metavar="NAME=VALUE")
    args.add_argument("--figures", default="", metavar="KEY,...")
    args.add_argument("--self-test", action="store_true")
    args = args.parse_args()
    if args.self_test: return self_test()
    try:
        given = [float(x.partition("=")[2]) for x in args.given]
        answer = json.load(sys.stdin, parse_constant=lambda x: (_ for _ in ()).throw(ValueError(f"{x} is not JSON")))
        faults = check(answer, given, [key for key in args.figures.split(",") if key])
    except (ValueError, LookupError) as e:
        print(f"explain.py: {e}", file=sys.stderr); return 2
    for fault in faults: print(f"explain.py: {fault}", file=sys.stderr)
    if not faults: print(f"{len(answer['steps'])} steps agree")
    return 1 if faults else 0


if __name__ == "__main__": sys.exit(main())
