"""pressure_ways.py JSON WORDS - compares `ducts --json` with the words of the picture `pressures`

Each figure "in all" must be the fan's pressure, each valve's that of its terminal, and the figures
of a row must add up as far as their rounding allows.
"""

import json
import sys

with open(sys.argv[1], encoding="utf-8") as file:
    ducts = json.load(file)
with open(sys.argv[2], encoding="utf-8") as file:
    lines = [line.split() for line in file]

level = ducts["levels"][ducts["set_level"]]
rise = {"Supply": level["supply"]["pressure_pa"], "Extract": level["extract"]["pressure_pa"]}
runs = {run["name"]: run for run in level["runs"]}
terminals = {terminal["run"] for terminal in ducts["terminals"]}
seen, side, each = set(), None, False


def figures(words):
    """The numbers that a row ends with."""
    numbers = []
    while words and words[-1].lstrip("-").replace(".", "", 1).isdigit():
        numbers.insert(0, float(words.pop()))
    return numbers


for words in lines:
    if words[1:2] == ["fan:"]:
        side = words[0]
        assert abs(float(words[2]) - rise[side]) <= 0.05 + 1e-9, words
    elif words[:2] == ["To", "each"]:
        each = True
    elif words[:2] == ["Along", "the"]:
        each = False
    elif side and words:
        name, numbers = words[0], figures(list(words))
        whole = words[:2] == ["in", "all,"]
        total = rise[side] if each or whole else numbers[-1]
        assert abs(numbers[-1] - total) <= 0.05 + 1e-9, (words, total)
        assert abs(sum(numbers[:-1]) - total) <= 0.05 * len(numbers) + 1e-9, words
        if each:
            seen.add(name)
        elif name in runs and not whole:
            assert abs(numbers[-1] - runs[name]["total_pa"]) <= 0.05 + 1e-9, words

assert seen == terminals, seen ^ terminals
print(len(seen), "ways")
