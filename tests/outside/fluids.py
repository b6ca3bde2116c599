#!/usr/bin/python3
"""Compares the physics with the independent library "fluids" (Debian: python3-fluids).

Usage: fluids.py RUN_CASES   (the built tests/run_cases, asked through --eval)

One line for each comparison, then "N passed, N failed"; exit status 1 on any failure or where
fluids is missing. The points are random with a fixed seed.
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

if len(sys.argv) != 2:
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
    """`theirs` is called with each point; the worst difference is shown."""
    worst, where, good = 0.0, None, True
    for point, ours in zip(points, ask(method, points)):
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
        [(between(0.1, 2000.0), roughness(), 64.0) for _ in range(500)],
        lambda re, rough, _: fluids.friction.friction_laminar(re), relative=1e-15)

ducts = [(between(0.06, 0.315), between(0.005, 0.2), between(1e-6, 1e-3), between(0.9, 1.4),
          between(1.6e-5, 2e-5)) for _ in range(2000)]


def velocity(bore, flow):
    return flow / (math.pi / 4 * bore ** 2)


ducts = [d for d in ducts if d[3] * velocity(d[0], d[1]) * d[0] / d[4] > 4000]


def gradient(bore, flow, rough, density, viscosity):
    speed = velocity(bore, flow)
    re = fluids.Reynolds(V=speed, D=bore, rho=density, mu=viscosity)
    k = fluids.K_from_f(fluids.friction_factor(re, rough / bore), L=1.0, D=bore)
    return fluids.dP_from_K(k, rho=density, V=speed)


compare("gradient of dwelling ducts", "friction.gradient", ducts, gradient, relative=1e-9)

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
                                                              fd=0.02), absolute=0.15)

temperatures = [(dice.uniform(-40.0, 60.0),) for _ in range(200)]
compare("viscosity of air", "air.viscosity", temperatures,
        lambda t: fluids.ATMOSPHERE_1976.viscosity(t + 273.15), relative=1e-9)
compare("density of dry air", "air.density",
        [(t, dice.uniform(7e4, 1.05e5)) for t, in temperatures],
        lambda t, p: fluids.ATMOSPHERE_1976.density(t + 273.15, p), relative=1e-4)
compare("pressure at altitude", "air.pressure", [(dice.uniform(-500.0, 3000.0),)
                                                 for _ in range(200)],
        lambda z: fluids.ATMOSPHERE_1976(z).P, relative=2e-4)

print(f"{passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
