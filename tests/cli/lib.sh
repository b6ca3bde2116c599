# lib.sh - for the scripts beside it: count checks, print TAP
# shellcheck shell=sh

set -u
here=$(cd "$(dirname "$0")" && pwd)
: "${EVENBREATH:?the program to test}"
examples=${EXAMPLES:-$here/../../examples}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
checks=0
failures=0

# check NAME COMMAND...: passes where the command succeeds.
check() {
  name=$1
  shift
  checks=$((checks + 1))
  if "$@" >"$work/said" 2>&1; then
    echo "ok $checks - $name"
  else
    failures=$((failures + 1))
    echo "not ok $checks - $name"
    sed 's/^/# /' "$work/said"
  fi
}

# exits STATUS COMMAND...: the command ends with that status.
exits() {
  wanted=$1
  shift
  "$@" >"$work/out" 2>"$work/err"
  got=$?
  [ "$got" -eq "$wanted" ] && return 0
  echo "exit status $got, expected $wanted: $*"
  cat "$work/err"
  return 1
}

# says TEXT: the last command's output or errors hold it.
says() {
  grep -qF -- "$1" "$work/out" "$work/err" && return 0
  echo "nobody said: $1"
  cat "$work/out" "$work/err"
  return 1
}

done_checking() {
  echo "1..$checks"
  [ "$failures" -eq 0 ]
}
