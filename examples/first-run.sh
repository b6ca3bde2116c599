#!/bin/sh
# first-run.sh - from a bare Debian 12 to the numbers of a house
#
# Installs the packages that the build needs, builds in a folder of its own
# (build-first-run, or $EVENBREATH_BUILD) and runs rates, ducts and energy on
# examples/alder-row.yaml. Run it again as often as you like: only what is
# missing is done.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
build=${EVENBREATH_BUILD:-$root/build-first-run}
mkdir -p "$build"
build=$(cd "$build" && pwd)
us=first-run
log=$build/first-run.log
: > "$log"
# shellcheck source=.ci/steps.sh
. "$root/.ci/steps.sh"

# shellcheck disable=SC2086
packages $build_packages
bootstrapped
configured "$build"
must "make in $build" make -C "$build" -j "$(nproc)"

# From the build tree the program is told where the tables of the source are.
EVENBREATH_TABLES=$root/tables
export EVENBREATH_TABLES
cd "$root"
for command in rates ducts energy; do
  printf '\n$ evenbreath %s examples/alder-row.yaml\n' "$command"
  "$build/evenbreath" "$command" examples/alder-row.yaml ||
    stop "evenbreath $command examples/alder-row.yaml failed with exit status $?"
done
echo
say "done; the program is $build/evenbreath"
