#!/bin/sh
# evenbreath parts: what to order, where it goes, what two layouts differ in.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml

# A house of two runs with names that a spreadsheet could stumble over. Its unit has spigots of
# 125 mm, so that nothing but these lines is needed.
small() { # small LENGTH PRICES
  cat <<END
dwelling: Nook
rules: none
currency: EUR
rooms:
  "bath, \"the blue one\"": {use: bathroom, area: 5 m2, height: 2.4 m, extract: 9 l/s}
unit:
  name: nook unit
  spigots: 125 mm
  fan: {curves: [{speed: 100 %, columns: [l/s, Pa, W], points: [[0, 400, 20], [60, 100, 30]]}]}
ducts:
  extract:
    - {run: 'up, then "left"', from: 'bath, "the blue one"', to: unit, duct: steel-125, length: $1, fittings: [2 x bend-90], valve: extract-valve-125}
  exhaust:
    - {run: out, from: unit, to: outdoors, duct: steel-125, length: 1.5 m}
costs: {parts: {date: 2026-11, source: merchant's list, waste: 10 %, prices: {$2}}}
END
}
small '3.4 m' 'steel-125: 8.20 per m, bend-90-125: 6.10 each' >"$work/a.yaml"
small '7.9 m' 'steel-125: 8.20 per m, bend-90-125: 6.10 each' >"$work/b.yaml"

# 4.9 m and 10 % are two pieces of 3 m at 24.60; one joint in the 3.4 m.
text() {
  exits 0 "$EVENBREATH" parts "$work/a.yaml" && says "Nook: parts to order, for 4.9 m" &&
    says "2 x 3 m  steel-125" && says "49.20" && says 'up, then "left" 3.4 m, out 1.5 m' &&
    says "1 x      coupling-steel-125" && says "2 x      bend-90-steel-125" && says "12.20" &&
    says "In all" && says "EUR" && says "invented"
}
check "lists what to order, with own prices and where it goes" text

example() {
  exits 0 "$EVENBREATH" parts "$alder" && says "box, inlet steel-160, 6 ports semirigid-75" &&
    says "tee-90-steel-125-125-100" && says "reducer-steel-160-125" &&
    says "silencer-160-900" && says "insulation-50-160, 0.037 W/(m.K)" && says "wall-louvre-160" &&
    awk 'length($0) > 100 { print; bad = 1 } END { exit bad }' "$work/out"
}
check "the example's list has what its layout implies, within 100 columns" example

unpriced() {
  exits 0 "$EVENBREATH" parts "$alder" && says "1 line has no price" && says "8 Pa at 13 l/s"
}
check "what has no price is told" unpriced

# RFC 4180: CR LF, quotes doubled, as many fields in each row.
csv() {
  exits 0 "$EVENBREATH" parts --csv "$work/a.yaml" || return 1
  cr=$(printf '\r')
  [ "$(grep -c "$cr\$" "$work/out")" -eq "$(wc -l <"$work/out")" ] &&
    grep -q '^kind,item,quantity,unit,piece_m,length_m,price,known,cost,where' "$work/out" &&
    grep -qF 'duct,steel-125,2,pieces,3,4.9,24.6,user,49.2,"up, then ""left""; out"' "$work/out" &&
    grep -qF 'bend,bend-90-steel-125,2,pieces,,,6.1,user,12.2,"up, then ""left"""' "$work/out"
}
check "--csv is quoted after RFC 4180" csv

commas() {
  exits 0 "$EVENBREATH" parts --csv "$alder" &&
    says '"box, inlet steel-160, 6 ports semirigid-75",1,pieces' &&
    says '"no name, 8 Pa at 13 l/s, steel-125",1,pieces,,,,,,e-kitchen'
}
check "--csv quotes items with commas and leaves unknown prices empty" commas

json() {
  exits 0 "$EVENBREATH" parts --json "$work/a.yaml" && says '"command": "parts"' &&
    says '"item": "steel-125"' && says '"unit": "pieces"' && says '"where": [' &&
    says '"where_amount": [' && says '"known": "user"' && says '"duct_m": 4.9' &&
    says '"waste_percent": 10' && says '"currency": "EUR"'
}
check "--json has the same" json

# 4.5 m more: 4 pieces instead of 2, joints 2 instead of 1, brackets 7 instead of 3.
difference() {
  exits 0 "$EVENBREATH" parts "$work/a.yaml" "$work/b.yaml" && says "more (+) or less (-)" &&
    says "   +2 x 3 m  steel-125" && says "+49.20" && says "   +1 x      coupling-steel-125" &&
    says "   +4 x      bracket-125" && says "Duct +4.5 m: 9.4 m instead of 4.9 m" || return 1
  if grep -q bend-90 "$work/out"; then return 1; fi
  exits 0 "$EVENBREATH" parts "$work/b.yaml" "$work/a.yaml" && says "   -2 x 3 m  steel-125"
}
check "two files: what the second needs more or less" difference

same() {
  exits 0 "$EVENBREATH" parts "$work/a.yaml" "$work/a.yaml" && says "7 of 7 lines are the same" &&
    says "In all +0.00 EUR"
}
check "a house against itself differs in nothing" same

only_in_one() {
  sed 's/extract-valve-125/extract-valve-100/' "$work/a.yaml" >"$work/c.yaml"
  exits 0 "$EVENBREATH" parts "$work/a.yaml" "$work/c.yaml" && says "   -1 x      extract-valve-125" &&
    says "   +1 x      extract-valve-100" && says "   +1 x      reducer-steel-125-100"
}
check "parts that only one of two has" only_in_one

difference_machine() {
  exits 0 "$EVENBREATH" parts --json "$work/a.yaml" "$work/b.yaml" && says '"files": [' &&
    says '"first": 2' && says '"second": 4' && says '"houses": [' || return 1
  exits 0 "$EVENBREATH" parts --csv "$work/a.yaml" "$work/b.yaml" &&
    says 'duct,steel-125,2,pieces,2,4,49.2,98.4,"up, then ""left""; out","up, then ""left""; out"'
}
check "two files in JSON and CSV" difference_machine

one_wrong() {
  exits 3 "$EVENBREATH" parts "$work/a.yaml" /dev/null && says "empty" &&
    exits 3 "$EVENBREATH" parts --json /dev/null "$work/a.yaml" && says '"files": [' &&
    says '"severity": "error"' && exits 5 "$EVENBREATH" parts "$work/a.yaml" "$work/none.yaml"
}
check "two files of which one is wrong" one_wrong

explained() {
  exits 0 "$EVENBREATH" parts --explain "$work/a.yaml" && says "parts.length" &&
    says "length of run out" && exits 0 "$EVENBREATH" parts --json --explain "$work/a.yaml" \
    "$work/b.yaml" && says '"explain": ['
}
check "--explain says how lengths became pieces" explained

unsized() {
  sed 's/duct: steel-125, length: 1.5/duct: steel, length: 1.5/' "$work/a.yaml" >"$work/u.yaml"
  exits 3 "$EVENBREATH" parts "$work/u.yaml" && says "run out names no size" && says "ducts"
}
check "a run without a size is named" unsized

no_ducts() {
  sed '/^ducts:/,/length: 1.5 m/d' "$work/a.yaml" >"$work/n.yaml"
  exits 3 "$EVENBREATH" parts "$work/n.yaml" && says "describes no ducts"
}
check "a house without ducts is told" no_ducts

wrong_prices() {
  small '3.4 m' 'steel-125: 8.20, bend-90-125: six each, elbow: 3 per kWh' >"$work/w.yaml"
  exits 3 "$EVENBREATH" parts "$work/w.yaml" && says '"8.20" is neither each nor per m' &&
    says "does not begin with a number" && says '"3 per kWh" is neither' || return 1
  small '3.4 m' 'bend-90-125: 8.20 per m' >"$work/w.yaml"
  exits 3 "$EVENBREATH" parts "$work/w.yaml" && says "sold by the piece" || return 1
  small '3.4 m' 'steel-125: 2.50 per ft' >"$work/w.yaml"
  exits 0 "$EVENBREATH" parts "$work/w.yaml" && says "24.61" # 2.5 / 0.3048 x 3
}
check "prices in wrong units say what to write" wrong_prices

# The example of doc/parts.md is read as it stands.
documented() {
  awk '/^```/ { inside = !inside; next } inside' "$here/../../doc/parts.md" >"$work/doc.yaml"
  sed '/^costs:/d; /^currency:/d' "$work/a.yaml" >>"$work/doc.yaml"
  exits 0 "$EVENBREATH" parts "$work/doc.yaml" && says "24.60" && says "6.10" && says "12 % waste" &&
    says "2 of the prices given are of no part"
}
check "the example of doc/parts.md works" documented

usage() {
  exits 2 "$EVENBREATH" parts && says "name a house file" &&
    exits 2 "$EVENBREATH" parts "$alder" "$alder" "$alder" && says "or two" &&
    exits 2 "$EVENBREATH" ducts --csv "$alder" && says "for parts" &&
    exits 2 "$EVENBREATH" parts --csv --json "$alder" && says "without --json" &&
    exits 2 "$EVENBREATH" parts --csv --explain "$alder"
}
check "wrong command lines are status 2" usage

own_table() {
  mkdir -p "$work/my/ducts"
  cat >"$work/my/ducts/tin.yaml" <<'END'
table: ducts
title: Tin
source: own
known: invented
roughness: 0.1 mm
stock_length: 6 m
sizes: {125: {bore: 125 mm, price: 5 per m}, 160: {bore: 160 mm, stock_length: 2 m}}
END
  sed 's/duct: steel-125/duct: tin-125/' "$work/a.yaml" >"$work/t.yaml"
  exits 0 "$EVENBREATH" parts --tables "$work/my" "$work/t.yaml" && says "1 x 6 m  tin-125" &&
    says "30.00" || return 1
  sed 's/duct: steel-125/duct: tin-160/' "$work/a.yaml" >"$work/t.yaml"
  exits 0 "$EVENBREATH" parts --tables "$work/my" "$work/t.yaml" && says "3 x 2 m  tin-160"
}
check "pieces and prices of a table of one's own" own_table

done_checking
