#!/bin/sh
# Readings taken on site: the forms of doc/readings.md, the example visit, what is said of wrong ones.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/readings.md
kept=$here/../readings
alder=$examples/alder-row.yaml
for form in yaml csv; do
  awk -v form="$form" '$0 == "```" form { inside = 1; next } /^```/ { inside = 0 } inside { print }' \
    "$document" >"$work/visit.$form"
done

energy() { # energy STATUS READINGS [OPTION...]
  wanted=$1
  file=$2
  shift 2
  exits "$wanted" "$EVENBREATH" energy "$@" --readings "$file" "$alder"
}

of_document() {
  [ -s "$work/visit.yaml" ] && [ -s "$work/visit.csv" ] && energy 0 "$work/visit.yaml" &&
    says "The unit in round 1: outdoor 4.0 C" && says "supply ratio" && says "0.84" &&
    energy 0 "$work/visit.csv" && says "The unit in round 1" && says "warming by the supply fan"
}
check "both forms of the document are read" of_document

same_figures() {
  energy 0 "$work/visit.yaml" --json && grep -A1 '"supply_ratio"' "$work/out" >"$work/one" &&
    energy 0 "$work/visit.csv" --json && grep -A1 '"supply_ratio"' "$work/out" >"$work/two" &&
    [ -s "$work/one" ] && cmp "$work/one" "$work/two"
}
check "and give the same supply ratio" same_figures

example() {
  energy 0 "$examples/alder-row-visit.yaml" && says "extract-heavy" && says "A trap" &&
    says "more extract than supply" && energy 0 "$examples/alder-row-visit.yaml" --json &&
    says '"diagnosis"' && says '"code": "extract-heavy"' && says '"condensate_kg_per_h"' &&
    says '"round": 1,'
}
check "the example visit is told" example

explained() {
  energy 0 "$examples/alder-row-visit.yaml" --explain && says "unit-supply-ratio" &&
    says "JCGM 100:2008" && says "unit-cause"
}
check "--explain gives formula and source" explained

flows_alone() {
  energy 0 "$kept/flows-only.csv" --json && says '"diagnosis": []'
}
check "flows alone are no diagnosis and no error" flows_alone

# NAME.csv or NAME.yaml beside NAME.expect, whose lines are LINE:COLUMN: TEXT.
wrong() {
  file=$1
  energy 3 "$file" || return 1
  while IFS= read -r line; do
    place=${line%%: *}
    grep -F "$(basename "$file"):$place: error: " "$work/err" >"$work/there" &&
      grep -qF -- "${line#*: }" "$work/there" || {
      echo "nobody said: $line"
      cat "$work/err"
      return 1
    }
  done <"${file%.*}.expect"
  [ "$(grep -c ': error: ' "$work/err")" -eq "$(wc -l <"${file%.*}.expect")" ]
}
for file in "$kept"/wrong-*.yaml "$kept"/wrong-*.csv; do
  check "$(basename "$file") is refused with each place" wrong "$file"
done

refused() {
  exits 2 "$EVENBREATH" rates --readings "$work/visit.yaml" "$alder" && says "--readings is for" &&
    exits 2 "$EVENBREATH" energy --readings "$work/visit.yaml" "$alder" "$alder" &&
    energy 5 "$work/none.yaml" && says "no such file" && energy 3 /dev/null && says "empty"
}
check "--readings is for energy of one house, and must be there" refused

done_checking
