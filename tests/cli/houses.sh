#!/bin/sh
# The houses of doc/houses.md are houses, and every key its tables name is known.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/houses.md

# Writes block number $1 of the document to $work/house.yaml.
block() {
  awk -v wanted="$1" '/^```yaml/ { inside = 1; n++; next } /^```/ { inside = 0 }
    inside && n == wanted { print }' "$document" >"$work/house.yaml"
  [ -s "$work/house.yaml" ]
}

runs() {
  sketch=
  grep -q '^positions:' "$work/house.yaml" && sketch='--sketch radial'
  # shellcheck disable=SC2086
  exits 0 "$EVENBREATH" check "$work/house.yaml" &&
    exits 0 "$EVENBREATH" ducts $sketch "$work/house.yaml"
}

number=1
while block "$number"; do
  check "house $number of the document" runs
  number=$((number + 1))
done

shown() {
  [ "$number" -gt 1 ]
}
check "the document shows a house" shown

# The document tells of the key, and a wrong value of it is no unknown key.
known() {
  grep -q "\`${1##*.}\`\|\`${1##*.}:\`" "$document" || return 1
  block 1
  "$EVENBREATH" check --set "$1=[]" "$work/house.yaml" >"$work/out" 2>&1
  grep -q error "$work/out" && ! grep -q "is not a key of\|has no item" "$work/out"
}
known_junction() {
  grep -q "^| \`$1\` | .*" "$document" || return 1
  block 2
  "$EVENBREATH" check --set "junctions.t.$1=[]" "$work/house.yaml" >"$work/out" 2>&1
  grep -q error "$work/out" && ! grep -q "is not a key of\|has no item" "$work/out"
}
for key in climate altitude indoor outdoor humidity outdoor_humidity weather_factor \
  exposed_facades co2; do
  check "site: $key" known "site.$key"
done
for key in space insulation length stretched crushed rise; do
  check "run: $key" known "ducts.supply.to-bed.$key"
done
for key in kind straight angle; do
  check "junction: $key" known_junction "$key"
done
for key in kind room fuel burner power flow curve duct; do
  check "appliance: $key" known "appliances.1.$key"
done
for key in room area; do
  check "opening: $key" known "openings.1.$key"
done

done_checking
