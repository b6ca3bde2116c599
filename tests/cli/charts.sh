#!/bin/sh
# The pictures that are charts: the same bytes each time, no word on another or off the page, figures
# those of the JSON; of the examples, of sixty terminals, of long names.

. "$(dirname "$0")/lib.sh"

if "$EVENBREATH" draw --help >/dev/null 2>&1; then :; else
  echo "1..0 # SKIP built without drawings"
  exit 0
fi
for tool in pdftotext python3; do
  command -v $tool >/dev/null && continue
  echo "1..0 # SKIP no $tool"
  exit 0
done

apart() {
  pdftotext -bbox "$1" "$work/boxes.html" && awk -v least=20 -f "$here/word_boxes.awk" "$work/boxes.html"
}

words() {
  python3 "$here/charts.py" "$@"
}

# ---- Houses ----

# many COUNT NAME FILE: a house of so many rooms, each with a terminal, and three rounds of readings
# taken in it (FILE.readings.yaml).
many() {
  awk -v count="$1" -v name="$2" 'BEGIN {
    print "dwelling: Many Rooms\nrules: none\nfloor_area: 300 m2\nvolume: 700 m3"
    print "site: {climate: nottingham}"
    print "envelope: {heat_loss: 200 W/K, gains: 500 W, leakage: 1 ach}\nbaseline: trickle-vents"
    print "unit: generic-unit-a\nrooms:"
    for (i = 1; i <= count; i++)
      printf "  \"%s %d\": {use: %s, area: 9 m2, height: 2.4 m, " \
        "%s: {normal: %.2f l/s, boost: %.2f l/s}, sound_limit: %d dB}\n", name, i,
        i % 2 ? "bedroom" : "bathroom", i % 2 ? "supply" : "extract", 60 / count, 72 / count,
        10 + i % 20
    print "ducts:\n  supply:"
    print "    - {run: main, from: unit, to: box, duct: steel-160, length: 2 m}"
    for (i = 1; i <= count; i += 2)
      printf "    - {run: \"s %s %d\", from: box, to: \"%s %d\", duct: semirigid-75, " \
        "length: %.1f m, valve: supply-valve-125}\n", name, i, name, i, 3 + i / 10
    print "  extract:"
    print "    - {run: back, from: hub, to: unit, duct: steel-160, length: 2 m}"
    for (i = 2; i <= count; i += 2)
      printf "    - {run: \"e %s %d\", from: \"%s %d\", to: hub, duct: semirigid-75, " \
        "length: %.1f m, valve: extract-valve-125}\n", name, i, name, i, 3 + i / 10
    print "  outdoor:\n    - {run: in, from: outdoors, to: unit, duct: steel-160, length: 2 m}"
    print "  exhaust:\n    - {run: out, from: unit, to: outdoors, duct: steel-160, length: 2 m}"
    print "junctions: {box: {kind: box}, hub: {kind: box}}"
  }' >"$3"
  awk -v count="$1" -v name="$2" -v house="${3##*/}" 'BEGIN {
    print "house: " house "\ninstrument: {name: hood, bias: 2 %, repeat: 4 %, floor: 0.2 l/s}"
    print "rounds:"
    for (r = 1; r <= 3; r++) {
      print "  - level: normal\n    state: {bypass: shut, frost: off}"
      printf "    fans: {supply: %d %%, extract: %d %%}\n    flows:\n", 50 + 5 * r, 52 + 4 * r
      for (i = 1; i <= count; i++)
        printf "      \"%s %d\": %.2f l/s\n", name, i, 60 / count * (0.7 + 0.1 * r + i * 7 % 11 / 60)
    }
  }' >"$3.readings.yaml"
}

long='Gästezimmer für Großmütter und Übernachtungsgäste östlich élan'
many 60 room "$work/many.yaml"
many 4 "$long" "$work/long.yaml"
many 2 Wohnzimmermitküchenzeileundausgangzumgartenundzurterrasseauch "$work/word.yaml"
cp "$examples"/*.yaml "$work" || exit 1
cp "$examples/alder-row-balance.yaml" "$work/alder-row.yaml.readings.yaml"

# ---- Each of each house ----

# draws PICTURE HOUSE FILE: with the readings of the house or a second house, where it asks.
draws() {
  exits 0 "$EVENBREATH" draw --show "$1" "$2" -o "$3" && return 0
  if [ "$got" -eq 2 ] && grep -q "file of its readings" "$work/err"; then
    exits 0 "$EVENBREATH" draw --show "$1" "$2" "$2.readings.yaml" -o "$3"
  elif [ "$got" -eq 2 ]; then
    exits 0 "$EVENBREATH" draw --show "$1" "$2" "$work/alder-row-branched.yaml" -o "$3"
  else
    return 1
  fi
}

same_bytes() {
  for ending in svg png pdf; do
    draws "$1" "$2" "$work/one.$ending" && draws "$1" "$2" "$work/two.$ending" &&
      cmp "$work/one.$ending" "$work/two.$ending" || return 1
  done
}

# And no drawing library complains of what it was given.
legible() {
  draws "$1" "$2" "$work/words.pdf" && ! grep -i "warning \*\*\|critical \*\*" "$work/err" &&
    apart "$work/words.pdf"
}

for picture in duty sound year rounds layouts; do
  check "$picture: the same bytes each time" same_bytes "$picture" "$work/alder-row.yaml"
  for house in alder-row many long word; do
    check "$picture: words apart and on the page, $house" legible "$picture" "$work/$house.yaml"
  done
done

# ---- Figures ----

cd "$work" || exit 1
figures() {
  picture=$1
  shift
  "$EVENBREATH" draw --show "$picture" "$@" -o "$work/figures.pdf" 2>/dev/null || return 1
  case $picture in
  duty | sound) command=ducts ;;
  year) command=energy ;;
  rounds) command=balance ;;
  *) command=compare ;;
  esac
  "$EVENBREATH" "$command" --json "$@" >"$work/figures.json" 2>/dev/null || return 1
  words agree "$picture" "$work/figures.pdf" "$work/figures.json"
}
for picture in duty sound year; do
  check "$picture: its figures are those of the JSON" figures "$picture" alder-row.yaml
done
check "sound: sixty rooms" figures sound many.yaml
check "rounds: its figures are those of the JSON" figures rounds alder-row.yaml \
  alder-row-balance.yaml
check "rounds: after one round" figures rounds alder-row.yaml alder-row-visit.yaml
check "layouts: its figures are those of the JSON" figures layouts alder-row.yaml \
  alder-row-branched.yaml

imperial() {
  exits 0 "$EVENBREATH" draw --units imperial --show duty alder-row.yaml -o "$work/cfm.pdf" &&
    words says "$work/cfm.pdf" cfm in.wg
}
check "units as asked for" imperial

# ---- What a house lacks ----

lacks() {
  why=$1
  shift
  rm -f none.svg
  exits 3 "$EVENBREATH" draw "$@" -o none.svg && says "$why" && [ ! -e none.svg ]
}
cat >rooms.yaml <<'END'
rules: none
rooms: {den: {use: living, area: 9 m2, height: 2.4 m, supply: 5 l/s}}
END
sed 's|^unit: .*|unit: {name: mute, fan: {curves: [{speed: 100 %, columns: [l/s, Pa], points: [[0, 300], [90, 50]]}]}}|' \
  many.yaml >mute.yaml
check "no ducts, no duty" lacks "no ducts" --show duty rooms.yaml
check "no ducts, no sound" lacks "no ducts" --show sound rooms.yaml
check "a unit without sound" lacks "sound of its unit is not known" --show sound mute.yaml
check "no climate, no year" lacks "no climate" --show year rooms.yaml
check "no ducts, no rounds" lacks "no ducts" --show rounds rooms.yaml alder-row-balance.yaml

# ---- A side that is not there, a fan at its end, a valve that changes over ----

cat >small.yaml <<'END'
rules: none
rooms: {den: {use: living, area: 9 m2, height: 2.4 m, supply: {normal: 5 l/s, boost: 60 l/s}}}
unit: generic-unit-a
ducts:
  supply:
    - {run: tube, from: unit, to: den, duct: semirigid-75, length: 12 m, valve: supply-valve-125}
END
weak() {
  exits 0 "$EVENBREATH" draw --show duty small.yaml -o weak.pdf && apart weak.pdf &&
    words says weak.pdf Supply none: at its end && ! words says weak.pdf Extract
}
check "duty: one side, a fan at its end" weak

done_checking
