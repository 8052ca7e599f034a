#!/usr/bin/env bash
# Installs the Debian package on a Debian 12 that has nothing else on it, and works with it there as a new user:
#     tests/install/clean_machine.sh build/demo/packages/*.deb [PICTURE.png]
# Commands, the demo's main job, the manual page, the window on a display (its picture is kept where one is named), and
# removal without a trace. By hand, not by ctest: it needs root, debootstrap, the network and three minutes.
set -euo pipefail
package=$(realpath "$1")
picture=${2:-}
here=$(cd "$(dirname "$0")/../.." && pwd)
root=$(mktemp -d /tmp/boardlore-clean-XXXXXX)
chmod 755 "$root"
cleared() {
  mountpoint -q "$root/proc" && umount "$root/proc"
  rm -rf "$root"
}
trap cleared EXIT
inside() { env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 DEBIAN_FRONTEND=noninteractive chroot "$root" "$@"; }
as_user() { env -i PATH=/usr/bin:/bin LANG=C.UTF-8 HOME=/home/worker /usr/sbin/chroot --userspec=1000:1000 "$root" "$@"; }
said() { printf '== %s\n' "$1"; }

said "a clean Debian 12"
debootstrap --variant=minbase bookworm "$root" > "$root.log"
rm -f "$root.log"
mount -t proc proc "$root/proc"
inside useradd --create-home --uid 1000 worker

said "the package, with what it depends on and nothing it recommends"
cp "$package" "$root/tmp/boardlore.deb"
inside apt-get update -qq
inside apt-get install -y -qq --no-install-recommends /tmp/boardlore.deb > /dev/null
inside dpkg --status boardlore | grep -E '^(Status|Version|Installed-Size)'

said "commands"
as_user boardlore --version
as_user boardlore check /usr/share/boardlore/boards/brackenwick-gc12
cp "$here/assets/demo.sh" "$root/tmp/"
as_user /tmp/demo.sh /usr/bin/boardlore /usr/share/boardlore/boards /home/worker/demo
test -s "$root/usr/share/man/man1/boardlore.1.gz"
test -s "$root/usr/share/bash-completion/completions/boardlore"

said "the window, on a display that is installed only now"
inside apt-get install -y -qq --no-install-recommends xvfb xauth x11-apps x11-utils > /dev/null
cat > "$root/tmp/look.sh" <<'LOOK'
boardlore & program=$!
for second in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15; do
  sleep 1
  xwininfo -root -tree | grep -q '"Boardlore' && seen=yes && [ $second -ge 8 ] && break
done
xwd -root -silent > /tmp/window.xwd
kill -0 $program && [ "$seen" = yes ] && kill $program
LOOK
as_user xvfb-run -a -s "-screen 0 1600x1000x24" sh /tmp/look.sh
[[ -z $picture ]] || convert xwd:"$root/tmp/window.xwd" "$picture"

said "removal"
inside apt-get purge -y -qq boardlore > /dev/null
[[ -z $(find "$root/usr" "$root/etc" -iname '*boardlore*' -not -path '*/apt/*') ]]
echo "installed and ran"
