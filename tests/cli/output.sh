#!/bin/sh
# Results go out whole or not at all, and read the same everywhere.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml

whole_file() {
  exits 0 "$EVENBREATH" rates -o "$work/a.txt" "$alder" && grep -q "Whole dwelling" "$work/a.txt" &&
    exits 0 "$EVENBREATH" rates "$alder" && cmp "$work/out" "$work/a.txt"
}
check "-o writes what standard output would get" whole_file

kept() {
  echo before >"$work/kept"
  exits 3 "$EVENBREATH" rates -o "$work/kept" /dev/null && grep -q before "$work/kept" &&
    [ "$(find "$work" -name 'kept.*' | wc -l)" -eq 0 ]
}
check "a failed run leaves an earlier file as it was" kept

no_place() {
  exits 5 "$EVENBREATH" rates -o "$work/no/such/folder/x" "$alder" && says "cannot write"
}
check "an unwritable place is status 5" no_place

full() {
  [ -w /dev/full ] || return 0
  "$EVENBREATH" rates "$alder" >/dev/full 2>"$work/err"
  [ $? -eq 5 ] && exits 5 "$EVENBREATH" rates -o /dev/full "$alder"
}
check "a full disk is status 5" full

closed() {
  "$EVENBREATH" rates "$alder" >&- 2>"$work/err"
  [ $? -eq 5 ]
}
check "a closed standard output is status 5" closed

locales() {
  for command in rates ducts energy parts; do
    "$EVENBREATH" "$command" --json --explain "$alder" >"$work/c" 2>"$work/e" || return 1
    for locale in de_DE.UTF-8 sv_SE.UTF-8; do
      LC_ALL=$locale "$EVENBREATH" "$command" --json --explain "$alder" >"$work/l" 2>"$work/e" || return 1
      cmp "$work/c" "$work/l" || return 1
    done
  done
}
check "the same bytes in de_DE and sv_SE" locales

timings() {
  "$EVENBREATH" ducts --json "$alder" >"$work/without" 2>"$work/e" &&
    "$EVENBREATH" ducts --json --timings "$alder" >"$work/with" 2>"$work/err" &&
    cmp "$work/without" "$work/with" &&
    grep -Eq 'read in [0-9.]+ ms, calculated in [0-9.]+ ms' "$work/err"
}
check "--timings speaks on standard error alone" timings

elsewhere() {
  cp "$alder" "$work/alder-row.yaml"
  mkdir -p "$work/deep"
  (cd "$work" && "$EVENBREATH" energy --json --explain alder-row.yaml) >"$work/one" 2>&1
  cp "$alder" "$work/deep/alder-row.yaml"
  (cd "$work/deep" && "$EVENBREATH" energy --json --explain alder-row.yaml) >"$work/two" 2>&1
  cmp "$work/one" "$work/two" && grep -q '"saving"' "$work/one"
}
check "the same bytes in another folder" elsewhere

json_on_failure() {
  exits 3 "$EVENBREATH" ducts --json /dev/null && says '"findings"' && says '"severity": "error"' &&
    says '"program": "evenbreath"'
}
check "a failure is JSON too where JSON was asked for" json_on_failure

narrow() {
  for command in rates ducts energy; do
    exits 0 "$EVENBREATH" "$command" "$alder" || return 1
    awk 'length($0) > 100 { print; bad = 1 } END { exit bad }' "$work/out" || return 1
  done
}
check "no line of a result is wider than 100 columns" narrow

units() {
  exits 0 "$EVENBREATH" ducts --units imperial "$alder" && says "cfm" &&
    exits 0 "$EVENBREATH" ducts --units metric "$alder" && says "m3/h"
}
check "--units shows m3/h and cfm" units

done_checking
