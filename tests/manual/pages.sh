#!/bin/sh
# The manual pages are well-formed, name the keys that the reader knows and no others, and their
# examples run.

. "$(dirname "$0")/../cli/lib.sh"

doc=$here/../../doc
tab='	'

well_formed() {
  mandoc -T lint -W warning "$1" || return 1
  groff -mandoc -ww -z -Tutf8 "$1" 2>&1 | grep . && return 1
  return 0
}
library=${builddir:?the folder of the build}/doc/libevenbreath.3
for page in "$doc"/evenbreath*.[1-9] "$library"; do
  if command -v mandoc >/dev/null && command -v groff >/dev/null; then
    check "${page##*/} is well-formed" well_formed "$page"
  else
    checks=$((checks + 1))
    echo "ok $checks - ${page##*/} is well-formed # SKIP no mandoc or no groff"
  fi
done

# Where a house names a table of that kind.
place_of() {
  case $1 in
    ducts) echo 'ducts.supply.s-main.duct={family: asked, size: 100}' ;;
    fittings) echo 'ducts.supply.s-main.fittings=[asked]' ;;
    valves) echo 'ducts.supply.s-living.valve=asked' ;;
    units) echo 'unit=asked' ;;
    climates) echo 'site.climate=asked' ;;
    baselines) echo 'baseline=asked' ;;
    rules) echo 'rules=asked' ;;
  esac
}

# The keys that the reader names where there is one in the mapping that it does not know.
ask() {
  text=$(printf '%s\n' "$2" | sed 's/?/zzzzqqqq/')
  mkdir -p "$work/tables/$1"
  case $1/$text in
    house/* | readings/*) ;;
    */{source:*) text="{title: asked, known: invented, ${text#?}" ;;
    *) text="{title: asked, known: invented, source: asked, ${text#?}" ;;
  esac
  printf '%s\n' "$text" >"$work/tables/$1/asked.yaml"
  case $1 in
    house) set -- --set "$text" "$examples/alder-row.yaml" ;;
    readings) set -- "$examples/alder-row.yaml" "$work/tables/$1/asked.yaml" ;;
    *) set -- --tables "$work/tables" --set "$(place_of "$1")" "$examples/alder-row.yaml" ;;
  esac
  "$EVENBREATH" balance "$@" 2>&1 | sed -n 's/.*"zzzzqqqq.*its keys are: //p' | sed 1q | tr -d ,
  rm -r "$work/tables"
}

same_keys() {
  printf '%s\n' "$3" | tr ' ' '\n' | sort >"$work/page"
  ask "$1" "$2" | tr ' ' '\n' | sort >"$work/reader"
  diff "$work/page" "$work/reader"
}
for page in "$doc"/*.5; do
  awk -f "$here/keys.awk" "$page" >"$work/mappings"
  while IFS="$tab" read -r kind text keys; do
    check "${page##*/}: keys of $kind $text" same_keys "$kind" "$text" "$keys"
  done <"$work/mappings"
done

# Keys of the reader's tables that no page has, as of a mapping that is new.
forgotten() {
  sed -n 's/^\.It Cm \([a-z_0-9]*\).*/\1/p' "$doc"/*.5 | sort -u >"$work/pages"
  cat "$doc"/../lib/input/*.[ch] | grep -o '\.key = "[a-z_0-9]*"' | cut -d'"' -f2 | sort -u >"$work/tables"
  [ "$(wc -l <"$work/tables")" -gt 200 ] || return 1
  comm -13 "$work/pages" "$work/tables" >"$work/missing"
  [ ! -s "$work/missing" ] || cat "$work/missing"
  [ ! -s "$work/missing" ]
}
check "no key of the reader is in no page" forgotten

functions() {
  sed -n 's/^ *\(eb_[a-z0-9_]*\);$/\1/p' "$doc/../lib/evenbreath.map" | sort >"$work/map"
  sed -n 's/^\.It Ft .* Fn \(eb_[a-z0-9_]*\).*/\1/p' "$library" | sort >"$work/functions"
  diff "$work/map" "$work/functions"
}
check "libevenbreath.3 has every function that is exported" functions

# Each example of evenbreath.1, in a copy of the folder of examples; one that draws may be refused.
cp -r "$examples" "$work/examples"
chmod -R u+w "$work/examples"
mkdir "$work/bin"
printf '#!/bin/sh\nexec "%s" "$@"\n' "$EVENBREATH" >"$work/bin/evenbreath"
chmod +x "$work/bin/evenbreath"
PATH=$work/bin:$PATH
example() {
  (cd "$work/examples" && sh -c "$1" >"$work/out" 2>"$work/err")
  status=$?
  [ "$status" -eq 0 ] && return
  case $1 in evenbreath\ draw\ * | evenbreath\ report\ *) [ "$status" -eq 2 ] && return ;; esac
  cat "$work/err"
  return 1
}
sed -n 's/^\.Dl \(evenbreath .*\)/\1/p' "$doc/evenbreath.1" >"$work/lines"
while read -r line; do
  check "evenbreath.1: $line" example "$line"
done <"$work/lines"

done_checking
