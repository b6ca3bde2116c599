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

done_checking
