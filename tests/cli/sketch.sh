#!/bin/sh
# ducts --sketch: runs proposed from places, as a file that is read again. Lengths are worked
# out by hand from the places in larch-bank.yaml: the sum of the distances along x, y and z.

. "$(dirname "$0")/lib.sh"

house=$here/../houses/larch-bank.yaml

run_is() { # FILE RUN WHAT
  grep "run: $2," "$work/$1.yaml" | grep -q "$3"
}

radial() {
  "$EVENBREATH" ducts --sketch radial "$house" >"$work/radial.yaml" 2>"$work/e" &&
    run_is radial s-living 'length: 6 m, rise: -3 m' &&
    run_is radial s-living 'parallel: 2' &&
    run_is radial s-bed-1 'length: 4.9 m, rise: -0.4 m, fittings: \[3 x bend-90\]' &&
    run_is radial e-kitchen 'length: 7.5 m, rise: 3 m' &&
    run_is radial intake 'length: 4.5 m' &&
    run_is radial outlet 'length: 2.1 m, rise: 2.1 m' &&
    [ "$(grep -c 'run: ' "$work/radial.yaml")" -eq 9 ]
}
check "radial: lengths, rises and bends" radial

branched() {
  "$EVENBREATH" ducts --sketch branched "$house" >"$work/branched.yaml" 2>"$work/e" &&
    run_is branched s-living 'length: 5.6 m, rise: -2.6 m' &&
    run_is branched s-trunk-1 'length: 2 m' &&
    run_is branched s-bed-2 'length: 3 m, fittings: \[bend-90\]' &&
    [ "$(grep -c 'valve: ' "$work/branched.yaml")" -eq 5 ]
}
check "branched: a trunk and its branches, each valve once" branched

keeps() {
  head -n "$(wc -l <"$house")" "$work/$1.yaml" | cmp - "$house" &&
    grep -q 'ALL LENGTHS, BENDS AND RISES ARE ESTIMATES' "$work/$1.yaml"
}
check "radial: the user's own text stands before it, unchanged" keeps radial
check "branched: the user's own text stands before it, unchanged" keeps branched

works() {
  for command in check ducts parts; do
    "$EVENBREATH" "$command" "$work/$1.yaml" >"$work/out" 2>"$work/e" || return 1
  done
  ! grep -q 'error' "$work/e"
}
check "radial: the file goes through check, ducts and parts" works radial
check "branched: the file goes through check, ducts and parts" works branched

refused() { # SED-SCRIPT WORDS
  sed "$1" "$house" >"$work/wrong.yaml"
  "$EVENBREATH" ducts --sketch radial "$work/wrong.yaml" >"$work/out" 2>"$work/e"
  [ $? -eq 3 ] && [ ! -s "$work/out" ] && grep -q "$2" "$work/e"
}
check "a room that needs air and has no place" refused 's/, at: \[2.0 m.*\]}/}/' 'bed-1'
check "no place of the unit" refused 's/unit: \[4.5 m, 4.0 m, 5.4 m\], //' 'unit'
check "two rooms at one point" refused 's/7.5 m, 2.0 m, 5.0 m/2.0 m, 2.0 m, 5.0 m/' 'bed-2'
check "a place without units" refused 's/7.5 m, 2.0 m, 5.0 m/7.5, 2.0, 5.0/' 'm'

drawn() {
  "$EVENBREATH" ducts --sketch radial "$work/radial.yaml" >"$work/out" 2>"$work/e"
  [ $? -eq 3 ] && [ ! -s "$work/out" ]
}
check "a house that has ducts already" drawn

usage() {
  "$EVENBREATH" ducts --sketch star "$house" >"$work/out" 2>"$work/e"
  [ $? -eq 2 ] || return 1
  "$EVENBREATH" rates --sketch radial "$house" >"$work/out" 2>"$work/e"
  [ $? -eq 2 ]
}
check "what --sketch takes, and where" usage

done_checking
