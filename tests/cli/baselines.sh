#!/bin/sh
# The year against each baseline: the page doc/baselines.md shows files that work, each kind says
# what it is, and a saving that is none is told.

. "$(dirname "$0")/lib.sh"

# with BASELINE [ARGUMENT...]: the year of the example against it.
with() {
  text=$1
  shift
  sed "s#^baseline: .*#baseline: $text#" "$examples/alder-row.yaml" >"$work/house.yaml"
  "$EVENBREATH" energy "$@" "$work/house.yaml"
}

names_itself() { # names_itself BASELINE KIND
  exits 0 with "$1" --json && says "\"kind\": \"$2\""
}
for row in "trickle-vents national-method" "continuous-extract extract" "equal-air equal-air" \
  "no-recovery same-system"; do
  # shellcheck disable=SC2086
  check "$row" names_itself $row
done
check "an air change of one's own" names_itself "{kind: measured, air_change: 0.35 ach}" measured
check "an air change in place of a method" \
  names_itself "{kind: trickle-vents, air_change: 0.35 ach}" measured

needs_air() {
  exits 3 with measured && says "air_change: 0.35 ach"
}
check "a measured one needs its figure" needs_air

tied() {
  exits 3 with "{kind: equal-air, air_change: 0.5 ach}" && says "the air of this system"
}
check "what has this system's air can have no other" tied

spares_nothing() {
  exits 0 with "{kind: measured, air_change: 0.05 ach}" &&
    says "kWh of heat a year more than measured" && says "buys better air"
}
check "a stuffy baseline needs less heat, and that is told" spares_nothing

# Each block of the page is what a house file may hold.
page() {
  awk -v stem="$work/block" '
    /^```yaml/ { n++; on = 1; next }
    /^```/ { on = 0 }
    on { print > (stem "-" n) }
    END { exit n == 0 }' "$here/../../doc/baselines.md" || return 1
  for block in "$work"/block-*; do
    grep -v '^baseline:' "$examples/alder-row.yaml" | cat - "$block" >"$work/house.yaml"
    exits 0 "$EVENBREATH" energy "$work/house.yaml" || return 1
  done
}
check "doc/baselines.md shows what works" page

own_kind() {
  mkdir -p "$work/mine"
  "$EVENBREATH" tables baselines equal-air | sed 's/^kind: .*/&\nquadratic: 0.5/' >"$work/mine/a.yaml"
  exits 3 with "./mine/a.yaml" && says 'does not use "quadratic"'
}
check "a key of another kind is refused" own_kind

done_checking
