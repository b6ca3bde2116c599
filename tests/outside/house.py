#!/usr/bin/python3
"""Recomputes whole houses independently (Debian: python3, python3-yaml, python3-fluids).

Usage: house.py EVENBREATH   (the built program; tables are taken from this source tree)

Reads the house and table files with a small reader of its own, runs the program with --json and
compares: the flows the rules ask for, then from the delivered flows friction, fittings, tees,
valves, mass and pressure balance and fans, and the energy of the year. Sources stand beside the
formulas. One line for each comparison, then "N passed, N failed"; exit status 1 on any failure
or where a package is missing.
"""

import json
import math
import os
import subprocess
import sys

HERE = sys.path.pop(0)  # this file's own folder, where fluids.py would hide the library
try:
    import fluids  # found here, and house_laws then takes the same
    import yaml
except ImportError as missing:
    print(f"not ok - {missing.name} is not installed\n0 passed, 1 failed")
    sys.exit(1)
sys.path.append(HERE)
sys.dont_write_bytecode = True  # the source tree stays as it is
from house_laws import (DAYS, ROOT, House, Year, curve, end_loss, fan_at, fitting_loss, fittings_of,
                        friction_gradient, friction_of, power_law, restrictor_loss, slack, steffen,
                        value)

ALDER, TWO = "examples/alder-row.yaml", "tests/houses/two-rooms.yaml"
VARIANTS = [
    ("alder-row", ALDER, []),
    ("alder-row at 1500 m", ALDER, ["site.altitude=1500 m", "duct_leakage.class=A"]),
    ("alder-row in winter", ALDER, ["site.outdoor=-3 C", "site.indoor=22.5 C"]),
    ("alder-row, ducts in a cold loft", ALDER, [
        "site.outdoor=-6 C", "ducts.supply.s-bed-1.space={temperature: -2 C}",
        "ducts.supply.s-bed-2.space={temperature: -2 C}",
        "ducts.supply.s-bed-2.insulation={thickness: 25 mm, conductivity: 0.04 W/(m.K)}",
        "ducts.extract.e-bath.space={temperature: -2 C}",
        "ducts.outdoor.intake.insulation={thickness: 40 mm, conductivity: 0.037 W/(m.K)}"]),
    ("alder-row, other levels", ALDER, [
        "levels.cooling=172 %", "levels.boost.at_least=127 %",
        "levels.night={share: 46 %, hours: 7.5 h/day}"]),
    ("alder-row, other numbers of tubes", ALDER, [
        "ducts.supply.s-bed-2.parallel=3", "ducts.supply.s-bed-1.parallel=1",
        "ducts.extract.e-bath.parallel=2", "junctions.e-tee-top={kind: box}"]),
    ("alder-row, other ducts", ALDER, [
        "ducts.extract.e-riser.duct=steel-160", "ducts.supply.s-main.duct=steel-125",
        "ducts.extract.e-wc.duct=flat-110x54", "ducts.extract.e-bath.duct=steel-80",
        "ducts.outdoor.intake.duct=steel-200", "junctions.e-tee-mid.angle=45"]),
    ("alder-row, unit b, Seattle at 900 m", ALDER, [
        "unit=generic-unit-b", "site.altitude=900 m", "site.climate=seattle"]),
    ("alder-row, larger and leaky", ALDER, [
        "bedrooms=6", "floor_area=151 m2", "levels.cooling=125 %", "envelope.leakage=4.2 ach",
        "envelope.shielding=none", "ducts.supply.s-living.duct=semirigid-90"]),
    ("alder-row, parts of other kinds", ALDER, [
        "ducts.supply.s-bed-2.duct=flexible-100", "ducts.supply.s-bed-2.stretched=93 %",
        "ducts.supply.s-bed-3.crushed={height: 52 %, length: 1.7 m}",
        "ducts.supply.s-living.duct=flat-204x60", "ducts.supply.s-living.parallel=1",
        "ducts.supply.s-living.fittings=[2 x bend-90-flatwise, bend-45-edgewise, "
        "{fitting: reducer, to: 125 mm, count: 2}]",
        "ducts.supply.s-bed-1.duct={bore: 81 mm, roughness: 1.1 mm, flexible: yes}",
        "ducts.extract.e-main.fittings=[{fitting: bend-mitre, angle: 67}, {fitting: bend-smooth, "
        "radius: 1.3, angle: 52}, {fitting: expander, to: 160 mm, angle: 47}, silencer-125-600]",
        "ducts.extract.e-kitchen.duct=metal-hose-100", "ducts.extract.e-low.duct=steel-80",
        "ducts.outdoor.intake.fittings=[entry-protruding, {fitting: damper-butterfly, angle: 17}]",
        "ducts.exhaust.outlet.fittings=[{fitting: reducer, to: 100 mm, angle: 77}, roof-cowl-160]"]),
    ("alder-row, a bull-head", ALDER, [
        "junctions.e-tee-mid={kind: tee, straight: none}", "ducts.extract.e-low.duct=steel-100"]),
    ("two-rooms", TWO, []),
    ("two-rooms by the sea", TWO, [
        "site.altitude=0 m", "site.outdoor=9 C", "levels.low.share=31 %",
        "rooms.bath.extract.boost=17.1 l/s"]),
    ("two-rooms, other ducts", TWO, [
        "ducts.supply.b.parallel=2", "ducts.supply.a.length=21 m",
        "ducts.supply.main.duct=steel-100", "ducts.extract.c.duct=flat-204x60"]),
    ("two-rooms, less boost, poorer exchanger", TWO, [
        "rooms.bath.extract.boost=18.4 l/s", "unit.exchanger.temperature_ratio=71 %",
        "baseline.leakage=11 ach", "envelope.gains=90 W"]),
]

passed = failed = 0


def compare(what, rows, relative=1e-8, absolute=0.0):
    """Rows (name, wanted, found); wanted may be a list, then found must lie within its range."""
    global passed, failed
    worst, bad = 0.0, [] if rows else ["nothing to compare"]
    for name, want, got in rows:
        low, high = (min(want), max(want)) if isinstance(want, list) else (want, want)
        off = max(low - got, got - high, 0.0) if isinstance(got, float) else math.inf
        limit = relative * max(abs(low), abs(high)) + absolute
        worst = max(worst, off / limit if limit else off)
        if not off <= limit:
            bad.append(f"{name}: {got}, wanted {want}")
    passed, failed = passed + (not bad), failed + bool(bad)
    print(f"{'not ok' if bad else 'ok'} - {what}: {len(rows)} compared, worst {worst:.1g} of the "
          f"limit ({relative:g} relative + {absolute:g})" + "".join(f"\n  # {b}" for b in bad))


def ask(command, path, changes):
    sets = [word for change in changes for word in ("--set", change)]
    program = [os.path.abspath(sys.argv[1]), command, "--json"] + sets
    env = {**os.environ, "EVENBREATH_TABLES": os.environ.get("EVENBREATH_TABLES")
           or os.path.join(ROOT, "tables")}
    done = subprocess.run(program + [path], cwd=ROOT, env=env, text=True, check=False,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    if done.returncode == 0:
        return json.loads(done.stdout)
    print(f"  # {' '.join(program)} {path}: exit status {done.returncode}")
    print(done.stdout, done.stderr)
    return None


# ---- Rates ----

# Approved Document F volume 1 (England, 2021): Table 1.2, high rates; Table 1.3.
HIGH = {"kitchen": 13.0, "utility": 8.0, "bathroom": 8.0, "wc": 6.0}
BY_BEDROOMS = {1: 19.0, 2: 25.0, 3: 31.0, 4: 37.0, 5: 43.0}


def england(house):
    """Normal flows by side and room, factor of boost, whole dwelling (normal, boost) in l/s."""
    bedrooms = int(house.tree["bedrooms"])
    total = max(0.3 * value(house.tree["floor_area"]),  # 1.24
                BY_BEDROOMS[min(bedrooms, 5)] + 6.0 * max(0, bedrooms - 5))
    volume = {n: value(r["area"]) * value(r["height"]) for n, r in house.rooms.items()
              if r["use"] in ("living", "bedroom")}
    high = {n: HIGH[r["use"]] for n, r in house.rooms.items() if r["use"] in HIGH}
    supply = {n: total * v / sum(volume.values()) for n, v in volume.items()}  # 1.67
    extract = {n: total * h / sum(high.values()) for n, h in high.items()}  # own choice
    whole = total, max(total, sum(max(h, extract[n]) for n, h in high.items()))
    return {"supply": supply, "extract": extract}, max(h / extract[n] for n, h in high.items()), \
        whole, high


def own_flows(house):
    normal, factor = {"supply": {}, "extract": {}}, 1.0
    for name, room in house.rooms.items():
        for side, flows in normal.items():
            spec = room.get(side)
            if spec is None:
                continue
            flows[name] = 1e3 * value(spec if isinstance(spec, str) else spec["normal"])
            if isinstance(spec, dict):
                factor = max(factor, 1e3 * value(spec["boost"]) / flows[name])
    return normal, factor, (0.0, 0.0), {}


def rates(house, ours, what):
    """Compares the rates and returns design flows {level: {side: {room: l/s}}} and high rates."""
    normal, need, whole, high = (own_flows if house.tree["rules"] == "none" else england)(house)
    factors = {"normal": 1.0, "boost": max(1.0, need)}
    for name, spec in house.levels.items():
        spec = {"share": spec} if isinstance(spec, str) else spec
        if name == "boost":
            factors[name] = max(factors[name], value(spec.get("at_least", "1")))
        else:
            factors[name] = value(spec["share"])
    design = {level: {side: {room: q * f for room, q in flows.items()}
                      for side, flows in normal.items()} for level, f in factors.items()}
    found = {room["name"]: room for room in ours["rooms"]}
    compare(f"{what}: design flow of each room, side and level", [
        (f"{room} {side} {level}", q, found[room][side][level]["design_l_s"])
        for level, sides in design.items() for side, flows in sides.items()
        for room, q in flows.items()])
    dwelling = ours["whole_dwelling"]
    compare(f"{what}: whole dwelling and high rates", [
        ("normal", whole[0], dwelling["required_l_s"]),
        ("boost", whole[1], dwelling["boost_required_l_s"])] + [
            (room, q, found[room]["extract"]["boost"]["required_l_s"])
            for room, q in high.items()], absolute=1e-12)
    # An open way, such as stairs, has no width.
    doors = {room: value(d["width"]) for d in house.tree.get("doors", []) if "width" in d
             for room in d["between"]}
    rows = []
    for t in ours["transfers"]:
        flow = sum(design["boost"][side].get(t["room"], 0.0) * sign
                   for side, sign in (("supply", 1), ("extract", -1)))
        rows.append((t["room"], flow, t["flow_l_s"]))
        if t["room"] in doors:  # 1.25: 10 mm under a door of 760 mm; sharp gap, 0.6, at 1 Pa
            width = doors[t["room"]]
            gap = abs(flow) / 1e3 / (0.6 * math.sqrt(2 / 1.2)) / width
            rows.append((t["room"] + " rule", 7600 / width / 1e3, t["rule_undercut_mm"]))
            rows.append((t["room"] + " 1 Pa", 1e3 * gap, t["undercut_for_1_pa_mm"]))
    compare(f"{what}: air through doors", rows)
    return design, high


# ---- Ducts ----


def path_of(house, run):
    """Runs from the room's end of `run` to the unit."""
    near = run["from"] if run["air"] == "supply" else run["to"]
    if near == "unit":
        return [run]
    onward = "to" if run["air"] == "supply" else "from"
    return [run] + path_of(house, next(r for r in house.at(near) if r[onward] == near))


def room_pa(rooms, run):
    """What the pressure of a run's room takes from its path, or helps it."""
    helps = -1 if run["air"] == "supply" else 1
    return helps * (rooms[run["to"] if run["air"] == "supply" else run["from"]]["pressure_pa"] or 0)


def runs(house, level, state, openings, what):
    """Friction, fittings, valves, mass and pressures at one level."""
    found = {r["name"]: r for r in state["runs"]}
    rooms = {r["name"]: r for r in state["rooms"]}
    flows = {name: r["flow_l_s"] / 1e3 for name, r in found.items()}
    refs = {name: r["flow_ref_l_s"] / 1e3 for name, r in found.items()}
    house.warm(refs)
    leaky = any(r["leakage_l_s"] for r in found.values())
    if leaky:
        house.warm(refs, [state[side]["flow_ref_l_s"] / 1e3 + sum(
            abs(r["leakage_l_s"]) / 1e3 * house.runs[n]["rho"] / 1.2 for n, r in found.items()
            if house.runs[n]["air"] == side) for side in ("supply", "extract")])
    friction, fittings, valves, speeds = [], [], [], []
    for name, run in house.runs.items():
        rho, flow, got = run["rho"], flows[name], found[name]
        at_end = flow * rho / run["end rho"]  # at the valve, where the room has no other run
        room = rooms.get(run["to"] if run["air"] == "supply" else run["from"], {})
        if run["air"] in room:
            delivered_ref = room[run["air"]]["delivered_l_s"] / 1e3 * house.rho["extract"]
            at_end = delivered_ref / run["end rho"]
        speed = flow / run["parallel"] / run["area"]
        speeds += [(name + " velocity", speed, got["velocity_m_s"]),
                   (name + " at 1.2", flow * rho / 1.2 * 1e3, got["flow_ref_l_s"]),
                   (name + " Re", speed * run["hydraulic"] * rho / run["mu"],
                    got["reynolds"])]
        length = value(run["length"]) - sum(n * value(f.get("length", "0 m"))
                                            for n, f in fittings_of(run))
        gradient = friction_gradient(run, flow)
        friction += [(name, friction_of(run, flow, length), got["friction_pa"]),
                     (name + " per m", [g * slack(run) for g in gradient],
                      got["friction_pa_per_m"])]
        other = fitting_loss(run, flow) + restrictor_loss(run, at_end)
        fittings.append((name, [other + a + b for a in end_loss(house, run, run["from"], flows)
                                for b in end_loss(house, run, run["to"], flows)],
                         got["fittings_pa"]))
        k_curve = house.valve(run)
        if k_curve is not None:
            spec = run["valve"]
            opening = openings[name]
            if isinstance(spec, dict) and spec["type"] == "two-position":
                opening = 1e3 * value(spec["boost" if level == "boost" else "normal"])
            k = steffen(k_curve, opening / 1e3)
            valves.append((name, (at_end / k) ** 2 * run["end rho"] / 1.2, got["valve_pa"]))
    compare(f"{what}: velocity, Re and flow at 1.2 kg/m3", speeds)
    compare(f"{what}: friction (Colebrook by fluids; bounds for 2000 < Re < 4000)", friction)
    # Where ducts leak, flows at the ends of a run differ a little from that in its middle.
    compare(f"{what}: fittings, ends, boxes and tees", fittings, absolute=0.1 if leaky else 1e-5,
            relative=3e-2 if leaky else 1e-8)
    compare(f"{what}: valves by opening and curve", valves)
    compare(f"{what}: total of each run", [
        (name, r["friction_pa"] + r["fittings_pa"] + r["valve_pa"], r["total_pa"])
        for name, r in found.items()])
    places = {p for r in house.runs.values() for p in (r["from"], r["to"])}
    meetings = sorted(places - {"unit", "outdoors"} - set(house.rooms))
    net = {p: sum(found[r["run"]]["flow_ref_l_s"] * (1 if r["to"] == p else -1)
                  for r in house.at(p)) for p in meetings}
    # Flows are those in the middle of a run: part of its leak lies before, part behind.
    leak = {n: abs(r["leakage_l_s"]) * house.runs[n]["rho"] / 1.2 for n, r in found.items()}
    around = {p: sum(leak[r["run"]] for r in house.at(p)) for p in meetings + ["unit"]}

    def within(q, slack):
        return [q - slack, q + slack] if slack else q
    fan_ref = {side: state[side]["fan_flow_l_s"] * house.rho[air] / 1.2
               for side, air in (("supply", "supply"), ("extract", "exhaust"))}
    ends = [("unit " + side, within(fan_ref[side], around["unit"]),
             sum(r["flow_ref_l_s"] for n, r in found.items()
                 if house.runs[n]["air"] == air and "unit" in (house.runs[n]["from"],
                                                               house.runs[n]["to"])))
            for side in ("supply", "extract") for air in
            (("supply", "outdoor") if side == "supply" else ("extract", "exhaust"))]
    compare(f"{what}: mass at every junction and at the unit [l/s]",
            [(p, within(0.0, around[p]), q) for p, q in net.items()] + ends, relative=0.0,
            absolute=1e-9)
    compare(f"{what}: what the fans move against terminals and leaks [l/s]", [
        (side, state[side]["flow_ref_l_s"] + sum(q for n, q in leak.items()
                                                 if house.runs[n]["air"] == side), fan_ref[side])
        for side in fan_ref], relative=1e-9)
    open_air = {"supply": "outdoor", "extract": "exhaust"}
    compare(f"{what}: drops along every path against the fan's pressure", [
        (name, state[run["air"]]["pressure_pa"] + room_pa(rooms, run),
         sum(found[r["run"]]["total_pa"] for r in path_of(house, run)
             + [r for r in house.runs.values() if r["air"] == open_air[run["air"]]]))
        for name, run in house.runs.items()
        if (run["to"] if run["air"] == "supply" else run["from"]) in house.rooms], absolute=1e-6)


def air_of_rooms(house, state, what):
    """Mass in every room that a door shuts off, and in the whole house: gaps of 0.6, envelope by
    the power 0.65 shared out by volume (the halls and what no room holds are one space)."""
    rooms, rho, out = {r["name"]: r for r in state["rooms"]}, house.rho["extract"], {}
    outdoor, m = house.rho["outdoor"], 1 / 0.65
    volume = value(house.tree["volume"])
    at_50 = value(house.tree["envelope"]["leakage"]) * volume / 3.6  # l/s
    shared = {name: value(r["area"]) * value(r["height"]) / volume
              for name, r in house.rooms.items()}
    doors = [d for d in house.tree.get("doors", []) if "width" in d]
    shut = {r for d in doors for r in d["between"] if house.rooms[r]["use"] not in
            ("hall", "landing")}

    def leak(pressure, share):  # l/s at 1.2, outward
        part = share * at_50 * (abs(pressure) / 50 / (outdoor / 1.2) ** (m - 1)) ** 0.65
        return math.copysign(part * outdoor / 1.2, pressure)
    for name, room in rooms.items():
        net = sum(sign * room[side]["delivered_l_s"] * rho / 1.2 for side, sign in
                  (("supply", 1), ("extract", -1)) if side in room)
        out[name] = net - leak(room["pressure_pa"], shared[name])
    house_net = sum(out.values()) - leak(state["house_pressure_pa"], 1 - sum(shared.values()))
    house_net += sum(r["leakage_l_s"] * house.runs[r["name"]]["rho"] / 1.2 for r in state["runs"]
                     if "space" not in house.runs[r["name"]])
    for d in doors:
        (a, b), area = d["between"], value(d["width"]) * value(d["undercut"])
        drop = rooms[a]["pressure_pa"] - rooms[b]["pressure_pa"]
        flow = math.copysign(600 * area * math.sqrt(2 * abs(drop) / rho) * rho / 1.2, drop)
        out[a], out[b] = out[a] - flow, out[b] + flow
    compare(f"{what}: air of rooms with doors and of the house [l/s]",
            [(name, 0.0, out[name]) for name in shut] + [("house", 0.0, house_net)],
            relative=0.0, absolute=1e-6)


def fans(house, state, what):
    """Rise, power and signal of both fans at the reported speed and flow; specific fan power."""
    rise, made, power, signals, total = [], [], [], [], value(house.unit.get("standby", "0 W"))
    room = house.rho["extract"]
    for side, air, dirty in (("supply", "supply", "outdoor"), ("extract", "exhaust", "extract")):
        got, f = state[side], house.unit["filters"][dirty]
        flow, speed = got["fan_flow_l_s"] / 1e3, got["speed_percent"] / 100
        drop = 0.0 if f["in_curve"] == "yes" else power_law(
            house.rho[air], value(f["clean"]), value(f["at"]), float(f.get("exponent", 1)), flow)
        rise.append((side, fan_at(house, side, flow, speed, 1), got["pressure_pa"] + drop))
        if house.tree["unit"] == "generic-unit-a":  # what its points were made from, q in l/s
            q, dense = 1e3 * flow, house.rho[air] / 1.2
            made.append((side, dense * (400 * speed**2 - q * speed - 0.05 * q * q),
                         got["pressure_pa"]))
        power.append((side, fan_at(house, side, flow, speed, 2), got["fan_power_w"]))
        (s0, v0), (s1, v1) = curve({"columns": [house.unit["signal"]["unit"], "%"],
                                    "points": house.unit["signal"]["map"]})
        signals.append((side, v0 + (got["signal_percent"] / 100 - s0) * (v1 - v0) / (s1 - s0),
                        speed))
        signals.append((side + " flow", got["flow_ref_l_s"] * 1.2 / room, got["flow_l_s"]))
        total += power[-1][1]
    most = max(state[side]["flow_ref_l_s"] for side in ("supply", "extract"))
    power.append(("specific fan power", total / most, state["specific_fan_power_w_per_l_s"]))
    compare(f"{what}: rise of the fans at speed, flow and density", rise, absolute=1e-6)
    if made:  # a cubic through five points is within 2 % of it
        compare(f"{what}: rise by the formula behind the curves", made, relative=0.02)
    compare(f"{what}: power of the fans and specific fan power", power)
    compare(f"{what}: signal by its map; flow at the room's density", signals)


def delivered(design, high, level, state, what):
    """Rooms: as planned where the valves were set; elsewhere nobody short, nobody far off."""
    rows, total, plan, served = [], {}, sum(design[level]["supply"].values()), []
    for room in state["rooms"]:
        for side in {"supply", "extract"} & set(room):
            got, want = room[side]["delivered_l_s"], design[level][side][room["name"]]
            total[side] = total.get(side, 0.0) + got
            rows.append((f"{room['name']} {side}", want if level == "normal" else
                         [0.93 * want, 1.07 * want], got))
            if level == "boost" and side == "extract" and high:
                served.append(got / high[room["name"]])
    rows += [(f"sum of {side}", q, state[side]["flow_l_s"]) for side, q in total.items()]
    rows.append(("supply against extract", total["supply"], total["extract"]))
    raised = total["supply"] > plan * (1 + 1e-6)
    if raised or served:
        rows.append(("flow of the least served room over its high rate",
                     1.0 if raised else [1.0, 10.0], min(served, default=math.nan)))
    rows.append(("total against the plan's", [plan, 1.03 * plan], total["supply"]))
    compare(f"{what}: delivered flows, totals and balance", rows, relative=1e-6)


def ducts(house, ours, design, high, what):
    terminals = {t["run"]: t for t in ours["terminals"]}
    openings = {run: t["opening"] for run, t in terminals.items()}
    for level, state in ours["levels"].items():
        runs(house, level, state, openings, f"{what}, {level}")
        air_of_rooms(house, state, f"{what}, {level}")
        fans(house, state, f"{what}, {level}")
        delivered(design, high, level, state, f"{what}, {level}")
    rows = []
    for run, t in terminals.items():
        first, last = (1e3 * house.valve(house.runs[run])[end][0] for end in (0, -1))
        fixed = "normal" in house.runs[run]["valve"]
        rows.append((run, last if t["index"] and not fixed else [first, last], t["opening"]))
    compare(f"{what}: openings within their curves, the index valve fully open", rows)


# ---- Energy ----


def energy(house, ours, levels, what):
    year = Year(house, levels)
    figures, costs = year.figures, house.tree.get("costs")
    if costs:
        heat, power = costs["heating"], costs["electricity"]
        for name, key in (("saving.money", "price"), ("saving.carbon_kg", "carbon")):
            figures[name] = (year.saved / value(heat["efficiency"]) * value(heat[key])
                             + year.electricity * value(power[key]))
    rows = []
    for name, want in figures.items():
        got = ours
        for key in name.split("."):
            got = got[key]
        rows.append((name, want, got))
    compare(f"{what}: figures of the year", rows, relative=1e-6)
    compare(f"{what}: months", [
        (f"{key} {i + 1}", want, month[key]) for i, month in enumerate(ours["months"])
        for key, want in (("heating_degree_days", year.days[i]), ("net_heat_kwh", year.net[i]),
                          ("recovered_heat_kwh", year.bare[i] - year.net[i]),
                          ("gross_recovered_kwh", year.gross[i]),
                          ("recovered_in_heating_kwh", year.heating[i]),
                          ("frost_kwh", year.preheat[i]),
                          ("baseline_heat_kwh", year.old[i]), ("fan_kwh", year.fans * DAYS[i]))],
            relative=1e-6)


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    for what, path, changes in VARIANTS:
        house = House(path, changes)
        answers = [ask(command, path, changes) for command in ("rates", "ducts", "energy")]
        if None in answers:
            compare(f"{what}: the program answers", [])
            continue
        design, high = rates(house, answers[0], f"{what}: rates")
        ducts(house, answers[1], design, high, f"{what}: ducts")
        energy(house, answers[2], answers[1]["levels"], f"{what}: energy")
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
