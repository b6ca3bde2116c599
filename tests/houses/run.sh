#!/bin/sh
# Whole houses against what is expected of them: HOUSE.COMMAND.json beside
# HOUSE.yaml says which members `evenbreath COMMAND --json HOUSE.yaml` must
# hold. One TAP line each.

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
  "$EVENBREATH" "$command" --json "$here/$house.yaml" >"$work/actual" 2>"$work/errors"
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
