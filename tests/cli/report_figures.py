"""report_figures.py REPORT.txt RATES.json DUCTS.json ENERGY.json PARTS.json

Every figure of the JSON must stand in the report (pdftotext -layout): under the heading and in the
row where it belongs, rounded as there; or be listed below as left out, with the reason.
"""
import json
import math
import re
import sys

NAMES = ("name", "run", "room", "item", "input")


def two(value):
    """Two significant figures, as cli/figures.c."""
    if value == 0:
        return "0"
    unit = 10 ** (math.floor(math.log10(abs(value))) - 1)
    rounded = math.floor(abs(value) / unit + 0.5) * unit * (1 if value > 0 else -1)
    size = math.floor(math.log10(abs(rounded)) + 1e-9)
    return "%.*f" % (max(1 - size, 0), rounded)


def fixed(decimals, scale=1, empty=False):
    """With so many decimals; `empty`: nought is shown as a dash."""
    def one(value):
        shown = "%.*f" % (decimals, value)
        return shown[1:] if re.fullmatch(r"-0\.?0*", shown) else shown

    def text(value):
        if empty and not value > 0:
            return "-"
        # The JSON has 12 figures: what lies between two roundings may be either.
        return "|".join({one(value * scale * (1 + shift)) for shift in (-1e-11, 1e-11)})
    return text


def general(digits, scale=1):
    return lambda value: "%.*g" % (digits, value * scale)


ANY = ""  # a row without a name, or a sentence
LEVEL = r"(normal|boost|cooling|low)"

# Path of the figure, heading that it stands under, how it is written. {1} is a part of the path.
SHOWN = [(re.compile(path), heading, write) for path, heading, write in (
    (r"rates\.floor_area_m2", "Ventilation design: summary", fixed(1)),
    (r"rates\.people", "Ventilation design: summary", general(6)),
    (r"rates\.whole_dwelling\.(boost_)?required_l_s",
     "Air of the whole dwelling, asked by the rules and designed; fans", fixed(1)),
    (r"rates\.totals\.\w+\.(supply|extract)_l_s",
     "Air of the whole dwelling, asked by the rules and designed; fans", fixed(1)),
    (r"rates\.rooms\[.*\]\.(area|volume)_m[23]", "Rooms", fixed(1)),
    (r"rates\.rooms\[.*\]\.storey", "Rooms", general(6)),
    (r"rates\.rooms\[.*\]\.supply\..*\.design_l_s", "Supply by room and level", fixed(1)),
    (r"rates\.rooms\[.*\]\.extract\..*\.(design|required)_l_s", "Extract by room and level",
     fixed(1, empty=True)),
    (r"rates\.rooms\[.*\]\.purge_area_m2",
     "Windows; fans and ventilators that the rules ask without this system", fixed(2, empty=True)),
    (r"rates\.rooms\[.*\]\.(purge_fan|intermittent)_l_s",
     "Windows; fans and ventilators that the rules ask without this system", fixed(1, empty=True)),
    (r"rates\.(rooms\[.*\]\.)?(background|extract_only)\.area_mm2",
     "Windows; fans and ventilators that the rules ask without this system", fixed(0)),
    (r"rates\.(rooms\[.*\]\.)?(background|extract_only)\.number",
     "Windows; fans and ventilators that the rules ask without this system",
     lambda value: "(%g)" % value),
    (r"rates\.(rooms\[.*\]\.co2_ppm|co2_mean_ppm)\.\w+", "Carbon dioxide indoors",
     lambda value: "%.0f" % (math.floor(value / 10 + 0.5) * 10)),
    (r"rates\.transfers\[.*\]\.flow_l_s",
     "Air through the doors of rooms at boost, and the undercuts it needs", fixed(1)),
    (r"rates\.transfers\[.*\]\.\w+_mm2?",
     "Air through the doors of rooms at boost, and the undercuts it needs", fixed(0)),
    (r"rates\.doors\[.*\]\.flow_l_s", "The way of the air at boost", fixed(1)),
    (r"rates\.doors\[.*\]\.\w+_mm", "The way of the air at boost", fixed(0, empty=True)),

    (r"ducts\.levels\.\w+\.(supply|extract)\.(flow|most_flow|fan_flow)_l_s",
     "Settings of the fans, clean filters", fixed(1)),
    (r"ducts\.levels\.\w+\.(supply|extract)\.leakage_l_s", "Settings of the fans, clean filters",
     fixed(3)),
    (r"ducts\.levels\.\w+\.(supply|extract)\.(pressure_pa|spare_pa|fan_power_w)",
     "Settings of the fans, clean filters", fixed(1)),
    (r"ducts\.levels\.\w+\.(supply|extract)\.(signal|speed)_percent",
     "Settings of the fans, clean filters", fixed(0)),
    (r"ducts\.levels\.\w+\.(power_w|house_pressure_pa)", "Power, both fans and controls", fixed(1)),
    (r"ducts\.levels\.\w+\.specific_fan_power_w_per_l_s", "Power, both fans and controls",
     fixed(2)),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.supply\.delivered_l_s", "Supply that reaches the rooms",
     fixed(1)),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.extract\.delivered_l_s", "Extract that leaves the rooms",
     fixed(1)),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.pressure_pa", "Rooms against outdoors, filters clean",
     fixed(1)),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.supply_c", "Air that comes into the rooms", fixed(1)),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.sound_db", "What is heard in the rooms", fixed(0)),
    (r"ducts\.levels\.SET\.rooms\[.*\]\.sound\.bands_db.*", "By octaves, not weighted", fixed(0)),
    (r"ducts\.levels\.SET\.rooms\[.*\]\.sound\.\w+_db",
     "Where it comes from at SET, dB(A)", fixed(0)),
    (r"ducts\.levels\.\w+\.states\[.*\]\.(supply|extract|appliances)_l_s",
     "The house in other states: loaded filters, appliances that move air",
     fixed(1, empty=True)),
    (r"ducts\.levels\.\w+\.states\[.*\]\.\w+_percent",
     "The house in other states: loaded filters, appliances that move air", fixed(0)),
    (r"ducts\.levels\.\w+\.states\[.*\]\.pressure_pa",
     "The house in other states: loaded filters, appliances that move air", fixed(1)),
    (r"ducts\.levels\.(\w+)\.runs\[.*\]\.(flow_l_s|velocity_m_s)", "Runs at {1}", fixed(1)),
    (r"ducts\.levels\.(\w+)\.runs\[.*\]\.friction_pa_per_m", "Runs at {1}", fixed(2)),
    (r"ducts\.levels\.(\w+)\.runs\[.*\]\.(friction|fittings|valve|total)_pa", "Runs at {1}",
     fixed(1)),
    (r"ducts\.levels\.SET\.runs\[.*\]\.(start_c|end_c|heat_w|surface_c|dew_point_c|stack_pa)",
     "Air on its way through the ducts at SET", fixed(1)),
    (r"ducts\.levels\.SET\.runs\[.*\]\.leakage_l_s", "Air on its way through the ducts at SET",
     fixed(3)),
    (r"ducts\.runs\[.*\]\.(bore|width|height)_mm", "Schedule", fixed(0)),
    (r"ducts\.runs\[.*\]\.parallel", "Schedule", fixed(0)),
    (r"ducts\.runs\[.*\]\.length_m", "Schedule", fixed(1)),
    (r"ducts\.terminals\[.*\]\.(opening|valve_pa)", "Terminals and their openings", fixed(1)),
    (r"ducts\.sizes\.(parts_cost|energy_cost|frozen_bound|money_per_pa_\w+)",
     "Sizes chosen, and what the next smaller and larger would change", fixed(2)),
    (r"ducts\.sizes\.runs\[.*\]\.price",
     "Sizes chosen, and what the next smaller and larger would change", fixed(2)),
    (r"ducts\.sizes\.runs\[.*\]\.(smaller|larger)\.money",
     "Sizes chosen, and what the next smaller and larger would change",
     lambda value: "%+.2f" % (0.0 if abs(value) < 0.005 else value)),
    (r"ducts\.sizes\.runs\[.*\]\.(smaller|larger)\.(pressure_pa|sound_db)",
     "Sizes chosen, and what the next smaller and larger would change",
     lambda value: "%+.1f" % (0.0 if abs(value) < 0.05 else value)),

    (r"energy\.(net_heat|fan|standby|frost)_kwh", "A year", two),
    (r"energy\.baseline\.(heat|fan)_kwh", "A year", two),
    (r"energy\.(ventilation_heat|recovered_heat|gross_recovered|recovered_in_heating)_kwh",
     "A year", two),
    (r"energy\.baseline\.air_change_per_h", "Against the baseline", fixed(2)),
    (r"energy\.baseline\.base_temperature_c", "Against the baseline", fixed(1)),
    (r"energy\.saving\.\w+", "Against the baseline", lambda value: two(abs(value))),
    (r"energy\.range\.(low|high)_kwh", "Against the baseline", two),
    (r"energy\.range\.confidence_percent", "Against the baseline", fixed(0)),
    (r"energy\.range\.weights\[.*\]\.deviation", "How sure the heat saved is",
     lambda value: "%.3g|%.3g" % (value, value * 100)),
    (r"energy\.range\.weights\[.*\]\.effect_kwh", "How sure the heat saved is", two),
    (r"energy\.range\.weights\[.*\]\.share_percent", "How sure the heat saved is", fixed(0)),
    (r"energy\.months\[\w+\]\.outdoor_c", "By month", fixed(1)),
    (r"energy\.months\[\w+\]\.(fan|frost)_kwh", "By month", fixed(1)),
    (r"energy\.months\[\w+\]\.\w+", "By month", fixed(0)),
    (r"energy\.methods\[.*\]\.\w+", "By each way to take the weather, kWh", fixed(0)),
    (r"energy\.frost\.below_c", "Frost protection", general(3)),
    (r"energy\.frost\.\w+", "Frost protection", two),
    (r"energy\.(base_temperature_c|heat_loss_w_per_k|heat_loss_no_recovery_w_per_k|"
     r"ventilation_flow_l_s)", "What it rests on", fixed(1)),
    (r"energy\.heating_degree_days", "What it rests on", fixed(0)),
    (r"energy\.(temperature_ratio|fresh_air_ratio)", "What it rests on", fixed(0, 100)),
    (r"energy\.infiltration_per_h", "What it rests on", fixed(2)),
    (r"energy\.air_constant_wh_per_m3_k", "What it rests on", fixed(3)),
    (r"energy\.(duct_loss_w_per_k|fan_heat_w)", "What it rests on", two),
    (r"energy\.prices\.\w+\.per_kwh", "Money", general(4)),
    (r"energy\.prices\.\w+\.carbon_kg_per_kwh", "Money", general(3)),
    (r"energy\.prices\.\w+\.efficiency", "Money", general(3, 100)),
    (r"energy\.cost_per_day", "Money", two),
    (r"energy\.investment\.(price|avoided|upkeep|avoided_upkeep)(_per_year)?", "Does it pay?",
     general(12)),
    (r"energy\.investment\.(interest|growth)", "Does it pay?", general(3, 100)),
    (r"energy\.investment\.years", "Does it pay?", general(3)),
    (r"energy\.investment\.internal_rate", "Does it pay?", lambda value: two(value * 100)),
    (r"energy\.investment\.\w+", "Does it pay?", two),

    (r"parts\.parts\[.*\]\.quantity", "Parts to order", general(4)),
    (r"parts\.parts\[.*\]\.piece_m", "Parts to order", fixed(2, empty=True)),
    (r"parts\.parts\[.*\]\.length_m", "Parts to order", fixed(1, empty=True)),
    (r"parts\.parts\[.*\]\.price", "Parts to order", fixed(2)),
    (r"parts\.parts\[.*\]\.where_amount.*", "Parts to order", ANY),
    (r"parts\.(price)", "Parts to order", fixed(2)),
    (r"parts\.duct_m", "Parts to order", fixed(1)),
    (r"parts\.waste_percent", "Parts to order", general(3)),
    (r"parts\.unpriced", "Parts to order", fixed(0)),
)]

# Left out on purpose.
OMITTED = [(re.compile(path), reason) for path, reason in (
    (r".*\.flow_ref_l_s", "the same flow at 1.2 kg/m3"),
    (r".*\.reynolds", "a step on the way to friction"),
    (r"rates\.rooms\[.*\]\.supply\..*\.required_l_s=0", "shown where a rule asks something"),
    (r"rates\.rooms\[.*\]\.extract\..*\.required_l_s=0", "a column where no room is asked for"),
    (r"rates\.rooms\[.*\]\.(purge_|intermittent|background|extract_only).*=0",
     "nothing is asked: a dash, or the room is not in the table"),
    (r"rates\.(background|extract_only)\.\w+=0", "the rules name none"),
    (r"ducts\.levels\.\w+\.rooms\[.*\]\.\w+\.(required|design)_l_s", "stands in the air plan"),
    (r"ducts\.levels\.(?!SET).*\.sound\..*", "of what the sound is made: at the set level only"),
    (r"ducts\.levels\.(?!SET).*\.runs\[.*\]\.(start_c|end_c|heat_w|surface_c|dew_point_c|stack_pa|"
     r"leakage_l_s)", "state of the air in ducts: at the set level only"),
    (r"ducts\.iterations", "more here, for the curves of the pictures; no figure of the design"),
    (r"ducts\.residual\..*", "shown as a power of ten, no figure of the design"),
    (r"ducts\.sizes\.runs\[.*\]\.(parallel|(smaller|larger)\.parallel)", "in the duct's text"),
)]


def key_of(item, number):
    for key in NAMES:
        if key in item:
            return item[key]
    return item["from"] + " > " + item["to"] if "from" in item else str(number)


MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


def walk(value, path, names):
    """Yields path, names of the rows it is in, number."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return
    if isinstance(value, (int, float)):
        yield path, names, value
    elif isinstance(value, dict):
        for key, part in value.items():
            if key not in ("findings", "explain"):
                yield from walk(part, path + "." + key, names)
    else:
        for number, part in enumerate(value):
            if isinstance(part, dict):
                key = MONTHS[number] if path.endswith("months") else key_of(part, number)
                yield from walk(part, "%s[%s]" % (path, key), names + [key])
            else:
                yield from walk(part, "%s[%d]" % (path, number), names)


def sections(text):
    """Lines under each heading; a table that goes on is under it on the next page too."""
    headings = {heading for _, heading, _ in SHOWN} | {
        "Sound", "Findings", "Ducts", "Air plan", "The year", "Cautions", "What it lacks"}
    found, current = {}, None
    for line in text.replace("\f", "\n").splitlines():
        bare = line.strip()
        runs = re.fullmatch(r"Runs at \w+", bare)
        if bare in headings or runs:
            current = bare
        found.setdefault(current, []).append(line)
    return found


def fits(lines, name, written):
    """A row with that name and figure; a cell may go over some lines."""
    wanted = [re.compile(r"(?<![\w.,])%s(?![\w]|\.\d)" % re.escape(one))
              for one in written.split("|")]
    first = re.split("[ ,]", name)[0]
    for number, line in enumerate(lines):
        if first and first not in line.replace(",", " ").split():
            continue
        near = "\n".join(lines[number:number + 5]) if "," in name else line
        if any(one.search(near) for one in wanted):
            return True
    return False


def main():
    files = sys.argv[1:]
    text = open(files[0], encoding="utf-8").read()
    kinds = ("rates", "ducts", "energy", "parts")
    results = [json.load(open(name, encoding="utf-8")) for name in files[1:]]
    level = results[1]["set_level"]
    text = text.replace(" at %s, dB(A)" % level, " at SET, dB(A)").replace(
        "through the ducts at %s" % level, "through the ducts at SET")
    under = sections(text)
    faults = shown = omitted = 0
    for kind, result in zip(kinds, results):
        for path, names, value in walk(result, kind, []):
            here = path.replace("ducts.levels.%s." % level, "ducts.levels.SET.")
            nought = here + "=0" if value == 0 else here
            if any(rule.fullmatch(here) or rule.fullmatch(nought) for rule, _ in OMITTED):
                omitted += 1
                continue
            for rule, heading, write in SHOWN:
                found = rule.fullmatch(here) or rule.fullmatch(path)
                if found:
                    break
            else:
                print("%s: neither shown nor listed as left out" % path)
                faults += 1
                continue
            if write is ANY:
                omitted += 1
                continue
            heading = heading.replace("{1}", path.split(".")[2] if "{1}" in heading else "")
            name = names[-1] if names and kind != "energy" or "[" in path else ""
            if not fits(under.get(heading, []), name, write(value)):
                print("%s: %s is not under \"%s\"" % (path, write(value), heading))
                faults += 1
            shown += 1
    print("%d figures shown, %d left out, %d faults" % (shown, omitted, faults))
    return 1 if faults or shown < 100 else 0


sys.exit(main())
