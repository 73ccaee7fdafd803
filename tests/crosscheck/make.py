"""Makes the reference values of tests/crosscheck.rs with general-purpose libraries.

    python3 -m venv venv && venv/bin/pip install numpy==2.3.1 scipy==1.16.0
    venv/bin/python tests/crosscheck/make.py

It shares no code with the project: the curve is scipy's PchipInterpolator, roots are scipy's brentq, and the line is
written out anew below from the textbook formulas. The values are committed; run it again only to change the cases.
"""

import csv
import math
import pathlib

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).parent
FT, INCH, GPM, G = 0.3048, 0.0254, 231 * 0.0254**3 / 60, 9.80665
rng = np.random.default_rng(20260131)


def write(name, head, rows):
    with open(HERE / name, "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)


def number(value):
    return f"{value:.12g}"


def curve_points():
    count = int(rng.integers(2, 7))
    flows = np.concatenate([[0.0], np.cumsum(rng.uniform(4, 25, count))])
    heads = rng.uniform(12, 55) - np.concatenate([[0.0], np.cumsum(rng.uniform(0.05, 9, count))])
    keep = heads > 0.2
    return (flows[keep], heads[keep]) if keep.sum() >= 2 else curve_points()


def pchip():
    rows = []
    for case in range(40):
        flows, heads = curve_points()
        curve = PchipInterpolator(flows, heads) if len(flows) > 2 else (lambda q: np.interp(q, flows, heads))
        for q in rng.uniform(0, flows[-1], 5):
            rows.append([case, ";".join(map(number, flows)), ";".join(map(number, heads)), number(q), number(float(curve(q)))])
    write("curve.csv", ["case", "flows_gpm", "heads_ft", "flow_gpm", "head_ft"], rows)


def colebrook(re, rough):
    if re <= 2000:
        return 64 / re
    turbulent = lambda r: brentq(lambda f: 1 / math.sqrt(f) + 2 * math.log10(rough / 3.7 + 2.51 / (r * math.sqrt(f))), 1e-4, 1, xtol=1e-15)
    if re < 4000:
        return 0.032 + (turbulent(4000) - 0.032) * (re - 2000) / 2000
    return turbulent(re)


def friction_factors():
    rows = []
    for _ in range(120):
        re = 10 ** rng.uniform(2.5, 7)
        rough = 0.0 if rng.random() < 0.1 else 10 ** rng.uniform(-6, -1.4)
        rows.append([number(re), number(rough), number(colebrook(re, rough))])
    write("friction_factor.csv", ["reynolds", "relative_roughness", "friction_factor"], rows)


def friction(method, q, length, bore, c, eps, nu):
    if q <= 0:
        return 0.0
    if method == "hazen-williams":
        return 10.67 * length * q**1.852 / (c**1.852 * bore**4.8704)
    v = 4 * q / (math.pi * bore**2)
    return colebrook(v * bore / nu, eps / bore) * length / bore * v * v / (2 * G)


def velocity_head(q, bore):
    return (4 * q / (math.pi * bore**2)) ** 2 / (2 * G)


def widening(q, before, after):
    """Where the bore widens at once: (V1 - V2)^2/2g."""
    v1, v2 = (4 * q / (math.pi * d**2) for d in (before, after))
    return (v1 - v2) ** 2 / (2 * G) if after > before else 0.0


def narrowing(q, before, after):
    """Where it narrows: 0.5 (1 - A2/A1) V2^2/2g."""
    return 0.5 * (1 - (after / before) ** 2) * velocity_head(q, after) if after < before else 0.0


def duty():
    """The duty point of a line with two runs, a profile of three points and a relief hole."""
    rows = []
    case = 0
    while case < 60:
        method = "hazen-williams" if case % 2 == 0 else "darcy-weisbach"
        flows, heads = curve_points()
        if len(flows) < 3:
            continue
        curve = PchipInterpolator(flows * GPM, heads * FT)
        c, eps, nu = rng.uniform(120, 150), 0.0015e-3, 1.3063e-6
        b0, b1, b2 = rng.choice([1.38, 1.61, 2.067], 3)
        l1, l2 = rng.uniform(10, 150, 2)
        k0, k1, k2 = rng.uniform(0, 4, 3)
        lift = rng.uniform(1, 14)
        middle = lift + rng.uniform(-4, 3)
        hole = rng.choice([0.125, 0.1875, 0.25])
        hole_up = rng.uniform(-0.5, 1.5)
        riser = 3.0
        d0, d1, d2 = b0 * INCH, b1 * INCH, b2 * INCH
        area = math.pi / 4 * (hole * INCH) ** 2

        def asked(q):
            r = friction(method, q, riser * FT, d0, c, eps, nu) + k0 * velocity_head(q, d0) + widening(q, d0, d1)
            f1 = friction(method, q, l1 * FT, d1, c, eps, nu) + k1 * velocity_head(q, d1)
            f1 += narrowing(q, d0, d1) + widening(q, d1, d2)
            f2 = friction(method, q, l2 * FT, d2, c, eps, nu) + k2 * velocity_head(q, d2) + narrowing(q, d1, d2)
            top = middle * FT + d1 + r + f1 + velocity_head(q, d1)
            end = max(lift * FT, (lift - 0.3) * FT + d2) + r + f1 + f2 + velocity_head(q, d2)
            return max(top, end)

        def leak(h):
            return 0.6 * area * math.sqrt(2 * G * max(0.0, h - max(0.0, hole_up * FT)))

        def miss(q):
            h = asked(q)
            return float(curve(q + leak(h))) - h

        # the largest line flow whose pump flow is still on the curve
        top = brentq(lambda q: q + leak(asked(q)) - flows[-1] * GPM, 0, flows[-1] * GPM)
        if miss(1e-9) <= 0 or miss(top) >= 0:
            continue
        q = brentq(miss, 1e-9, top, xtol=1e-15)
        rows.append(
            [case, method, ";".join(map(number, flows)), ";".join(map(number, heads)), number(c)]
            + [number(x) for x in (b0, b1, b2, l1, l2, k0, k1, k2, lift, middle, hole, hole_up)]
            + [number(q / GPM), number(leak(asked(q)) / GPM), number(asked(q) / FT)]
        )
        case += 1
    head = "case method flows_gpm heads_ft c bore0_in bore1_in bore2_in length1_ft length2_ft k0 k1 k2 lift_ft middle_ft hole_in hole_up_ft line_gpm leak_gpm head_ft"
    write("duty.csv", head.split(), rows)


def together():
    """Two unlike pumps, each with its own riser, into one run; the second may be pushed shut."""
    rows = []
    case = 0
    while case < 40:
        flows_a, heads_a = curve_points()
        flows_b, heads_b = curve_points()
        if len(flows_a) < 3 or len(flows_b) < 3:
            continue
        curves = [PchipInterpolator(f * GPM, h * FT) for f, h in ((flows_a, heads_a), (flows_b, heads_b))]
        ends = [flows_a[-1] * GPM, flows_b[-1] * GPM]
        c, length, lift = rng.uniform(120, 150), rng.uniform(20, 300), rng.uniform(1, 20)
        b0, b1 = rng.choice([1.38, 1.61, 2.067], 2)
        k0, k1 = rng.uniform(0, 4, 2)
        d0, d1 = b0 * INCH, b1 * INCH

        def riser(q):
            return friction("hazen-williams", q, 3 * FT, d0, c, 0, 0) + k0 * velocity_head(q, d0) + widening(q, d0, d1)

        def run(q):
            return lift * FT + friction("hazen-williams", q, length * FT, d1, c, 0, 0) + (1 + k1) * velocity_head(q, d1) + narrowing(q, d0, d1)

        def gives(curve, end, head):
            left = lambda q: float(curve(q)) - riser(q) - head
            if left(0) <= 0:
                return 0.0
            return math.inf if left(end) > 0 else brentq(left, 0, end, xtol=1e-16)

        def miss(head):
            return run(min(sum(gives(curve, end, head) for curve, end in zip(curves, ends)), 1.0)) - head

        top = max(heads_a[0], heads_b[0]) * FT
        if run(0) >= top or not math.isfinite(miss(run(0))):
            continue
        head = brentq(miss, run(0), top, xtol=1e-14)
        each = [gives(curve, end, head) for curve, end in zip(curves, ends)]
        if not all(map(math.isfinite, each)) or abs(miss(head)) > 1e-9:
            continue
        rows.append(
            [case]
            + [";".join(map(number, x)) for x in (flows_a, heads_a, flows_b, heads_b)]
            + [number(x) for x in (c, b0, b1, length, k0, k1, lift)]
            + [number(q / GPM) for q in each]
            + [number(head / FT)]
        )
        case += 1
    head = "case flows_a_gpm heads_a_ft flows_b_gpm heads_b_ft c bore0_in bore1_in length_ft k0 k1 lift_ft line_a_gpm line_b_gpm junction_ft"
    write("together.csv", head.split(), rows)


pchip()
friction_factors()
duty()
together()
