# lint.sh - every known check value is used or skipped with a reason
#
# keys.txt has a line for each: "ID used FILE" (FILE below tests/, which must hold
# the ID) or "ID skipped REASON". Lines that begin with '#' are comments.

set -eu
: "${srcdir:=.}" "${AWK:=awk}"

cd "$srcdir/tests"
"$AWK" '
  function complain(why) { print "tests/cases/keys.txt:" FNR ": " $1 ": " why; bad = 1 }
  # The words of a file, apart at blanks, commas, quotes and brackets.
  function words_of(file,   line, parts, n, i) {
    if (file in seen) return seen[file]
    seen[file] = 0
    while ((getline line < file) > 0) {
      seen[file] = 1
      n = split(line, parts, /[ \t,"()]+/)
      for (i = 1; i <= n; i++) holds[file, parts[i]] = 1
    }
    close(file)
    return seen[file]
  }
  /^#/ || NF == 0 { next }
  $1 in keys { complain("stands twice") }
  { keys[$1] = 1; count++ }
  $2 == "used" && NF == 3 {
    if (!words_of($3)) complain("no file " $3)
    else if (!(($3, $1) in holds)) complain("not in " $3)
    used++
    next
  }
  $2 == "skipped" && NF >= 3 { next }
  { complain("neither used in a file nor skipped with a reason") }
  END { print count " keys, " used " used"; exit bad || count == 0 }
' cases/keys.txt
