#!/bin/sh
# What the documents show is what the program prints. Of README.md, DEVELOPERS.md and doc/*.md
# each block with a line "$ COMMAND" is run again, in a folder of the document's own that has
# `examples` and the files that the document's blocks write (tests/documents/steps.awk says how),
# and compared to the letter; a line "..." stands for lines left out.
#
#   sh tests/documents.sh --refill [FILE...]   puts what is printed now into the documents
#
# With EVENBREATH the program, and EVENBREATH_TABLES where it is not the built one.

set -u
root=$(cd "$(dirname "$0")/.." && pwd)
: "${EVENBREATH:?the program to test}"
refill=
if [ "${1-}" = --refill ]; then
  refill=1
  shift
fi
[ $# -gt 0 ] || set -- "$root/README.md" "$root/DEVELOPERS.md" "$root"/doc/*.md
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
printf '#!/bin/sh\nexec "%s" "$@"\n' "$EVENBREATH" > "$work/bin/evenbreath"
chmod +x "$work/bin/evenbreath"
PATH=$work/bin:$PATH
: "${EVENBREATH_TABLES:=$root/tables}"
NO_COLOR=1
LC_ALL=C
export PATH EVENBREATH_TABLES NO_COLOR LC_ALL
checks=0
failures=0
shown=0

# result STATUS NAME: a line of TAP, with $work/said where it failed.
result() {
  checks=$((checks + 1))
  if [ "$1" -eq 0 ]; then
    echo "ok $checks - $2"
    return
  fi
  failures=$((failures + 1))
  echo "not ok $checks - $2"
  sed 's/^/# /' "$work/said"
}

# part FILE KEY TEXT: the part `KEY:` of a YAML file, to the next line at its margin, gives way.
part() {
  awk -v key="$2:" -v text="$3" '
    $1 == key && /^[a-z]/ { while ((getline line < text) > 0) print line; gone = 1; next }
    /^[^ ]/ { gone = 0 }
    !gone { print }' "$1" > "$work/parted" && cp "$work/parted" "$1"
}

write_file() { # write_file HOW TEXT FILE [KEY]
  mkdir -p "$(dirname "$3")"
  case $1 in
    write) cp "$2" "$3" ;;
    append) cat "$2" >> "$3" ;;
    part) part "$3" "$4" "$2" ;;
  esac
}

# run TEXT STREAMS COMMAND: leaves in TEXT.new what the document ought to show.
run() {
  if [ "$2" = both ]; then
    sh -c "$3" > "$work/found" 2>&1 < /dev/null
  else
    sh -c "$3" > "$work/found" 2> "$work/err" < /dev/null
  fi
  status=$?
  awk -f "$root/tests/documents/fit.awk" "$1" "$work/found" > "$1.new"
  diff "$1" "$1.new" > "$work/said" && [ "$status" -eq 0 ] && return
  echo "exit status $status" >> "$work/said"
  [ "$2" = both ] || cat "$work/err" >> "$work/said"
  return 1
}

# step KIND NUMBER REST: in the folder of the document.
step() {
  case $1 in
    run)
      shown=$((shown + 1))
      run "$steps/$2" "${3%%	*}" "${3#*	}"
      result $? "$name: ${3#*	}"
      ;;
    part) write_file part "$steps/$2" "${3%%	*}" "${3#*	}" ;;
    *) write_file "$1" "$steps/$2" "$3" ;;
  esac
}

# Every command and option that a text between `...` names is one that there is; bare options in
# DEVELOPERS.md are those of other programs.
names() {
  of='^`evenbreath \|^`--'
  [ "$1" != "$root/DEVELOPERS.md" ] || of='^`evenbreath '
  grep -o '`[^`]*`' "$1" | grep "$of" | tr -d '`' > "$work/quoted"
  {
    sed -n 's/^evenbreath \([a-z][a-z]*\).*/\1/p' "$work/quoted"
    grep -o -- '--[a-z][a-z-]*' "$work/quoted"
  } | sort -u | grep -vxFf "$work/known" > "$work/said"
  [ ! -s "$work/said" ]
}

document() {
  name=${1#"$root/"}
  steps=$work/steps
  rm -rf "$steps" "$work/folder"
  mkdir "$steps" "$work/folder"
  ln -s "$root/examples" "$work/folder/examples"
  awk -v folder="$steps" -f "$root/tests/documents/steps.awk" "$1" > "$work/list"
  cd "$work/folder" || exit 1
  while IFS='	' read -r kind number rest; do
    step "$kind" "$number" "$rest"
  done < "$work/list"
  cd "$root" || exit 1
  names "$1"
  result $? "$name: names commands and options that there are"
  [ -n "$refill" ] || return
  awk -v refill=1 -v folder="$steps" -f "$root/tests/documents/steps.awk" "$1" > "$work/new"
  cmp -s "$work/new" "$1" || cp "$work/new" "$1"
}

{
  "$EVENBREATH" --help
  "$EVENBREATH" new --help
} > "$work/help"
{
  grep -o -- '--[a-z][a-z-]*' "$work/help"
  sed -n 's/^  \([a-z][a-z]*\) .*/\1/p' "$work/help"
} | sort -u > "$work/known"
for file in "$@"; do
  document "$file"
done
[ "$shown" -gt 0 ]
result $? "commands are shown"
indexed() {
  for file in "$root"/doc/*.md; do
    grep -qF "](doc/${file##*/})" "$root/README.md" || echo "not in README.md: $file"
  done > "$work/said"
  [ ! -s "$work/said" ]
}
indexed
result $? "README.md lists each document"
echo "1..$checks"
[ -n "$refill" ] || [ "$failures" -eq 0 ]
