#!/bin/sh
# On site: first settings, the example visit, the record, and what is said of wrong readings.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml
visit=$examples/alder-row-balance.yaml

# The first round alone.
awk '/^  # As it advised/ { skip = 1 } /^record:/ { skip = 0 } !skip { print }' "$visit" >"$work/one.yaml"

first() {
  exits 0 "$EVENBREATH" balance "$alder" && says "First settings" && says "stays open" &&
    says "Before the first reading" && says "e-kitchen"
}
check "first settings before the visit" first

form() {
  exits 0 "$EVENBREATH" balance --sheet "$alder" && says "round 3" && says "________" &&
    exits 2 "$EVENBREATH" balance --sheet "$alder" "$visit"
}
check "a blank form for the ladder" form

one_round() {
  exits 0 "$EVENBREATH" balance "$alder" "$work/one.yaml" && says "Not yet: turn" &&
    says "Read again" && says "further than was read"
}
check "after one round valves are to be turned" one_round

two_rounds() {
  exits 0 "$EVENBREATH" balance "$alder" "$visit" && says "Done: lock the valves" &&
    says "every reading passes as written: yes"
}
check "after two rounds it is done" two_rounds

as_json() {
  exits 0 "$EVENBREATH" balance --json "$alder" "$work/one.yaml" && says '"verdict": "adjust"' &&
    says '"legal_pass": false' && says '"next_opening"' && says '"supply_percent"' &&
    says '"predicted_error_l_s"' && says '"suspects": []'
}
check "JSON holds the contract's names" as_json

swapped() {
  sed 's|living: 12.1 l/s|living: 3.9 l/s|; s|bed-3: 3.9 l/s|bed-3: 12.1 l/s|' "$work/one.yaml" >"$work/swapped.yaml"
  exits 0 "$EVENBREATH" balance "$alder" "$work/swapped.yaml" && says "Look at this first" &&
    says "look exchanged"
}
check "exchanged readings are named" swapped

narrow() {
  exits 0 "$EVENBREATH" record "$alder" "$visit" &&
    [ "$(awk 'length > 100' "$work/out" | wc -l)" -eq 0 ]
}
check "no line is wider than 100 columns" narrow

complete() {
  exits 0 "$EVENBREATH" record "$alder" "$visit" && says "Complete" && says "For the householder" &&
    says "Settings to lock" && says "0.53 W/(l/s)" && says "Leave alone"
}
check "the record is complete" complete

lacks() {
  grep -v 'place: {address' "$visit" >"$work/lacks.yaml"
  exits 0 "$EVENBREATH" record "$alder" "$work/lacks.yaml" && says "Not complete" && says "Missing" &&
    says "Address (record: place: address)"
}
check "what the record lacks is told" lacks

csv() {
  exits 0 "$EVENBREATH" record --csv "$alder" "$visit" && says "level,run,room,side" &&
    [ "$(wc -l <"$work/out")" -eq 17 ]
}
check "the record as comma-separated values" csv

later() {
  sed 's|living: 13.4 l/s|living: 8.1 l/s|; s|living: 12.1 l/s|living: 8.0 l/s|' "$visit" >"$work/later.yaml"
  exits 0 "$EVENBREATH" record "$alder" "$visit" "$work/later.yaml" && says "two visits" &&
    says "s-living (living) alone has fallen"
}
check "two visits beside each other" later

wrong() {
  sed 's|s-bed-2: 4.25 mm|s-bed-9: 4.25 mm|' "$visit" >"$work/wrong.yaml"
  exits 3 "$EVENBREATH" balance "$alder" "$work/wrong.yaml" && exits 2 "$EVENBREATH" record "$alder" &&
    exits 3 "$EVENBREATH" balance "$examples/one-room.yaml"
}
check "wrong readings, none, and a house without ducts" wrong

done_checking
