"""charts.py - what the words of a picture as a PDF say

    charts.py says FILE.pdf WORD...                each WORD stands in it, as often as it is named
    charts.py agree PICTURE FILE.pdf FILE.json     the figures of the JSON stand in its rows

pdftotext gives the place of each word, so nothing of the program under test is asked."""

import json
import re
import subprocess
import sys
import xml.etree.ElementTree as tree
from collections import Counter


def pages(path):
    text = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, check=True).stdout
    root = tree.fromstring(re.sub(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]", b"", text))
    for page in root.iter("{http://www.w3.org/1999/xhtml}page"):
        words = []
        for word in page.iter("{http://www.w3.org/1999/xhtml}word"):
            box = [float(word.get(key)) for key in ("xMin", "yMin", "xMax", "yMax")]
            words.append((box, word.text or ""))
        yield words


def all_words(path):
    return [text for words in pages(path) for _, text in words]


def says(path, wanted):
    found = Counter(all_words(path))
    for word, times in Counter(wanted).items():
        if found[word] < times:
            sys.exit(f"{word!r} stands there {found[word]} times, not {times}")


def lines(path):
    """Words by line, from the left, each with what else has the same middle."""
    result = []
    for words in pages(path):
        rows = []
        for box, text in sorted(words, key=lambda word: (word[0][1] + word[0][3]) / 2):
            middle = (box[1] + box[3]) / 2
            if rows and middle - rows[-1][0] < 1.5:
                rows[-1][1].append((box[0], text))
            else:
                rows.append((middle, [(box[0], text)]))
        result += [[text for _, text in sorted(row)] for _, row in rows]
    return result


def figure(value, digits):
    text = f"{value:.{digits}f}"
    return text[1:] if float(text) == 0 and text[0] == "-" else text


def want_row(rows, wanted, what):
    """Some line has all of them, in that order."""
    for row in rows:
        left = iter(row)
        if all(word in left for word in wanted):
            return
    sys.exit(f"no line says {what}: {' '.join(wanted)}")


def agree_duty(rows, answer):
    for name, level in answer["levels"].items():
        for side in (level["supply"], level["extract"]):
            want_row(
                rows,
                [name]
                + [figure(side[key], 1) for key in ("flow_l_s", "fan_flow_l_s", "pressure_pa")]
                + [figure(side["signal_percent"], 0), "%", figure(side["fan_power_w"], 1)],
                f"the duty at {name}",
            )
            want_row(rows, ["index", "run", side["index_run"]], "the index run")


def agree_sound(rows, answer):
    levels = list(answer["levels"].values())
    for i, room in enumerate(levels[0]["rooms"]):
        heard = [level["rooms"][i]["sound_db"] for level in levels]
        if all(value is None for value in heard):
            continue
        limits = [level["rooms"][i]["sound"]["limit_db"] for level in levels]
        limit = min((value for value in limits if value), default=None)
        wanted = room["name"].split() + [figure(limit, 0) if limit else "none"]
        want_row(rows, wanted + [figure(value, 0) for value in heard], "the sound in a room")


def agree_year(rows, answer):
    names = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
    for name, month in zip(names + ["Year"], answer["months"] + [answer]):
        baseline = month.get("baseline_heat_kwh", answer["baseline"]["heat_kwh"])
        keys = ("ventilation_heat_kwh", "recovered_heat_kwh", "net_heat_kwh")
        wanted = [figure(month[key], 0) for key in keys] + [figure(baseline, 0)]
        wanted += [figure(month["fan_kwh"], 1), figure(month["frost_kwh"], 1)]
        want_row(rows, [name] + wanted, "the month")


def agree_rounds(rows, answer):
    rounds = [one for one in answer["rounds"] if one["level"] == answer["set_level"]][-6:]
    for terminal in answer["terminals"]:
        read = [
            flow["measured_l_s"]
            for one in rounds
            for flow in one["terminals"]
            if flow["run"] == terminal["run"]
        ]
        wanted = [terminal["run"] + ",", figure(terminal["design_l_s"], 1)]
        wanted += ["-" if flow is None else figure(flow, 1) for flow in read]
        wanted += [figure(terminal["predicted_l_s"], 1)]
        wanted += ["±" + figure(terminal["predicted_error_l_s"], 1)]
        want_row(rows, wanted, "the terminal")


def agree_layouts(rows, answer):
    shown = 0
    for row in answer["rows"]:
        if row["better"] is None or row.get("of"):
            continue
        shown += 1
        want_row(rows, row["what"].split(), "the row")
        value = row["values"][row["better"]]
        texts = {"*" + figure(value, digits) for digits in range(4)}
        bounds = {figure(value, digits) for digits in range(4)}
        if not any(text in words for words in rows for text in texts) and not any(
            "*>=" in words and text in words for words in rows for text in bounds
        ):
            sys.exit(f"nothing says that {row['what']} is {value}")
    if shown == 0:
        sys.exit("nothing is better than anything: a poor example")


def main():
    what, rest = sys.argv[1], sys.argv[2:]
    if what == "says":
        says(rest[0], rest[1:])
    else:
        with open(rest[2], encoding="utf-8") as file:
            answer = json.load(file)
        globals()["agree_" + rest[0]](lines(rest[1]), answer)


main()
