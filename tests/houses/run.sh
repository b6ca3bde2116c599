#!/bin/sh
# Whole houses against what is expected of them: HOUSE.COMMAND.json says which
# members `evenbreath COMMAND --json HOUSE.yaml` must hold (energy-detail: energy
# --detail, made by tests/outside/air_work.py --write). HOUSE.yaml stands
# beside it, or in examples/. The numbers are the rules' or own calculations,
# never the program's: those of ducts and energy come from a solution made apart
# with the laws in tests/outside/house_laws.py. One TAP line each.

set -u
here=$(cd "$(dirname "$0")" && pwd)
: "${EVENBREATH:?the program to test}"
MATCH_JSON=${MATCH_JSON:-${builddir:-.}/tests/match_json}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

count=0
failed=0
for expected in "$here"/*.*.json; do
  [ -e "$expected" ] || continue
  count=$((count + 1))
  base=$(basename "$expected" .json)
  house=${base%.*}
  command=${base##*.}
  detail=
  [ "$command" = energy-detail ] && command=energy detail=--detail
  file=$here/$house.yaml
  [ -e "$file" ] || file=$here/../../examples/$house.yaml
  # shellcheck disable=SC2086
  "$EVENBREATH" "$command" $detail --json "$file" >"$work/actual" 2>"$work/errors"
  status=$?
  if [ "$status" -eq 0 ] && "$MATCH_JSON" "$expected" "$work/actual" >"$work/differences"; then
    echo "ok $count - $base"
  else
    failed=$((failed + 1))
    echo "not ok $count - $base (exit status $status)"
    sed 's/^/# /' "$work/errors" "$work/differences"
  fi
done
echo "1..$count"
[ "$count" -gt 0 ] && [ "$failed" -eq 0 ]
