"""Makes the reference values of tests/crosscheck.rs with general-purpose libraries.

    python3 -m venv venv && venv/bin/pip install -r tests/crosscheck/requirements.txt
    venv/bin/python tests/crosscheck/make.py
    venv/bin/python tests/crosscheck/make.py --compare

It shares no code with the project: the curve is scipy's PchipInterpolator, roots are scipy's brentq, integrals its quad
and solve_ivp, and the line is written out anew below from the textbook formulas. The values are committed; run it again
only to change the cases. With `--compare` nothing is written: what it makes is held against the committed values, and
the exit code is 1 where they differ by more than rounding (`tests/crosscheck/check.sh` does that, with a venv of its own).

The library `fluids` stands beside the two as a third source where its conventions are the project's: the exact solution
of Colebrook (`Colebrook` with `tol=0`, solved in many digits; its default is an approximation by the Lambert function, and
its `friction_factor` goes from laminar to turbulent in one step at a Reynolds number of 2040, so that nothing between 2000
and 4000 is compared), the multiples of fT of valves, widening and narrowing, segments of a circle, Manning, and the
standard atmosphere. Not compared: elbows and tees of Technical Paper 410 (the library bends by radius, and divides a tee's
flow), entrances (it takes 0.57 for a sharp one by default, the project 0.5), weirs (it has sharp crests only).
"""

import csv
import math
import pathlib
import sys
import tempfile

import fluids
import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).parent
COMPARE = "--compare" in sys.argv[1:]
OUT = pathlib.Path(tempfile.mkdtemp()) if COMPARE else HERE
FT, INCH, GPM, G = 0.3048, 0.0254, 231 * 0.0254**3 / 60, 9.80665
rng = np.random.default_rng(20260131)


def write(name, head, rows):
    with open(OUT / name, "w", newline="") as out:
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


def round_area(depth, bore):
    """Water in a round pipe: the width of its surface, integrated over the depth."""
    # with y = D sin(u)^2 the width is D sin(2u) and dy its u, without the steep ends
    top = math.asin(math.sqrt(min(1.0, depth / bore)))
    return bore**2 * quad(lambda u: math.sin(2 * u) ** 2, 0, top, epsabs=0, epsrel=1e-13)[0]


def round_edge(depth, bore):
    """What that water wets."""
    return bore * math.acos(max(-1.0, 1 - 2 * depth / bore))


def round_width(depth, bore):
    return 2 * math.sqrt(max(0.0, depth * (bore - depth)))


def manning(n, area, edge, slope):
    return area / n * (area / edge) ** (2 / 3) * math.sqrt(slope)


def round_critical(flow, bore):
    """Q^2 T = g A^3, over the share of the bore that stays dry, which may be next to nothing."""

    def miss(log_dry):
        depth = bore * -math.expm1(log_dry)
        return math.log(flow**2 * round_width(depth, bore) / (G * round_area(depth, bore) ** 3))

    return bore * -math.expm1(brentq(miss, -30, math.log1p(-1e-4), xtol=1e-13))


def part_full():
    """Uniform depth by Manning, velocity at it, and critical depth in a round pipe."""
    rng = np.random.default_rng(20260201)
    rows = []
    for case in range(80):
        bore, n, slope = rng.uniform(0.05, 0.4), rng.uniform(0.008, 0.03), 10 ** rng.uniform(-3.3, -0.5)
        full = manning(n, round_area(bore, bore), round_edge(bore, bore), slope)
        # up to where the curve turns back, at 0.938 of the bore and 1.0757 of the full flow
        flow = full * (10 ** rng.uniform(-3, 0) if case % 2 else rng.uniform(0.05, 1.07))
        uniform = lambda y: manning(n, round_area(y, bore), round_edge(y, bore), slope) / flow - 1
        depth = brentq(uniform, 1e-4 * bore, 0.938 * bore, xtol=1e-16)
        row = [bore, n, slope, flow, depth, flow / round_area(depth, bore), round_critical(flow, bore)]
        rows.append([case] + [number(x) for x in row])
    write("part_full.csv", "case bore_m manning_n slope flow_m3s depth_m velocity_ms critical_m".split(), rows)


def trapezoid():
    """Uniform and critical depth in a trapezoid, a triangle or a rectangle."""
    rng = np.random.default_rng(20260202)
    rows = []
    for case in range(80):
        width, side = rng.uniform(0.05, 3), rng.uniform(0.2, 8)
        width, side = (0.0, side) if case % 4 == 1 else (width, 0.0) if case % 4 == 2 else (width, side)
        n, slope, flow = rng.uniform(0.012, 0.3), 10 ** rng.uniform(-3.3, -0.7), 10 ** rng.uniform(-4, 0.3)
        area = lambda y: quad(lambda z: width + 2 * side * z, 0, y, epsabs=0, epsrel=1e-13)[0]
        edge = lambda y: width + 2 * math.hypot(y, side * y)
        normal = brentq(lambda y: manning(n, area(y), edge(y), slope) / flow - 1, 1e-6, 200, xtol=1e-16)
        critical = brentq(lambda y: flow**2 * (width + 2 * side * y) / (G * area(y) ** 3) - 1, 1e-6, 200, xtol=1e-16)
        row = [width, side, n, slope, flow, normal, critical]
        rows.append([case] + [number(x) for x in row])
    write("trapezoid.csv", "case bottom_width_m side_slope manning_n slope flow_m3s normal_m critical_m".split(), rows)


def equivalent_depth():
    """Hooghoudt's series, term by term, never above the depth of the tight layer."""
    rng = np.random.default_rng(20260203)
    rows = []
    for case in range(80):
        spacing, below, radius = 10 ** rng.uniform(0.3, 2.5), 10 ** rng.uniform(-1, 1.3), rng.uniform(0.03, 0.4)
        x = 2 * math.pi * below / spacing
        # beyond 2nx = 50 a term is below 1e-21
        terms = (4 * math.exp(-2 * k * x) / (k * -math.expm1(-2 * k * x)) for k in range(1, int(25 / x) + 3, 2))
        resistance = math.log(spacing / (math.pi * radius)) + math.fsum(terms)
        depth = math.pi * spacing / 8 / resistance if resistance > 0 else math.inf
        rows.append([case] + [number(x) for x in (spacing, below, radius, min(depth, below))])
    write("equivalent_depth.csv", "case spacing_m below_m radius_m equivalent_m".split(), rows)


def green_ampt():
    """Depth soaked in under steady rain: dF/dt = min(i, K (1 + psi dtheta/F)), stepped through ponding."""
    rng = np.random.default_rng(20260204)
    rows = []
    for case in range(80):
        k, suction, deficit = 10 ** rng.uniform(-0.5, 1.7), rng.uniform(20, 400), rng.uniform(0.02, 0.4)
        rain, hours = 10 ** rng.uniform(0.5, 2.3), 10 ** rng.uniform(-1.3, 1.4)
        capacity = lambda f: k * (1 + suction * deficit / f)
        ponds = lambda t, f: rain * t - f[0] if t < 0 else capacity(max(f[0], 1e-12)) - rain
        ponds.terminal = True
        dry = solve_ivp(lambda t, f: [rain], (0, hours), [1e-12], rtol=1e-12, atol=1e-12, events=ponds, max_step=hours / 50)
        at, soaked = dry.t[-1], dry.y[0][-1]
        if at < hours:
            wet = solve_ivp(lambda t, f: [capacity(f[0])], (at, hours), [soaked], method="DOP853", rtol=1e-12, atol=1e-12)
            soaked = wet.y[0][-1]
        row = [k, suction, deficit, rain, hours, soaked, min(rain, capacity(soaked))]
        rows.append([case] + [number(x) for x in row])
    head = "case conductivity_mmh suction_mm moisture_deficit rain_mmh hours soaked_mm rate_mmh"
    write("green_ampt.csv", head.split(), rows)


def profile(flow, bore, n, length, slope, start, critical):
    """Going upstream from a depth: the depth above the bed at the upper end, above the bore where the pipe is full.

    dx/dy = (1 - Q^2 T/(g A^3))/(Sf - S), which is regular at critical depth, where dy/dx is not.
    """
    full_friction = (flow / manning(n, round_area(bore, bore), round_edge(bore, bore), 1)) ** 2
    left, depth = length, start
    if depth >= bore:
        until = (depth - bore) / (slope - full_friction) if slope > full_friction else math.inf
        if until >= length:
            return depth + (full_friction - slope) * length
        left, depth = length - until, bore
    friction = lambda y: (flow / manning(n, round_area(y, bore), round_edge(y, bore), 1)) ** 2

    def way(y, _):
        return [(1 - flow**2 * round_width(y, bore) / (G * round_area(y, bore) ** 3)) / (friction(y) - slope)]

    gain = friction(min(depth, bore)) - slope
    end = bore if gain > 0 else critical
    # uniform depth on the way is approached for ever
    if (friction(end) - slope) * gain < 0:
        stop = brentq(lambda y: friction(y) - slope, *sorted((depth, end)), xtol=1e-16)
        end = stop + (depth - stop) * 1e-9
    arrives = lambda y, x: x[0] - left
    arrives.terminal = True
    run = solve_ivp(way, (depth, end), [0.0], method="DOP853", rtol=1e-10, atol=1e-12, events=arrives)
    if len(run.t_events[0]):
        return run.t_events[0][0]
    if end == bore:
        return bore + (full_friction - slope) * (left - run.y[0][-1])
    return end


def backwater():
    """The pool at the head of a gravity pipe: gradually varied flow from a tailwater, then the entrance."""
    rng = np.random.default_rng(20260205)
    rows = []
    case = 0
    while case < 120:
        bore, n, length = rng.uniform(0.07, 0.3), rng.uniform(0.009, 0.025), rng.uniform(1, 60)
        # a few lie level or rise
        slope = 0.0 if case % 10 == 3 else -0.002 if case % 10 == 7 else 10 ** rng.uniform(-3, -1)
        full = manning(n, round_area(bore, bore), round_edge(bore, bore), max(slope, 1e-3))
        flow, tail = full * rng.uniform(0.05, 1.6), bore * rng.uniform(-1, 3)
        # a steep pipe that the flow all but fills leaps from one state to the other: no method is held to that
        if slope > 0 and 0.97 < flow / full < 1.12:
            continue
        critical = round_critical(flow, bore)
        upper = profile(flow, bore, n, length, slope, max(tail, critical), critical)
        head = lambda y: (flow / round_area(min(y, bore), bore)) ** 2 / (2 * G)
        open_entrance = critical + 1.5 * head(critical)
        orifice = bore / 2 + head(bore) / 0.6**2
        entrance = max(open_entrance, orifice) if orifice > bore else open_entrance
        pool = max(upper + 1.5 * head(upper), entrance)
        rows.append([case] + [number(x) for x in (bore, n, length, slope, flow, tail, upper, pool)])
        case += 1
    write("backwater.csv", "case bore_m manning_n length_m slope flow_m3s tail_m upper_m pool_m".split(), rows)


def friction_by_fluids():
    """Reynolds number, friction factor and loss of a full pipe, from creeping flow to a torrent."""
    rng = np.random.default_rng(20260206)
    rows = []
    while len(rows) < 200:
        bore, velocity = 10 ** rng.uniform(-2, 0), 10 ** rng.uniform(-3, 1)
        viscosity, length = 10 ** rng.uniform(-6.3, -5.7), 10 ** rng.uniform(0, 3)
        rough = 0.0 if len(rows) % 10 == 0 else 10 ** rng.uniform(-6, -1.31)
        re = fluids.Reynolds(V=velocity, D=bore, nu=viscosity)
        if 2000 < re < 4000:
            continue
        factor = fluids.friction_laminar(re) if re <= 2000 else float(fluids.Colebrook(re, rough, tol=0))
        head = fluids.head_from_K(fluids.K_from_f(factor, length, bore), velocity)
        rows.append([number(x) for x in (bore, velocity, viscosity, rough, length, re, factor, head)])
    head = "bore_m velocity_ms viscosity_m2s relative_roughness length_m reynolds friction_factor head_m"
    write("friction_fluids.csv", head.split(), rows)


def named(start):
    """A function of the library by the start of its name: it names them after the publisher of Technical Paper 410."""
    (found,) = [thing for name, thing in vars(fluids.fittings).items() if name.startswith(start) and callable(thing)]
    return found


def valves_by_fluids():
    """K of valves, from the printed fT of each size, and what the library's own fit of fT rounds to."""
    printed = {"1 in": 0.022, "1-1/4 in": 0.021, "1-1/2 in": 0.020, "2 in": 0.019, "2-1/2 in": 0.018, "3 in": 0.017, "4 in": 0.016, "6 in": 0.015}
    bores = [1.049, 1.380, 1.610, 2.067, 2.469, 3.068, 4.026, 6.065]
    swing, lift, gate, ball = (named(f"K_{kind}_valve") for kind in ("swing_check", "lift_check", "gate", "ball"))
    fitted = named("ft_")
    rows = []
    for (size, ft), bore in zip(printed.items(), bores):
        d = bore * INCH
        kinds = {
            "gate valve": gate(d, d, 0, fd=ft),
            "ball valve": ball(d, d, 0, fd=ft),
            "swing": swing(d, fd=ft, angled=True),
            "swing straight": swing(d, fd=ft, angled=False),
            "lift": lift(d, d, fd=ft, angled=False),
        }
        for kind, k in kinds.items():
            rows.append([size, number(bore), kind, number(k), number(round(float(fitted(d)), 3))])
    write("valves.csv", "size bore_in kind k fitted_ft".split(), rows)


def bore_changes():
    """A pipe into a wider or a narrower one."""
    rng = np.random.default_rng(20260207)
    narrows = named("contraction_conical_C")
    rows = []
    while len(rows) < 60:
        before, after = rng.uniform(0.015, 0.3, 2)
        flow = 10 ** rng.uniform(-4, -2)
        # the project takes bores that differ by less than a hundredth for one
        if abs((before / after) ** 2 - 1) < 0.025:
            continue
        if after > before:
            head = fluids.head_from_K(fluids.diffuser_sharp(before, after), 4 * flow / (math.pi * before**2))
        else:
            head = fluids.head_from_K(narrows(before, after, angle=180.0), 4 * flow / (math.pi * after**2))
        rows.append([len(rows)] + [number(x) for x in (before, after, flow, head)])
    write("bore_changes.csv", "case before_m after_m flow_m3s head_m".split(), rows)


def part_full_by_fluids():
    """Area, velocity and flow of a round pipe filled to a share of its bore."""
    rng = np.random.default_rng(20260208)
    rows = []
    for case in range(80):
        bore, n, slope, share = rng.uniform(0.05, 1.5), rng.uniform(0.008, 0.03), 10 ** rng.uniform(-4, -0.5), rng.uniform(0.02, 0.99)
        depth = share * bore
        area = fluids.geometry.A_partial_circle(bore, depth)
        edge = fluids.geometry.SA_partial_cylindrical_body(1.0, bore, depth)
        velocity = fluids.V_Manning(area / edge, slope, n)
        rows.append([case] + [number(x) for x in (bore, n, slope, depth, area, velocity * area)])
    write("part_full_fluids.csv", "case bore_m manning_n slope depth_m area_m2 flow_m3s".split(), rows)


def atmosphere():
    """Pressure of the standard atmosphere, with the height above the sea as it is measured."""
    rows = [[number(z), number(fluids.ATMOSPHERE_1976(z).P)] for z in np.linspace(0, 3000, 31)]
    write("atmosphere.csv", "above_sea_m pressure_pa".split(), rows)


def rain_between_durations():
    """Depths between the durations of a table: straight on log-log axes."""
    rng = np.random.default_rng(20260209)
    minutes = [5, 10, 15, 30, 60, 120, 360, 1440]
    rows = []
    for case in range(30):
        # depths that grow, and intensities that fall
        growth = np.diff(np.log(minutes)) * rng.uniform(0.02, 0.98, len(minutes) - 1)
        depths = np.exp(np.concatenate([[0.0], np.cumsum(growth)])) * rng.uniform(0.2, 0.9)
        for duration in 10 ** rng.uniform(math.log10(5), math.log10(1440), 4):
            depth = math.exp(np.interp(math.log(duration), np.log(minutes), np.log(depths)))
            rows.append([case, ";".join(map(number, depths)), number(duration), number(depth)])
    write("rain.csv", "case depths_in duration_min depth_in".split(), rows)


def same(ours, theirs):
    """Equal but for rounding: the values carry twelve digits, and solvers stop in the last of them."""
    try:
        a, b = ([float(x) for x in cell.split(";")] for cell in (ours, theirs))
    except ValueError:
        return ours == theirs
    return len(a) == len(b) and all(math.isclose(x, y, rel_tol=1e-8, abs_tol=1e-12) for x, y in zip(a, b))


def compare():
    """Holds what was made against the committed values; the number of files that differ."""
    made, kept = (sorted(path.name for path in folder.glob("*.csv")) for folder in (OUT, HERE))
    wrong = [f"{name}: committed, and not made" for name in kept if name not in made]
    for name in made:
        if name not in kept:
            wrong.append(f"{name}: made, and not committed")
            continue
        ours, theirs = (list(csv.reader(open(folder / name, newline=""))) for folder in (OUT, HERE))
        cells = sum(len(row) for row in ours)
        off = [
            (line, column)
            for line, (a, b) in enumerate(zip(ours, theirs), 1)
            for column in range(max(len(a), len(b)))
            if column >= min(len(a), len(b)) or not same(a[column], b[column])
        ]
        if len(ours) != len(theirs):
            wrong.append(f"{name}: {len(ours)} lines made, {len(theirs)} committed")
        elif off:
            line, column = off[0]
            wrong.append(f"{name}: {len(off)} of {cells} cells differ, the first in line {line}, column {column + 1}: {ours[line - 1][column]} made, {theirs[line - 1][column]} committed")
        else:
            print(f"{name}: {cells} cells agree")
    for line in wrong:
        print(line, file=sys.stderr)
    return len(wrong)



pchip()
friction_factors()
duty()
together()
part_full()
trapezoid()
equivalent_depth()
green_ampt()
backwater()
friction_by_fluids()
valves_by_fluids()
bore_changes()
part_full_by_fluids()
atmosphere()
rain_between_durations()
if COMPARE and compare():
    sys.exit(1)
