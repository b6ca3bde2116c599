#!/bin/sh
# budget.sh - small functions, small files, no mutable objects of a file in the
# library, few public functions, and tests in proportion
set -eu
root=${srcdir:-$(dirname "$0")/..}
build=$(cd "${builddir:-.}" && pwd)
cd "$root"
ctags --version 2> /dev/null | grep -q Universal || {
  echo "budget: needs universal-ctags"
  exit 77
}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
status=0

limit() { # limit WHAT VALUE AT_MOST
  verdict=ok
  [ "$2" -le "$3" ] || { verdict=OVER; status=1; }
  printf 'budget: %-46s %5d of %5d  %s\n' "$1" "$2" "$3" "$verdict"
}
rank() { # rank FILE PERCENT: that percentile of the sorted numbers in column 1
  awk -v percent="$2" '{ value[NR] = $1 }
    END { i = int((NR * percent + 99) / 100); print NR ? value[i < 1 ? 1 : i] : 0 }' "$1"
}
spread() { # spread WHAT FILE MEDIAN P90 MOST
  sort -n "$2" > "$2.sorted"
  limit "$1, median" "$(rank "$2.sorted" 50)" "$3"
  limit "$1, 90 %" "$(rank "$2.sorted" 90)" "$4"
  limit "$1, longest" "$(rank "$2.sorted" 100)" "$5"
  awk -v most="$5" '$1 > most { print "budget:   " $0 }' "$2.sorted"
}

find lib cli -name '*.c' | sort > "$scratch/sources"
[ -s "$scratch/sources" ] || { echo "budget: no sources"; exit 1; }
ctags -x --language-force=C --kinds-C=f --_xformat='%{line} %{end} %F %N' -L "$scratch/sources" \
  | awk '{ print $2 - $1 + 1, $3, $4 }' > "$scratch/functions"
spread 'lines of a function' "$scratch/functions" 12 40 60

while read -r file; do
  echo "$(wc -l < "$file") $file"
done < "$scratch/sources" > "$scratch/files"
spread 'lines of a .c file' "$scratch/files" 250 500 700

grep -c '^ *eb_' lib/evenbreath.map > "$scratch/public"
limit 'public functions' "$(cat "$scratch/public")" 120 # most are physics, callable alone

# The compiler knows which objects of a file can change: they stand in .data
# or .bss and not in a read-only section.
archive=$(find "$build/lib" -name libeb_all.a | head -n 1)
[ -n "$archive" ] || { echo "budget: no libeb_all.a in $build/lib"; exit 1; }
objdump -t "$archive" | awk '/ O \.(data|bss|tdata|tbss)/ && !/ \.data\.rel\.ro|__odr_asan/' \
  > "$scratch/mutable"
limit 'mutable objects of a file in lib/' "$(wc -l < "$scratch/mutable")" 0
cat "$scratch/mutable"

library=$(find lib -name '*.[ch]' -exec cat {} + | wc -l)
# Everything written for the tests: code, rows, houses, what is expected of them;
# not the seeds of the fuzz targets, build lists or benchmarks.
tests=$(find tests -type f ! -name files.am ! -path 'tests/fuzz/*/*' ! -path 'tests/bench/*' \
  -exec cat {} + | wc -l)
printf 'budget: %d lines of tests, %d of library\n' "$tests" "$library"
limit 'library lines that 80 test lines stand for' "$((library * 80 / (tests + 1)))" 100
exit "$status"
