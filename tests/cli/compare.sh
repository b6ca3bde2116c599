#!/bin/sh
# evenbreath compare: houses side by side, and one house under two settings.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml

# The same house with a shorter way to the living room, a wider tube to bed-2 and
# a run of another name.
sed -e 's/^dwelling: .*/dwelling: Alder Row 4, other tubes/' \
  -e 's/length: 11.5 m, fittings: \[5 x/length: 7.5 m, fittings: [3 x/' \
  -e 's/to: bed-2,  duct: semirigid-75/to: bed-2,  duct: semirigid-90/' \
  -e 's/run: e-low, /run: e-deep,/' -e 's/straight: e-low/straight: e-deep/' \
  "$alder" >"$work/other.yaml"
sed '/^site:/,/^$/d' "$alder" >"$work/no-climate.yaml"
sed '/^ducts:/,/^junctions:/d; /s-box: /d; /e-tee/d' "$alder" >"$work/no-ducts.yaml"
cp "$alder" "$work/alder.yaml"
cd "$work" || exit 1

# row WHAT: the line of that row, blanks pressed together.
row() {
  grep -F "  $1  " "$work/out" | tr -s ' '
}

two() {
  exits 0 "$EVENBREATH" compare alder.yaml other.yaml && says "A  alder.yaml: Alder Row 4" &&
    says "B  other.yaml: Alder Row 4, other tubes" &&
    row "supply index pressure at normal" | grep -q '\*.* B by ' &&
    row "extract index pressure at normal" | grep -q 'same$' &&
    row "duct in all" | grep -q 'm 82.2 \*74.2 B by 8.0$' &&
    row "required flows met at boost" | grep -q '4 of 4 4 of 4 same'
}
check "two houses: each figure, who wins it and by how much" two

differences() {
  exits 0 "$EVENBREATH" compare alder.yaml other.yaml || return 1
  sed -n '/^What differs/,$p' "$work/out" | tr -s ' ' >"$work/differ"
  cat >"$work/expected" <<'END'
What differs A B
 run s-living length 11.5 m 7.5 m
 fittings 5 x bend-90 3 x bend-90
 run s-bed-2 duct semirigid-75 semirigid-90
 run e-low duct steel-100 -
 length 2.5 m -
 run e-deep duct - steel-100
 length - 2.5 m
 junction e-tee-mid straight e-low e-deep
END
  diff "$work/expected" "$work/differ"
}
check "what differs, run by run" differences

findings() {
  exits 0 "$EVENBREATH" compare alder.yaml other.yaml && grep -q '^A alder.yaml:$' "$work/err" &&
    grep -q '^B other.yaml:$' "$work/err" && grep -q '^other.yaml:.*note' "$work/err" &&
    says "life-cycle cost is the parts and the energy bills of 25 years at 3 % interest"
}
check "findings stand below by file" findings

lacking() {
  exits 0 "$EVENBREATH" compare alder.yaml no-ducts.yaml no-climate.yaml &&
    row "supply fan signal at normal" | grep -q ' % [0-9]* - [0-9]*$' &&
    row "heat the house needs" | grep -q 'kWh [*0-9]* [*0-9]* - ' && says "required flows met"
}
check "three houses; what one does not give is -" lacking

itself() {
  exits 0 "$EVENBREATH" compare --set levels.boost.at_least=140% alder.yaml &&
    says "A  alder.yaml: Alder Row 4, as written" &&
    says "B  alder.yaml: Alder Row 4, with --set levels.boost.at_least=140%" &&
    row "specific fan power at boost" | grep -q 'A by' && says "at least 140 % of normal"
}
check "one house under two settings" itself

many() {
  # shellcheck disable=SC2046
  exits 0 "$EVENBREATH" compare $(yes alder.yaml | head -n 29) other.yaml &&
    grep -q '^AD other.yaml' "$work/out" && grep -q 'AD by' "$work/out" &&
    awk 'length($0) > 100 { print; bad = 1 } END { exit bad }' "$work/out"
}
check "thirty houses in blocks of columns no wider than 100" many

set_for_all() {
  exits 3 "$EVENBREATH" compare --set site.climate=nowhere alder.yaml other.yaml &&
    grep -q '^B other.yaml:$' "$work/err" && [ "$(grep -c 'no climate called' "$work/err")" -eq 2 ] &&
    exits 0 "$EVENBREATH" compare --json --set floor_area=99m2 alder.yaml other.yaml &&
    [ "$(grep -c '"floor_area=99m2"' "$work/out")" -eq 2 ]
}
check "--set acts on each of several houses" set_for_all

same() {
  exits 0 "$EVENBREATH" compare alder.yaml alder.yaml && says "describe the same house"
}
check "a house against itself differs in nothing" same

wrong() {
  exits 5 "$EVENBREATH" compare alder.yaml none.yaml && says "none.yaml" && [ ! -s "$work/out" ] &&
    ! grep -q '^alder.yaml' "$work/err" &&
    printf 'rooms: 3\n' >bad.yaml && exits 3 "$EVENBREATH" compare bad.yaml alder.yaml &&
    says "bad.yaml:1:" && [ ! -s "$work/out" ]
}
check "a missing or wrong file is named, and nothing else is printed" wrong

unplanned() {
  sed '/^bedrooms:/d' "$alder" >unplanned.yaml
  exits 3 "$EVENBREATH" compare alder.yaml unplanned.yaml && says "bedrooms" &&
    row "supply at normal" | grep -q 'l/s 31.0 -'
}
check "a house that cannot be planned keeps its column, and the status is 3" unplanned

usage() {
  exits 2 "$EVENBREATH" compare alder.yaml && says "two house files or more" &&
    exits 2 "$EVENBREATH" compare - - && says "once" &&
    exits 2 "$EVENBREATH" compare --set people=3 - && says "once" &&
    "$EVENBREATH" compare alder.yaml - <other.yaml 2>"$work/err" | grep -q '^B  -: '
}
check "one file alone is refused, standard input is read once" usage

json() {
  exits 0 "$EVENBREATH" compare --json --explain alder.yaml other.yaml && says '"command": "compare"' &&
    says '"label": "B"' && says '"what": "specific fan power at boost"' && says '"unit": "W/(l/s)"' &&
    says '"better": 1' && says '"better": null' && says '"differences"' && says '"house": "B"' &&
    says '"id": "life-cycle-cost"' || return 1
  cp "$work/out" "$work/first"
  LC_ALL=de_DE.UTF-8 "$EVENBREATH" compare --json --explain alder.yaml other.yaml >"$work/again" 2>"$work/err"
  cmp "$work/first" "$work/again" &&
    exits 5 "$EVENBREATH" compare --json alder.yaml none.yaml && says '"severity": "error"'
}
check "JSON, the same bytes in another locale, and on failure too" json

done_checking
