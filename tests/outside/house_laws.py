"""A reader of house and table files and the laws of air in ducts, apart from the program's own.

Used by house.py. Sources stand beside the formulas; "from memory" where they were not at hand.
"""

import math
import os
import re

import fluids
import yaml

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

# ---- Reading ----

UNITS = {"": 1, "1": 1, "mm": 1e-3, "m": 1, "m2": 1, "m3": 1, "l/s": 1e-3, "m3/h": 1 / 3600,
         "Pa": 1, "C": 1, "%": 0.01, "W": 1, "W/K": 1, "ach": 1, "h/day": 1, "h": 1, "m/s": 1,
         "deg": 1, "per kWh": 1, "kg/kWh": 1, "V": 0.1, "l/s/Pa^0.5": 1e-3, "Re": 1, "r/D": 1,
         "H/W": 1}


def value(text):
    """SI value of a quantity such as "22 m2"; hours and air changes stay in hours."""
    number, unit = re.fullmatch(r"\s*([-+0-9.eE]+)\s*(.*?)\s*", text).groups()
    return float(number) * UNITS[unit]


def read(path):
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        return yaml.load(file, yaml.BaseLoader)


def table(kind, name):
    """A table file, or an entry of one that holds several."""
    if os.path.exists(os.path.join(ROOT, f"tables/{kind}/{name}.yaml")):
        return read(f"tables/{kind}/{name}.yaml")
    for file in sorted(os.listdir(os.path.join(ROOT, "tables", kind))):
        found = read(f"tables/{kind}/{file}")
        if name in found.get("entries", {}):
            return found["entries"][name]
    raise KeyError(name)


def curve(spec):
    """Points of a table in SI, columns as they stand."""
    scale = [UNITS[unit] for unit in spec["columns"]]
    return [[float(x) * s for x, s in zip(row, scale)] for row in spec["points"]]


def override(tree, text):
    path, _, new = text.partition("=")
    *way, last = path.split(".")
    for key in way:
        if isinstance(tree, list):
            tree = next(item for item in tree if item["run"] == key)
        else:
            tree = tree[key]
    tree[last] = yaml.load(new, yaml.BaseLoader)


def duct_of(spec):
    """Shape and roughness of a run's duct."""
    if isinstance(spec, str):
        family, _, size = spec.rpartition("-")
        whole = table("ducts", family)
        spec = {**{k: whole[k] for k in ("roughness", "flexible", "stretched") if k in whole},
                **whole["sizes"][size]}
    rough = spec["roughness"]
    duct = {"roughness": value(rough["value"] if isinstance(rough, dict) else rough),
            "flexible": spec.get("flexible") == "yes", "width": spec.get("width"),
            "height": spec.get("height"), "let go": value(spec.get("stretched", "85 %"))}
    if "bore" in spec:
        bore = value(spec["bore"])
        return {**duct, "area": math.pi / 4 * bore ** 2, "hydraulic": bore, "laminar": 64.0}
    w, h = value(spec["width"]), value(spec["height"])
    a = min(w, h) / max(w, h)  # Shah & London 1978 (from memory)
    laminar = 96 * (1 - 1.3553 * a + 1.9467 * a**2 - 1.7012 * a**3 + 0.9564 * a**4 - 0.2537 * a**5)
    return {**duct, "area": w * h, "hydraulic": 2 * w * h / (w + h), "laminar": laminar}


def fittings_of(run):
    for entry in run.get("fittings", []):
        if isinstance(entry, dict):
            named = table("fittings", entry["fitting"]) if "fitting" in entry else {}
            yield int(entry.get("count", 1)), {**named, **entry}
        else:
            count, _, name = entry.rpartition(" x ")
            yield int(count or 1), table("fittings", name)


class House:
    """A house file with overrides, its tables and the air in its ducts."""

    def __init__(self, path, changes):
        self.tree = tree = read(path)
        for change in changes:
            override(tree, change)
        unit = tree["unit"]
        self.unit = table("units", unit) if isinstance(unit, str) else unit
        self.rooms, self.levels = tree["rooms"], tree.get("levels", {})
        self.runs = {r["run"]: {**r, **duct_of(r["duct"]), "air": air,
                                "parallel": float(r.get("parallel", 1))}
                     for air, runs in tree["ducts"].items() for r in runs}
        site = tree["site"]
        self.indoor = value(site["indoor"])
        self.pressure = 101325 * (1 - 2.25577e-5 * value(site["altitude"])) ** 5.2559
        outdoor = value(site["outdoor"]) if "outdoor" in site else self.indoor
        warmed = value(self.unit["exchanger"]["temperature_ratio"]) * (self.indoor - outdoor)
        self.celsius = {"outdoor": outdoor, "supply": outdoor + warmed, "extract": self.indoor,
                        "exhaust": self.indoor - warmed}
        self.met = {}
        self.ratio = value(self.unit["exchanger"]["temperature_ratio"])
        self.rho = {air: self.density(t) for air, t in self.celsius.items()}

    def density(self, celsius):
        return self.pressure / (287.042 * (celsius + 273.15))

    def places(self, run):
        """Start and end of a run, with the unit's two sides apart."""
        return ["unit out" if p == "unit" and i == 0 else "unit in" if p == "unit" else p
                for i, p in enumerate((run["from"], run["to"]))]

    def carry(self, run, start):
        """Temperature at the end and mean along a run of air that enters it: exponential
        (ASHRAE HoF 2009 ch. 4), films of 8 W/(m2 K) on either side of the insulation."""
        if "rate" not in run:
            around = value(run["space"]["temperature"]) if "space" in run else self.indoor
            inner = 4 * run["area"] / run["hydraulic"]
            resistance = 1 / (8 * inner)
            if "insulation" in run:
                thick = value(run["insulation"]["thickness"])
                outer = inner + 2 * math.pi * thick
                conduct = float(run["insulation"]["conductivity"].split()[0])
                resistance += math.log(outer / inner) / (2 * math.pi * conduct)
            else:
                outer = inner
            resistance += 1 / (8 * outer)
            run["rate"] = value(run["length"]) * run["parallel"] / resistance
            run["around"] = around
        n = run["rate"] / (1.2 * 1006 * run["ref"])
        gap = start - run["around"]
        return run["around"] + gap * math.exp(-n), run["around"] + gap * (1 - math.exp(-n)) / n

    def arriving(self, place, outs):
        """Temperature of what the runs bring to a place, mixed by mass; trees only."""
        coming = [r for r in self.runs.values() if self.places(r)[1] == place]
        if not coming:
            return outs.get(place, self.indoor)
        ends = [(r["ref"], self.carry(r, self.leaving(self.places(r)[0], outs))[0])
                for r in coming]
        return sum(q * t for q, t in ends) / sum(q for q, _ in ends)

    def leaving(self, place, outs):
        if place in self.rooms:
            return self.indoor
        return outs[place] if place in outs else self.arriving(place, outs)

    def warm(self, ref, unit=None):
        """Takes the flows at 1.2 kg/m3 [m3/s], of the runs and, where ducts leak, through the
        unit, and gives each run its air."""
        if "outdoor" not in self.tree["site"] and all("space" not in r for r in self.runs.values()):
            ref = {name: 1e9 for name in ref}  # one temperature: nothing to find
        for name, run in self.runs.items():
            run["ref"] = ref[name]
        oda, total, at_unit = self.celsius["outdoor"], {}, {}
        for air in ("outdoor", "extract"):
            near = [r for r in self.runs.values() if r["air"] == air and r["to"] == "unit"]
            t = [(r["ref"], self.carry(r, self.leaving(self.places(r)[0], {"outdoors": oda}))[0])
                 for r in near]
            total[air] = sum(q for q, _ in t)
            at_unit[air] = sum(q * x for q, x in t) / total[air]
        a, b = at_unit["outdoor"], at_unit["extract"]
        sup, ext = unit or (total["outdoor"], total["extract"])
        outs = {"supply": a + self.ratio * (b - a),
                "exhaust": b - self.ratio * (b - a) * sup / ext}
        for name, run in self.runs.items():
            unit = outs["supply" if run["air"] == "supply" else "exhaust"]
            known = {"outdoors": oda, "unit out": unit}
            run["start"] = self.leaving(self.places(run)[0], known)
            run["end"], mean = self.carry(run, run["start"])
            run["rho"] = self.density(mean)
            run["mu"] = fluids.ATMOSPHERE_1976.viscosity(mean + 273.15)
            run["end rho"] = self.density(run["end"] if run["air"] == "supply" else self.indoor)
            for place in (run["from"], run["to"]):
                if place not in self.rooms and place not in ("unit", "outdoors"):
                    self.met[place] = self.density(self.arriving(place, known))
        self.rho["supply"], self.rho["exhaust"] = (self.density(outs[x])
                                                   for x in ("supply", "exhaust"))

    def valve(self, run):
        """The valve's curve (opening, k), or None."""
        name = run.get("valve")
        if isinstance(name, dict):
            name = name.get("of", name.get("type"))
        if name is None:
            return None
        own = self.tree.get("valves", {}).get(name)
        return curve((own or table("valves", name))["loss"])

    def at(self, junction):
        return [r for r in self.runs.values() if junction in (r["from"], r["to"])]

    def spigot(self, air):
        spec = self.unit["spigots"]
        return math.pi / 4 * value(spec if isinstance(spec, str) else spec[air]) ** 2


# ---- Laws ----


def steffen(points, x, column=1):
    """Monotone cubic interpolation: Steffen 1990, Astronomy & Astrophysics 239, 443."""
    points = [(p[0], p[column]) for p in points]
    i = max(0, min(sum(p[0] <= x for p in points) - 1, len(points) - 2))
    step = [b[0] - a[0] for a, b in zip(points, points[1:])]
    secant = [(b[1] - a[1]) / h for a, b, h in zip(points, points[1:], step)]

    def slope(k):
        if k in (0, len(points) - 1):
            return secant[max(0, k - 1)]
        s, t, h, g = secant[k - 1], secant[k], step[k - 1], step[k]
        p = (s * g + t * h) / (h + g)
        return (math.copysign(1, s) + math.copysign(1, t)) * min(abs(s), abs(t), abs(p) / 2)

    u, h, s = (x - points[i][0]) / step[i], step[i], secant[i]
    a, b = slope(i), slope(i + 1)
    return points[i][1] + h * u * (a + u * (3 * s - 2 * a - b + u * (a + b - 2 * s)))


def straight_lines(points, x):
    x = min(max(x, points[0][0]), points[-1][0])
    for (x0, y0), (x1, y1) in zip(points, points[1:]):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


def slack(run):
    """ASHRAE HoF 2021 ch. 21 eqs. 22-23, percent of the length lost and bore in mm."""
    if not run["flexible"]:
        return 1.0
    lost = 100 * (1 - (value(run["stretched"]) if "stretched" in run else run["let go"]))
    return 1 + 0.58 * lost * math.exp(-0.00496 * 1000 * run["hydraulic"])


def crushed(run):
    """An oval of the same circumference: its duct, over so many metres."""
    kept, bore = value(run["crushed"]["height"]), run["hydraulic"]
    flat = math.pi * bore * (1 - kept) / 2
    area = math.pi / 4 * (kept * bore) ** 2 + kept * bore * flat
    return {**run, "area": area, "hydraulic": 4 * area / (math.pi * bore)}, value(
        run["crushed"]["length"])


def friction_of(run, flow, length):
    """Pa of the whole run as (least, most)."""
    whole = friction_gradient(run, flow)
    if "crushed" not in run:
        return [slack(run) * g * length for g in whole]
    piece, metres = crushed(run)
    return [slack(run) * (g * (length - metres) + c * metres)
            for g, c in zip(whole, friction_gradient(piece, flow))]


def friction_gradient(run, flow):
    """Pa/m stretched as (least, most): one value, but only bounds where 2000 < Re < 4000."""
    rho, mu, bore = run["rho"], run["mu"], run["hydraulic"]
    speed = flow / run["parallel"] / run["area"]
    re = fluids.Reynolds(V=speed, D=bore, rho=rho, mu=mu)
    laminar = run["laminar"] / re
    turbulent = fluids.friction_factor(max(re, 2000.0), run["roughness"] / bore, Method="Clamond")
    low, high = turbulent, turbulent
    if re <= 4000:
        low, high = laminar, turbulent if re > 2000 else laminar
    return [fluids.dP_from_K(fluids.K_from_f(f, L=1.0, D=bore), rho=rho, V=speed)
            for f in (low, high)]


# SMACNA HVAC Systems Duct Design 1990, table 14-12 A: area ratios; by total angle
RATIOS = [2, 4, 6, 10]
CONTRACTIONS = [(10, [.05] * 4), (15, [.05, .04, .04, .05]), (40, [.05, .04, .04, .05]),
                (50, [.06, .07, .07, .08]), (60, [.06, .07, .07, .08]), (90, [.12, .17, .18, .19]),
                (120, [.18, .27, .28, .29]), (150, [.24, .35, .36, .37]), (180, [.26, .41, .42, .43])]


def cone(small, large, angle, widens):
    """Coefficient on the smaller section of a cone: widening, Idelchik 2006 diag. 5-4; narrowing
    by the table, or below its least ratio the sudden contraction where less (diag. 4-9)."""
    if widens:
        return 0.9455 * (1 - math.exp(-0.0541 * angle)) * (1 - small / large) ** 1.92
    by_angle = [(a, straight_lines(list(zip(RATIOS, row)), large / small))
                for a, row in CONTRACTIONS]
    zeta = straight_lines(by_angle, angle)
    return zeta if large >= 2 * small else min(zeta, 0.5 * (1 - small / large) ** 0.75)


def size_change(own, other, leaves):
    """Coefficient on the smaller section where a run meets another area: 30 degrees in all."""
    return cone(min(own, other), max(own, other), 30, (own < other) == leaves)


def tee_loss(joins, fc, fst, fs, angle, q):
    """Straight and side coefficients on the combined velocity, Idelchik 2006 sections 7-15, 7-16,
    tables 7-1 to 7-5. Lists: near a step of the tables both its sides stand."""
    def step(at, below, above):
        return [below] if q < at - 0.05 else [above] if q > at + 0.05 else [below, above]

    r, area = fc / fs, fs / fc
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    if joins:
        a = [1.0] if area <= 0.35 else step(0.4, 0.9 * (1 - q), 0.55)
        k = [0.8 * q] if area <= 0.35 else step(0.6, 0.5, 0.8 * q)
        side = 1 + (q * r) ** 2 - 2 * fc / fst * (1 - q) ** 2 - 2 * r * q * q * cos
        along = 1 - (1 - q) ** 2 - (1.4 - q) * q * q * sin
        return [along - 2 * x * r * q * cos for x in k], [x * side for x in a]
    a = step(0.4, 1.1 - 0.7 * q, 0.85) if area <= 0.35 else step(0.6, 1 - 0.6 * q, 0.6)
    tau = [0.4] if area <= 0.4 else step(0.5, 2 * (2 * q - 1), 0.3 * (2 * q - 1))
    return [t * q * q for t in tau], [x * (1 + (q * r) ** 2 - 2 * q * r * cos) for x in a]


def power_law(rho, drop, at, exponent, flow):
    """A drop at 1.2 kg/m3 as on a sheet; other air as ASTM E779 has it (from memory)."""
    return drop * (flow / at) ** exponent * (rho / 1.2) ** (exponent - 1)


def coefficient(run, f, q):
    """Coefficient of a fitting, and the area it is for."""
    area = run["area"]
    if "cone" in f:
        other = math.pi / 4 * value(f["to"]) ** 2
        small = min(area, other)
        return cone(small, max(area, other), value(f["angle"]), f["cone"] == "widening"), small
    if "coefficient" in f:
        zeta = value(f["coefficient"])
    elif "coefficient_by_bore" in f:
        zeta = straight_lines(curve(f["coefficient_by_bore"]), math.sqrt(4 * area / math.pi))
    elif "coefficient_by_shape" in f:
        flat = value(run["height"]) / value(run["width"])
        zeta = straight_lines(curve(f["coefficient_by_shape"]),
                              1 / flat if f["turn"] == "edgewise" else flat)
    elif "coefficient_by_radius" in f:
        zeta = straight_lines(curve(f["coefficient_by_radius"]), value(f["radius"]))
    else:
        zeta = straight_lines(curve(f["coefficient_by_angle"]), value(f["angle"]))
    if "angle_factor" in f:
        zeta *= straight_lines(curve(f["angle_factor"]), value(f["angle"]))
    if "reynolds_factor" in f:
        points = [[math.log(x), y] for x, y in curve(f["reynolds_factor"])]
        re = q / area * run["hydraulic"] * run["rho"] / run["mu"]
        zeta *= steffen(points, min(max(math.log(re), points[0][0]), points[-1][0]))
    return zeta, value(f["face_area"]) if "face_area" in f else area


def fitting_loss(run, flow):
    """Fittings of the run itself [Pa]."""
    q, total = flow / run["parallel"], 0.0
    for count, f in fittings_of(run):
        if "drop" in f:
            total += count * power_law(run["rho"], value(f["drop"]), value(f["at"]),
                                       float(f.get("exponent", 2)), q)
            continue
        zeta, area = coefficient(run, f, q)
        total += count * zeta * run["rho"] / 2 * (q / area) ** 2
    return total


def end_loss(house, run, place, flows):
    """What the end of a run at `place` loses, booked on that run: all values that may stand."""
    rho, flow, leaves = run["rho"], flows[run["run"]], run["to"] == place
    own, borda = run["area"] * run["parallel"], 1.0 if leaves else 0.5  # dump, sharp entry
    pv = rho / 2 * (flow / own) ** 2
    closed = any(f.get("end") == "yes" for _, f in fittings_of(run))
    if place == "outdoors" or place in house.rooms:
        at_end = pv if place == "outdoors" else pv * rho / run["end rho"]  # of the same mass
        return [0.0 if closed or "valve" in run else borda * at_end]
    if place == "unit":
        other = house.spigot(run["air"])
        small = min(own, other)
        return [size_change(own, other, leaves) * rho / 2 * (flow / small) ** 2 * (own != other)]
    meet, junction = house.at(place), house.tree.get("junctions", {}).get(place, {})
    if len(meet) == 2:
        other = next(r for r in meet if r is not run)
        area = other["area"] * other["parallel"]
        return [size_change(own, area, leaves) * pv if own < area else 0.0]
    tee = junction.get("kind") in ("tee", "wye") or all(r["parallel"] == 1 for r in meet)
    if junction.get("kind") == "box" or len(meet) > 3 or not tee:
        return [borda * pv]
    joins = run["air"] == "extract"
    combined = next(r for r in meet if (r["from"] if joins else r["to"]) == place)
    rest = [r for r in meet if r is not combined]
    if run is combined:
        return [0.0]
    if junction.get("straight") == "none":
        return bull_head(house, run, place, flows, combined)
    straight = next((r for r in rest if r["run"] == junction.get("straight")),
                    max(rest, key=lambda r: r["area"]))
    side = next(r for r in rest if r is not straight)
    mass = {r["run"]: flows[r["run"]] * r["rho"] for r in meet}
    q = mass[side["run"]] / mass[combined["run"]]
    both = tee_loss(joins, combined["area"], combined["area"], side["area"],
                    value(junction.get("angle", "90 deg")), q)
    through = (mass[combined["run"]] / combined["area"]) ** 2 / (2 * house.met[place])
    if run is side:
        return [k * through for k in both[1]]
    area = combined["area"]  # the tee goes through in this size: a cone to another straight run
    change = size_change(own, area, leaves) * rho / 2 * (flow / min(own, area)) ** 2
    return [k * through + change * (own != area) for k in both[0]]


def bull_head(house, run, place, flows, stem):
    """A tee without a straight run: where air joins, Idelchik 2006 diag. 7-29; where it divides,
    a branch of 90 degrees. The program shifts these a little (tee_law.c), by at most the fourth
    power of the other side's share: bounds."""
    mass = {r["run"]: flows[r["run"]] * r["rho"] for r in house.at(place)}
    q, r = mass[run["run"]] / mass[stem["run"]], stem["area"] / run["area"]
    if run["air"] == "extract":
        a = 1.0 if 1 / r <= 0.35 else 0.9 * (1 - q) if q <= 0.4 else 0.55
        zeta = a * (1 + r * r + 3 * r * r * (q * q - q))
    else:
        a = 1.1 - 0.7 * q if 1 / r <= 0.35 and q <= 0.4 else 0.85 if 1 / r <= 0.35 else max(
            0.6, 1 - 0.6 * q)
        zeta = a * (1 + (q * r) ** 2)
    pv = (mass[stem["run"]] / stem["area"]) ** 2 / (2 * house.met[place])
    return [zeta * pv - 0.4 * pv, zeta * pv + 0.4 * pv]


def restrictor_loss(run, flow):
    spec = run["valve"].get("restrictor") if isinstance(run.get("valve"), dict) else None
    if spec is None:
        return 0.0
    drop, at = spec.split(" at ")
    return power_law(run["end rho"], value(drop), value(at), 2, flow)


def fan_at(house, side, flow, speed, column):
    """Rise (column 1) or power (2): curves by Steffen, fan laws, straight between two speeds."""
    fan = house.unit.get("fan") or house.unit["fans"][side]
    outlet = house.spigot("supply" if side == "supply" else "exhaust")
    rho, found = house.rho["supply" if side == "supply" else "exhaust"], []
    for entry in fan["curves"]:
        points, own = curve(entry), value(entry["speed"])
        if fan.get("basis") == "static":
            points = [[p[0], p[1] + 0.6 * (p[0] / outlet) ** 2, p[2]] for p in points]
        ratio, (q0, p0), (q1, p1) = speed / own, *((p[0], p[column]) for p in points[-2:])
        own_flow = flow / ratio
        risen = steffen(points, min(own_flow, q1), column)
        if column == 1:  # beyond the points straight on; power stays
            risen += (p1 - p0) / (q1 - q0) * max(own_flow - q1, 0.0)
        found.append((own, risen * ratio ** (2 if column == 1 else 3) * rho / 1.2))
    half = 0.5 if column == 2 and fan.get("power") == "both" else 1.0
    return half * straight_lines(sorted(found), speed)


# ---- The year ----

WET = ("kitchen", "utility", "bathroom", "wc")
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def hitchin(base, mean, days, k):
    """Degree-days of a month: Hitchin 1983, CIBSE TM41:2006 ch. 2 (from memory)."""
    x = base - mean
    return days / k if x == 0 else days * x / (1 - math.exp(-k * x))


def days_below(base, mean, days, k):
    """Slope of that by its base."""
    x = base - mean
    e = math.exp(-k * x)
    return days / 2 if x == 0 else days * (1 - e - k * x * e) / (1 - e) ** 2


def cold_days(base, mean, days, spread):
    """Degree-days of days that lie normally about the month's mean: Schoenau & Kehrig 1990."""
    z = (base - mean) / spread
    below = 0.5 * math.erfc(-z / math.sqrt(2))
    return days * spread * (z * below + math.exp(-z * z / 2) / math.sqrt(2 * math.pi))


def heat_of_ducts(house, state):
    """What the ducts lose [W] at a level, in full and of what the exchanger would have had: supply
    and extract runs in spaces of their own, outdoor and exhaust runs among the rooms."""
    refs = {r["name"]: r["flow_ref_l_s"] / 1e3 for r in state["runs"]}
    house.warm(refs)
    if any(r["leakage_l_s"] for r in state["runs"]):  # what the fans move is more then
        house.warm(refs, [state[side]["flow_ref_l_s"] / 1e3 + sum(
            abs(r["leakage_l_s"]) / 1e3 * house.runs[r["name"]]["rho"] / 1.2 for r in state["runs"]
            if house.runs[r["name"]]["air"] == side) for side in ("supply", "extract")])
    lost = shared = 0.0
    for run in house.runs.values():
        heat = 1.2 * 1006 * run["ref"] * (run["start"] - run["end"])
        own = "space" in run
        if own and run["air"] == "supply" or not own and run["air"] == "exhaust":
            lost += heat if own else -heat
        if own and run["air"] == "extract" or not own and run["air"] == "outdoor":
            shared += heat if own else -heat
    return lost, shared


class Year:
    """The year's figures from the flows and powers of the levels."""

    def __init__(self, house, levels):
        tree, envelope = house.tree, house.tree["envelope"]
        climate = table("climates", tree["site"]["climate"])
        base, given = table("baselines", "trickle-vents"), tree["baseline"]
        given = {} if isinstance(given, str) else given
        mean, k = [value(t) for t in climate["mean_temperature"]], float(climate["hitchin_k"])
        inside, gains, volume = house.indoor, value(envelope["gains"]), value(tree["volume"])
        c = house.pressure / (287.042 * (inside + 273.15)) * 1006 / 3600  # Wh/(m3 K)
        hours = {n: value(spec["hours"]) for n, spec in house.levels.items()
                 if isinstance(spec, dict) and "hours" in spec}
        hours["normal"] = 24 - sum(hours.values())
        core = house.unit["exchanger"]
        ratio0, at = value(core["temperature_ratio"]), value(core["at"])
        flow = recovered = power = 0.0
        lost = shared = 0.0
        for name, h in hours.items():  # balanced counterflow with UA constant
            q = levels[name]["supply"]["flow_l_s"] / 1e3
            flow += q * h / 24
            recovered += q * h / 24 / (1 + (1 - ratio0) / ratio0 * q / at)
            power += levels[name]["power_w"] * h / 24
            if "outdoor" in tree["site"]:
                heat = heat_of_ducts(house, levels[name])
                apart = inside - value(tree["site"]["outdoor"])
                lost, shared = lost + heat[0] * h / 24 / apart, shared + heat[1] * h / 24 / apart
        ratio = recovered / flow
        # EN ISO 13789:2007 annex C, balanced (from memory).
        leak = value(envelope["leakage"]) * {
            "none": 0.10, "normal": 0.07, "heavy": 0.04}[envelope["shielding"]]
        closed = value(envelope["heat_loss"]) + c * volume * leak
        wet = sum("extract" in r or r["use"] in WET for r in house.rooms.values())
        # SAP 10.2 (20)-(24d), tables 2.1 and U2 (from memory); wind of the climate if it has any.
        air = []
        for wind in map(value, climate.get("wind", base["wind"])):
            n = value(given.get("leakage", envelope["leakage"])) / 20
            n = (n + 10 * float(given.get("fans", wet)) / volume) * (1 - 0.075 * 2) * wind / 4
            air.append(n if n >= 1 else 0.5 + 0.5 * n * n)

        def need(loss):
            days = [hitchin(inside - gains / h, t, d, k) for h, t, d in zip(loss, mean, DAYS)]
            return [24 * h * x / 1000 for h, x in zip(loss, days)], days

        moved = c * flow * 3600
        old = [value(envelope["heat_loss"]) + c * volume * n for n in air]
        (self.net, self.days), (bare, _), (still, _), (self.old, _) = (
            need([closed + moved * (1 - ratio) + lost + shared * ratio] * 12),
            need([closed + moved] * 12), need([closed] * 12), need(old))
        total = closed + moved * (1 - ratio) + lost + shared * ratio
        self.duct_loss = lost + shared * ratio
        # A preheater warms what comes to the exchanger; 1 - ratio of that reaches the rooms.
        frost, spread = house.unit.get("frost", {}), math.sqrt(2 * math.pi) / k
        self.preheat = [0.0] * 12
        if frost.get("method") == "preheater":
            most = value(frost["power"]) / moved if "power" in frost else math.inf
            self.preheat = [24 * moved / 1000 * (
                cold_days(value(frost["below"]), t, d, spread)
                - (cold_days(value(frost["below"]) - most, t, d, spread) if most < 1e9 else 0.0))
                            for t, d in zip(mean, DAYS)]
        # A supply cut by half for 30 % of the cold hours: what it lacks comes cold elsewhere.
        unrecovered = [0.0] * 12
        if frost.get("method") == "reduce-supply":
            cut = value(frost.get("cut", "50 %")) * value(frost.get("time", "30 %"))
            on = value(frost["below"])
            unrecovered = [24 * moved / 1000 * ratio * cut * (
                cold_days(on, t, d, spread)
                + (inside - on) * d * 0.5 * math.erfc((t - on) / spread / math.sqrt(2)))
                           for t, d in zip(mean, DAYS)]
        self.net = [n - (1 - ratio) * e + u
                    for n, e, u in zip(self.net, self.preheat, unrecovered)]
        bare = [n - e for n, e in zip(bare, self.preheat)]
        # The bypass opens where a house without heating, gains over loss above outdoors, gets warm.
        bypass, base_c = house.unit.get("bypass"), inside - gains / total
        opens, stays = inside, 1.0
        if bypass:
            opens = min(inside, max(value(bypass["opens_above"]), inside) - gains / total)
            stays = value(bypass.get("residual", "10 %"))

        def up_to_inside(limit, t, d):
            return hitchin(limit, t, d, k) + (inside - limit) * days_below(limit, t, d, k)
        part = 24 * moved * ratio / 1000
        self.gross, self.heating = [], []
        for t, d, e, u in zip(mean, DAYS, self.preheat, unrecovered):
            whole = hitchin(inside, t, d, k)
            shut = up_to_inside(opens, t, d) if opens < inside else whole
            self.gross.append(part * (shut + stays * (whole - shut)) - ratio * e - u)
            self.heating.append(part * up_to_inside(base_c, t, d) - ratio * e - u)
        self.saved = sum(self.old) - sum(self.net)
        standby = value(house.unit.get("standby", "0 W"))
        self.fans = (power - standby) * 24 / 1000
        preheat = sum(self.preheat)
        old_fans = float(given.get("fans", wet)) * 20 * 2 * 365 / 1000
        own_fans = (self.fans + standby * 24 / 1000) * 365
        self.bare, self.electricity = bare, old_fans - own_fans - preheat
        self.figures = {
            "air_constant_wh_per_m3_k": c, "ventilation_flow_l_s": flow * 1e3,
            "temperature_ratio": ratio, "infiltration_per_h": leak,
            "heat_loss_w_per_k": total, "duct_loss_w_per_k": self.duct_loss,
            "heat_loss_no_recovery_w_per_k": closed + moved,
            "base_temperature_c": base_c, "heating_degree_days": sum(self.days),
            "ventilation_heat_kwh": sum(bare) + preheat - sum(still),
            "recovered_heat_kwh": sum(bare) - sum(self.net), "net_heat_kwh": sum(self.net),
            "gross_recovered_kwh": sum(self.gross), "recovered_in_heating_kwh": sum(self.heating),
            "frost.useful_kwh": (1 - ratio) * preheat,
            "fan_kwh": self.fans * 365, "standby_kwh": standby * 24 * 365 / 1000,
            "frost_kwh": preheat, "baseline.heat_kwh": sum(self.old), "baseline.fan_kwh": old_fans,
            "baseline.air_change_per_h": sum(n * d for n, d in zip(air, DAYS)) / 365,
            "saving.heat_kwh": self.saved, "saving.electricity_kwh": self.electricity}
