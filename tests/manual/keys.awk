# keys.awk - the keys that a manual page lists: one line a mapping,
#   KIND<tab>TEXT<tab>KEY KEY ...
# from the comment `.\" keys KIND TEXT`, where `?` in TEXT stands for a key of the mapping, and the
# lines `.It Cm KEY` that follow.

function out() {
  if (kind != "")
    print kind "\t" text "\t" keys
  kind = keys = ""
}

/^\.S[hs] / { out() }

/^\.\\" keys / {
  out()
  kind = $3
  text = substr($0, index($0, $3) + length($3) + 1)
  next
}

/^\.It Cm / && kind != "" { keys = keys (keys == "" ? "" : " ") $3 }
END { out() }
