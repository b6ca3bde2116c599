#!/usr/bin/python3
"""The rest of the air's work by a calculation of its own: air_work.py PROGRAM [--write]

Compares `evenbreath energy --detail --json` on two houses of tests/houses/ with figures made here
from the same balances, by other methods: bisection, small steps, sums over hours. --write prints
what tests/houses/*.energy-detail.json hold instead. The fans' power is taken from the program.
"""

import json
import math
import os
import re
import subprocess
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
CP, VAPOUR_CP, VAPOUR_HEAT = 1006, 1860, 2501e3  # J/(kg K), J/kg: ASHRAE HoF 2021 ch. 1
WATER_CP, ICE_CP, ICE_HEAT, TANK = 4186, 2100, 333.6e3, 4.1868e6



def hitchin(base, mean, days, k):
    """Degree-days of a month: Hitchin 1983, CIBSE TM41:2006 ch. 2 (from memory)."""
    x = base - mean
    return days / k if x == 0 else days * x / (1 - math.exp(-k * x))


# ---- Moist air (Hyland & Wexler 1983, ASHRAE HoF 2021 ch. 1 eqs. 5 and 6) ----


def over_water(t):
    k = t + 273.15
    return math.exp(-5.8002206e3 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k * k
                    - 1.4452093e-8 * k ** 3 + 6.5459673 * math.log(k))


def saturation(t):
    if t > 0.01:
        return over_water(t)
    k = t + 273.15
    return math.exp(-5.6745359e3 / k + 6.3925247 - 9.677843e-3 * k + 6.2215701e-7 * k * k
                    + 2.0747825e-9 * k ** 3 - 9.484024e-13 * k ** 4 + 4.1635019 * math.log(k))


def ratio_of(vapour, p):
    return 0.621945 * vapour / (p - vapour)


def humidity_of(t, w, p):
    return p * w / (0.621945 + w) / saturation(t)


def enthalpy(t, w):
    return CP * t + w * (VAPOUR_HEAT + VAPOUR_CP * t)


def volume_of(t, w, p):
    return 287.042 * (t + 273.15) * (1 + 1.607858 * w) / p


def cooled(t, w, heat, p):
    """Temperature, humidity ratio and share frozen of air that gives off so much per kilogram."""
    dry = t - heat / (CP + VAPOUR_CP * w)
    if w <= ratio_of(saturation(dry), p):
        return dry, w, 0.0

    def left(end, ice):
        ws = ratio_of(saturation(end), p)
        water = ICE_CP * end - ICE_HEAT if ice else WATER_CP * end
        return enthalpy(end, ws) + (w - ws) * water - (enthalpy(t, w) - heat)

    low, high, ice = dry, t, False
    if left(0.0, False) > 0 > left(0.0, True):
        share = left(0.0, False) / (left(0.0, False) - left(0.0, True))
        return 0.0, ratio_of(saturation(0.0), p), share
    ice = left(0.0, False) > 0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (low, middle) if left(middle, ice) > 0 else (middle, high)
    return low, ratio_of(saturation(low), p), float(ice)


# ---- The house ----


class Work:
    def __init__(self, name, months, hours, given):
        self.__dict__.update(given)
        self.name, self.mean, self.hours = name, months, hours
        self.p = 101325 * (1 - 2.25577e-5 * self.altitude) ** 5.2559
        self.c = self.p / (287.042 * (self.indoor + 273.15)) * CP / 3600
        self.leaks = self.n50 * self.shielding * self.volume / 3600
        still = self.fabric + self.c * 3600 * self.leaks
        self.loss = still + self.c * 3600 * self.flow * (1 - self.eta)
        self.bare = still + self.c * 3600 * self.flow
        self.still, self.base = still, self.indoor - self.gains / self.loss
        self.production = self.vapour / 86400

    def days_below(self, month, base):
        if not self.hours:
            return hitchin(base, self.mean[month], DAYS[month], 0.71)
        return sum(max(base - t, 0) for m, t in self.hours if m == month) / 24

    def frost(self, month):
        """Kelvin by which the preheater warms the month's mean (Schoenau & Kehrig 1990)."""
        if self.preheat is None:
            return 0.0
        spread = math.sqrt(2 * math.pi) / 0.71
        z = (self.preheat - self.mean[month]) / spread
        below = 0.5 * math.erfc(-z / math.sqrt(2))
        return spread * (z * below + math.exp(-z * z / 2) / math.sqrt(2 * math.pi))

    def rooms(self, indoor, outdoor, humidity, flow):
        """Relative humidity; the dry air's mass follows the rooms' own state: by repetition."""
        we = ratio_of(humidity * over_water(outdoor), self.p)
        w = we
        for _ in range(100):
            w = we + self.production * volume_of(indoor, w, self.p) / flow
        return min(humidity_of(indoor, w, self.p), 1), we

    def exchange(self, indoor, phi, entering, we, use=1.0):
        w = ratio_of(phi * saturation(indoor), self.p)
        mass = self.flow / volume_of(indoor, w, self.p)
        heat = (CP + VAPOUR_CP * we) * use * self.eta * (indoor - entering)
        end, ws, ice = cooled(indoor, w, heat, self.p)
        water = mass * (w - ws) * 86400
        return end, water, water * ice

    def month(self, i):
        outdoor = self.mean[i]
        damp = 0.85 if outdoor < 10 else 0.75
        indoor = max(self.indoor, outdoor + self.indoor - self.base)
        opens = self.indoor
        if self.opens is not None:
            opens = max(self.opens, self.indoor) - (self.indoor - self.base)
            opens = min(max(opens, self.closes), self.indoor)
        bypass = opens < outdoor < self.indoor
        use = self.residual if bypass else 1.0
        phi, we = self.rooms(indoor, outdoor, damp, self.flow + self.leaks)
        entering = outdoor + self.frost(i)
        exhaust, water, _ = self.exchange(indoor, phi, entering, we, use)
        surface = outdoor + self.factor * (indoor - outdoor)
        return {"entering_c": entering, "indoor_c": indoor, "bypass": bypass,
                "supply_c": entering + use * self.eta * (indoor - entering),
                "exhaust_c": exhaust, "condensate_kg_per_day": water,
                "indoor_humidity_percent": 100 * phi,
                "least_humidity_percent": 100 * humidity_of(indoor, we, self.p),
                "surface_humidity_percent": 100 * phi * saturation(indoor) / saturation(surface),
                "safe_humidity_percent": 80 * saturation(surface) / saturation(indoor)}

    def condensate(self):
        rows = []
        for outdoor in (-15, -10, -5, 0, 5, 10):
            for damp in (0.7, 0.85, 1.0):
                phi, we = self.rooms(self.indoor, outdoor, damp, self.flow + self.leaks)
                entering = outdoor if self.preheat is None else max(outdoor, self.preheat)
                end, water, ice = self.exchange(self.indoor, phi, entering, we)
                rows.append({"indoor_humidity_percent": 100 * phi, "exhaust_c": end,
                             "condensate_kg_per_day": water, "frost_kg_per_day": ice})
        return rows

    def heat(self, loss):
        base = self.indoor - self.gains / loss
        return 24 * loss * sum(self.days_below(i, base) for i in range(12)) / 1000

    def boost(self):
        added = self.boosted - self.flow
        share = self.run * self.per_day / 1440
        eta = 1 / (1 + (1 - self.eta) / self.eta * self.boosted / self.flow)
        extra = self.c * 3600 * added * share
        rooms = []
        for name, flow, volume in self.wet:
            n = flow / volume
            row = {"name": name, "removed_percent": 100 * (1 - math.exp(-n * self.run * 60)),
                   "nine_tenths_min": math.log(10) / n / 60}
            if name == "bath":
                row.update(self.shower(flow, volume))
            rooms.append(row)
        return {"heat_kwh": self.heat(self.loss + extra * (1 - eta)) - self.heat(self.loss),
                "no_recovery_kwh": self.heat(self.bare + extra) - self.heat(self.bare),
                "rooms": rooms}

    def shower(self, flow, volume):
        """By small steps: 2500 g/h for ten minutes into air of 22 C."""
        gas = lambda t: saturation(t) / (461.5 * (t + 273.15))  # noqa: E731
        entering, most, steps = 0.5 * gas(self.indoor), gas(22.0), 400000
        vapour, settled, dt = entering, 0.0, 600 / 400000
        for _ in range(steps):
            vapour += dt * (2.5 / 3600 - flow * (vapour - entering)) / volume
            if vapour > most:
                settled += (vapour - most) * volume
                vapour = most
        return {"settled_g": {"about": settled * 1e3, "within": 0.01},
                "drying_min": {"about": settled / flow / (most - entering) / 60, "within": 0.01}}

    def hood(self, flow):
        """An hour a day; three quarters of 2 kg of cooking's vapour a day go with it."""
        coldest = min(range(12), key=lambda i: self.mean[i])
        outdoor, all_of_it = self.mean[coldest], self.production
        round_it, _ = self.rooms(self.indoor, outdoor, 0.85, self.flow + self.leaks)
        self.production = all_of_it - 1.5 / 86400
        out, _ = self.rooms(self.indoor, outdoor, 0.85, self.flow + self.leaks)
        self.production = all_of_it
        return {"heat_kwh": self.heat(self.loss + self.c * 3600 * flow / 24)
                - self.heat(self.loss), "recirculating_humidity_percent": 100 * round_it,
                "extracting_humidity_percent": 100 * out}

    def summer(self, bypass, flow, closed_w, open_w):
        """The house hour by hour, by steps of ten seconds: kelvin-hours, hours, heat carried off."""
        cool = self.c * 3600 * flow * (1 - self.residual * self.eta)
        kelvin = warm = off = highest = 0.0
        rooms, is_open = self.indoor, False
        for _, outdoor in self.hours:
            is_open = (bypass and rooms > self.opens - (1 if is_open else 0) and rooms > outdoor
                       and outdoor > self.closes)
            loss = self.still + cool if is_open else self.loss
            gains = self.summer_gains + 0.5 * (open_w if is_open else closed_w)
            total = 0.0
            for _ in range(360):
                before = rooms
                rooms += 10 * (gains + loss * (outdoor - rooms)) / self.capacity
                total += (before + rooms) / 2
            mean = max(total / 360, self.indoor)
            rooms = max(rooms, self.indoor)
            kelvin += max(mean - self.limit, 0)
            warm += mean > self.limit
            highest = max(highest, mean)
            off += cool * (mean - outdoor) / 1000 if is_open else 0
        near = lambda x, d: {"about": x, "within": d}  # noqa: E731
        return {"kelvin_hours": near(kelvin, 0.002 * kelvin), "hours": near(warm, 3),
                "highest_c": near(highest, 0.01), "removed_kwh": near(off, 0.002 * off)}

    def ratio(self, t):
        points = self.ratios
        if t <= points[0][0]:
            return points[0][1]
        for (t1, r1), (t2, r2) in zip(points, points[1:]):
            if t <= t2:
                return r1 + (r2 - r1) * (t - t1) / (t2 - t1)
        return points[-1][1]

    def fill(self, start, end, loss, draw):
        """Hours, kWh of electricity and of heat to fill the tank, by small steps."""
        t, dt, n = start, (end - start) / 200000, 200000
        seconds = heat = 0.0
        for _ in range(n):
            r = self.ratio(t + dt / 2)
            step = self.tank * TANK * dt / (self.compressor * r - loss
                                            - draw * TANK * (t + dt / 2 - 10))
            seconds += step
            heat += self.compressor * r * step
            t += dt
        return seconds / 3600, self.compressor * seconds / 3.6e6, heat / 3.6e6

    def hot_water(self, level_flow):
        hours, electricity, heat = self.fill(self.start, self.full, self.tank_loss,
                                             self.draw / 86400)
        middle = (self.start + self.full) / 2
        sink = self.tank_loss * 0.024 + self.draw * TANK * (middle - 10) / 3.6e6
        ratio, warmest = heat / electricity, max(range(12), key=lambda i: self.mean[i])
        damp = 0.85 if self.mean[warmest] < 10 else 0.75
        w = ratio_of(damp * over_water(self.mean[warmest]), self.p)
        mass, coils = level_flow / volume_of(self.limit, w, self.p), []
        for t in (self.start, self.full):
            cooling = self.compressor * (self.ratio(t) - 1)
            end, left, _ = cooled(self.limit, w, cooling / mass, self.p)
            coils.append({"cooling_w": cooling, "outlet_c": end,
                          "condensate_kg_per_h": mass * (w - left) * 3600})
        weekly = self.tank * TANK * (self.weekly - self.start) / 3.6e6
        lift = self.fill(self.start, min(self.weekly, self.full), 0, 0)[1]
        rest = self.tank * TANK * max(self.weekly - self.full, 0) / 3.6e6
        months, r = [], self.ratio(middle)
        for i, days in enumerate(DAYS):
            rooms = 24 * self.loss * self.days_below(i, self.base) / 1000
            most = self.compressor * r * 24 * days / 1000
            asked = rooms + sink * days
            given = min(asked, most)
            months.append({"rooms_kwh": rooms, "water_kwh": sink * days, "pump_kwh": given,
                           "pump_electricity_kwh": given / r,
                           "heater_kwh": min(asked - given, self.heater * 24 * days / 1000)})
        asked = sum(m["rooms_kwh"] + m["water_kwh"] for m in months)
        back_up = sum(m["heater_kwh"] for m in months)
        near = lambda x: {"about": x, "within": 1e-5 * x}  # noqa: E731
        return {"full_h": near(hours), "full_electricity_kwh": near(electricity),
                "mean_ratio": near(ratio), "cooling_once_kwh": near(heat - electricity),
                "cooling_day_kwh": near(sink * (1 - 1 / ratio)), "coil": coils,
                "weekly_kwh": weekly, "weekly_year_kwh": 52 * weekly,
                "weekly_electricity_kwh": near(52 * (lift + rest)), "months": months,
                "asked_kwh": asked, "heater_kwh": back_up, "heater_share": back_up / asked}


# ---- The two houses of tests/houses/ ----


def seattle():
    rows = []
    with open(os.path.join(ROOT, "tables/climates/seattle-hours.csv"), encoding="utf-8") as file:
        for line in file:
            if line[0].isdigit():
                rows.append((int(line[:2]) - 1, float(line.split(",")[1])))
    last = rows[-1][1]  # the year's first hour is missing: between its neighbours
    return [(0, (last + rows[0][1]) / 2)] + rows


def water():
    given = dict(
        altitude=0, indoor=21, n50=1.3, shielding=0.04, volume=243, fabric=87, gains=290,
        flow=118 / 3600, eta=0.86, preheat=-4, opens=None, closes=0, residual=1, factor=0.68,
        vapour=13.5, run=25, per_day=5, boosted=118 * 85 / 63 / 3600,
        wet=[("kitchen", 85 / 3600, 35), ("bath", 55 * 85 / 63 / 3600, 16)])
    with open(os.path.join(ROOT, "tables/climates/nottingham.yaml"), encoding="utf-8") as file:
        means = file.read().partition("mean_temperature:")[2]
    months = [float(t) for t in re.findall(r"([-0-9.]+) C", means)]
    work = Work("water-under-the-unit", months, None, given)
    rows = [work.month(i) for i in range(12)]
    wet = work.condensate()
    year = sum(m["condensate_kg_per_day"] * d for m, d in zip(rows, DAYS))
    return work, {"months": rows, "boost": work.boost(), "hood": work.hood(0.061),
                  "moisture": {"condensate": wet, "condensate_kg": year}}


def summer(fans):
    hours = seattle()
    months = [sum(t for m, t in hours if m == i) / sum(m == i for m, _ in hours)
              for i in range(12)]
    given = dict(
        altitude=130, indoor=20, n50=1.1, shielding=0.07, volume=251, fabric=103, gains=470,
        flow=151 / 3600, eta=0.84, preheat=None, opens=22.5, closes=11.5, residual=0.12,
        factor=0.72, vapour=7.5, run=20, per_day=4, boosted=202 / 3600, limit=25,
        summer_gains=1130, capacity=7.2 * 3.6e6, wet=[("bath", 202 / 3600, 6.1 * 2.4)],
        compressor=560, ratios=[(40, 3.3), (52, 2.9), (65, 2.1)], tank=0.185, start=44, full=63,
        tank_loss=55, draw=0.130, weekly=66, heater=1500)
    work = Work("summer-evening", months, hours, given)
    cooling = 1.9 * work.flow
    runs = [work.summer(False, work.flow, fans, fans), work.summer(True, work.flow, fans, fans),
            work.summer(True, cooling, fans, fans * 1.9 ** 3)]
    night = work.c * 3600 * cooling * 6 * 8 / 1000
    return work, {"months": [work.month(i) for i in range(12)], "boost": work.boost(),
                  "summer": {"runs": runs, "night_kwh": night,
                             "normal_w": work.c * 3600 * work.flow * 4},
                  "hot_water": work.hot_water(cooling)}


# ---- Comparison ----


def differences(want, got, path):
    if isinstance(want, dict) and "about" in want:
        bad = abs(got - want["about"]) > want["within"]
        yield (path, want["about"], got) if bad else None
    elif isinstance(want, dict):
        for key, inner in want.items():
            yield from differences(inner, got.get(key), f"{path}.{key}")
    elif isinstance(want, list):
        for i, inner in enumerate(want):
            yield from differences(inner, got[i], f"{path}[{i}]")
    elif isinstance(want, (str, bool)):
        yield (path, want, got) if want != got else None
    else:
        bad = got is None or abs(got - want) > 1e-6 * abs(want) + 1e-6
        yield (path, want, got) if bad else None


def rounded(tree):
    """Twelve figures are enough."""
    if isinstance(tree, dict):
        return {key: rounded(inner) for key, inner in tree.items()}
    if isinstance(tree, list):
        return [rounded(inner) for inner in tree]
    return float("%.12g" % tree) if isinstance(tree, float) else tree


def ask(program, name):
    path = os.path.join(ROOT, f"tests/houses/{name}.yaml")
    answer = subprocess.run([program, "energy", "--detail", "--json", path], check=True,
                            capture_output=True, text=True)
    return json.loads(answer.stdout)


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    program, write, bad, count = sys.argv[1], "--write" in sys.argv, 0, 0
    fans = ask(program, "summer-evening")
    fan_w = (fans["fan_kwh"] + fans["standby_kwh"]) / 8.76
    for work, figures in (water(), summer(fan_w)):
        if write:
            with open(os.path.join(ROOT, f"tests/houses/{work.name}.energy-detail.json"), "w",
                      encoding="utf-8") as file:
                json.dump({"detail": rounded(figures)}, file, indent=1)
                file.write("\n")
        got = ask(program, work.name)["detail"]
        found = list(differences(figures, got, work.name))
        count += len(found)
        for row in filter(None, found):
            bad += 1
            print("not ok - %s: here %r, there %r" % row)
    print(f"{count - bad} passed, {bad} failed")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
