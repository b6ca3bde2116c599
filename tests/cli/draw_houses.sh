# draw_houses.sh - houses of any size, for what must be legible whatever the house
# shellcheck shell=sh

# house_of N ENDING: a house of three storeys with N supplied and N extracted rooms; all their
# names and those of their runs have that ending. Supply from a box on each storey, extract
# along one main that goes to and fro between the storeys.
house_of() {
  awk -v n="$1" -v ending="$2" '
    function room(kind, use, duty) {
      for (i = 0; i < n; i++)
        printf "  \"%s%d%s\": {use: %s, area: 10 m2, height: 2.4 m, storey: %d, %s: %.2f l/s}\n",
          kind, i, ending, use, i % 3, duty, 60 / n
    }
    BEGIN {
      print "dwelling: \"House" ending "\"\nrules: none\nunit: generic-unit-a\nrooms:"
      room("bed", "bedroom", "supply")
      room("bath", "bathroom", "extract")
      print "  hall: {use: hall, area: 10 m2, height: 2.4 m, storey: 1}\nducts:\n  outdoor:"
      print "    - {run: intake, from: outdoors, to: unit, duct: steel-160, length: 2 m}\n  supply:"
      print "    - {run: s-main, from: unit, to: s-tee2, duct: steel-160, length: 2 m}"
      for (s = 2; s >= 0; s--) {
        printf "    - {run: s-box-run%d, from: s-tee%d, to: s-box%d, duct: steel-125, length: 2 m}\n", s, s, s
        if (s > 0)
          printf "    - {run: s-riser%d, from: s-tee%d, to: s-tee%d, duct: steel-160, length: 3 m}\n", s, s, s - 1
      }
      for (i = 0; i < n; i++)
        printf "    - {run: \"s%d%s\", from: s-box%d, to: \"bed%d%s\", duct: semirigid-75, length: %d m, valve: supply-valve-125}\n",
          i, ending, i % 3, i, ending, 5 + i % 7
      print "  extract:"
      for (i = 0; i < n; i++) {
        printf "    - {run: \"e%d%s\", from: \"bath%d%s\", to: e-tee%d, duct: steel-100, length: %d m, valve: extract-valve-125}\n",
          i, ending, i, ending, i, 1 + i % 3
        printf "    - {run: e-part%d, from: e-tee%d, to: %s, duct: steel-160, length: 1 m}\n",
          i, i, i < n - 1 ? "e-tee" (i + 1) : "unit"
      }
      print "  exhaust:\n    - {run: outlet, from: unit, to: outdoors, duct: steel-160, length: 2 m}"
    }'
}
