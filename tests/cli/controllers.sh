#!/bin/sh
# Units that are told volts, the step of a switch, or a flow to keep, instead of percents.

. "$(dirname "$0")/lib.sh"

# house NAME SIGNAL MODE: alder-row with a unit of its own.
house() {
  awk -v signal="$2" -v mode="$3" '
    /^unit:/ {
      print "unit:"
      print "  exchanger: {temperature_ratio: 85 %, at: 40 l/s}"
      print "  fan: {" mode "curves: [{speed: 100 %, columns: [l/s, Pa, W], points:"
      print "    [[0, 420, 30], [40, 360, 45], [80, 180, 70], [100, 60, 80]]}]}"
      print "  signal: " signal
      next
    }
    { print }' "$examples/alder-row.yaml" >"$work/$1.yaml"
}
house steps '{unit: step, map: [[1, 40], [2, 60], [3, 75], [4, 100]]}' ''
house flow '{unit: m3/h}' 'mode: flow, '
house volts '{unit: V, map: [[1, 10], [10, 100]]}' ''

# rounds NAME SUPPLY EXTRACT: one round at normal, each terminal at its design.
rounds() {
  cat >"$work/$1-visit.yaml" <<VISIT
house: $1.yaml
rounds:
  - level: normal
    fans: {supply: $2, extract: $3}
    flows: {s-living: 12.2 l/s, s-bed-1: 8.1 l/s, s-bed-2: 6.4 l/s, s-bed-3: 4.4 l/s,
      e-utility: 7.1 l/s, e-wc: 5.3 l/s, e-kitchen: 11.5 l/s, e-bath: 7.1 l/s}
VISIT
}

steps() {
  rounds steps 'step 2' 'step 1'
  exits 0 "$EVENBREATH" ducts "$work/steps.yaml" && says "step 2" &&
    exits 0 "$EVENBREATH" balance "$work/steps.yaml" "$work/steps-visit.yaml" && says "step 2" &&
    exits 0 "$EVENBREATH" balance --json "$work/steps.yaml" && says '"supply_percent": null' &&
    says '"supply_signal": "step 2"'
}
check "a switch of steps: no speed between them" steps

# Between two steps every valve, the index run's too, takes up what the fan has to spare.
throttled() {
  exits 0 "$EVENBREATH" ducts --json "$work/steps.yaml" || return 1
  python3 -c '
import json, sys
ducts = json.load(open(sys.argv[1]))
level = ducts["levels"]["normal"]
given = [r["extract"] for r in level["rooms"] if r.get("extract")]
total = sum(g["delivered_l_s"] for g in given)
wanted = sum(g["design_l_s"] for g in given)
kitchen = [t for t in ducts["terminals"] if t["run"] == "e-kitchen"][0]
sys.exit(not (abs(total / wanted - 1) < 0.02 and kitchen["opening"] < 12))' "$work/out"
}
check "valves take up what a step has to spare" throttled

kept() {
  rounds flow '113 m3/h' '112 m3/h'
  exits 0 "$EVENBREATH" ducts "$work/flow.yaml" && says "113 m3/h" &&
    exits 0 "$EVENBREATH" balance "$work/flow.yaml" "$work/flow-visit.yaml" &&
    exits 0 "$EVENBREATH" record "$work/flow.yaml" "$work/flow-visit.yaml" &&
    says "fans 113 m3/h supply, 112 m3/h extract"
}
check "a unit that keeps a flow is told one" kept

# Told 126 it keeps 112: for a tenth above the design, which the rule makes likely to pass, 124 would
# do were it true.
short() {
  rounds flow '126 m3/h' '124 m3/h'
  exits 0 "$EVENBREATH" balance --json "$work/flow.yaml" "$work/flow-visit.yaml" &&
    says "ln of the flow kept over what was told" || return 1
  python3 -c '
import json, sys
normal = json.load(open(sys.argv[1]))["fans"]["normal"]
sys.exit(not all(128 <= float(normal[s + "_signal"].split()[0]) <= 142 for s in ("supply", "extract")))' \
    "$work/out"
}
check "one that keeps less than it is told is told more" short

volts() {
  rounds volts '4.1 V' '3.9 V'
  exits 0 "$EVENBREATH" ducts "$work/volts.yaml" && says "4.1 V" &&
    exits 0 "$EVENBREATH" balance "$work/volts.yaml" "$work/volts-visit.yaml" && says " V  "
}
check "volts" volts

wrong() {
  rounds flow '45 %' '112 m3/h'
  exits 3 "$EVENBREATH" balance "$work/flow.yaml" "$work/flow-visit.yaml" && says "shows m3/h" &&
    says "flow-visit.yaml:4:" || return 1
  rounds steps 'step 5' 'step 1'
  exits 3 "$EVENBREATH" balance "$work/steps.yaml" "$work/steps-visit.yaml" && says "1 to 4" || return 1
  house gap '{unit: step, map: [[1, 40], [3, 100]]}' ''
  exits 3 "$EVENBREATH" check "$work/gap.yaml" || return 1
  house bare '{unit: step}' ''
  exits 3 "$EVENBREATH" check "$work/bare.yaml" && says "needs \`map:\`" || return 1
  house speed '{unit: m3/h}' ''
  exits 3 "$EVENBREATH" check "$work/speed.yaml" && says "mode: flow" || return 1
  house mapped '{unit: l/s, map: [[1, 40], [2, 100]]}' 'mode: flow, '
  exits 3 "$EVENBREATH" check "$work/mapped.yaml" && says "has no map"
}
check "what does not fit the unit's signal is refused" wrong

done_checking
