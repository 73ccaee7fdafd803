"""Times the storms of `cargo bench --bench routing` with scipy's solve_ivp at its best settings, and compares.

    venv/bin/python tests/crosscheck/routing_bench.py

It runs `cargo bench --bench routing` itself, in turn with scipy and several times: a machine's clock drifts, and of each
the least time counts.

The environment is that of routing.py. scipy is given every advantage that keeps the answer: the state is the levels
alone (no volumes along the ways, no watched levels), the right-hand side is plain Python floats with its coefficients
worked out beforehand (arrays of two or three numbers are slower), events are the float alone, and it begins anew only
at the bends of the inflow and at switches, with the levels of the asked times from its dense output. All methods and
tolerances are tried, and for each accuracy the fastest that reaches it is compared with the fastest tolerance of the
router that does. What misses is the worst level at the asked times, at the end, and the highest, against routing.json.
"""

import json
import math
import pathlib
import re
import subprocess
import time

import numpy as np
from scipy.integrate import solve_ivp

import routing

HERE = pathlib.Path(__file__).parent
# The router and scipy take turns.
TURNS = 8
# How often scipy follows a storm in a turn, and what takes too long to be followed again.
REPEATS = 3
WORTH_REPEATING_S = 0.3


def lean_store(store):
    levels, areas = store.levels, store.areas
    if len(levels) == 1:
        return lambda h, a=areas[0]: a
    (z0, z1, z2), (a0, a1, a2) = levels, areas
    g0, g1 = (a1 - a0) / (z1 - z0), (a2 - a1) / (z2 - z1)
    return lambda h: a0 if h <= z0 else a0 + g0 * (h - z0) if h < z1 else a1 + g1 * (h - z1) if h < z2 else a2


def lean_grate(path):
    rim, grate = path["rim"], routing.Grate(path["perimeter"], path["open_area"], path["clogged"])
    pipe, count = routing.Pipe(**path["pipes"][0]), len(path["pipes"])
    k, crown, weir, orifice = pipe.k * count, pipe.down + pipe.bore, grate.weir, grate.orifice
    sqrt, w, near = math.sqrt, routing.ROUNDED, routing.NEAR
    per, scale = 1 / (16 * w**3), k * sqrt(w) / 128

    def flow(upper, lower):
        depth = upper - rim
        apart = lower - crown
        if apart <= -w:
            over = 0.0
        elif apart >= w:
            over = apart
        else:
            over = (apart + w) ** 3 * (3 * w - apart) * per
        head = (upper if depth > 0 else rim) - crown - over
        if head >= w:
            along = k * sqrt(head)
        elif head <= -w:
            along = -k * sqrt(-head)
        else:
            u = head / w
            s = u * u
            along = scale * u * (195 - s * (117 - s * (65 - 15 * s)))
        if along <= 0:
            return along
        if depth <= 0:
            return 0.0
        r = sqrt(depth)
        a, b = weir * depth, orifice
        total, apart = a + b, a - b
        if apart >= near * total:
            through = b * r
        elif apart <= -near * total:
            through = a * r
        else:
            u = apart / (near * total)
            s = u * u
            through = r * total / 2 * (1 - near / 16 * (5 + s * (15 - s * (5 - s))))
        total, apart = through + along, through - along
        if apart >= near * total:
            return along
        if apart <= -near * total:
            return through
        u = apart / (near * total)
        s = u * u
        return total / 2 * (1 - near / 16 * (5 + s * (15 - s * (5 - s))))

    return flow


def lean(case):
    """The right-hand side within a piece of straight inflow: right(t, y, t0, q, slopes, runs)."""
    yard = routing.Yard(case)
    areas = [lean_store(store) for store in yard.stores]
    basin = len(areas) - 1
    pump = yard.ratings[(True, False)].flow
    ways = []
    for path in case["paths"]:
        if path["kind"] == "grate":
            ways.append((path["from"], path["to"], lean_grate(path)))
        else:
            # no crest of these yards drowns, so what stands below it does not count
            top, c = path["level"], path["width"] * path["coefficient"]
            ways.append((path["from"], path["to"], lambda upper, _, top=top, c=c: c * (upper - top) ** 1.5 if upper > top else 0.0))

    def right(t, y, t0, q, slopes, runs):
        h = y.tolist()
        net = [a + b * (t - t0) for a, b in zip(q, slopes)]
        for start, to, flow in ways:
            one = flow(h[start], h[to] if to is not None else 0.0)
            net[start] -= one
            if to is not None:
                net[to] += one
        if runs:
            net[basin] -= pump(h[basin])
        return [n / area(z) for n, area, z in zip(net, areas, h)]

    return right, basin


def pieces(case):
    """Times at which the inflow bends, and its values and slopes after each."""
    times = sorted({float(t) for points in case["inflow"] for t, _ in points} | {0.0, case["end_s"]})
    lines = [routing.polyline(points) for points in case["inflow"]]
    out = []
    for t0, t1 in zip(times, times[1:]):
        # the value at the end of the piece from its left
        q0 = [line(t0) for line in lines]
        qm = [line((t0 + t1) / 2) for line in lines]
        out.append((t0, t1, q0, [2 * (m - a) / (t1 - t0) for a, m in zip(q0, qm)]))
    return out


def follow(case, right, basin, parts, method, rtol, atol):
    on, off = case["station"]["lead"]
    y, runs = np.array(case["start"]), False
    highest, samples = y.copy(), []
    wanted = case["samples"]

    def rises(t, y, *_):
        return y[basin] - on

    def falls(t, y, *_):
        return y[basin] - off

    rises.terminal, rises.direction = True, 1
    falls.terminal, falls.direction = True, -1
    for t0, t1, q, slopes in parts:
        t = t0
        while t < t1:
            found = solve_ivp(right, (t, t1), y, method=method, rtol=rtol, atol=atol, dense_output=True,
                              events=falls if runs else rises, args=(t0, q, slopes, runs))
            if not found.success:
                return None
            highest = np.maximum(highest, found.y.max(axis=1))
            # the summit inside a step from the dense output, where a step's end is the highest of a stretch
            for i, k in enumerate(found.y.argmax(axis=1)):
                if 0 < k < len(found.t) - 1:
                    fine = found.sol(np.linspace(found.t[k - 1], found.t[k + 1], 101))[i]
                    highest[i] = max(highest[i], fine.max())
            now = found.t[-1]
            samples += [found.sol(at) for at in wanted if t < at <= now]
            t, y = now, found.y[:, -1]
            if found.status == 1:
                runs = not runs
    return samples + [y], highest


def worst(case, outcome):
    levels, highest = outcome
    wanted = case["results"]
    misses = [np.abs(np.array(a) - np.array(b)).max() for a, b in zip(levels, wanted["samples"] + [wanted["end"]])]
    misses += [abs(a - b["level"]) for a, b in zip(highest, wanted["highest"])]
    return max(misses)


def keep_least(found, key, us, miss):
    found[key] = (min(us, found[key][0]) if key in found else us, miss)


def time_router(found):
    """Microseconds and miss of each case and tolerance, where they are less than what was found before."""
    command = ["cargo", "bench", "--no-default-features", "--bench", "routing"]
    text = subprocess.run(command, cwd=HERE.parent.parent, check=True, capture_output=True, text=True).stdout
    for number, tolerance, us, miss in re.findall(
        r"case (\d+) tolerance (\S+) m: (\S+) us per storm, \d+ steps, worst level (\S+) m", text
    ):
        keep_least(found, (int(number), f"tolerance {tolerance} m"), float(us), float(miss))


def time_scipy(found, number, case):
    """The same of scipy by every method and tolerance."""
    right, basin = lean(case)
    parts = pieces(case)
    for method in ("LSODA", "RK45", "DOP853", "Radau", "BDF"):
        for rtol in (1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9):
            for atol in (rtol, rtol * 1e-2):
                least = math.inf
                for _ in range(REPEATS):
                    started = time.perf_counter()
                    outcome = follow(case, right, basin, parts, method, rtol / 10, atol)
                    least = min(least, time.perf_counter() - started)
                    if outcome is None or least > WORTH_REPEATING_S:
                        break
                if outcome is not None:
                    keep_least(found, (number, f"{method} rtol {rtol / 10:.0e} atol {atol:.0e}"), least * 1e6, worst(case, outcome))


def best(found, number, accuracy):
    """The fastest that reaches an accuracy, with its time in microseconds."""
    reached = [(us, how) for (of, how), (us, miss) in found.items() if of == number and miss <= accuracy]
    return min(reached, default=None)


def main():
    cases = json.loads((HERE / "routing.json").read_text())
    ours, theirs = {}, {}
    for turn in range(TURNS):
        time_router(ours)
        for number in sorted({number for number, _ in ours}):
            time_scipy(theirs, number, cases[number - 1])
        print(f"turn {turn + 1} of {TURNS}", flush=True)
    for name, found in (("router", ours), ("scipy", theirs)):
        for (number, how), (us, miss) in sorted(found.items()):
            print(f"case {number} {name} {how}: {us / 1e3:.3f} ms, worst level {miss:.1e} m")
    for number in sorted({number for number, _ in ours}):
        for accuracy in (1e-4, 1e-6):
            own, other = best(ours, number, accuracy), best(theirs, number, accuracy)
            if own is None or other is None:
                print(f"case {number} to {accuracy:.0e} m: not reached by {'the router' if own is None else 'scipy'}")
                continue
            print(f"case {number} to {accuracy:.0e} m: scipy {other[0] / 1e3:.2f} ms ({other[1]}), "
                  f"router {own[0]:.1f} us ({own[1]}), ratio {other[0] / own[0]:.0f}")


if __name__ == "__main__":
    main()
