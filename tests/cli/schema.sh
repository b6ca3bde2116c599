#!/bin/sh
# The schemas for editors: whole, the same each time, in any locale, and where they were asked for.

. "$(dirname "$0")/lib.sh"

both() {
  for kind in house readings; do
    exits 0 "$EVENBREATH" schema "$kind" && says '"$schema"' && says "evenbreath " &&
      [ ! -s "$work/err" ] && cp "$work/out" "$work/$kind" || return 1
  done
}
check "house files and readings have a schema" both

again() {
  for kind in house readings; do
    LC_ALL=de_DE.UTF-8 "$EVENBREATH" schema "$kind" | cmp - "$work/$kind" &&
      (cd / && EVENBREATH_TABLES=/nowhere "$EVENBREATH" schema "$kind") | cmp - "$work/$kind" &&
      exits 0 "$EVENBREATH" schema "$kind" -o "$work/file" && cmp "$work/file" "$work/$kind" ||
      return 1
  done
}
check "the same bytes each time, and by -o" again

valid() {
  command -v python3 >/dev/null || return 0
  python3 -c 'import json, sys
for name in sys.argv[1:]:
    json.load(open(name, encoding="utf-8"))' "$work/house" "$work/readings"
}
check "it is JSON" valid

closed() {
  # Every mapping with keys of its own says that there are no others.
  [ "$(grep -c '"additionalProperties": false' "$work/house")" -eq \
    "$(grep -c '"properties": {' "$work/house")" ] &&
    [ "$(grep -c '"properties": {' "$work/house")" -gt 60 ]
}
check "no mapping takes unknown keys" closed

words() {
  for word in dwelling sound_limit height_at_most temperature_ratio surface_factor per_day; do
    grep -q "\"$word\": {" "$work/house" || return 1
  done
  for word in instrument calibrated condensate repeat unread; do
    grep -q "\"$word\": {" "$work/readings" || return 1
  done
}
check "keys from far down are there" words

refused() {
  exits 2 "$EVENBREATH" schema && says "house or readings" &&
    exits 2 "$EVENBREATH" schema garden && exits 2 "$EVENBREATH" schema house readings &&
    exits 2 "$EVENBREATH" schema --json house && exits 5 "$EVENBREATH" schema house -o "$work/no/x"
}
check "a wrong command line is status 2" refused

full() {
  [ -w /dev/full ] || return 0
  "$EVENBREATH" schema house >/dev/full 2>"$work/err"
  [ $? -eq 5 ] && says "cannot write"
}
check "a full disk is status 5" full

done_checking
