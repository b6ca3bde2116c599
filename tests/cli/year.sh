#!/bin/sh
# The year: the house of doc/year.md, what it says of recovery, weather, frost, bypass and ducts.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/year.md
house=$work/house.yaml
awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside { print }' "$document" >"$house"

told() {
  exits 0 "$EVENBREATH" energy "$house" && says "useful: what the heating would have to add" &&
    says "gross: all that crosses" && says "in hours that need heating" &&
    says "Frost protection (ground)" && says "The ducts lose" &&
    says "The supply fan warms the air" && says "98 % of the supply is outdoor air" &&
    says "four cases of daily extremes" && says "By weather, kWh" && says "six warmest months"
}
check "the house of the document" told

narrow() {
  exits 0 "$EVENBREATH" energy "$house" &&
    [ "$(awk 'length > 100' "$work/out" | wc -l)" -eq 0 ]
}
check "no line is wider than 100 columns" narrow

json() {
  exits 0 "$EVENBREATH" energy --json "$house" || return 1
  for key in method methods recovered_in_heating_kwh frost duct_loss_w_per_k fan_heat_w \
    fresh_air_ratio measured_unbalance kind why lost_air_m3 useful_kwh rule; do
    says "\"$key\"" || return 1
  done
  [ "$(grep -c '"frost_kwh"' "$work/out")" -eq 13 ] &&
    [ "$(grep -c '"recovered_in_heating_kwh"' "$work/out")" -eq 15 ]
}
check "as JSON, by month and by method" json

why() {
  exits 0 "$EVENBREATH" energy "$house" && says "by months (" && says "K day instead of" &&
    says "One year differs from the next by about 6 %"
}
check "the difference of methods is told" why

defaults() {
  exits 0 "$EVENBREATH" energy --set 'unit.frost={method: recirculate}' \
    --set 'unit.bypass={opens_above: 22 C}' "$house" &&
    says '`frost.below` is not given: -3 C outdoors is taken [common practice, from memory]' &&
    says '`frost.time` is not given' && says '`bypass.residual` is not given' &&
    says "of outdoor air not supplied"
}
check "what stands where a key is missing is told" defaults

unused() {
  exits 3 "$EVENBREATH" energy --set 'unit.frost={method: preheater, cut: 40 %}' "$house" &&
    says '`cut:` means nothing with `method: preheater`'
}
check "a key of another method is an error" unused

points() {
  exits 3 "$EVENBREATH" energy --set 'unit.exchanger.ratios={columns: [l/s, "%"], points: [[20, 91], [40, 100]]}' \
    "$house" && says "point 2 has not"
}
check "a ratio of one is an error" points

no_ratio() {
  exits 3 "$EVENBREATH" energy --set 'unit.exchanger={at: 40 l/s}' "$house" &&
    says 'needs `temperature_ratio:`'
}
check "an exchanger has a ratio" no_ratio

gains() {
  exits 3 "$EVENBREATH" energy --set 'envelope.gains=[300 W, 310 W, 290 W]' "$house" &&
    says "this list has 3" || return 1
  exits 3 "$EVENBREATH" energy --set 'envelope.gains=[1 W, 2 W, 3 W, 4 W, 5 W, 6 K, 7 W, 8 W, 9 W, 10 W, 11 W, 12 W]' "$house" &&
    says "6 K"
}
check "gains are one power or twelve" gains

done_checking
