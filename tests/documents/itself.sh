#!/bin/sh
# What tests the documents finds the lies of a document, and mends them.

. "$(dirname "$0")/../cli/lib.sh"

tool=$here/../documents.sh
cat "$here/sample.md" >"$work/sample.md"

# The number of checks that fail is $1.
lies() {
  sh "$tool" "$work/sample.md" >"$work/out" 2>"$work/err"
  [ "$(grep -c '^not ok' "$work/out")" -eq "$1" ] && return
  cat "$work/out" "$work/err"
  return 1
}
check "two of four commands are false" lies 2

told() {
  says 'not ok 2 - ' && says '# < c,9' && says '# > c,3' && says 'not ok 5 - '
}
check "the line that lies is told, and what is true" told

mended() {
  sh "$tool" --refill "$work/sample.md" >"$work/out" 2>&1
  sed -e 's/^c,9/c,3/' "$here/sample.md" >"$work/expected"
  sed -i '$d' "$work/expected"
  printf 'c,3\n\nd,4\ne,5\nf,6\n```\n' >>"$work/expected"
  diff "$work/expected" "$work/sample.md"
}
check "refilling keeps what is left out and mends the rest" mended
check "then nothing is false" lies 0

unknown() {
  # shellcheck disable=SC2016
  printf '`evenbreath fly` and `--no-such-option`\n' >"$work/sample.md"
  lies 2 && says "# fly" && says "# --no-such-option"
}
check "a command and an option that there are not are told" unknown

done_checking
