#!/bin/sh
# Sizes that evenbreath ducts chooses: shown, explained, written into the house.

. "$(dirname "$0")/lib.sh"

document=$here/../../doc/sizes.md
awk '/^```yaml/ { inside = 1; next } /^```/ { inside = 0 } inside { print }' "$document" \
  >"$work/house.yaml"
# The same with remarks that must stay.
{
  echo '# a remark at the top'
  sed 's/^  exhaust:/  exhaust: # beside the way out/' "$work/house.yaml"
} >"$work/open.yaml"

chosen() {
  exits 0 "$EVENBREATH" ducts "$work/house.yaml" && says "Sizes chosen" && says "smaller" &&
    says "by life-cycle"
}
check "the house of the document is sized" chosen

checked() {
  exits 0 "$EVENBREATH" check "$work/house.yaml" && exits 3 "$EVENBREATH" parts "$work/house.yaml" &&
    says "names no size"
}
check "check passes it, parts asks for sizes" checked

explained() {
  exits 0 "$EVENBREATH" ducts --explain "$work/house.yaml" && says "size.price" &&
    says "size.per-pascal" && says "size.other" && says "invented"
}
check "--explain says why" explained

for method in life-cycle equal-friction velocity static-regain; do
  by() {
    exits 0 "$EVENBREATH" ducts --json --method "$method" "$work/house.yaml" &&
      says "\"method\": \"$method\""
  }
  check "by $method" by
done

written() {
  exits 0 "$EVENBREATH" ducts --write "$work/sized.yaml" "$work/open.yaml" || return 1
  exits 0 "$EVENBREATH" check "$work/sized.yaml" || return 1
  grep -q '^# a remark at the top' "$work/sized.yaml" &&
    grep -q '^  exhaust: # beside the way out' "$work/sized.yaml" &&
    ! grep -q 'duct: steel,\|at_most: 2' "$work/sized.yaml"
}
check "--write fills the sizes in and keeps the remarks" written

# Only lines with a size differ.
only_sizes() {
  diff "$work/open.yaml" "$work/sized.yaml" | grep '^[<>]' | grep -v 'duct:' && return 1
  exits 0 "$EVENBREATH" parts "$work/sized.yaml"
}
check "nothing else changes, and parts lists it" only_sizes

numbers() { # all numbers of the levels, with their places
  "$EVENBREATH" ducts --json "$1" 2>/dev/null | sed -n '/"levels"/,/"sizes"/p' |
    grep -v '"sizes"\|iterations'
}
same() {
  numbers "$work/open.yaml" >"$work/one" && numbers "$work/sized.yaml" >"$work/two" || return 1
  [ -s "$work/one" ] && paste "$work/one" "$work/two" | awk -F'\t' '
    { split($1, a, ": "); split($2, b, ": "); x = a[2] + 0; y = b[2] + 0
      d = x - y; if (d < 0) d = -d; m = x < 0 ? -x : x
      if (a[1] != b[1] || d > 1e-9 * (1 + m)) { print; bad = 1 } }
    END { exit bad }'
}
check "the house written gives the same results" same

again() {
  exits 0 "$EVENBREATH" ducts --write "$work/third.yaml" "$work/sized.yaml" &&
    cmp "$work/sized.yaml" "$work/third.yaml"
}
check "written once more it is the same file" again

nameless() {
  sed 's/duct: \[steel-125, steel-160\]/duct: [{bore: 119 mm, roughness: 0.09 mm}]/' \
    "$work/house.yaml" >"$work/own.yaml"
  echo before >"$work/kept.yaml"
  exits 3 "$EVENBREATH" ducts --write "$work/kept.yaml" "$work/own.yaml" && says "no name" &&
    [ "$(cat "$work/kept.yaml")" = before ]
}
check "a size without a name is not written" nameless

nowhere() {
  exits 5 "$EVENBREATH" ducts --write "$work/none/x.yaml" "$work/house.yaml"
}
check "a folder that is not there" nowhere

wrong_method() {
  exits 2 "$EVENBREATH" ducts --method best "$work/house.yaml" && says "equal-friction" &&
    exits 2 "$EVENBREATH" rates --method velocity "$work/house.yaml" &&
    exits 2 "$EVENBREATH" ducts --write x "$work/house.yaml" "$work/house.yaml"
}
check "the command line" wrong_method

for key in method velocity friction pressure_at_most hours never_larger; do
  known() {
    grep -q "^| \`$key\` |" "$document" || return 1
    "$EVENBREATH" check --set "sizing.$key=[]" "$work/house.yaml" >"$work/out" 2>&1
    grep -q error "$work/out" && ! grep -q "is not a key of" "$work/out"
  }
  check "sizing: $key" known
done

done_checking
