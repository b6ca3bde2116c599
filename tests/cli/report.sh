#!/bin/sh
# The report and the printed record: every figure is there, pages are numbered, files are whole.

. "$(dirname "$0")/lib.sh"

alder=$examples/alder-row.yaml
visit=$examples/alder-row-balance.yaml

for tool in pdftotext pdfinfo python3; do
  command -v "$tool" >/dev/null || {
    echo "1..0 # SKIP $tool is missing (Debian: poppler-utils)"
    exit 0
  }
done
"$EVENBREATH" report "$alder" -o "$work/alder.pdf" 2>"$work/err" || {
  if grep -q "without drawings" "$work/err"; then
    cat "$work/err"
    without() {
      exits 2 "$EVENBREATH" report "$alder" -o "$work/alder.pdf" &&
        exits 2 "$EVENBREATH" record "$alder" "$visit" -o "$work/record.pdf" &&
        says "without drawings" && [ ! -e "$work/record.pdf" ]
    }
    check "a program without drawings says so" without
    done_checking
    exit
  fi
}

report() { # report STATUS NAME HOUSE [OPTION...]: makes NAME.pdf and NAME.txt
  wanted=$1
  name=$2
  shift 2
  exits "$wanted" "$EVENBREATH" report -o "$work/$name.pdf" "$@" &&
    pdftotext -layout "$work/$name.pdf" "$work/$name.txt"
}

holds() { # holds NAME TEXT...: the pages hold each
  name=$1
  shift
  for text; do
    grep -qF -- "$text" "$work/$name.txt" || {
      echo "$name.pdf lacks: $text"
      return 1
    }
  done
}

lacks() { # lacks NAME TEXT
  ! grep -F -- "$2" "$work/$1.txt"
}

pages_of() {
  pdfinfo "$work/$1.pdf" | awk '$1 == "Pages:" { print $2 }'
}

# Every page says which of how many it is.
numbered() { # numbered NAME
  awk -v all="$(pages_of "$1")" 'BEGIN { RS = "\f" }
    $0 ~ "evenbreath .* page " NR " of " all "\n*$" { numbered++ }
    END { print numbered + 0, "of", all, "pages are numbered"; exit numbered != all }' \
    "$work/$1.txt"
}

# ---- Figures ----

figures() { # figures HOUSE
  report 0 figures "$1" || return 1
  for command in rates ducts energy parts; do
    exits 0 "$EVENBREATH" "$command" --json "$1" && cp "$work/out" "$work/$command.json" || return 1
  done
  python3 "$here/report_figures.py" "$work/figures.txt" "$work/rates.json" "$work/ducts.json" \
    "$work/energy.json" "$work/parts.json"
}
check "every figure of the JSON stands in its place" figures "$alder"
check "of a house with branched ducts too" figures "$examples/alder-row-branched.yaml"

can_fail() {
  figures "$alder" >/dev/null &&
    sed 's/"friction_pa": [0-9.]*/"friction_pa": 77.7/' "$work/ducts.json" >"$work/wrong.json" &&
    ! python3 "$here/report_figures.py" "$work/figures.txt" "$work/rates.json" "$work/wrong.json" \
      "$work/energy.json" "$work/parts.json" >"$work/faults" &&
    grep -q "friction_pa: 77.7 is not under" "$work/faults"
}
check "and a figure that does not is told" can_fail

# ---- Parts of the report ----

whole() {
  report 0 whole "$alder" && numbered whole &&
    holds whole "Ventilation design: summary" "What is in this report" "Air plan" "Ducts" \
      "Terminals and their openings" "Sound" "The year" "Parts to order" "Findings" \
      "Assumptions and notes" "Sources used" "Calculation sheets" "Combustion:" "Fire stopping:" \
      "legionella" "Radon" "Frost:" "Electricity:" &&
    [ "$(grep -c "Results are design aids" "$work/whole.txt")" -eq 1 ]
}
check "all parts, numbered pages, the one sentence once" whole

summary() {
  pdftotext -layout -l 1 "$work/whole.pdf" "$work/summary.txt" &&
    holds summary "Alder Row 4" "england-2021" "Rule set" "31.0" "0.48" "trickle-vents" \
      "saves 2700 kWh (95 % sure: 1500 to 4300 kWh)" "What does not comply" "Results are design aids"
}
check "the summary is the first page" summary

hashes() {
  for table in rules/england-2021 units/generic-unit-a climates/nottingham; do
    sum=$(sha256sum "$here/../../tables/$table.yaml" | cut -d' ' -f1)
    tr -d ' \n' <"$work/hashes.txt" | grep -q "$(echo "$sum" | cut -c1-16)" || {
      echo "the hash of $table is not there"
      return 1
    }
  done
}
pdftotext "$work/alder.pdf" "$work/hashes.txt"
check "tables with the hash of their bytes" hashes

steps() {
  exits 0 "$EVENBREATH" ducts --explain "$alder" || return 1
  count=$(grep -c '^  \[' "$work/out")
  [ "$count" -gt 500 ] && grep -q "^ *$count  " "$work/whole.txt" && holds whole "ducts.friction"
}
check "each step that --explain shows" steps

found() {
  holds whole "Approved Document F volume 1" "warning" "note" "alder-row.yaml:14"
}
check "findings with their clauses and places" found

# ---- Other houses ----

one_room() {
  report 0 one "$examples/one-room.yaml" && numbered one &&
    holds one "What it lacks" "describes no ducts" "names no climate" "Air plan" &&
    lacks one "Parts to order" && lacks one "Terminals and their openings"
}
check "a house without ducts and climate says what it lacks" one_room

unsized() {
  sed 's/duct: steel-1[0-9]*/duct: steel/' "$alder" >"$work/unsized.yaml" &&
    report 0 unsized "$work/unsized.yaml" && holds unsized "Sizes chosen" "no list of parts" \
    "--write"
}
check "ducts whose sizes are chosen" unsized

many() { # a house of 60 terminals, on standard output
  awk 'BEGIN {
    print "dwelling: Sixty\nrules: none\nfloor_area: 900 m2\nrooms:"
    for (i = 1; i <= 30; i++) {
      printf "  living-%d: {use: study, area: 15 m2, height: 2.4 m, supply: 3 l/s}\n", i
      printf "  store-%d: {use: utility, area: 15 m2, height: 2.4 m, extract: 3 l/s}\n", i
    }
    print "unit: generic-unit-a\nducts:\n  outdoor:"
    print "    - {run: intake, from: outdoors, to: unit, duct: steel-200, length: 2 m}\n  supply:"
    print "    - {run: s-main, from: unit, to: s-box, duct: steel-200, length: 2 m}"
    for (i = 1; i <= 30; i++)
      printf "    - {run: s-%d, from: s-box, to: living-%d, duct: steel-80, length: %d m, valve: supply-valve-100}\n", i, i, i
    print "  extract:"
    for (i = 1; i <= 30; i++)
      printf "    - {run: e-%d, from: store-%d, to: e-box, duct: steel-80, length: %d m, valve: extract-valve-100}\n", i, i, i
    print "    - {run: e-main, from: e-box, to: unit, duct: steel-200, length: 2 m}\n  exhaust:"
    print "    - {run: outlet, from: unit, to: outdoors, duct: steel-200, length: 2 m}"
    print "junctions: {s-box: {kind: box}, e-box: {kind: box}}"
  }'
}

# The heading of the schedule stands on as many pages as its rows do.
sixty() {
  many >"$work/sixty.yaml" && report 0 sixty "$work/sixty.yaml" && numbered sixty &&
    rows=$(awk 'BEGIN { RS = "\f" } /opening/ && /supply-valve-100|extract-valve-100/ && /Terminal / { n++ }
      END { print n }' "$work/sixty.txt") && [ "$rows" -ge 2 ] &&
    bare=$(awk 'BEGIN { RS = "\f" } /(supply|extract)-valve-100 +[0-9.-]+ mm/ && !/Terminal +room +valve/ { n++ }
      END { print n + 0 }' "$work/sixty.txt") && [ "$bare" -eq 0 ]
}
check "60 terminals: a table's heading is on each of its pages" sixty

long=Ätherisch-gelüftetes-Wohnzimmer-mit-Ausblick-auf-Öland-ÿ-60
names() {
  sed "s/bed-1\\b/$long/g; s/^dwelling:.*/dwelling: $long $long $long/" "$alder" \
    >"$work/names.yaml" && report 0 names "$work/names.yaml" && numbered names &&
    pdftotext "$work/names.pdf" - | tr -d '\n' | grep -qF "$long"
}
check "names of 60 letters with accents" names

hostile() {
  printf 'dwelling: "a\\x07\\e[31mb\\nc"\nrules: none\nrooms:\n  x: {use: study, area: 9 m2, height: 2.4 m, supply: 8 l/s}\n  y: {use: utility, area: 9 m2, height: 2.4 m, extract: 8 l/s}\n' \
    >"$work/hostile.yaml" && report 0 hostile "$work/hostile.yaml" && numbered hostile &&
    pdfinfo "$work/hostile.pdf" | tr -d '\n' >"$work/info" && ! grep -q "$(printf '[\033\007]')" "$work/info" &&
    grep -q "a  \[31mb c" "$work/info"
}
check "control characters in a name" hostile

rules_none() {
  report 0 rules "$alder" --rules none 2>/dev/null || report 0 rules "$work/sixty.yaml"
  holds rules "Rule set" && lacks rules "-nan" && lacks rules " nan"
}
check "a house without rules" rules_none

# ---- Paper, units, bytes ----

paper() {
  report 0 letter "$alder" --paper letter && numbered letter &&
    pdfinfo "$work/letter.pdf" | grep -q "Page size: *612 x 792 pts" &&
    pdfinfo "$work/whole.pdf" | grep -q "Page size: *595.28 x 841.89 pts"
}
check "US letter and A4" paper

units() {
  report 0 metric "$alder" --units metric && holds metric "m3/h" "112" && lacks metric "31.0 l/s" &&
    report 0 imperial "$alder" --units imperial && holds imperial "cfm" "in.wg" "66"
}
check "the units asked for" units

same() {
  report 0 again "$alder" && cmp "$work/again.pdf" "$work/whole.pdf" &&
    LC_ALL=de_DE.UTF-8 report 0 other "$alder" && cmp "$work/other.pdf" "$work/whole.pdf"
}
check "the same bytes each time" same

bookmarks() {
  python3 - "$work/whole.pdf" <<'EOF'
import re, sys, zlib
data = open(sys.argv[1], "rb").read()
for stream in re.findall(rb"stream\r?\n(.*?)endstream", data, re.S):
    try:
        data += zlib.decompress(stream)
    except zlib.error:
        pass
sys.exit(0 if b"/Outlines" in data and b"/Title (The year)" in data else 1)
EOF
}
check "bookmarks" bookmarks

# ---- Files ----

failing() {
  exits 5 "$EVENBREATH" report "$alder" -o "$work/no/such/x.pdf" && says "cannot write" &&
    { [ ! -w /dev/full ] || exits 5 "$EVENBREATH" report "$alder" -o /dev/full; }
}
check "an unwritable place and a full disk are status 5" failing

kept() {
  echo before >"$work/kept.pdf"
  exits 3 "$EVENBREATH" report -o "$work/kept.pdf" /dev/null && grep -q before "$work/kept.pdf" &&
    [ "$(find "$work" -name 'kept.pdf.*' | wc -l)" -eq 0 ]
}
check "a failed run leaves an earlier file as it was" kept

usage() {
  exits 2 "$EVENBREATH" report "$alder" -o "$work/x.txt" && says ".pdf" &&
    exits 2 "$EVENBREATH" report "$alder" --json -o "$work/x.pdf" && says "--json" &&
    exits 2 "$EVENBREATH" report "$alder" "$alder" -o "$work/x.pdf" &&
    exits 2 "$EVENBREATH" rates --paper letter "$alder" &&
    exits 2 "$EVENBREATH" record --csv -o "$work/x.pdf" "$alder" "$visit" &&
    exits 2 "$EVENBREATH" batch report "$alder" &&
    exits 0 "$EVENBREATH" report "$alder" && head -c 5 "$work/out" | grep -q '%PDF-'
}
check "what it does not take" usage

strict() {
  exits 1 "$EVENBREATH" report --strict "$alder" -o "$work/strict.pdf" && [ -s "$work/strict.pdf" ]
}
check "--strict" strict

# ---- The record ----

record() { # record NAME FILE...: makes NAME.pdf and NAME.txt
  name=$1
  shift
  exits 0 "$EVENBREATH" record -o "$work/$name.pdf" "$@" &&
    pdftotext -layout "$work/$name.pdf" "$work/$name.txt"
}

record_figures() {
  exits 0 "$EVENBREATH" record --json "$alder" "$visit" && python3 - "$work/out" "$work/record.txt" <<'EOF'
import json, re, sys
record = json.load(open(sys.argv[1]))
text = open(sys.argv[2]).read()
lines = text.splitlines()
faults = []
def row(name, *figures):
    if not any(name in line.split() and all(re.search(r"(?<![\d.])%s(?![\d.])" % re.escape(f), line)
               for f in figures) for line in lines):
        faults.append((name, figures))
for one in record["terminals"]:
    row(one["run"], "%.1f" % one["design_l_s"], "%.1f" % one["measured_l_s"],
        "%.1f" % one["error_l_s"])
for one in record["settings"]:
    row(one["run"], "%.4g" % one["opening"])
for name, level in record["levels"].items():
    if level["read"]:
        for key in ("supply", "extract"):
            row("read,", "%.1f" % level[key + "_l_s"], "%.1f" % level["design_%s_l_s" % key])
            row(key, "%.0f" % level[key + "_percent"])
        row("Power", "%.0f" % level["power_w"])
for field in record["fields"]:
    if field["value"] and field["value"] not in re.sub(r"\s+", " ", text):
        faults.append((field["label"], field["value"]))
print(faults)
sys.exit(1 if faults or not record["terminals"] else 0)
EOF
}

printed() {
  record record "$alder" "$visit" && numbered record && record_figures &&
    holds record "Signatures" "installer" "commissioner" "date" "Settings to lock"
}
check "the printed record holds what the record holds, and places to sign" printed

householder() {
  all=$(pages_of record)
  pdftotext -layout -f "$all" -l "$all" "$work/record.pdf" "$work/last.txt" &&
    holds last "For the householder" "Leave alone" && lacks last "Signatures"
}
check "the householder's page stands by itself" householder

to_fill() {
  sed '/^record:/,$d' "$visit" >"$work/bare.yaml" && record bare "$alder" "$work/bare.yaml" &&
    holds bare "not complete" "Missing" "Serial number" "Deviations (if any)" && lacks bare "____"
}
check "fields that are missing are lines to fill in" to_fill

two_visits() {
  record both "$alder" "$visit" "$visit" && numbered both && holds both "Two visits" "Likely" \
    "Signatures" && exits 0 "$EVENBREATH" record "$alder" "$visit" "$visit" && says "two visits"
}
check "two visits" two_visits

as_text() {
  exits 0 "$EVENBREATH" record "$alder" "$visit" -o "$work/record.out" &&
    grep -q "commissioning record" "$work/record.out"
}
check "any other ending is text as before" as_text

done_checking
