#!/bin/sh
# run.sh - every check there is
#
# Installs the packages that the tests need, builds in a folder of its own
# (build-tests, or $EVENBREATH_BUILD) and runs: make check; what calculates and
# the example under the address and undefined-behaviour sanitizers; the example under
# valgrind; friction and fittings against the outside library `fluids`; networks
# against EPANET, moist air against psychrolib, schemas against ajv; whole houses against a
# calculation apart from the program; make distcheck. Stops at the first stage that fails. The last line sums up:
# "N passed, N failed", over unit checks, case rows, houses, scripts and stages.
set -u
root=$(cd "$(dirname "$0")/.." && pwd)
passed=0
failed=0
sum_up() {
  status=$?
  [ "$failed" -gt 0 ] || [ "$status" -eq 0 ] || failed=1
  echo "$passed passed, $failed failed"
  [ "$passed" -gt 0 ] && [ "$failed" -eq 0 ] || exit 1
  exit 0
}
trap sum_up EXIT

build=${EVENBREATH_BUILD:-$root/build-tests}
mkdir -p "$build" || exit 1
build=$(cd "$build" && pwd)
us=tests
log=$build/tests.log
: > "$log"
# shellcheck source=.ci/steps.sh
. "$root/.ci/steps.sh"

# stage NAME COMMAND...: counts one; the first that fails is the last.
stage() {
  if step "$@"; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    stop "$1 failed; see $log"
  fi
}

# totals WORD...: the sum of make check's lines "# WORD: N" in a log.
totals() {
  file=$1
  shift
  sum=0
  for word in "$@"; do
    n=$(sed -n "s/^# $word: *//p" "$file" | tail -n 1)
    sum=$((sum + ${n:-0}))
  done
  echo "$sum"
}

# tests_but FOLDER PATTERN: the list of its tests without those of a pattern of grep -E.
tests_but() {
  printf 'list-tests:\n\t@printf "%%s\\n" $(TESTS)\n' > "$1/list-tests.mk"
  make -s -C "$1" -f Makefile -f list-tests.mk list-tests | grep -Ev "$2" | tr '\n' ' '
}

# make_check NAME FOLDER [TESTS]: runs its tests and counts each of them.
make_check() {
  said=$2/make-check.log
  # shellcheck disable=SC2016
  step "$1" sh -c 'folder=$1 jobs=$2 said=$3; shift 3
    make -C "$folder" -j "$jobs" check "$@" > "$said" 2>&1' sh "$2" "$jobs" "$said" ${3:+"TESTS=$3"}
  status=$?
  good=$(totals "$said" PASS XFAIL)
  bad=$(totals "$said" FAIL XPASS ERROR)
  passed=$((passed + good))
  failed=$((failed + bad))
  say "  $good passed, $bad failed, $(totals "$said" SKIP) skipped"
  grep '^SKIP: ' "$said"
  if [ "$status" -ne 0 ] || [ "$bad" -gt 0 ] || [ "$good" -eq 0 ]; then
    grep -E '^(FAIL|XPASS|ERROR): |: error: ' "$said"
    [ "$bad" -gt 0 ] || failed=$((failed + 1))
    stop "$1 failed; see $said and $2/test-suite.log"
  fi
}

# quiet COMMAND...: its output is not wanted, only whether it went well.
quiet() {
  "$@" > /dev/null
}

# on_the_example NAME PROGRAM...: each command on the example, text and JSON.
on_the_example() {
  tool=$1
  shift
  for command in check rates ducts energy; do
    stage "$tool: $command" quiet "$@" "$command" --explain examples/alder-row.yaml
    stage "$tool: $command --json" quiet "$@" "$command" --json examples/alder-row.yaml
  done
  stage "$tool: rates, the smallest house" quiet "$@" rates examples/one-room.yaml
  stage "$tool: tables" quiet "$@" tables
  stage "$tool: balance" quiet "$@" balance examples/alder-row.yaml examples/alder-row-visit.yaml
  stage "$tool: record" quiet "$@" record examples/alder-row.yaml examples/alder-row-balance.yaml
}

# drawn NAME PROGRAM: what is drawn of it, into the build's folder.
drawn() {
  stage "$1: draw" "$2" draw --show all -o "$build/all.pdf" examples/alder-row.yaml \
    examples/alder-row-visit.yaml
  stage "$1: report" "$2" report -o "$build/report.pdf" examples/alder-row.yaml
  stage "$1: record as PDF" "$2" record -o "$build/record.pdf" examples/alder-row.yaml \
    examples/alder-row-balance.yaml
}

# Not everyone's npm is Debian's.
npm=
command -v npm > /dev/null || npm=npm
# shellcheck disable=SC2086
packages $build_packages binutils check groff-base libxml2-utils locales mandoc $npm poppler-utils \
  python3 python3-fluids python3-yaml universal-ctags valgrind xz-utils
bootstrapped
cd "$root" || exit 1
jobs=$(nproc)
EVENBREATH_TABLES=$root/tables
export EVENBREATH_TABLES

# A locale with a decimal comma, without touching the machine's own.
LOCPATH=$build/locale
export LOCPATH
if [ ! -d "$LOCPATH/de_DE.UTF-8" ]; then
  mkdir -p "$LOCPATH"
  must "locale de_DE.UTF-8" localedef --no-archive -i de_DE -f UTF-8 "$LOCPATH/de_DE.UTF-8"
fi

plain=$build/plain
configured "$plain" --enable-werror
stage "make" make -C "$plain" -j "$jobs"
make_check "make check" "$plain"

sanitized=$build/sanitized
flags='-fsanitize=address,undefined -fno-sanitize-recover=all'
configured "$sanitized" --disable-shared LDFLAGS="$flags" \
  CFLAGS="-O1 -g1 -fno-omit-frame-pointer $flags"
stage "make, with sanitizers" make -C "$sanitized" -j "$jobs"
# A fork costs much here, and one process shows leaks as well.
CK_FORK=no
LSAN_OPTIONS=suppressions=$root/tests/leaks.supp:print_suppressions=0
export CK_FORK LSAN_OPTIONS
on_the_example "sanitizers" "$sanitized/evenbreath"
drawn "sanitizers" "$sanitized/evenbreath"
# Not again what looks at sources, documents and pictures, and what counts memory itself.
make_check "make check, with sanitizers" "$sanitized" "$(tests_but "$sanitized" \
  'tests/(layers|budget|symbols|dist|documents|oom)|manual/|cli/(charts|draw|report|help|completion|progress)[.]')"
unset CK_FORK LSAN_OPTIONS

on_the_example "valgrind" "$plain/libtool" --mode=execute valgrind -q --error-exitcode=99 \
  --leak-check=full --errors-for-leak-kinds=definite,indirect,possible "$plain/evenbreath"

# compare_outside NAME COMMAND...: counts its comparisons as well.
compare_outside() {
  said=$build/$1.log
  shift
  "$@" > "$said"
  status=$?
  cat "$said"
  good=$(sed -n 's/^\([0-9]*\) passed, .*/\1/p' "$said")
  bad=$(sed -n 's/.* passed, \([0-9]*\) failed$/\1/p' "$said")
  passed=$((passed + ${good:-0}))
  failed=$((failed + ${bad:-0}))
  return "$status"
}
stage "friction and fittings against python3-fluids" compare_outside fluids \
  /usr/bin/python3 tests/outside/fluids.py "$plain/tests/run_cases" "$plain/tests/outside/net_solve"
stage "whole houses against a calculation of their own" compare_outside house \
  /usr/bin/python3 tests/outside/house.py "$plain/evenbreath"
stage "the rest of the air's work against a calculation of its own" compare_outside air_work \
  /usr/bin/python3 tests/outside/air_work.py "$plain/evenbreath"

# EPANET, psychrolib and a validator of schemas as modules of node, here and nowhere else; anew where its lock has changed.
modules=$build/modules
lock=tests/outside/package-lock.json
if ! cmp -s "$lock" "$modules/installed"; then
  mkdir -p "$modules"
  cp tests/outside/package.json "$lock" "$modules"
  # shellcheck disable=SC2016
  must "npm ci" sh -c 'cd "$1" && npm ci --ignore-scripts --no-audit --no-fund --cache cache' \
    sh "$modules"
  cp "$lock" "$modules/installed"
fi
stage "networks against EPANET" compare_outside networks \
  env NODE_PATH="$modules/node_modules" node tests/outside/networks.js \
  "$plain/tests/outside/net_solve"
stage "moist air against psychrolib" compare_outside psychro \
  env NODE_PATH="$modules/node_modules" node tests/outside/psychro.js "$plain/tests/run_cases"

stage "the editor's schemas against ajv" compare_outside schema \
  env NODE_PATH="$modules/node_modules" node tests/outside/schema.js "$plain/evenbreath" "$root"

# All tests have been run; here it is the tarball that is tried, built beside a source that cannot
# be written, installed, used and taken away.
stage "make distcheck" make -C "$plain" -j "$jobs" distcheck \
  check_PROGRAMS= TESTS="tests/cli/usage.sh tests/cli/tables.sh tests/cli/houses.sh" \
  DISTCHECK_CONFIGURE_FLAGS="--disable-werror CFLAGS=-O1"
