#!/bin/sh
# What shells complete: each runs its script, where it is there.

. "$(dirname "$0")/lib.sh"

PATH=$(dirname "$EVENBREATH"):$PATH
export PATH
HOME=$work
export HOME

has() {
  for word in "$@"; do
    grep -qx -- "$word" "$work/out" || { echo "not offered: $word"; cat "$work/out"; return 1; }
  done
}

has_not() {
  for word in "$@"; do
    ! grep -qx -- "$word" "$work/out" || { echo "offered: $word"; return 1; }
  done
}

# The same of every shell: offered WORD... prints the replies for the words, the last one begun.
everywhere() {
  offered evenbreath '' && has check rates ducts batch tables new schema completion &&
    offered evenbreath ra && has rates && has_not check &&
    offered evenbreath rates -- && has --json --units --output --help && has_not --csv --jobs --name &&
    offered evenbreath parts --c && has --csv && has_not --json &&
    offered evenbreath rates --units '' && has si metric imperial && has_not kelvin &&
    offered evenbreath ducts --method '' && has life-cycle static-regain &&
    offered evenbreath rates --rules e && has england-2021 && has_not austria-2021 &&
    offered evenbreath batch '' && has check parts && has_not compare &&
    offered evenbreath schema '' && has house readings &&
    offered evenbreath tables v && has valves &&
    offered evenbreath tables valves s && has supply-valve-125 && has_not steel
}

try() {
  shell=$1
  if command -v "$shell" >/dev/null; then
    exits 0 "$EVENBREATH" completion "$shell" && [ ! -s "$work/err" ] && mv "$work/out" "$work/script" &&
      "$shell" -n "$work/script" && everywhere
  else
    echo "no $shell here"
  fi
}

# The replies of bash, through compgen.
offered_bash() {
  bash --norc -c '. "$1"; shift; COMP_WORDS=("$@") COMP_CWORD=$(($# - 1)); _evenbreath
    printf "%s\n" "${COMPREPLY[@]}"' bash "$work/script" "$@" >"$work/out" 2>&1
}

# Of zsh what the script hands to the line editor, which needs a terminal, that begins so.
offered_zsh() {
  zsh -f -c 'compadd() { shift; offers+=("$@") }
    _describe() { while [[ $1 == -* ]]; do shift 2; done; [[ $# -gt 1 ]] && shift
      for one in ${(P)1}; do offers+=("${one%%:*}"); done }
    _files() { offers+=(FILES) }
    . "$1"; shift; words=("$@") CURRENT=$# PREFIX=${@[-1]} offers=()
    _evenbreath
    for one in $offers; do [[ $one == ${PREFIX}* ]] && print -r -- $one; done; true' \
    zsh "$work/script" "$@" 2>&1 >"$work/out"
}

# fish is asked itself, and tells the text behind a tab.
offered_fish() {
  line=
  for word in "$@"; do
    line="$line${line:+ }$word"
  done
  fish --no-config -c 'source $argv[1]; complete -C $argv[2]' "$work/script" "$line" 2>&1 |
    cut -f 1 >"$work/out"
}

offered() {
  "offered_$shell" "$@"
}

check "bash" try bash
check "zsh" try zsh
check "fish" try fish

equals() {
  command -v bash >/dev/null || return 0
  shell=bash
  "$EVENBREATH" completion bash >"$work/script"
  offered evenbreath rates --units = && has si metric &&
    offered evenbreath rates --units = m && has metric && has_not si &&
    offered evenbreath ducts --write '' && has_not radial --json check
}
check "bash: --units=, and files where a file is due" equals

refused() {
  exits 2 "$EVENBREATH" completion && says "bash, zsh or fish" &&
    exits 2 "$EVENBREATH" completion tcsh && exits 2 "$EVENBREATH" completion bash zsh
}
check "another shell is status 2" refused

full() {
  [ -w /dev/full ] || return 0
  for shell in bash zsh fish; do
    "$EVENBREATH" completion "$shell" >/dev/full 2>"$work/err"
    [ $? -eq 5 ] && says "cannot write" || return 1
  done
}
check "a full disk is status 5" full

done_checking
