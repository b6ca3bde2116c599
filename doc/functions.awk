# functions.awk - a manual page of functions from its head, a program and C headers
#
#   awk -f functions.awk -v program=FILE.c HEAD.3.in HEADER.h...
#
# Of the headers: the titles of their parts, and each function with the comment before it; where
# one comment stands before several it goes with the first.

function escaped(line) {
  gsub(/\\/, "\\e", line)
  gsub(/~/, "\\(ti", line)
  gsub(/\^/, "\\(ha", line)
  sub(/^[.']/, "\\\\\\&&", line)
  return line
}

# Sentences begin lines of their own, as manual pages want them.
function show(line,    head) {
  sub(/^ +/, "", line)
  while (match(line, /[.?!:]\)? +[A-Z]/)) {
    head = substr(line, 1, RSTART + RLENGTH - 2)
    line = substr(line, RSTART + RLENGTH - 1)
    sub(/ +$/, "", head)
    page = page escaped(head) "\n"
  }
  if (line != "")
    page = page escaped(line) "\n"
}

# A comment as running text, without its stars.
function show_comment(    n, i, lines) {
  sub(/^\/\* */, "", comment)
  sub(/ *\*\/ *$/, "", comment)
  n = split(comment, lines, "\n")
  for (i = 1; i <= n; i++) {
    sub(/^ \* ?/, "", lines[i])
    show(lines[i])
  }
  comment = ""
}

function part(line) {
  end_list()
  gsub(/^\/\* -+ *| *-+ *\*\/$/, "", line)
  page = page ".Ss " escaped(line) "\n"
}

function end_list() {
  if (listing)
    page = page ".El\n"
  listing = 0
}

# TYPE NAME(ARGUMENTS);
function declare(line,    at, type, name, arguments, n, i, list) {
  sub(/^EB_MUST_USE /, "", line)
  gsub(/ +/, " ", line)
  at = index(line, "(")
  name = substr(line, 1, at - 1)
  arguments = substr(line, at + 1)
  sub(/\) *;.*$/, "", arguments)
  match(name, /eb_[a-z0-9_]+$/)
  type = substr(name, 1, RSTART - 1)
  name = substr(name, RSTART)
  sub(/ +$/, "", type)
  n = split(arguments, list, /, */)
  if (!listing)
    page = page ".Bl -tag -width Ds\n"
  listing = 1
  page = page ".It Ft \"" type "\" Fn " name
  for (i = 1; i <= n; i++)
    page = page " \"" list[i] "\""
  page = page "\n"
  if (comment == "")
    page = page "\\&\n"
  show_comment()
}

# What a blank line ends: a comment on a type, or a text of its own.
function flush_() {
  if (comment != "" && !typed) {
    end_list()
    if (page !~ /\.Ss [^\n]*\n$/)
      page = page ".Pp\n"
    show_comment()
  }
  comment = ""
  typed = 0
}

FILENAME == ARGV[1] { head[++n_head] = $0; next }

FNR == 1 { first = 1 }

# The comment at the top is the head's business.
first { if (/\*\/$/) first = 0; next }

/^#define EB_STATUS_LIST/ { listed = 1 }
listed && /ROW\(EB_/ {
  split($0, quoted, "\"")
  match($0, /EB_[A-Z_]+/)
  statuses = statuses ".It Dv " substr($0, RSTART, RLENGTH) "\n" quoted[4] "\n"
}
/^#/ { macro = 1 }
macro { if (!/\\$/) { macro = 0; typed = 1 } next }
/^extern "C"|^}$/ { next }

/^\/\* ----/ { flush_(); part($0); next }

/^\/\*/ && !structure { flush_(); comment = ""; reading = 1 }
reading {
  comment = comment (comment == "" ? "" : "\n") $0
  if (/\*\/$/)
    reading = 0
  next
}

/^(typedef|struct).*\{$/ { structure = 1 }
structure { if (/^}/) { structure = 0; typed = 1 } next }
/^typedef/ { typed = 1; next }

/^$/ { flush_(); next }
{
  sub(/ *\/\*.*\*\/$/, "")
  statement = statement (statement == "" ? "" : " ") $0
  if (/;$/) {
    declare(statement)
    statement = ""
  }
}

END {
  flush_()
  end_list()
  for (i = 1; i <= n_head; i++)
    if (head[i] == ".\\\" FUNCTIONS")
      printf "%s", page
    else if (head[i] == ".\\\" STATUSES")
      printf "%s", statuses
    else if (head[i] == ".\\\" PROGRAM")
      while ((getline line < program) > 0)
        print escaped(line)
    else
      print head[i]
}
