#!/bin/sh
# install.sh - what stands installed works alone: a program is built against it
# through pkg-config, statically and shared, and the tables are where they are
# looked for. Called by `make installcheck`.
set -eu
: "${srcdir:?}" "${bindir:?}" "${libdir:?}" "${includedir:?}" "${tables:?}" "${datadir:?}"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
unset EVENBREATH_TABLES
house=$srcdir/examples/one-room.yaml

PKG_CONFIG_PATH=$libdir/pkgconfig${PKG_CONFIG_PATH:+:$PKG_CONFIG_PATH}
export PKG_CONFIG_PATH
version=$(LD_LIBRARY_PATH=$libdir "$bindir/evenbreath" --version | sed 's/.* //')
[ "$(pkg-config --modversion evenbreath)" = "$version" ] || {
  echo "install: evenbreath.pc and the program do not name one version"
  exit 1
}

# What shells complete, where their own packages look for it.
for shell in bash zsh fish; do
  case $shell in
    bash) at=bash-completion/completions/evenbreath ;;
    zsh) at=zsh/site-functions/_evenbreath ;;
    fish) at=fish/vendor_completions.d/evenbreath.fish ;;
  esac
  LD_LIBRARY_PATH=$libdir "$bindir/evenbreath" completion "$shell" | cmp - "$datadir/$at"
done

# The paths inside evenbreath.pc are those of the final place; under DESTDIR the
# files stand elsewhere, so the folders are given here.
# shellcheck disable=SC2046,SC2086
build() { # build PROGRAM PKG_CONFIG_OPTION...
  program=$1
  shift
  ${CC:-cc} ${CFLAGS:-} -std=c11 -Wall -Wextra -Werror -I"$includedir" \
    "$srcdir/examples/prog/$program.c" -o "$scratch/$program" \
    -L"$libdir" $(pkg-config "$@" --cflags --libs evenbreath) ${LDFLAGS:-}
}
# What a program of examples/prog prints stands beside it, as PROGRAM.txt.
run() { # run PROGRAM ARGUMENT...
  program=$1
  shift
  (cd "$srcdir/examples" && LD_LIBRARY_PATH=$found${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH} \
    EVENBREATH_TABLES=$tables "$scratch/$program" "$@" > "$scratch/said") &&
    diff "$srcdir/examples/prog/$program.txt" "$scratch/said" || {
    echo "install: $program does not print what $program.txt says"
    exit 1
  }
}
found=$libdir
if [ -e "$libdir/libevenbreath.so" ]; then
  for program in rates year balance physics errors; do
    build "$program"
  done
  run rates one-room.yaml
  run year alder-row.yaml
  run balance alder-row.yaml alder-row-visit.yaml
  run physics
  run errors
fi
if [ -e "$libdir/libevenbreath.a" ]; then
  mkdir "$scratch/static"
  cp "$libdir/libevenbreath.a" "$scratch/static"
  libdir=$scratch/static
  build rates --static
  libdir=$found
  run rates one-room.yaml
fi

# The installed program finds the installed tables by itself where the final
# place is the real one.
if [ -z "${DESTDIR:-}" ]; then
  "$bindir/evenbreath" rates "$house" > "$scratch/said"
  grep -q 'l/s' "$scratch/said"
  "$bindir/evenbreath" tables --json > "$scratch/said"
  grep -qF "$tables/rules/" "$scratch/said" || {
    echo "install: the installed tables are not the ones that are found"
    exit 1
  }
fi
echo "install: passed"
