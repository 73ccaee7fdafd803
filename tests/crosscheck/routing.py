"""Makes the reference values of tests/crosscheck_routing.rs with scipy.

    python3 -m venv venv && venv/bin/pip install -r tests/crosscheck/requirements.txt
    venv/bin/python tests/crosscheck/routing.py
    venv/bin/python tests/crosscheck/routing.py --compare

It shares no code with the project. The ways between the stores are written out anew below from their formulas, the
state is the levels (the project keeps volumes), and scipy's solve_ivp follows them: DOP853 at a relative tolerance of
1e-12, begun anew at every float, at every bend of the inflow, of a table, of a store's surface and of a formula. The
same is done once more with Radau at 1e-10, and what the two differ by is printed (less than 4e-8 m, 2e-4 s). Beside
each switch and each watched level stands how fast the water rises there, m/s: where it is slower than a millionth of
the float span in a millionth of the time, the test allows a time that is wider by as much. The values are committed; run it
again only to change the cases. With `--compare` nothing is written, and Radau is left out: what is made is held against
the committed values, and the exit code is 1 where they differ by more than rounding.

All in SI: m, m2, m3, s, m3/s. The yards are invented.
"""

import json
import math
import pathlib
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).parent
G = 9.80665
ROUNDED = 2.5e-3
NEAR = 0.2
WEIR_FT, ORIFICE = 3.0, 0.67
CREST = 1.435
ENTRY = 0.5


# the formulas


def root(head):
    """Signed square root, straight through nothing: smooth to the third derivative where the rounding ends."""
    if abs(head) >= ROUNDED:
        return math.copysign(math.sqrt(abs(head)), head)
    u = head / ROUNDED
    return math.sqrt(ROUNDED) * (195 * u - 117 * u**3 + 65 * u**5 - 15 * u**7) / 128


def greater(moves, stays):
    """The greater of two levels, rounded off where they are near: smooth to the second derivative, nothing beyond."""
    apart = moves - stays
    if abs(apart) >= ROUNDED:
        return max(moves, stays)
    return stays + (apart + ROUNDED) ** 3 * (3 * ROUNDED - apart) / (16 * ROUNDED**3)


def rounded_least(one, other):
    """The lesser of two flows, rounded off where their difference is less than a fifth of their sum."""
    total, apart = one + other, one - other
    if abs(apart) >= NEAR * total:
        return min(one, other)
    u = apart / (NEAR * total)
    return total / 2 * (1 - NEAR * (5 + 15 * u**2 - 5 * u**4 + u**6) / 16)


class Grate:
    def __init__(self, perimeter, open_area, clogged):
        share = 1 - clogged
        self.weir = WEIR_FT * math.sqrt(0.3048) * perimeter * share
        self.orifice = ORIFICE * open_area * share * math.sqrt(2 * G)

    def flow(self, depth):
        if depth <= 0:
            return 0.0
        return rounded_least(self.weir * depth**1.5, self.orifice * math.sqrt(depth))


class Pipe:
    def __init__(self, bore, length, n, up, down):
        losses = 1 + ENTRY + 2 * G * n**2 * length / (bore / 4) ** (4 / 3)
        self.k = math.pi * bore**2 / 4 * math.sqrt(2 * G / losses)
        self.bore, self.up, self.down = bore, up, down

    def full(self, above, below):
        return self.k * root(above - greater(below, self.down + self.bore))

    def from_box(self, above, below):
        depth = max(above, below) - self.up
        if depth <= 0:
            return 0.0
        x = min(depth / self.bore, 1.0)
        return self.k * x**1.5 * (5 - 3 * x) / 2 * root(max(above, self.up) - greater(below, self.down + x * self.bore))


class Store:
    """Water surface straight in the level; as it is at the ends beyond them."""

    def __init__(self, surface, least):
        self.levels = [level for level, _ in surface]
        self.areas = [max(area, least) for _, area in surface]

    def area(self, level):
        levels, areas = self.levels, self.areas
        if level >= levels[-1]:
            return areas[-1]
        if level <= levels[0]:
            return areas[0]
        i = 0
        while levels[i + 1] <= level:
            i += 1
        return areas[i] + (areas[i + 1] - areas[i]) * (level - levels[i]) / (levels[i + 1] - levels[i])

    def volume(self, level):
        """By trapezoids, which are exact here."""
        total, levels = 0.0, self.levels
        for i in range(len(levels) - 1):
            if level <= levels[i]:
                break
            top = min(level, levels[i + 1])
            if top > levels[i]:
                area = self.areas[i + 1] if top == levels[i + 1] else self.area(top)
                total += (self.areas[i] + area) / 2 * (top - levels[i])
        return total + self.areas[-1] * max(level - levels[-1], 0.0)

    def add(self, level, volume):
        """The level once a volume was added."""
        wanted = self.volume(level) + volume
        return brentq(lambda h: self.volume(h) - wanted, level, level + volume / min(self.areas) + 1e-9, xtol=1e-15, rtol=1e-15)


class Rating:
    """A monotone cubic through evenly spaced levels: harmonic mean of the neighbouring rises, one-sided at the ends."""

    def __init__(self, lowest, highest, flows):
        self.knots = list(np.linspace(lowest, highest, len(flows))) if len(flows) > 1 else [lowest]
        self.flows = flows
        rises = np.diff(flows)
        inner = [2 / (1 / a + 1 / b) if a * b > 0 else 0.0 for a, b in zip(rises, rises[1:])]
        self.slopes = [float(rises[0]), *map(float, inner), float(rises[-1])] if len(flows) > 1 else [0.0]

    def flow(self, level):
        knots, flows = self.knots, self.flows
        if level <= knots[0]:
            return flows[0]
        if level >= knots[-1]:
            return flows[-1]
        step = knots[1] - knots[0]
        i = min(int((level - knots[0]) / step), len(knots) - 2)
        s = (level - knots[i]) / step
        # Hermite's basis
        return (
            (1 + 2 * s) * (1 - s) ** 2 * flows[i]
            + s * (1 - s) ** 2 * self.slopes[i]
            + s * s * (3 - 2 * s) * flows[i + 1]
            + s * s * (s - 1) * self.slopes[i + 1]
        )


def polyline(points):
    """A function of time straight between points; two points at one time are a step. The later one counts there."""
    times = [t for t, _ in points]

    def at(t):
        if t < times[0] or len(points) == 1:
            return points[0][1]
        i = np.searchsorted(times, t, side="right") - 1
        if i >= len(points) - 1:
            return points[-1][1]
        (t0, y0), (t1, y1) = points[i], points[i + 1]
        return y0 + (y1 - y0) * (t - t0) / (t1 - t0)

    return at


# ways: each gives flow(levels), and the places where its formula bends


def way(path):
    a, b = path["from"], path["to"]
    free = -1e9
    below = (lambda h: free) if b is None else (lambda h: h[b])
    kind = path["kind"]
    if kind == "crest":
        top, c = path["level"], path["width"] * path["coefficient"]

        def one_way(high, low):
            over = high - top
            if over <= 0:
                return 0.0
            return c * over * (math.sqrt(over) if low <= top else root(high - low))

        def flow(h):
            high, low = h[a], below(h)
            return one_way(high, low) if high >= low else -one_way(low, high)

        return flow, [lambda h: h[a] - top] + ([] if b is None else [lambda h: h[b] - top, lambda h: h[a] - h[b]])
    if kind == "grate":
        rim, grate = path["rim"], Grate(path["perimeter"], path["open_area"], path["clogged"])
        pipes = [Pipe(**pipe) for pipe in path["pipes"]]
        if pipes:

            def along(h):
                return sum(pipe.full(max(h[a], rim), below(h)) for pipe in pipes)

            def flow(h):
                through = along(h)
                return rounded_least(grate.flow(h[a] - rim), through) if through > 0 else through

            return flow, [lambda h: h[a] - rim, along]

        def flow(h):
            high, low = max(h[a], rim), max(below(h), rim)
            return grate.flow(high - low) if high > low else -grate.flow(low - high)

        return flow, [lambda h: h[a] - rim] + ([] if b is None else [lambda h: h[b] - rim, lambda h: h[a] - h[b]])
    pipe = Pipe(path["bore"], path["length"], path["n"], path["up"], path["down"])
    bends = [lambda h: h[a] - pipe.up, lambda h: h[a] - pipe.up - pipe.bore]
    if b is not None:
        bends += [lambda h: h[a] - h[b], lambda h: h[b] - pipe.up, lambda h: h[b] - pipe.up - pipe.bore]
    return (lambda h: pipe.from_box(h[a], below(h))), bends


class Yard:
    def __init__(self, case):
        self.case = case
        self.stores = [Store(s["surface"], s["least"]) for s in case["stores"]]
        self.ways = [way(path) for path in case["paths"]]
        self.ends = [(p["from"], p["to"]) for p in case["paths"]]
        self.inflow = [polyline(points) for points in case["inflow"]]
        self.tables = [polyline(points) for points in case["tables"]]
        self.seeps = case["seeps"]
        station = case["station"]
        self.station = station
        self.ratings = {
            (True, False): Rating(**station["first"]),
            (False, True): Rating(**station["second"]),
            (True, True): Rating(**station["both"]),
        }
        self.running = (False, False)

    def seep(self, i, t, h):
        seep = self.seeps[i]
        return seep["per_metre"] * max(self.tables[i](t) - max(h[seep["store"]], seep["from"]), 0.0)

    def flows(self, t, h):
        pump = self.ratings[self.running].flow(h[self.station["store"]]) if any(self.running) else 0.0
        return [flow(h) for flow, _ in self.ways] + [self.seep(i, t, h) for i in range(len(self.seeps))] + [pump]

    def rates(self, t, h, flows):
        """How fast the levels rise."""
        net = [inflow(t) for inflow in self.inflow]
        for q, (a, b) in zip(flows, self.ends):
            net[a] -= q
            if b is not None:
                net[b] += q
        for q, seep in zip(flows[len(self.ends) :], self.seeps):
            net[seep["store"]] += q
        net[self.station["store"]] -= flows[-1]
        return [q / store.area(level) for q, store, level in zip(net, self.stores, h)]

    def right(self, t, y):
        h = y[: len(self.stores)].tolist()
        flows = self.flows(t, h)
        return self.rates(t, h, flows) + flows

    def bends(self):
        """Everything of levels and time whose change of sign is a bend or a step of the right-hand side."""
        out = [lambda t, h, f=f: f(h) for _, bends in self.ways for f in bends]
        for i, store in enumerate(self.stores):
            out += [lambda t, h, i=i, z=z: h[i] - z for z in sorted(set(store.levels))[1:]]
        for rating in self.ratings.values():
            if len(rating.knots) > 1:
                out += [lambda t, h, z=z: h[self.station["store"]] - z for z in rating.knots]
        for i, seep in enumerate(self.seeps):
            out.append(lambda t, h, s=seep: h[s["store"]] - s["from"])
            out.append(lambda t, h, i=i, s=seep: self.tables[i](t) - max(h[s["store"]], s["from"]))
        return out


def follow(case, method="DOP853", rtol=1e-12, atol=1e-14):
    yard = Yard(case)
    n, flows, end_s = len(yard.stores), len(yard.ways) + len(yard.seeps) + 1, case["end_s"]
    station, basin = case["station"], case["station"]["store"]
    miss = 1e-6 * (station["lead"][0] - station["lead"][1])
    floats = [station["lead"]] + ([station["lag"]] if station["lag"] else [])
    bends, marks = yard.bends(), case["marks"]
    breaks = {t for points in case["inflow"] + case["tables"] for t, _ in points} | set(case["samples"]) | {end_s}
    if case["power_off_s"] is not None:
        breaks.add(case["power_off_s"])
    breaks = sorted(t for t in breaks if 0 < t <= end_s)

    y, t, power, running = np.array(case["start"] + [0.0] * flows), 0.0, True, [False, False]
    switches, samples = [], []
    tops = [[(level, 0.0, None)] for level in case["start"]]
    crossings = [[] for _ in marks]
    above = [y[store] > level for store, level in marks]
    drain_back_m3 = 0.0
    sides = {}

    def higher(i, level, when, flat_s):
        tops[i].append((float(level), float(when), flat_s))

    def crossed_marks():
        for m, (store, level) in enumerate(marks):
            over = y[store] - level
            now = over > 0 if abs(over) > 1e-12 else rates[store] > 0
            if now != above[m]:
                above[m] = now
                crossings[m].append((t, now, float(rates[store])))

    def switch(pump, on, rate):
        nonlocal drain_back_m3
        before = any(running)
        running[pump] = on
        switches.append({"at_s": float(t), "pump": pump + 1, "on": on, "rate": float(rate)})
        if before and not any(running) and station["drain_back"] > 0:
            y[basin] = yard.stores[basin].add(y[basin], station["drain_back"])
            drain_back_m3 += station["drain_back"]
            higher(basin, y[basin], t, 0.0)

    while t < end_s:
        until = next(b for b in breaks if b > t + 1e-9)
        if power and case["power_off_s"] is not None and t >= case["power_off_s"] - 1e-9:
            power = False
            for pump in (0, 1):
                if running[pump]:
                    switch(pump, False, 0.0)
                    switches.pop()
        if power:
            for pump, (on, off) in enumerate(floats):
                if not running[pump] and y[basin] >= on and t == 0.0:
                    switch(pump, True, 1.0)
        yard.running = tuple(running)
        events = []

        def guard(f, key):
            # never nothing, so that what rests on a bend does not trip it; a bend just crossed is not looked at again
            crossed = sides.get(key)

            def event(t, y):
                if crossed is not None and t <= crossed[0] + 1e-6:
                    return crossed[1]
                value = f(t, y[:n].tolist())
                return value if value > 0 else min(value, -1e-17)

            event.terminal = True
            return event

        for i, f in enumerate(bends):
            events.append(guard(f, i))
        for m, (store, level) in enumerate(marks):
            events.append(guard(lambda t, h, s=store, z=level: h[s] - z, ("mark", m)))
        keys = [*range(len(bends)), *(("mark", m) for m in range(len(marks)))]
        if power:
            for pump, (on, off) in enumerate(floats):
                float_level = off if running[pump] else on
                event = lambda t, y, z=float_level: y[basin] - z
                event.terminal, event.direction = True, -1 if running[pump] else 1
                events.append(event)
        for i in range(n):
            event = lambda t, y, i=i: yard.right(t, y)[i]
            event.direction, event.summit = -1, i
            events.append(event)
        found = solve_ivp(yard.right, (t, until), y, method=method, rtol=rtol, atol=atol, events=events, first_step=min(1e-3, (until - t) / 2))
        assert found.success, found.message
        t, y = float(found.t[-1]), found.y[:, -1].copy()
        rates = yard.right(t, y)
        for i in range(n):
            higher(i, y[i], t, 0.0)
        for event, times, states in zip(events, found.t_events, found.y_events):
            if hasattr(event, "summit"):
                for when, state in zip(times, states):
                    # how long it stays within the allowed miss of its summit, by its curvature
                    ahead = yard.right(when + 1e-3, state + 1e-3 * np.array(yard.right(when, state)))[event.summit]
                    higher(event.summit, state[event.summit], when, math.sqrt(2 * miss / max(abs(ahead) / 1e-3, 1e-12)))
        for key, event, times in zip(keys, events, found.t_events):
            if len(times) and times[-1] == t:
                # on which side it goes on
                sides[key] = (t, 1.0 if event(t + 1e-5, y + 1e-5 * np.array(rates)) > 0 else -1.0)
        # two that meet at one level end the stretch only once: marks and floats are looked at by the level
        crossed_marks()
        if power:
            for pump, (on, off) in enumerate(floats):
                level, sign = (off, -1) if running[pump] else (on, 1)
                if abs(y[basin] - level) < 1e-12 and sign * rates[basin] > 0:
                    switch(pump, not running[pump], rates[basin])
                    crossed_marks()
        if t in case["samples"]:
            samples.append([float(level) for level in y[:n]])

    highest = []
    for candidates in tops:
        level = max(level for level, _, _ in candidates)
        # all that are as high but for what is allowed to miss
        highest.append({"level": level, "at": [[when, flat_s or 0.0] for known, when, flat_s in candidates if known > level - miss]})
    seen = []
    for m, (store, level) in enumerate(marks):
        start, spans = (0.0, []) if case["start"][store] > level else (None, [])
        for when, rises, rate in crossings[m]:
            if rises:
                start = when
            elif start is not None:
                spans.append(when - start)
                start = None
        if start is not None:
            spans.append(end_s - start)
        up = next((c for c in crossings[m] if c[1]), None)
        slowest = min((abs(rate) for _, _, rate in crossings[m]), default=1.0)
        seen.append(
            {
                "first_s": 0.0 if case["start"][store] > level else (up[0] if up else None),
                "first_rate": abs(up[2]) if up else 1.0,
                "longest_s": max(spans, default=0.0),
                "slowest_rate": slowest,
                "times": sum(1 for c in crossings[m] if c[1]),
            }
        )
    volumes = y[n:].tolist()
    return {
        "switches": switches,
        "highest": highest,
        "marks": seen,
        "paths_m3": volumes[: len(yard.ways)],
        "seeps_m3": volumes[len(yard.ways) : -1],
        "pumped_m3": volumes[-1],
        "ran_back_m3": drain_back_m3,
        "samples": samples,
        "end": [float(level) for level in y[:n]],
    }


# the cases


def basin(area=0.45, floor=8.6):
    return {"surface": [[floor, area]], "least": area}


def hollow(*surface, least=0.1):
    return {"surface": [list(entry) for entry in surface], "least": least}


def pumps(store, lead=(9.26, 8.80), lag=None, first=(0.003,), second=None, both=None, drain_back=0.0):
    rating = lambda flows: {"lowest": 8.8, "highest": 10.0, "flows": list(flows)}
    second, both = second or first, both or first
    return {
        "store": store,
        "lead": list(lead),
        "lag": list(lag) if lag else None,
        "first": rating(first),
        "second": rating(second),
        "both": rating(both),
        "drain_back": drain_back,
    }


def pipe4(length, up, down):
    return {"bore": 0.1016, "length": length, "n": 0.011, "up": up, "down": down}


def grate(start, to, rim, pipes, perimeter=1.2, open_area=0.04, clogged=0.5):
    return {"kind": "grate", "from": start, "to": to, "rim": rim, "perimeter": perimeter, "open_area": open_area, "clogged": clogged, "pipes": pipes}


def crest(start, to, level, width=2.0):
    return {"kind": "crest", "from": start, "to": to, "level": level, "width": width, "coefficient": CREST}


FALLING = (0.0029, 0.0031, 0.00325, 0.0034)
# what drips into a hollow all the time: without it the last film is let go at once, which no smooth law does
DRIP = 2e-7


def storm(peak, before=0.0):
    """A double-peaked storm of an hour and a half."""
    points = [(0, 0), (600, 0.2), (900, 1.0), (1200, 0.9), (1800, 0.3), (2700, 0.5), (3600, 0.1), (5400, 0)]
    return [[t, before + peak * q] for t, q in points]


def late(points, by=600):
    return [[0, points[0][1]]] + [[t + by, q] for t, q in points]


def case(name, stores, paths, station, inflow, end_s, marks, start, samples, seeps=(), tables=(), power_off_s=None):
    return {
        "name": name,
        "stores": stores,
        "paths": paths,
        "station": station,
        "seeps": list(seeps),
        "marks": [list(mark) for mark in marks],
        "start": start,
        "inflow": inflow,
        "tables": list(tables),
        "power_off_s": power_off_s,
        "samples": samples,
        "end_s": end_s,
    }


def cases():
    low = hollow((10.0, 0.0), (10.06, 25.0), (10.15, 90.0))
    overflow = crest(0, None, 10.14)
    return [
        case("one pump, a triangle of inflow", [basin()], [], pumps(0), [[[0, 0.0], [900, 0.0025], [3600, 0.0]]],
             5000.0, [(0, 9.0)], [8.8], [500.0, 1777.0, 3000.0]),
        case("lead and lag", [basin()], [],
             pumps(0, (9.2, 8.8), (9.4, 8.95), FALLING, (0.0026, 0.0029, 0.003), (0.0045, 0.0049, 0.0051)),
             [storm(0.0056)], 6000.0, [(0, 9.4), (0, 9.5)], [8.9], [700.0, 1100.0, 2500.0, 4000.0]),
        case("drain-back without a check valve", [basin()], [], pumps(0, first=FALLING, drain_back=0.015),
             [storm(0.0027)], 6000.0, [(0, 9.0)], [8.85], [700.0, 1100.0, 2500.0, 4000.0]),
        case("ponding over a grate with a pipe that drowns", [low, basin()],
             [grate(0, 1, 10.0, [pipe4(12.0, 9.5, 9.35)]), overflow], pumps(1, first=FALLING),
             [storm(0.012, DRIP), [[0, 0.0]]], 7200.0, [(0, 10.02), (0, 10.05), (1, 9.8)], [10.0, 8.9],
             [700.0, 1000.0, 1500.0, 2500.0, 4000.0, 6500.0]),
        case("overflow over the crest", [hollow((10.0, 0.0), (10.05, 20.0), (10.12, 60.0)), basin()],
             [grate(0, 1, 10.0, [pipe4(9.0, 9.6, 9.3)]), crest(0, None, 10.08)], pumps(1),
             [storm(0.022, DRIP), [[0, 0.0]]], 8000.0, [(0, 10.08), (0, 10.1)], [10.0, 8.9],
             [700.0, 1000.0, 1500.0, 2500.0, 4000.0, 6500.0]),
        case("a power cut in mid-storm", [low, basin()],
             [grate(0, 1, 10.0, [pipe4(12.0, 9.5, 9.35)]), overflow], pumps(1, first=FALLING, drain_back=0.008),
             [storm(0.007, DRIP), storm(0.0015)], 6000.0, [(0, 10.02), (0, 10.1), (1, 10.0)], [10.0, 8.9],
             [700.0, 1000.0, 1500.0, 2500.0, 4000.0], power_off_s=1150.0),
        case("groundwater that follows the water in the basin", [basin()], [], pumps(0, first=FALLING),
             [[[0, 0.00005], [1200, 0.0012], [4800, 0.00005]]], 14400.0, [(0, 9.1)], [8.95],
             [1000.0, 3333.0, 9000.0], [{"store": 0, "per_metre": 6e-4, "from": 9.0}],
             [[[0, 8.9], [1800, 9.05], [5400, 9.9], [14400, 9.5]]]),
        case("two hollows, grates with small openings",
             [hollow((10.1, 0.0), (10.15, 12.0), (10.2, 40.0)), hollow((10.0, 0.0), (10.07, 30.0), (10.15, 100.0)), basin()],
             [grate(0, 2, 10.1, [pipe4(15.0, 9.7, 9.4)], 0.6, 0.006), grate(1, 2, 10.0, [pipe4(8.0, 9.5, 9.3)] * 2, 0.9, 0.008),
              crest(0, 1, 10.17, 1.5), crest(1, None, 10.12, 2.5)],
             pumps(2, first=FALLING), [storm(0.006, DRIP), storm(0.005, DRIP), [[0, 0.0]]], 9000.0,
             [(0, 10.17), (1, 10.05), (2, 9.9)], [10.1, 10.0, 8.9], [700.0, 1000.0, 1500.0, 2500.0, 4000.0, 6500.0]),
        case("a rating that falls with the level, inflow nearly equal to it", [basin()], [], pumps(0, first=FALLING),
             [[[0, 0.0], [600, 0.003], [3000, 0.0031], [5000, 0.0029], [7000, 0.0]]], 8000.0, [(0, 9.3)], [8.9],
             [700.0, 1800.0, 3300.0, 5500.0]),
        case("a box between, and all turns round",
             [low, hollow((9.95, 0.0), (10.1, 15.0)), basin(0.16, 9.3), basin()],
             [grate(0, 2, 10.0, [pipe4(6.0, 9.6, 9.5)]), grate(1, 2, 9.95, [], 1.2, 0.03), {"kind": "pipe", "from": 2, "to": 3} | pipe4(5.0, 9.4, 9.37)],
             pumps(3, first=FALLING),
             [late(storm(0.0015, DRIP)), late(storm(0.0015, DRIP)), [[0, 0.0]], storm(0.011, 0.0)], 9000.0,
             [(0, 10.01), (1, 10.0), (2, 9.6)], [10.0, 9.95, 9.38, 8.9], [700.0, 710.0, 720.0, 730.0, 740.0, 750.0, 1000.0, 1500.0, 2500.0, 4000.0, 6500.0]),
    ]


def difference(one, other):
    levels = [abs(a - b) for x, y in zip(one["samples"] + [one["end"]], other["samples"] + [other["end"]]) for a, b in zip(x, y)]
    levels += [abs(a["level"] - b["level"]) for a, b in zip(one["highest"], other["highest"])]
    times = [abs(a["at_s"] - b["at_s"]) for a, b in zip(one["switches"], other["switches"])]
    return max(levels), max(times, default=0.0)


def apart(ours, theirs, place=""):
    """Where two results differ by more than the solver's own last digits."""
    if isinstance(ours, dict) and isinstance(theirs, dict):
        keys = [f"{place}/{key}: only on one side" for key in ours.keys() ^ theirs.keys()]
        return keys + [line for key in ours.keys() & theirs.keys() for line in apart(ours[key], theirs[key], f"{place}/{key}")]
    if isinstance(ours, list) and isinstance(theirs, list):
        if len(ours) != len(theirs):
            return [f"{place}: {len(ours)} made, {len(theirs)} committed"]
        return [line for at, (a, b) in enumerate(zip(ours, theirs)) for line in apart(a, b, f"{place}[{at}]")]
    number = isinstance(ours, (int, float)) and isinstance(theirs, (int, float)) and not isinstance(ours, bool)
    equal = math.isclose(ours, theirs, rel_tol=1e-6, abs_tol=1e-9) if number else ours == theirs
    return [] if equal else [f"{place}: {ours} made, {theirs} committed"]


def compare():
    """Makes every case once more; the number of values that differ."""
    kept = json.loads((HERE / "routing.json").read_text())
    made = cases()
    wrong = [] if len(made) == len(kept) else [f"{len(made)} cases made, {len(kept)} committed"]
    for number, (one, other) in enumerate(zip(made, kept), 1):
        one["results"] = follow(one)
        # through JSON, so that both sides are of the same kinds
        off = apart(json.loads(json.dumps(one)), other, f"case {number}")
        print(f"{number} {one['name']}: " + (f"{len(off)} values differ" if off else "agrees"), flush=True)
        wrong += off
    for line in wrong:
        print(line, file=sys.stderr)
    return len(wrong)


def main():
    chosen = sys.argv[1:]
    if chosen == ["--compare"]:
        sys.exit(1 if compare() else 0)
    out = []
    for number, one in enumerate(cases(), 1):
        if chosen and str(number) not in chosen:
            continue
        one["results"] = follow(one)
        again = follow(one, "Radau", 1e-10, 1e-12)
        level, time = difference(one["results"], again)
        same = len(one["results"]["switches"]) == len(again["switches"])
        print(f"{number} {one['name']}: {len(one['results']['switches'])} switches; "
              f"Radau differs by {level:.1e} m, {time:.1e} s" + ("" if same else ", and in its switches"), flush=True)
        out.append(one)
    if chosen:
        print(json.dumps([one["results"] for one in out], indent=1))
    else:
        (HERE / "routing.json").write_text(json.dumps(out, indent=1) + "\n")


if __name__ == "__main__":
    main()
