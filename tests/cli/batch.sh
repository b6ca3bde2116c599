#!/bin/sh
# Houses by the thousand: a line each, in order, the same bytes with any number
# of threads, and no house that stops another.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml
small=$examples/one-room.yaml
case $alder in /*) ;; *) alder=$PWD/$alder small=$PWD/$small ;; esac
commands='check rates ducts energy parts'

# batch STATUS ARGUMENTS...: into $work/out and $work/err.
batch() {
  wanted=$1
  shift
  exits "$wanted" "$EVENBREATH" batch "$@"
}
lines() {
  got=$(wc -l <"$work/out")
  [ "$got" -eq "$1" ] && return 0
  echo "$got lines, expected $1"
  cut -c 1-300 "$work/out"
  return 1
}
line() {
  sed -n "$1p" "$work/out"
}
# line_has NUMBER TEXT
line_has() {
  line "$1" | grep -qF -- "$2" && return 0
  echo "line $1 does not hold $2"
  line "$1" | cut -c 1-1000
  return 1
}
summary() {
  grep -qx -- "$1" "$work/err" && return 0
  echo "the summary is not: $1"
  cat "$work/err"
  return 1
}

# A house of few lines called $1.
tiny() {
  printf 'dwelling: %s\nrules: none\nrooms:\n  a: {use: living, area: 9 m2, height: 2.4 m, supply: 8 l/s}\n  b: {use: kitchen, area: 9 m2, height: 2.4 m, extract: 8 l/s}\n' "$1"
}
tiny one >"$work/one.yaml"
tiny two >"$work/two.yaml"
tiny three >"$work/three.yaml"
printf 'dwelling: bad\nrooms:\n  a: {use: living, area: 9, height: 2.4 m}\n' >"$work/bad.yaml"

# ---- Lines ----

# What --json prints of one house, on one line.
compact() {
  sed -e 's/^ *//' -e 's/^"\([^"\\]*\)": /"\1":/' | tr -d '\n'
  echo
}
same_as_alone() {
  for command in $commands; do
    for option in --json --explain; do
      batch 0 "$command" $option "$alder" || return 1
      sed 's/,"status":0}$/}/' "$work/out" >"$work/line"
      "$EVENBREATH" "$command" --json $option "$alder" 2>"$work/err" | compact >"$work/alone"
      cmp "$work/line" "$work/alone" || return 1
    done
  done
}
check "a line is what --json prints of the house, and its status" same_as_alone

# Its climate has hours that were filled in; the tables are read for the first house.
told_again() {
  gaps=$here/../houses/seattle-hours.yaml
  batch 0 energy --jobs 1 "$gaps" "$gaps" && lines 2 && line_has 1 '"code":"climate-gaps"' &&
    [ "$(line 1)" = "$(line 2)" ]
}
check "what is said of a table is said to each house" told_again

order() {
  batch 0 rates "$work/two.yaml" "$work/one.yaml" "$alder" "$work/three.yaml" && lines 4 &&
    line_has 1 '"dwelling":"two"' && line_has 2 '"dwelling":"one"' &&
    line_has 3 '"dwelling":"Alder Row 4"' && line_has 4 '"dwelling":"three"' &&
    line_has 4 "\"file\":\"$work/three.yaml\"" && ! grep -q '"document"' "$work/out" &&
    summary "4 houses, 4 done, 0 with errors"
}
check "the lines come in the order of the files" order

bad_between() {
  batch 0 rates "$work/one.yaml" "$work/bad.yaml" "$work/two.yaml" && lines 3 &&
    line_has 1 '"status":0}' && line_has 2 '"status":3}' && line_has 3 '"status":0}' &&
    line_has 2 '"severity":"error"' && line_has 2 '"line":3,"column":26' &&
    summary "3 houses, 2 done, 1 with errors" && says "  $work/bad.yaml:3:26: "
}
check "a bad house is a line with what is wrong, and stops nothing" bad_between

strict() {
  tiny loud | sed 's/8 l.s/60 l\/s/' >"$work/loud.yaml"
  batch 1 rates --strict "$work/one.yaml" "$work/loud.yaml" && line_has 2 '"status":1}' &&
    summary "2 houses, 2 done, 0 with errors, 1 of those done do not comply" &&
    batch 1 rates --strict "$work/one.yaml" "$work/bad.yaml" && line_has 2 '"status":3}' &&
    batch 0 rates --strict "$work/one.yaml" && batch 0 rates "$work/loud.yaml"
}
check "--strict is 1 where a house fails or does not comply" strict

missing() {
  batch 5 rates "$work/one.yaml" "$work/none.yaml" "$work/two.yaml" && lines 3 &&
    line_has 2 '"status":5}' && line_has 2 "there is no such file" &&
    line_has 3 '"dwelling":"two"' && says "$work/none.yaml: cannot be read"
}
check "a file that is not there is a line too, and status 5 in the end" missing

exceptions() {
  set --
  for i in 1 2 3 4 5 6 7 8 9 10 11 12; do
    cp "$work/bad.yaml" "$work/bad-$i.yaml"
    set -- "$@" "$work/bad-$i.yaml"
  done
  batch 0 rates "$work/one.yaml" "$@" && summary "13 houses, 1 done, 12 with errors" &&
    says "$work/bad-10.yaml:3:26:" && ! grep -q "bad-11.yaml" "$work/err" && says "and 2 more"
  status=$?
  rm -f "$@"
  return $status
}
check "the summary names the first ten that failed" exceptions

options() {
  batch 0 rates --set dwelling=other --set rooms.a.area=10m2 "$work/one.yaml" "$work/two.yaml" &&
    line_has 1 '"dwelling":"other"' && line_has 2 '"dwelling":"other"' && line_has 2 '"area_m2":10' &&
    batch 0 rates --rules ireland-2019 "$alder" && line_has 1 '"rules":"ireland-2019"' &&
    batch 0 rates --rules all "$alder" "$alder" && line_has 2 '"rule_sets":' &&
    batch 0 rates --timings "$alder" && says "houses a second"
}
check "the options of a command act on each house" options

usage() {
  batch 2 && says "name what to do" && batch 2 fly "$alder" && says "name what to do" &&
    batch 2 compare "$alder" "$alder" && says "name what to do" &&
    batch 2 rates && says "name a house file" && batch 2 rates - - && says "once only" &&
    batch 2 rates --jobs 0 "$alder" && batch 2 rates --jobs 65 "$alder" && says "1 to 64" &&
    batch 2 rates --jobs 2x "$alder" && batch 2 parts --csv "$alder" && says "--csv is for parts" &&
    batch 2 ducts --sketch radial "$alder" && batch 2 ducts --write "$work/w" "$alder" &&
    batch 2 check --rules all "$alder" &&
    exits 2 "$EVENBREATH" rates --jobs 2 "$alder" && says "--jobs is for batch" &&
    batch 0 --help && says "FILE is a house, a folder" && says "--jobs"
}
check "a wrong command line is status 2 with a hint" usage

# ---- Streams ----

# reads COUNT [COMMAND]: standard input holds so many houses.
reads() {
  "$EVENBREATH" batch "${2:-rates}" - >"$work/out" 2>"$work/err" <"$work/stream"
  status=$?
  [ $status -eq 0 ] || { echo "exit status $status"; cat "$work/err"; return 1; }
  lines "$1"
}

documents() {
  { tiny one; echo ---; tiny two; echo ---; tiny three; } >"$work/stream"
  reads 3 && line_has 1 '"file":"-","document":1,"dwelling":"one"' &&
    line_has 3 '"file":"-","document":3,"dwelling":"three"' &&
    batch 0 rates "$work/stream" && lines 3 && line_has 2 "\"file\":\"$work/stream\",\"document\":2,"
}
check "a stream of several houses" documents

ends() {
  { echo '%YAML 1.1'; echo '--- # the first'; tiny one; echo ...; echo '# between'; echo
    tiny two; echo '... # over'; echo ...; printf '%s\n' '--- {dwelling: flow, rules: none,' \
      'rooms: {a: {use: living, area: 9 m2, height: 2.4 m, supply: 8 l/s}, b: {use: kitchen, area: 9 m2, height: 2.4 m, extract: 8 l/s}}}'
    echo ...; echo '# the end'; } >"$work/stream"
  reads 3 && line_has 1 '"document":1,"dwelling":"one"' && line_has 2 '"document":2,"dwelling":"two"' &&
    line_has 3 '"document":3,"dwelling":"flow"'
}
check "documents that end with ..., begin with directives or stand beside the ---" ends

one_document() {
  { echo '# a comment'; echo ---; tiny one; } >"$work/stream"
  reads 1 && ! grep -q '"document"' "$work/out" && line_has 1 '"dwelling":"one"'
}
check "a single document has no number" one_document

no_newline() {
  { tiny one; echo ---; tiny two; } | awk 'NR > 1 { print last } { last = $0 } END { printf "%s", last }' \
    >"$work/stream"
  reads 2 && line_has 2 '"dwelling":"two"' && printf -- '---' >>"$work/stream" && reads 2
}
check "a stream that ends without a newline" no_newline

line_ends() {
  { tiny one; echo ---; cat "$work/bad.yaml"; echo ---; tiny three; } >"$work/lf"
  sed 's/$/\r/' "$work/lf" >"$work/crlf"
  tr '\n' '\r' <"$work/lf" >"$work/cr"
  for kind in lf crlf cr; do
    cp "$work/$kind" "$work/stream"
    reads 3 && line_has 2 '"line":9,"column":26' && line_has 3 '"dwelling":"three"' || return 1
    mv "$work/out" "$work/out-$kind"
  done
  cmp "$work/out-lf" "$work/out-crlf" && cmp "$work/out-lf" "$work/out-cr"
}
check "LF, CRLF and CR give the same lines, and positions are those of the stream" line_ends

marks() {
  { printf '\357\273\277'; tiny one; printf '\357\273\277---\n'; tiny two
    printf '\357\273\277# a file of its own\n---\n'; cat "$work/bad.yaml"; } >"$work/stream"
  reads 3 && line_has 2 '"dwelling":"two"' && line_has 3 '"line":16,"column":26'
}
check "byte order marks where files were joined" marks

positions() {
  { cat "$alder"; echo ---; cat "$alder"; echo ---
    printf 'dwelling: twice\nrooms: {}\nrooms: {}\n'; } >"$work/stream"
  first=$(($(wc -l <"$alder") * 2 + 4))
  reads 3 && line_has 3 "\"line\":$((first + 1)),\"column\":1" && line_has 3 "line $first" || return 1
  { cat "$alder"; echo ---; printf 'rooms:\n\ta: {}\n'; echo ---; printf 'a: \303(\n'; } >"$work/stream"
  first=$(($(wc -l <"$alder") + 3))
  reads 3 && line_has 2 "\"line\":$first," && line_has 3 "\"line\":$((first + 2)),\"column\":4"
}
check "messages count from the first line of the stream" positions

empty() {
  : >"$work/stream"
  reads 0 && summary "0 houses, 0 done, 0 with errors" || return 1
  printf '\n  # nothing\n\n' >"$work/stream"
  reads 0 && batch 0 rates /dev/null && lines 1 && line_has 1 "the file is empty" &&
    line_has 1 '"status":3}'
}
check "standard input may be empty; a file may not" empty

comments_only() {
  { tiny one; echo ---; echo '# pulled down'; echo ---; tiny three; printf -- '---\n\n'; } >"$work/stream"
  reads 3 && line_has 2 '"document":2,' && line_has 2 'but for blanks and comments' &&
    line_has 2 '"line":6,"column":1' && line_has 3 '"document":3,"dwelling":"three"' &&
    line_has 2 '"status":3}'
}
check "a document of comments is told, blanks behind the last --- are nothing" comments_only

within() {
  { tiny one | sed 's/one/"a --- b"/'; printf 'currency: |\n  ---\n   ...\n'; echo ----; echo ---
    tiny two; } >"$work/stream"
  reads 2 && line_has 1 '"document":1,' && line_has 2 '"dwelling":"two"'
}
check "dashes within a value or four of them begin no document" within

broken_syntax() {
  { tiny one; echo ---; printf 'rooms: {a: [\n'; echo ---; printf 'dwelling: "open\n'; echo ---; tiny two; } \
    >"$work/stream"
  reads 4 && line_has 2 '"status":3}' && line_has 3 '"status":3}' && line_has 4 '"dwelling":"two"'
}
check "what is no YAML does not spoil the next document" broken_syntax

large() {
  { tiny one; echo ---; head -c 67200000 /dev/zero | tr '\0' '#'; echo; tiny big; echo ---; tiny two; } \
    >"$work/stream"
  reads 3 && line_has 2 '"code":"too-large"' && line_has 2 '"status":3}' && line_has 3 '"dwelling":"two"'
  status=$?
  rm "$work/stream"
  return $status
}
check "a document of more than 64 MB is refused, the next is read" large

piecemeal() {
  { sed 's/$/\r/' "$work/one.yaml"; printf -- '---\r\n'; cat "$work/bad.yaml"; printf '...\n---  \n'; tiny two; } \
    >"$work/stream"
  "$EVENBREATH" batch rates - <"$work/stream" >"$work/whole" 2>"$work/err" || return 1
  dd if="$work/stream" bs=1 2>"$work/dd" | "$EVENBREATH" batch rates - >"$work/out" 2>"$work/err"
  lines 3 && cmp "$work/whole" "$work/out"
}
check "the same lines where the bytes trickle in one by one" piecemeal

as_they_come() {
  mkfifo "$work/questions" "$work/answers" || return 1
  timeout 120 "$EVENBREATH" batch rates - <"$work/questions" >"$work/answers" 2>"$work/err" &
  exec 3>"$work/questions" 4<"$work/answers"
  answered=yes
  for house in one two three; do
    { tiny $house; echo ...; } >&3
    read -r answer <&4
    case $answer in *"\"dwelling\":\"$house\""*) ;; *) answered=no ;; esac
  done
  exec 3>&- 4<&-
  wait $!
  [ $answered = yes ]
}
check "a house that is complete is answered before the next comes in" as_they_come

# ---- Folders ----

folder() {
  mkdir -p "$work/estate/deeper" "$work/estate/not.yaml" "$work/bare" "$work/away"
  for house in b a c B; do
    tiny "house $house" >"$work/estate/$house.yaml"
  done
  tiny hidden >"$work/estate/.hidden.yaml"
  tiny deeper >"$work/estate/deeper/d.yaml"
  echo text >"$work/estate/notes.txt"
  ln -s nowhere "$work/estate/z.yaml"
  batch 5 rates "$work/estate/" "$work/one.yaml" && lines 6 && line_has 1 '"dwelling":"house B"' &&
    line_has 2 '"dwelling":"house a"' && line_has 4 '"dwelling":"house c"' &&
    line_has 5 "there is no such file" && line_has 6 '"dwelling":"one"' &&
    line_has 2 "\"file\":\"$work/estate/a.yaml\"" && batch 0 rates "$work/bare" && lines 0 &&
    says "holds no .yaml file"
}
check "a folder is its .yaml files, sorted by name" folder

beside() {
  cp "$here/../../tables/units/generic-unit-a.yaml" "$work/away/my-unit.yaml"
  sed 's/^unit: .*/unit: my-unit.yaml/' "$alder" >"$work/away/house.yaml"
  (cd / && batch 0 ducts "$work/away/house.yaml" && lines 1 && line_has 1 '"status":0}')
}
check "paths within a house start from its file" beside

# ---- Threads ----

jobs_alike() {
  i=0
  while [ $i -lt 40 ]; do
    echo "--- # $i"
    case $((i % 5)) in
    0 | 3) cat "$alder" ;;
    1) cat "$small" ;;
    2) cat "$work/bad.yaml" ;;
    4) tiny "house $i" ;;
    esac
    i=$((i + 1))
  done >"$work/many"
  for command in $commands; do
    for jobs in 1 2 7; do
      batch 0 "$command" --explain --jobs $jobs "$work/many" "$work/estate/a.yaml" "$alder" || return 1
      mv "$work/out" "$work/jobs-$jobs"
      mv "$work/err" "$work/said-$jobs"
    done
    for jobs in 2 7; do
      cmp "$work/jobs-1" "$work/jobs-$jobs" && cmp "$work/said-1" "$work/said-$jobs" || return 1
    done
  done
}
check "the same bytes with 1, 2 and 7 threads" jobs_alike

houses_alike() {
  for jobs in 1 3; do
    batch 0 energy --jobs $jobs "$here/../houses" "$here/../houses" || return 1
    mv "$work/out" "$work/jobs-$jobs"
  done
  cmp "$work/jobs-1" "$work/jobs-3"
}
check "nor does it matter which thread read a table first" houses_alike

# Under a limit that two thousand houses would not fit in.
bounded() {
  i=0
  while [ $i -lt 1000 ]; do
    echo ---
    cat "$alder"
    i=$((i + 1))
  done >"$work/thousand"
  (
    # shellcheck disable=SC3045
    ulimit -v 200000 2>"$work/err" && "$EVENBREATH" --version >"$work/out" 2>&1 || exit 0
    batch 0 rates --jobs 2 "$work/thousand" - <"$work/thousand" && lines 2000 &&
      summary "2000 houses, 2000 done, 0 with errors" && line_has 2000 '"document":1000,'
  )
  status=$?
  rm "$work/thousand"
  return $status
}
check "two thousand houses need no more memory than a few" bounded

# Each has tables of its own, which a context keeps.
own_tables() {
  i=0
  mkdir "$work/own"
  while [ $i -lt 1000 ]; do
    mkdir "$work/own/$i"
    cp "$work/away/my-unit.yaml" "$work/own/$i/my-unit.yaml"
    cp "$here/../../tables/rules/england-2021.yaml" "$work/own/$i/my-rules.yaml"
    sed 's/^rules: .*/rules: .\/my-rules.yaml/' "$work/away/house.yaml" >"$work/own/$i/house.yaml"
    i=$((i + 1))
  done
  (
    # shellcheck disable=SC3045
    ulimit -v 200000 2>"$work/err" && "$EVENBREATH" --version >"$work/out" 2>&1 || exit 0
    batch 0 rates --jobs 2 "$work"/own/*/house.yaml && lines 1000 && summary "1000 houses, 1000 done, 0 with errors"
  )
}
check "nor do a thousand with tables of their own" own_tables

# ---- Where the lines go ----

whole_file() {
  batch 0 rates -o "$work/lines" "$work/one.yaml" "$work/bad.yaml" && lines 0 &&
    [ "$(wc -l <"$work/lines")" -eq 2 ] && batch 0 rates "$work/one.yaml" "$work/bad.yaml" &&
    cmp "$work/out" "$work/lines" && [ "$(find "$work" -name 'lines.*' | wc -l)" -eq 0 ] &&
    batch 5 rates -o "$work/no/such/folder/x" "$work/one.yaml" && says "cannot write"
}
check "-o writes the lines into a file" whole_file

nowhere() {
  if [ -w /dev/full ]; then
    "$EVENBREATH" batch rates "$work/one.yaml" "$work/two.yaml" >/dev/full 2>"$work/err"
    [ $? -eq 5 ] && says "cannot write" && batch 5 rates -o /dev/full "$work/one.yaml" || return 1
  fi
  "$EVENBREATH" batch rates "$work/one.yaml" >&- 2>"$work/err"
  [ $? -eq 5 ]
}
check "a full disk or a closed standard output is status 5" nowhere

stops() {
  { (trap '' PIPE; "$EVENBREATH" batch rates "$work/many" "$work/many" "$work/many" 2>"$work/err"
    echo $? >"$work/status"); } | head -n 1 >"$work/out"
  [ "$(cat "$work/status")" -eq 5 ] && ! grep -q . "$work/err"
}
check "it stops with status 5 and without a word where nobody reads on" stops

closed_input() {
  "$EVENBREATH" batch rates - <&- >"$work/out" 2>"$work/err"
  [ $? -eq 5 ] && lines 1 && line_has 1 '"status":5}' &&
    { "$EVENBREATH" batch rates - <"$work" >"$work/out" 2>"$work/err"; [ $? -eq 5 ]; } &&
    line_has 1 "it is a folder"
}
check "standard input that is closed or a folder is status 5" closed_input

done_checking
