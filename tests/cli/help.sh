#!/bin/sh
# What each command says of itself: within 80 columns, only options that it takes, and examples
# that run as they stand.

. "$(dirname "$0")/lib.sh"

bin=$(dirname "$EVENBREATH")
commands=$("$EVENBREATH" --help | sed -n '/^  check /,/^Options/s/^  \([a-z][a-z]*\) .*/\1/p')

there() {
  [ "$(echo "$commands" | wc -l)" -ge 11 ] && "$EVENBREATH" --help >"$work/all" &&
    "$EVENBREATH" help | cmp - "$work/all" && "$EVENBREATH" -h | cmp - "$work/all"
}
check "--help lists the commands" there

narrow() {
  for command in '' $commands; do
    # shellcheck disable=SC2086
    exits 0 "$EVENBREATH" $command --help && [ ! -s "$work/err" ] || return 1
    awk 'length($0) > 80 || / $/ { print; bad = 1 } END { exit bad }' "$work/out" || return 1
  done
}
check "no line of help is wider than 80 columns" narrow

# Every option is either in a command's help, or refused with status 2 by its name.
own_options() {
  "$EVENBREATH" --help | grep -o -- '--[a-z][a-z]*[ =]\{0,1\}[A-Za-z]*' | grep -v COMMAND |
    sort -u >"$work/options"
  for command in $commands; do
    "$EVENBREATH" "$command" --help >"$work/help"
    for option in json csv explain units rules set method write sketch detail readings sheet jobs \
      name bedrooms storeys room tables output strict timings; do
      grep -q -- "--$option" "$work/options" || return 1
      grep -q -- " --$option " "$work/help" && continue
      "$EVENBREATH" "$command" "--$option=3" x >"$work/out" 2>"$work/err"
      "$EVENBREATH" "$command" "--$option" x >>"$work/out" 2>>"$work/err"
      grep -q -- "takes no --$option\|--$option is for\|--$option takes\|--$option.*an argument" \
        "$work/err" && [ ! -s "$work/out" ] || { echo "$command --$option"; return 1; }
    done
  done
}
check "what a command's help does not list it refuses" own_options

run_example() {
  mkdir -p "$work/here" && cp "$examples"/*.yaml "$work/here" &&
    (cd "$work/here" && PATH=$bin:$PATH && export PATH && sh -c "$1") >"$work/out" 2>"$work/err"
  status=$?
  [ "$status" -eq 0 ] || [ "$status" -eq 1 ] || { cat "$work/err"; return 1; }
}
for command in $commands; do
  "$EVENBREATH" "$command" --help | sed -n '/^Examples/,$s/^  //p' >"$work/examples"
  # The pictures that there are depend on how the program was built.
  [ "$command" = draw ] || check "$command has examples" test -s "$work/examples"
  while IFS= read -r line; do
    check "$line" run_example "$line"
  done <"$work/examples"
done

reads_once() {
  exits 2 "$EVENBREATH" rates - - && says "once only" &&
    exits 2 "$EVENBREATH" energy --readings - - && says "once only" &&
    exits 2 "$EVENBREATH" record - - && says "once only"
}
check "standard input is read once only" reads_once

readings_in() {
  exits 0 "$EVENBREATH" balance "$examples/alder-row.yaml" "$examples/alder-row-balance.yaml"
  mv "$work/out" "$work/file"
  "$EVENBREATH" balance "$examples/alder-row.yaml" - \
    <"$examples/alder-row-balance.yaml" >"$work/out" 2>"$work/err" && cmp "$work/out" "$work/file" &&
    (cd "$examples" && "$EVENBREATH" balance - alder-row-balance.yaml) \
      <"$examples/alder-row.yaml" | cmp - "$work/file"
}
check "- stands for the readings too, and for the house beside them" readings_in

dash_out() {
  (cd "$work" && "$EVENBREATH" new -o - >"$work/out" && [ ! -e ./- ]) && says "dwelling:"
}
check "-o - is standard output" dash_out

# Status 5 where what a command prints cannot be written; nothing said where nobody reads it.
full() {
  [ -w /dev/full ] || return 0
  for line in --help --version tables new $(echo "$commands" | sed 's/$/:--help/'); do
    # shellcheck disable=SC2046
    "$EVENBREATH" $(echo "$line" | tr : ' ') >/dev/full 2>"$work/err"
    [ $? -eq 5 ] && says "cannot write" || { echo "$line"; return 1; }
  done
}
check "a full disk is status 5 for --help, tables and new too" full

closed_pipe() {
  for line in --help tables 'tables rules england-2021' "rates $examples/alder-row.yaml"; do
    # shellcheck disable=SC2086
    { "$EVENBREATH" $line 2>"$work/err"; echo $? >"$work/status"; } | true
    ! says "cannot write" || return 1
    # shellcheck disable=SC2086
    { (trap '' PIPE; sleep 0.1; "$EVENBREATH" $line 2>"$work/err"; echo $? >"$work/status"); } | true
    ! says "cannot write" && [ "$(cat "$work/status")" -eq 5 ] || return 1
  done
}
check "a pipe that nobody reads gets no message" closed_pipe

done_checking
