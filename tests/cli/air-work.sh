#!/bin/sh
# energy --detail: the house of doc/air-work.md and changes to it.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/air-work.md
house=$work/house.yaml
awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside { print }' "$document" >"$house"

told() {
  exits 0 "$EVENBREATH" energy --detail "$house" && says "Air by month" &&
    says "Water from the unit" && says "Boost called by humidity" && says "cooker hood" &&
    says "a sunny room" && says "gains 1 to 2 kW" && says "Heat pump of 600 W" &&
    says "60 C in the store" && says "Degree-days of the year" && says "Were it 1/h at 50 Pa" &&
    says "Regulation (EU) 1253/2014"
}
check "the house of the document" told

narrow() {
  for units in si metric imperial; do
    exits 0 "$EVENBREATH" energy --detail --units $units "$house" || return 1
    [ "$(awk 'length > 100' "$work/out" | wc -l)" -eq 0 ] || return 1
  done
}
check "no line is wider than 100 columns" narrow

not_asked() {
  exits 0 "$EVENBREATH" energy "$house" && exits 0 "$EVENBREATH" energy --json "$house" || return 1
  ! grep -q '"detail"\|Air by month\|legionella' "$work/out"
}
check "without --detail nothing of it" not_asked

json() {
  exits 0 "$EVENBREATH" energy --detail --json "$house" || return 1
  for key in degree_days months moisture boost hood summer hot_water leakage_curve \
    specific_energy; do
    says "\"$key\"" || return 1
  done
  ! grep -qi 'nan\|inf[,}]' "$work/out"
}
check "JSON has all parts" json

cautions() {
  exits 0 "$EVENBREATH" energy --detail "$house" && says "60 C or more" && says "mixing valve" &&
    says "licensed people" && says "common practice but no figure"
}
check "hot water comes with its cautions" cautions

hours() {
  exits 0 "$EVENBREATH" energy --detail --set site.climate=seattle-hours "$house" &&
    says "The house above 25 C" && says "bypass and cooling level" &&
    exits 0 "$EVENBREATH" energy --detail "$house" && says "an estimate from the means"
}
check "kelvin-hours with a climate of hours only" hours

out_of_reach() {
  exits 0 "$EVENBREATH" energy --detail --set 'moisture.boost.humidity=40 %' "$house" &&
    says "cannot be reached in" && says "July"
}
check "a humidity that outdoor air brings is refused" out_of_reach

explained() {
  exits 0 "$EVENBREATH" energy --detail --explain "$house" && says "room-humidity:" &&
    says "tank-full:" && says "cooling-coil:" && says "surface-humidity:" && says "boost-heat:" &&
    says "electric-back-up:" && says "heating degree-days of the year, Hitchin 1983" && says "hood-heat:"
}
check "--explain says how" explained

bare() {
  sed '/^moisture:/,$d' "$house" >"$work/bare.yaml"
  exits 0 "$EVENBREATH" energy --detail "$work/bare.yaml" && says "9 kg of vapour a day" &&
    says "taken by people" || return 1
  ! grep -q "Heat pump" "$work/out"
}
check "a house without these keys" bare

refused() {
  exits 2 "$EVENBREATH" ducts --detail "$house" && says "--detail is for energy" &&
    exits 3 "$EVENBREATH" check --set 'moisture.production=8' "$house" && says "kg/day" &&
    exits 3 "$EVENBREATH" check --set 'moisture.boost.minutes=70 min' "$house" &&
    exits 3 "$EVENBREATH" check --set 'summer.level=night' "$house" && says '"night"' &&
    exits 3 "$EVENBREATH" check --set 'heat_pump.limit=40 C' "$house" && says "not above its start" &&
    exits 3 "$EVENBREATH" check --set 'heat_pump={compressor: 600 W}' "$house" && says "tank" &&
    exits 3 "$EVENBREATH" check --set 'heat_pump.ratio={columns: [C, ratio], points: [[45, 0.8]]}' \
      "$house"
}
check "what cannot be is refused" refused

for key in moisture.production moisture.surface_factor moisture.boost moisture.boost.minutes \
  moisture.boost.per_day moisture.boost.humidity summer.limit summer.gains summer.capacity \
  summer.level heat_pump.compressor heat_pump.ratio heat_pump.tank heat_pump.start \
  heat_pump.limit heat_pump.loss heat_pump.draw heat_pump.weekly heat_pump.heater; do
  known() {
    grep -q "^| .*\`${key##*.}\`" "$document" || return 1
    "$EVENBREATH" check --set "$key=[]" "$house" >"$work/out" 2>&1
    grep -q error "$work/out" && ! grep -q "is not a key of" "$work/out"
  }
  check "$key" known
done

done_checking
