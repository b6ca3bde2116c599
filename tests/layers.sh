#!/bin/sh
# layers.sh - a file includes only what stands below it (tests/floors), and a
# foreign library's header only in the folder that wraps that library
set -eu
root=${srcdir:-$(dirname "$0")/..}
cd "$root"

# First that the check can fail, then the tree itself.
# shellcheck disable=SC2016
check='
FNR == NR {
  sub(/#.*/, "")
  if ($1 == "sideways") sideways[$2, $3] = 1
  else if ($1 == "foreign") home[$2] = $3
  else if ($1 == "except") except[$2, $3] = 1
  else if (NF == 2) floor[$1] = $2
  next
}
function folder_of(path) { sub(/\/[^\/]*$/, "", path); return path }
function wrong(text) { printf "%s:%d: %s\n", FILENAME, FNR, text; faults++ }
function own(name,   target, here) {
  here = folder_of(FILENAME)
  if (name ~ /^evenbreath[a-z_]*\.h$/ || name == "config.h") return
  target = name ~ /\// ? "lib/" folder_of(name) : here
  if (!(target in floor) && here ~ /^cli/) target = "cli/" folder_of(name)
  if (!(target in floor)) { wrong("\"" name "\" is on no floor of tests/floors"); return }
  if (target == here || floor[target] < floor[here] || (here, target) in sideways) return
  wrong(here " (floor " floor[here] ") includes \"" name "\" (floor " floor[target] ")")
}
function foreign(name,   prefix) {
  for (prefix in home)
    if (index(name, prefix) == 1 && folder_of(FILENAME) != home[prefix] &&
        !((FILENAME, name) in except))
      wrong("<" name "> belongs in " home[prefix] " alone")
}
/^[ \t]*#[ \t]*include/ {
  edges++
  name = $0
  if (match(name, /"[^"]*"/)) {
    name = substr(name, RSTART + 1, RLENGTH - 2)
    own(name)
    foreign(name)
  } else if (match(name, /<[^>]*>/))
    foreign(substr(name, RSTART + 1, RLENGTH - 2))
}
END {
  printf "layers: %d includes, %d faults\n", edges, faults
  exit faults > 0 || edges == 0
}'

probe() { # probe FILE LINE: an include that must be refused
  scratch=$(mktemp -d)
  cp tests/floors "$scratch/floors"
  mkdir -p "$scratch/$(dirname "$1")"
  printf '%s\n' "$2" > "$scratch/$1"
  if (cd "$scratch" && awk "$check" floors "$1" > /dev/null); then
    echo "layers: '$2' in $1 was not refused"
    rm -rf "$scratch"
    exit 1
  fi
  rm -rf "$scratch"
}
probe lib/base/x.c '#include "model/house.h"'
probe lib/numeric/x.c '#include "physics/air.h"'
probe lib/design/x.c '#include <gsl/gsl_roots.h>'
probe lib/model/x.c '#include <yaml.h>'

for folder in lib/*/ cli/ cli/*/; do
  grep -q "^${folder%/}[ ]" tests/floors || { echo "layers: ${folder%/} has no floor"; exit 1; }
done
# Names of source files hold no blanks.
# shellcheck disable=SC2046
awk "$check" tests/floors $(find lib/*/ cli/ -name '*.[ch]' -o -name '*.def' | sort)
