# steps.awk - the steps of a document: files to write and commands to run
#
# Prints one line a step, apart by tabs, and writes its text to FOLDER/N:
#   write N FILE         a block after a line that ends in `FILE`:
#   append N FILE        where that line says "Add to the end of `FILE`:"
#   part N FILE KEY      where it says "in place of `KEY:` in `FILE`:"
#   run N STREAMS LINE   a line "$ COMMAND" of a block; the text is what it prints, on both
#                        streams in a block ```console, else on standard output
# With -v refill=1 prints the document instead, the text of each run from FOLDER/N.new.

function file_of(line) {
  if (!match(line, /`[A-Za-z0-9._\/-]+\.(yaml|csv|c)`:$/))
    return ""
  return substr(line, RSTART + 1, RLENGTH - 3)
}

function key_of(line) {
  return match(line, /in place of `[a-z_]+:`/) ? substr(line, RSTART + 13, RLENGTH - 15) : ""
}

function show(line) {
  if (refill)
    print line
}

function note(line) {
  if (!refill)
    print line
}

function keep(line) {
  if (!refill)
    print line > (folder "/" n)
}

# Ends the run under way: its text without the blank lines at the end, which stay as they are.
function end_run(    file, line, i) {
  if (!running)
    return
  running = 0
  file = folder "/" n ".new"
  if (refill)
    while ((getline line < file) > 0)
      print line
  for (i = 0; i < blanks; i++)
    show("")
  blanks = 0
  close(file)
}

function start_run(line) {
  end_run()
  n++
  printf "" > (folder "/" n)
  running = 1
  command = ""
}

# A command goes on behind a backslash.
function add_command(line) {
  more = line ~ /\\$/
  sub(/\\$/, "", line)
  command = command line
  if (!more)
    note("run\t" n "\t" streams "\t" command)
}

function begin_block(    key) {
  streams = $0 ~ /^```console/ ? "both" : "out"
  file = file_of(before)
  key = key_of(before)
  how = key != "" ? "part" : before ~ /Add to the end of `[^`]*`:$/ ? "append" : "write"
  before = ""
  if (file == "")
    return
  n++
  printf "" > (folder "/" n)
  note(how "\t" n "\t" file (key != "" ? "\t" key : ""))
}

/^```/ {
  if (inside)
    end_run()
  else
    begin_block()
  inside = !inside
  show($0)
  next
}

!inside {
  if (NF > 0)
    before = $0
  show($0)
  next
}

more {
  add_command($0)
  show($0)
  next
}

/^\$ / && file == "" {
  start_run()
  add_command(substr($0, 3))
  show($0)
  next
}

running {
  if ($0 == "") {
    blanks++
    next
  }
  for (; blanks > 0; blanks--)
    keep("")
  keep($0)
  next
}

file != "" { keep($0) }
{ show($0) }
