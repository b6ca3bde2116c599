#!/bin/sh
# evenbreath tables: what is built in, with its source.

. "$(dirname "$0")/lib.sh"

lists() {
  exits 0 "$EVENBREATH" tables && says "england-2021" && says "nottingham" && says "(invented)" &&
    exits 0 "$EVENBREATH" tables climates && says "nottingham" && ! grep -q england "$work/out"
}
check "lists all, or one kind" lists

shows() {
  exits 0 "$EVENBREATH" tables rules england-2021 && says "source:" &&
    exits 0 "$EVENBREATH" tables --json rules england-2021 && says '"text"'
}
check "shows one as it stands in its file" shows

unknown() {
  exits 3 "$EVENBREATH" tables rules sweden-bbs && says "sweden-bbr" &&
    exits 3 "$EVENBREATH" tables rooles && says "rules" &&
    exits 3 "$EVENBREATH" tables rules ../../etc/passwd
}
check "an unknown name suggests the nearest; a path is refused" unknown

own_folder() {
  mkdir -p "$work/mine/climates"
  "$EVENBREATH" tables climates nottingham | sed 's/^title: .*/title: my own place/' \
    >"$work/mine/climates/here.yaml"
  exits 0 "$EVENBREATH" tables --tables "$work/mine" climates && says "my own place"
}
check "--tables adds a folder of one's own" own_folder

# What --explain names of ducts and sound is in the list (other names there may be a table's).
methods() {
  exits 0 "$EVENBREATH" tables methods && says "Methods of ducts" && says "Colebrook" &&
    says "roughness/diameter up to 0.05" && [ "$(awk 'length > 100' "$work/out" | wc -l)" -eq 0 ] ||
    return 1
  sed -n 's/^  \([^ ]*\)$/\1/p' "$work/out" | sort >"$work/listed"
  "$EVENBREATH" ducts --explain "$examples/alder-row.yaml" 2>&1 |
    sed -n 's/^        \(\(ducts\|sound\)\.[a-z-]*\): .*/\1/p' | sort -u >"$work/used"
  [ "$(wc -l <"$work/used")" -gt 20 ] && [ -z "$(comm -13 "$work/listed" "$work/used")" ]
}
check "methods: all that --explain names, in 100 columns" methods

some_methods() {
  exits 0 "$EVENBREATH" tables methods sound.room && says "Sabine" && ! grep -q "sound.way" "$work/out" &&
    exits 0 "$EVENBREATH" tables --json methods sound && says '"id": "sound.way"' &&
    exits 2 "$EVENBREATH" tables methods sound.rooms && says 'called "sound.rooms"'
}
check "methods of a group, or one" some_methods

done_checking
