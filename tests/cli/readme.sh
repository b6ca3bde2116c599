#!/bin/sh
# What README.md shows is what the program prints: each block that begins with
# "$ evenbreath ..." is run again and compared, results to the letter.

. "$(dirname "$0")/lib.sh"

root=$here/../..

# Writes block number $1 of README.md, without its fence, to $work/block.
block() {
  awk -v wanted="$1" '
    /^```/ { inside = !inside; if (inside) { n += 0; first = 1 } next }
    inside && first { first = 0; if ($0 ~ /^\$ evenbreath/) n++; else skip = 1 }
    !inside { skip = 0 }
    inside && !skip && n == wanted { print }' "$root/README.md" >"$work/block"
  [ -s "$work/block" ]
}

same() {
  command=$(sed -n '1s/^\$ evenbreath //p' "$work/block")
  sed 1d "$work/block" >"$work/expected"
  # shellcheck disable=SC2086
  (cd "$root" && "$EVENBREATH" $command) >"$work/found" 2>"$work/err"
  diff "$work/expected" "$work/found"
}

number=1
while block "$number"; do
  check "$(head -n 1 "$work/block")" same
  number=$((number + 1))
done

shown() {
  [ "$number" -gt 3 ]
}
check "rates, ducts and energy are shown" shown

done_checking
