#!/usr/bin/python3
"""Compares the physics with the independent library "fluids" (Debian: python3-fluids).

Usage: fluids.py RUN_CASES NET_SOLVE   (the built tests/run_cases, asked through --eval, and
tests/outside/net_solve)

One line for each comparison, then "N passed, N failed"; exit status 1 on any failure or where
fluids is missing. The points are random with a fixed seed. Left out are Reynolds numbers from
2000 to 4000, where the bridge is our own, and bends: none of the methods that fluids has is one
of those of our tables, and they differ by a factor of two.
"""

import math
import random
import subprocess
import sys

del sys.path[0]  # this file's own folder, where this file would be found as "fluids"
try:
    import fluids
    from fluids import fittings
except ImportError:
    print("not ok - python3-fluids is not installed\n0 passed, 1 failed")
    sys.exit(1)

if len(sys.argv) != 3:
    sys.exit(__doc__)

dice = random.Random(20240229)
passed = failed = 0


def ask(method, points):
    """First result of `method` at each point."""
    text = "".join(f"{method} {' '.join(repr(float(x)) for x in point)}\n" for point in points)
    done = subprocess.run([sys.argv[1], "--eval"], input=text, text=True, check=True,
                          stdout=subprocess.PIPE)
    answers = done.stdout.split("\n")[:-1]
    if len(answers) != len(points):
        raise RuntimeError(f"{method}: {len(points)} asked, {len(answers)} answered")
    return [float(line.split()[0]) for line in answers]


def report(good, what):
    global passed, failed
    passed += good
    failed += not good
    print(f"{'ok' if good else 'not ok'} - {what}")


def compare(what, method, points, theirs, relative=0.0, absolute=0.0):
    agree(what, points, ask(method, points), theirs, relative, absolute)


def agree(what, points, found, theirs, relative=0.0, absolute=0.0):
    """`theirs` is called with each point; the worst difference is shown."""
    worst, where, good = 0.0, None, len(points) == len(found) > 0
    for point, ours in zip(points, found):
        want = theirs(*point)
        difference = abs(ours - want)
        good = good and difference <= relative * abs(want) + absolute
        size = difference / abs(want) if relative else difference
        if not size <= worst:
            worst, where = size, point
    kind, limit = ("relative", relative) if relative else ("absolute", absolute)
    report(good, f"{what}: {len(points)} points, worst {worst:.2e} {kind} (limit {limit:g})"
           + ("" if good else f" at {where}"))


def between(low, high):
    """Even in the logarithm."""
    return low * (high / low) ** dice.random()


def roughness():
    return 0.0 if dice.random() < 0.1 else between(1e-6, 0.05)


turbulent = [(between(4000.0, 1e7), roughness()) for _ in range(2000)]
compare("Colebrook", "friction.colebrook", turbulent,
        lambda re, rough: fluids.friction_factor(re, rough, Method="Clamond"), relative=1e-9)
compare("friction factor above Re 4000", "friction.factor",
        [(re, rough, 64.0) for re, rough in turbulent],
        lambda re, rough, _: fluids.friction_factor(re, rough, Method="Clamond"), relative=1e-9)
compare("friction factor in laminar flow", "friction.factor",
        [(between(0.1, 2000.0), roughness(), 64.0) for _ in range(2000)],
        lambda re, rough, _: fluids.friction.friction_laminar(re), relative=1e-15)



def velocity(bore, flow):
    return flow / (math.pi / 4 * bore ** 2)


def reynolds(bore, flow, density, viscosity):
    return fluids.Reynolds(V=velocity(bore, flow), D=bore, rho=density, mu=viscosity)


def gradient(bore, flow, rough, density, viscosity):
    """Pa/m by fluids, in laminar or turbulent flow."""
    f = fluids.friction_factor(reynolds(bore, flow, density, viscosity), rough / bore)
    return fluids.dP_from_K(fluids.K_from_f(f, L=1.0, D=bore), rho=density, V=velocity(bore, flow))


def air():
    return between(0.9, 1.4), between(1.6e-5, 2e-5)


def outside_bridge(bore, flow, density, viscosity):
    return not 2000 <= reynolds(bore, flow, density, viscosity) <= 4000


ducts = [(between(0.05, 0.8), between(1e-5, 2.0), between(1e-6, 1e-3), *air())
         for _ in range(3000)]
ducts = [d for d in ducts if outside_bridge(d[0], d[1], d[3], d[4])]
compare("gradient of ducts from Re %.0g to %.0g" % (
    min(reynolds(d[0], d[1], d[3], d[4]) for d in ducts),
    max(reynolds(d[0], d[1], d[3], d[4]) for d in ducts)),
        "friction.gradient", ducts, gradient, relative=1e-9)

sized = [d for d in ducts if reynolds(d[0], d[1], d[3], d[4]) > 4000]
bores = {(d[1], gradient(*d), *d[2:]): d[0] for d in sized}
compare("bore for a gradient, turbulent", "friction.bore", list(bores),
        lambda *point: bores[point], relative=1e-9)


def rectangle_gradient(width, height, flow, rough, density, viscosity):
    """By the hydraulic diameter."""
    speed, bore = flow / (width * height), 2 * width * height / (width + height)
    re = fluids.Reynolds(V=speed, D=bore, rho=density, mu=viscosity)
    k = fluids.K_from_f(fluids.friction_factor(re, rough / bore), L=1.0, D=bore)
    return fluids.dP_from_K(k, rho=density, V=speed)


compare("gradient of rectangular ducts, turbulent", "friction.gradient_rectangle",
        [(w := between(0.05, 0.6), h := w * between(0.2, 1.0),
          w * h * between(4.0, 12.0) / min(1.0, h / 0.05), between(1e-6, 2e-4), *air())
         for _ in range(1000)], rectangle_gradient, relative=1e-9)


def run_loss(parts, flow, density, viscosity):
    """Pa by fluids: friction and coefficients of ducts one after the other."""
    return sum(length * gradient(bore, flow, rough, density, viscosity)
               + fluids.dP_from_K(k, rho=density, V=velocity(bore, flow))
               for bore, length, rough, k in parts)


def random_run():
    """Ducts of a run with a sharp entry, steps in size, other losses, and an exit into a room."""
    parts, bores = [], [between(0.06, 0.315) for _ in range(dice.randint(1, 6))]
    for i, bore in enumerate(bores):
        k = dice.choice([0.0, between(0.01, 20.0)])
        if i == 0:
            k += fittings.entrance_sharp(method="Idelchik")
        elif bore > bores[i - 1]:
            k += fittings.diffuser_sharp(Di1=bores[i - 1], Di2=bore) * (bore / bores[i - 1]) ** 4
        if i == len(bores) - 1:
            k += fittings.exit_normal()
        parts.append((bore, between(0.3, 30.0), between(1e-6, 1e-3), k))
    return parts, between(2e-4, 0.15), *air()


def solved_drops(runs):
    """Pa from end to end of each run, each solved as a network that gives off its flow."""
    text = ""
    for parts, flow, density, viscosity in runs:
        text += f"air {density!r} {viscosity!r}\nfixed 0\n" + "free 0\n" * (len(parts) - 1)
        text += f"free {flow!r}\n"
        for i, (bore, length, rough, k) in enumerate(parts):
            text += f"part {i} {i + 1}\nduct {bore!r} {length!r} {rough!r}\n"
            text += f"loss {bore!r} {k!r}\n" if k > 0 else ""
        text += "solve\n"
    done = subprocess.run([sys.argv[2]], input=text, text=True, check=True,
                          stdout=subprocess.PIPE)
    pressures = [line for line in done.stdout.splitlines() if line.startswith("pressures ")]
    return [-float(line.split()[-1]) for line in pressures]


runs = [r for r in (random_run() for _ in range(1000))
        if all(outside_bridge(part[0], *r[1:]) for part in r[0])]
agree(f"loss of runs of {sum(len(r[0]) for r in runs)} ducts", runs, solved_drops(runs),
      run_loss, relative=1e-9)

for rough in (0.0, 0.0009, 0.02, 0.05):
    points = [(1900.0 + 2.0 * i, rough, 64.0) for i in range(1101)]
    drops = [f * p[0] ** 2 for f, p in zip(ask("friction.factor", points), points)]
    rising = all(a < b for a, b in zip(drops, drops[1:]))
    low = fluids.friction.friction_laminar(2000.0) * 2000.0 ** 2
    high = fluids.friction_factor(4000.0, rough) * 4000.0 ** 2
    ends = abs(drops[50] / low - 1) < 1e-12 and abs(drops[1050] / high - 1) < 1e-9
    report(rising and ends, f"bridge from Re 2000 to 4000 at roughness {rough}: drop rises "
           "between the values of both ends")

ratios = [(between(0.03, 0.999),) for _ in range(300)]
compare("sudden expansion", "expansion.sudden", ratios,
        lambda ratio: fittings.diffuser_sharp(Di1=math.sqrt(ratio), Di2=1.0), relative=1e-12)
# Rennels & Hudson's contraction is another fit to the same measurements: near, not equal.
compare("sudden contraction, other authors", "contraction.sudden", ratios,
        lambda ratio: fittings.contraction_sharp(Di1=1.0, Di2=math.sqrt(ratio)), absolute=0.1)
cones = [(0.1, 0.1 * math.sqrt(1 / between(0.25, 0.9)), between(10.0, 45.0)) for _ in range(300)]
compare("conical expansion, other authors", "expansion.conical", cones,
        lambda small, large, angle: fittings.diffuser_conical(Di1=small, Di2=large, angle=angle,
                                                              fd=0.02), absolute=0.16)
# Our table has five points of this surface.
compare("rounded entry, Idelchik", "fitting.entry-rounded", [(between(0.02, 0.2),)
                                                             for _ in range(300)],
        lambda ratio: fittings.entrance_rounded(Di=1.0, rc=ratio, method="Idelchik"),
        absolute=0.02)
# Kv [m3/h] is for water of 1000 kg/m3 and 1 bar; ours for air of 1.2 kg/m3 and 1 Pa. fluids
# rounds 1.5989e9, the constant of Kv_to_K, to 1.6e9.
valves = [(between(1e-4, 1e-2), between(1e-3, 0.1)) for _ in range(300)]
compare("valves by their Kv", "element.valve", valves,
        lambda k, flow: fluids.dP_from_K(
            fittings.Kv_to_K(3600 * k * math.sqrt(1e5 * 1.2 / 1000), D=0.1), rho=1.2,
            V=velocity(0.1, flow)), relative=1e-3)

temperatures = [(dice.uniform(-40.0, 60.0),) for _ in range(200)]
compare("viscosity of air", "air.viscosity", temperatures,
        lambda t: fluids.ATMOSPHERE_1976.viscosity(t + 273.15), relative=1e-9)
compare("density of dry air", "air.density",
        [(t, dice.uniform(7e4, 1.05e5)) for t, in temperatures],
        lambda t, p: fluids.ATMOSPHERE_1976.density(t + 273.15, p), relative=1e-4)
compare("pressure at altitude", "air.pressure", [(dice.uniform(-500.0, 3000.0),)
                                                 for _ in range(200)],
        lambda z: fluids.ATMOSPHERE_1976(z).P, relative=2e-4)
compare("density at altitude", "air.density_altitude",
        [(dice.uniform(-500.0, 3000.0), dice.uniform(-30.0, 40.0)) for _ in range(200)],
        lambda z, t: fluids.ATMOSPHERE_1976.density(t + 273.15, fluids.ATMOSPHERE_1976(z).P),
        relative=3e-4)

print(f"{passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
