# fit.awk - what a document should show of an output: fit.awk SHOWN FOUND
#
# A line "..." of the text that is shown leaves out lines of what was found. Prints the lines that
# ought to stand between them: the first at the beginning of what was found, the last at its end,
# the others where they are most alike, letters before figures. The same text means it is true.

function words(line) {
  gsub(/[-+0-9.]+/, "0", line)
  gsub(/ +/, " ", line)
  return line
}

function left_out(i) { return shown[i] ~ /^ *\.\.\.$/ }

# How alike `length_` lines of both are.
function likeness(i, j, length_,    k, sum) {
  for (k = 0; k < length_; k++)
    sum += shown[i + k] == found[j + k] ? 2 : words(shown[i + k]) == words(found[j + k])
  return sum
}

# Where lines i to end-1 stand in what was found, from line `from` on.
function place(i, end,    j, best, most, alike) {
  best = from
  most = -1
  for (j = from; j + end - i - 1 <= n_found; j++) {
    alike = likeness(i, j, end - i)
    if (alike > most) {
      most = alike
      best = j
    }
  }
  return best
}

FILENAME == ARGV[1] { shown[++n_shown] = $0; next }
{ found[++n_found] = $0 }

END {
  while (n_found > 0 && found[n_found] == "")
    n_found--
  from = 1
  for (i = 1; i <= n_shown || i == 1; i = end) {
    for (end = i; end <= n_shown && !left_out(end); end++)
      ;
    count = end - i
    if (i == 1 && end > n_shown)
      count = n_found
    else if (i > 1 && end > n_shown)
      from = n_found - count + 1 > from ? n_found - count + 1 : from
    else if (i > 1 && count > 0)
      from = place(i, end)
    for (j = 0; j < count && from <= n_found; j++)
      print found[from++]
    for (; end <= n_shown && left_out(end); end++)
      print shown[end]
    if (end == i)
      break
  }
}
