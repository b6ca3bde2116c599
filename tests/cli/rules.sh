#!/bin/sh
# One house under other rule sets than its own.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml

all() {
  exits 0 "$EVENBREATH" rates --rules all "$alder" && says "england-2021" && says "31.0" &&
    says "sweden-bbr" && says "32.2" || return 1
  sets=$("$EVENBREATH" tables --json rules | grep -c '"name"')
  rows=$("$EVENBREATH" rates --json --rules all "$alder" | grep -c '"rules"')
  [ "$sets" -eq "$rows" ] && [ "$rows" -gt 30 ]
}
check "--rules all gives a line for every set" all

bare() {
  printf 'rooms:\n  a: {use: living, area: 20 m2, height: 2.4 m}\n  b: {use: kitchen, area: 9 m2, height: 2.4 m}\nrules: none\n' \
    >"$work/bare.yaml"
  exits 0 "$EVENBREATH" rates --rules all "$work/bare.yaml" && says "see below" && says "bedrooms"
}
check "a set that lacks an input says which" bare

one() {
  exits 0 "$EVENBREATH" rates --json --rules sweden-bbr "$alder" && says '"rules": "sweden-bbr"' &&
    says '"required_l_s": 32.2' && exits 3 "$EVENBREATH" rates --rules sweden-bbx "$alder" &&
    says "sweden-bbr"
}
check "--rules SET plans by that set, and a wrong name is answered" one

refused() {
  exits 2 "$EVENBREATH" ducts --rules all "$alder" && says "for rates"
}
check "--rules all is for rates alone" refused

memory() {
  exits 0 "$EVENBREATH" rates --rules wales-2022 "$alder" && says "memory"
}
check "a set known from memory says so" memory

done_checking
