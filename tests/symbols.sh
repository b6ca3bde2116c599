#!/bin/sh
# symbols.sh - what evenbreath*.h declare, lib/evenbreath.map lists and the
# shared library exports are the same symbols
set -eu
root=${srcdir:-$(dirname "$0")/..}
build=${builddir:-.}
[ "${BUILD_SHARED:-yes}" = yes ] || { echo "symbols: no shared library here"; exit 77; }
library=$(find "$build/.libs" -maxdepth 1 -name 'libevenbreath.so' | head -n 1)
[ -n "$library" ] || { echo "symbols: no libevenbreath.so in $build/.libs"; exit 1; }

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# A declaration: comments and macros out, then each eb_ name before a bracket
# that is not a pointer to a function.
awk '
/^#/ { macro = 1 }
macro { if ($0 !~ /\\$/) macro = 0; next }
{ text = text $0 "\n" }
END {
  while ((from = index(text, "/*")) > 0) {
    rest = substr(text, from)
    to = index(rest, "*/")
    text = substr(text, 1, from - 1) " " substr(rest, to + 2)
  }
  while (match(text, /eb_[a-z0-9_]+[ \n]*\(/)) {
    name = substr(text, RSTART, RLENGTH)
    sub(/[ \n]*\($/, "", name)
    print name
    text = substr(text, RSTART + RLENGTH)
  }
}' "$root"/lib/evenbreath*.h | sort -u > "$scratch/header"
sed -n 's/^ *\(eb_[a-z0-9_]*\);$/\1/p' "$root/lib/evenbreath.map" | sort -u > "$scratch/map"
# NM may hold options.
${NM:-nm} -D --defined-only "$library" | awk '$2 != "A" { sub(/@.*/, "", $3); print $3 }' \
  | sort -u > "$scratch/exported"

status=0
same() { # same A B
  comm -3 "$scratch/$1" "$scratch/$2" > "$scratch/differ"
  [ -s "$scratch/differ" ] || return 0
  echo "symbols: only in $1 (left) or only in $2 (right):"
  cat "$scratch/differ"
  status=1
}
same header map
same map exported
count=$(wc -l < "$scratch/header")
echo "symbols: $count declared"
[ "$count" -gt 0 ] || status=1
exit "$status"
