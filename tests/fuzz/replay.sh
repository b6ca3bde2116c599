#!/bin/sh
# Every kept input once more through its fuzz target, without a fuzzer.
set -eu
: "${srcdir:?}" "${builddir:?}"
fuzz=$srcdir/tests/fuzz
"$builddir/tests/fuzz_house" "$fuzz/house" "$srcdir/tests/bad" "$srcdir/tests/houses" \
  "$srcdir/examples"
"$builddir/tests/fuzz_quantity" "$fuzz/quantity"
"$builddir/tests/fuzz_readings" "$fuzz/readings" "$srcdir/tests/readings" "$srcdir/examples"
