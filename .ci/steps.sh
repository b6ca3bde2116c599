# steps.sh - for first-run.sh and run.sh: install packages, take a step, stop
# shellcheck shell=sh disable=SC2016,SC2034,SC2154
#
# The caller sets `us` (what it calls itself) and `log` (the file that keeps what
# the steps say).

say() {
  printf '%s: %s\n' "$us" "$*"
}

stop() {
  say "STOPPED: $*" >&2
  exit 1
}

# step NAME COMMAND...: one line, the rest into the log; false where it fails.
step() {
  say "$1"
  printf '\n== %s\n' "$1" >> "$log"
  shift
  "$@" >> "$log" 2>&1
}

must() {
  step "$@" || stop "$1 failed; see $log"
}

as_root() {
  if [ "$(id -u)" -eq 0 ]; then
    "$@"
  else
    sudo "$@"
  fi
}

# packages NAME...: installs those that are missing; none missing, no network.
packages() {
  missing=
  for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2> /dev/null | grep -q ' installed$' ||
      missing="$missing $package"
  done
  [ -n "$missing" ] || return 0
  [ "$(id -u)" -eq 0 ] || command -v sudo > /dev/null ||
    stop "as root, first: apt-get install$missing"
  must "apt-get update" as_root apt-get -q update
  # shellcheck disable=SC2086
  must "apt-get install$missing" as_root env DEBIAN_FRONTEND=noninteractive \
    apt-get -q -y --no-install-recommends install $missing
}

build_packages='gcc libc6-dev make autoconf automake libtool pkg-config
  libgsl-dev libyaml-dev libjansson-dev libsuitesparse-dev
  libcairo2-dev libpango1.0-dev fonts-dejavu-core'

# configured FOLDER ARGUMENT...: a configured build of $root in that folder; done
# anew where the source has moved or the arguments differ.
configured() {
  folder=$1
  shift
  mkdir -p "$folder" || stop "cannot make the folder $folder"
  if [ -e "$folder/Makefile" ] && [ "$root $*" = "$(cat "$folder/configured-as")" ]; then
    return 0
  fi
  # Autotools take a blank in the name of the build folder, not of the source's,
  # so the source is named from there.
  must "configure in $folder" sh -c 'cd "$1" && shift && "$@"' sh "$folder" \
    "$(realpath --relative-to="$folder" "$root")/configure" -q "$@"
  printf '%s\n' "$root $*" > "$folder/configured-as"
}

# The build system itself, made from configure.ac where it is not there yet.
bootstrapped() {
  [ -x "$root/configure" ] && [ -e "$root/Makefile.in" ] && return 0
  must "autoreconf" sh -c 'cd "$1" && autoreconf -i' sh "$root"
}
