#!/bin/sh
# How far a long run is: on a terminal, after its first second, and nowhere else.

. "$(dirname "$0")/lib.sh"

# Two houses, the second of them so late that there is something to say.
cat >"$work/slow" <<END
#!/bin/sh
{ cat "$examples/one-room.yaml"; echo ---; sleep 1.5; cat "$examples/one-room.yaml"; } |
  "$EVENBREATH" batch check - -o "$work/lines"
END

shown() {
  command -v script >/dev/null || { echo "no script here"; return 0; }
  script -q -e -c "sh $work/slow" "$work/terminal" </dev/null >"$work/out" 2>&1 || return 1
  # Written over what stood there, wiped at the end, and then the summary.
  tr '\r' '\n' <"$work/terminal" >"$work/seen"
  grep -q '^.\[Khouses: [12], with errors: 0$' "$work/seen" && grep -q '^.\[K2 houses, 2 done' "$work/seen" &&
    [ "$(wc -l <"$work/lines")" -eq 2 ]
}
check "a terminal shows how many houses are done" shown

hidden() {
  sh "$work/slow" >"$work/out" 2>"$work/err" && [ "$(wc -l <"$work/err")" -eq 1 ] &&
    ! grep -q "$(printf '\r')" "$work/err" && says "2 houses, 2 done"
}
check "what is no terminal does not" hidden

short() {
  command -v script >/dev/null || return 0
  script -q -e -c "$EVENBREATH rates $examples/one-room.yaml -o $work/file" "$work/terminal" \
    </dev/null >"$work/out" 2>&1 && ! grep -q '\[K' "$work/terminal"
}
check "nor does a run of less than a second" short

done_checking
