#!/bin/sh
# Installs every Debian package that building and testing Boardlore needs (third_party/packages.txt).
# Idempotent: with everything there it asks dpkg and returns. Needs root or sudo only when something is missing.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
packages=$(sed -e 's/#.*//' -e 's/[[:space:]]//g' -e '/^$/d' "$here/packages.txt")
missing=
for package in $packages; do
  state=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$state" = installed ] || missing="$missing $package"
done
[ -n "$missing" ] || exit 0
as_root=
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null 2>&1 || {
    echo "third_party/install.sh: missing packages:$missing" >&2
    echo "expected: run as root, or sudo installed" >&2
    exit 3
  }
  as_root=sudo
fi
log=$(mktemp)
trap 'rm -f "$log"' EXIT
run() {
  if ! "$@" >"$log" 2>&1; then
    cat "$log" >&2
    echo "third_party/install.sh: failed: $*" >&2
    exit 3
  fi
}
run $as_root apt-get -qq update
run $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends $missing
