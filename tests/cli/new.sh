#!/bin/sh
# evenbreath new: what it writes can be planned at once.

. "$(dirname "$0")/lib.sh"

usual() {
  exits 0 "$EVENBREATH" new -o "$work/a.yaml" && exits 0 "$EVENBREATH" rates --json "$work/a.yaml" &&
    says '"required_l_s": 31' && says '"bed-3"'
}
check "the usual house has three bedrooms and 31 l/s" usual

flat() {
  exits 0 "$EVENBREATH" new --bedrooms 1 --storeys 1 --name 'A "small" flat: \ one' -o "$work/b.yaml" &&
    exits 0 "$EVENBREATH" rates --json "$work/b.yaml" && says '"required_l_s": 19' &&
    says 'A \"small\" flat: \\ one' && ! grep -q "landing:" "$work/b.yaml"
}
check "a flat with a name full of marks" flat

own_rooms() {
  exits 0 "$EVENBREATH" new --room living=22.5m2 --room snug:living=9m2 --room kitchen="13 m2" \
    --room bath=5m2 -o "$work/c.yaml" && exits 0 "$EVENBREATH" rates --json "$work/c.yaml" &&
    says '"snug"' && ! grep -q 'bed-1: {' "$work/c.yaml"
}
check "rooms of one's own" own_rooms

refuses() {
  exits 2 "$EVENBREATH" new --bedrooms three && says "three" &&
    exits 2 "$EVENBREATH" new --room kitchen && says "NAME=AREA" &&
    exits 3 "$EVENBREATH" new --room kitchen=13 -o "$work/d.yaml" && says "unit" &&
    exits 3 "$EVENBREATH" new --rules nowhere -o "$work/d.yaml" && [ ! -e "$work/d.yaml" ] &&
    exits 2 "$EVENBREATH" new somewhere.yaml
}
check "what cannot be read later is not written" refuses

done_checking
