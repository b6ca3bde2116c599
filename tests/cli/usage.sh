#!/bin/sh
# How the program answers right and wrong command lines: exit statuses as the
# manual page lists them, messages that say what to write.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml

usage() {
  exits 2 "$EVENBREATH" && says "evenbreath COMMAND" &&
    exits 2 "$EVENBREATH" fly && says 'no command "fly"' &&
    exits 2 "$EVENBREATH" rates && says "name a house file" &&
    exits 2 "$EVENBREATH" rates --units furlong "$alder" && says "si, metric or imperial" &&
    exits 2 "$EVENBREATH" rates --set lonely "$alder" && says "PATH=VALUE" &&
    exits 2 "$EVENBREATH" rates --no-such "$alder" && says "--help" &&
    exits 2 "$EVENBREATH" tables a b c
}
check "a wrong command line is status 2 with a hint" usage

helps() {
  exits 0 "$EVENBREATH" --help && says "rates" &&
    exits 0 "$EVENBREATH" --version && says "evenbreath " || return 1
  for command in check rates ducts energy parts compare batch tables; do
    exits 0 "$EVENBREATH" "$command" --help && says "--json" || return 1
  done
}
check "--help and --version" helps

same_as_manual() {
  for words in "--help" "new --help"; do
    # shellcheck disable=SC2086
    "$EVENBREATH" $words
  done | grep -o -- ' --[a-z][a-z]*' | sort -u >"$work/help"
  grep -o -- ' --[a-z][a-z]*' "$here/../../doc/evenbreath.1" | sort -u >"$work/manual"
  diff "$work/help" "$work/manual"
}
check "the manual page and --help name the same options" same_as_manual

missing() {
  exits 5 "$EVENBREATH" check "$work/none.yaml" && says "none.yaml" &&
    exits 5 "$EVENBREATH" check "$work" && says "folder" &&
    exits 3 "$EVENBREATH" check /dev/null && says "empty"
}
check "a missing file and a folder are status 5, an empty file 3" missing

strict() {
  printf 'dwelling: x\nrules: none\nrooms:\n  a: {use: living, area: 9 m2, height: 2.4 m, supply: 60 l/s}\n  b: {use: kitchen, area: 9 m2, height: 2.4 m, extract: 60 l/s}\n' >"$work/x.yaml"
  exits 0 "$EVENBREATH" rates "$work/x.yaml" && exits 1 "$EVENBREATH" rates --strict "$work/x.yaml"
}
check "--strict turns a warning into status 1" strict

standard_input() {
  "$EVENBREATH" rates --json - <"$alder" >"$work/out" 2>"$work/err" && says '"rooms"'
}
check "- reads standard input" standard_input

overrides() {
  exits 0 "$EVENBREATH" rates --json --set floor_area=150m2 "$alder" && says '"floor_area_m2": 150' &&
    exits 3 "$EVENBREATH" rates --set floor_area=150 "$alder" && says "unit"
}
check "--set overrides a value, and a wrong one is refused" overrides

several() {
  exits 3 "$EVENBREATH" rates "$alder" /dev/null && says "empty" &&
    exits 3 "$EVENBREATH" rates -o "$work/both" "$alder" /dev/null && [ ! -e "$work/both" ]
}
check "a wrong file among several gives the worst status and no file" several

done_checking
