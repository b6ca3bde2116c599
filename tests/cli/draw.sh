#!/bin/sh
# Pictures: their formats, the same bytes each time, words that do not lie on each other, the
# figures of `ducts`, and what is said where nothing can be drawn.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml
houses=$here/../houses

"$EVENBREATH" draw "$alder" 2>&1 | grep -q "built without drawings" && {
  echo "1..0 # SKIP built without drawings"
  exit 0
}

draw() { # draw PICTURE FILE HOUSE...
  picture=$1 file=$2
  shift 2
  exits 0 "$EVENBREATH" draw --show "$picture" -o "$file" "$@"
}

# ---- Formats ----

begins() { # begins FILE BYTES
  [ "$(head -c "${#2}" "$1")" = "$2" ] && return 0
  echo "$1 does not begin with $2"
  return 1
}

formats() {
  draw scheme "$work/a.svg" "$alder" && begins "$work/a.svg" '<?xml' || return 1
  draw scheme "$work/a.PDF" "$alder" && begins "$work/a.PDF" '%PDF-' || return 1
  draw scheme "$work/a.png" "$alder" && [ "$(head -c 4 "$work/a.png" | tail -c 3)" = PNG ] || return 1
  exits 0 "$EVENBREATH" draw --show scheme "$alder" && cmp "$work/out" "$work/a.svg"
}
check "the ending says the format, without -o it is SVG" formats

well_formed() {
  draw scheme "$work/a.svg" "$alder" && xmllint --noout "$work/a.svg"
}
if xmllint --version >/dev/null 2>&1; then
  check "SVG is well-formed XML" well_formed
fi

sheet() { # sheet PAPER WIDTH HEIGHT
  exits 0 "$EVENBREATH" draw --show scheme --paper "$1" -o "$work/p.pdf" "$alder" &&
    pdftotext -bbox "$work/p.pdf" - | grep -q "width=\"$2[.0-9]*\" height=\"$3[.0-9]*\""
}

same_bytes() {
  mkdir -p "$work/elsewhere"
  cp "$alder" "$work/elsewhere"
  for ending in svg png pdf; do
    draw scheme "$work/1.$ending" "$alder" || return 1
  done
  sleep 1 # a second is what a PDF's date would show
  for ending in svg png pdf; do
    draw scheme "$work/2.$ending" "$alder" &&
      (cd "$work/elsewhere" && export LC_ALL=C TZ=Asia/Tokyo && draw scheme "3.$ending" alder-row.yaml) &&
      cmp "$work/1.$ending" "$work/2.$ending" &&
      cmp "$work/1.$ending" "$work/elsewhere/3.$ending" || return 1
    for locale in $(locale -a 2>/dev/null | grep -i -m 1 '^\(de_DE\|cs_CZ\).*utf'); do
      (export LC_ALL="$locale" && draw scheme "$work/4.$ending" "$alder") &&
        cmp "$work/1.$ending" "$work/4.$ending" || return 1
    done
  done
}
check "the same bytes later, in another folder, under another locale" same_bytes

every_one() {
  exits 0 "$EVENBREATH" draw --show all -o "$work/all.pdf" "$alder" && begins "$work/all.pdf" '%PDF-' &&
    exits 2 "$EVENBREATH" draw --show all "$alder" && says "name a file that ends in .pdf"
}
check "all of them are pages of a PDF" every_one

# ---- What cannot be drawn ----

usage() {
  exits 2 "$EVENBREATH" draw "$alder" && says "say which picture" && says "scheme" &&
    exits 2 "$EVENBREATH" draw --show cartoon "$alder" && says 'not "cartoon"' &&
    exits 2 "$EVENBREATH" draw --show scheme -o "$work/a.gif" "$alder" && says ".svg, .png or .pdf" &&
    exits 2 "$EVENBREATH" draw --show scheme --paper a0 "$alder" && says "a4 or letter" &&
    exits 2 "$EVENBREATH" draw --show scheme "$alder" "$alder" && says "one house file" &&
    exits 2 "$EVENBREATH" draw --show scheme --json "$alder" && says "--json" &&
    exits 2 "$EVENBREATH" rates --show scheme "$alder" && says "for draw" &&
    exits 2 "$EVENBREATH" batch draw "$alder" && [ ! -e "$work/a.gif" ]
}
check "a wrong command line is status 2 and says what is allowed" usage

unwritable() {
  exits 5 "$EVENBREATH" draw --show scheme -o "$work/none/a.svg" "$alder" && says "none/a.svg" &&
    exits 5 "$EVENBREATH" draw --show scheme -o /dev/full "$alder" &&
    exits 5 sh -c '"$1" draw --show scheme "$2" >/dev/full' sh "$EVENBREATH" "$alder"
}
if [ -w /dev/full ]; then
  check "what cannot be written is status 5" unwritable
fi

left_alone() {
  mkdir "$work/kept" && echo before >"$work/kept/a.svg"
  exits 3 "$EVENBREATH" draw --show scheme -o "$work/kept/a.svg" /dev/null &&
    [ "$(cat "$work/kept/a.svg")" = before ] && [ "$(ls "$work/kept")" = a.svg ]
}
check "a house that is wrong leaves an earlier file, and no other" left_alone

no_font() {
  echo '<fontconfig></fontconfig>' >"$work/fonts.conf"
  exits 6 env FONTCONFIG_FILE="$work/fonts.conf" "$EVENBREATH" draw --show scheme -o "$work/f.svg" "$alder" &&
    says "fonts-dejavu-core" && [ ! -e "$work/f.svg" ] &&
    exits 6 env FONTCONFIG_FILE="$work/fonts.conf" "$EVENBREATH" draw --show scheme "$alder" &&
    [ ! -s "$work/out" ]
}
check "a missing font is said, and nothing is written" no_font

# ---- Words and figures, as a PDF holds them ----

pdftotext -v >/dev/null 2>&1 || {
  done_checking
  exit
}

check "a sheet is A4" sheet a4 595 841
check "or letter" sheet letter 612 792

apart() { # apart PICTURE LEAST-WORDS HOUSE...
  picture=$1 least=$2
  shift 2
  draw "$picture" "$work/w.pdf" "$@" && pdftotext -bbox "$work/w.pdf" "$work/w.html" &&
    awk -v least="$least" -f "$here/word_boxes.awk" "$work/w.html"
}

# shellcheck source=tests/cli/draw_houses.sh
. "$here/draw_houses.sh"

for picture in scheme pressures; do
  for file in "$alder" "$examples/alder-row-branched.yaml" "$houses"/*.yaml; do
    "$EVENBREATH" ducts "$file" >/dev/null 2>&1 || continue
    check "$picture of $(basename "$file"): no word on another or over the edge" apart "$picture" 30 "$file"
  done
  house_of 30 "" >"$work/sixty.yaml"
  check "$picture of 60 terminals" apart "$picture" 400 "$work/sixty.yaml"
  house_of 3 "-Übergangszimmer-für-die-Großmütter-und-Enkel-im-Dachgeschoß" >"$work/long.yaml"
  check "$picture with names of 60 characters" apart "$picture" 60 "$work/long.yaml"
  for units in metric imperial; do
    check "$picture in $units units" apart "$picture" 60 --units $units "$alder"
  done
done
check "scheme of rooms alone" apart scheme 20 "$examples/one-room.yaml"

# Each line "NAME FLOW LOSS" of the text of `ducts` against the words that follow the name.
figures() { # figures HOUSE
  draw scheme "$work/w.pdf" "$1" && pdftotext -raw "$work/w.pdf" "$work/w.txt" || return 1
  "$EVENBREATH" ducts "$1" 2>/dev/null |
    sed -n '/^Runs at/,/^$/p' | grep '^  ' | awk '{ print $1, $(NF - 5), $NF }' >"$work/runs"
  [ -s "$work/runs" ] || return 1
  while read -r name flow loss; do
    grep -x -A 1 -e "$name" "$work/w.txt" | grep -q "^$flow l/s,.* $loss Pa\$" || {
      echo "$name: not $flow l/s and $loss Pa"
      return 1
    }
  done <"$work/runs"
}
for file in "$alder" "$examples/alder-row-branched.yaml" "$houses/short-branches.yaml"; do
  check "flows and losses in the scheme of $(basename "$file") are those of ducts" figures "$file"
done

# Every way of either side ends at what the fan raises, in the picture as in the JSON.
ways() { # ways HOUSE
  draw pressures "$work/w.pdf" "$1" && pdftotext -raw "$work/w.pdf" "$work/w.txt" &&
    exits 0 "$EVENBREATH" ducts --json "$1" &&
    python3 "$here/pressure_ways.py" "$work/out" "$work/w.txt"
}
if python3 -c "" 2>/dev/null; then
  for file in "$alder" "$examples/alder-row-branched.yaml" "$houses"/*.yaml; do
    "$EVENBREATH" ducts "$file" >/dev/null 2>&1 || continue
    check "losses in $(basename "$file") add up to the fans' pressure" ways "$file"
  done
fi

done_checking
