#!/bin/sh
# dist.sh - every file that git does not ignore is in the tarball's list
set -eu
root=${srcdir:-$(dirname "$0")/..}
build=${builddir:-.}
git -c safe.directory='*' -C "$root" rev-parse --git-dir > /dev/null 2>&1 || {
  echo "dist: not a git checkout"
  exit 77
}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
git -c safe.directory='*' -C "$root" ls-files --cached --others --exclude-standard | sort > "$scratch/tracked"
cat > "$scratch/print.mk" <<'MAKEFILE'
print-dist:
	@printf "%s\n" $(DISTFILES) | sed "s|^$(srcdir)/||; s|^$(top_srcdir)/||"
MAKEFILE
(cd "$build" && "${MAKE:-make}" -s -f Makefile -f "$scratch/print.mk" print-dist) \
  | sort -u > "$scratch/shipped"
comm -23 "$scratch/tracked" "$scratch/shipped" > "$scratch/missing"
if [ -s "$scratch/missing" ]; then
  echo "dist: not ignored by git, and not in the tarball:"
  cat "$scratch/missing"
  exit 1
fi
echo "dist: $(wc -l < "$scratch/tracked") files"
