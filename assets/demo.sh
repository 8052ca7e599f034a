#!/bin/sh
# The main job on the demo board: a later unit comes in, and the marks of the first land on its photos.
#   demo.sh BOARDLORE BOARDS_DIR RESULTS_DIR
# Prints what it did and where the results lie; opens the window where there is a display.
set -eu
boardlore=$1
board=$2/brackenwick-gc12
results=$3
unit=$board/later-unit
job=$results/job-2-sensor
rm -rf "$results"
mkdir -p "$results"
BOARDLORE_TECHNICIAN=${BOARDLORE_TECHNICIAN:-"R. Ashdown"}
export BOARDLORE_TECHNICIAN

# One number of a --json answer.
number() { sed -n "s/.*\"$1\": \\([-0-9.e]*\\).*/\\1/p" | head -n 1; }

"$boardlore" new job "$job" --board "$board" --reported "dead, relay stuck" --unit "SN 0931-4477" \
  --owner "Fernhollow Nursery" "$unit/later_top.jpg" >/dev/null
"$boardlore" photo add "$job" "$unit/later_bottom.jpg" --side bottom --stage intake >/dev/null
echo "1. opened a job for a later unit:    $job"

top=$("$boardlore" register "$job" later_top.jpg --points "$unit/fiducials_later_top.json" --json)
bottom=$("$boardlore" register "$job" later_bottom.jpg --points "$unit/fiducials_later_bottom.json" --json)
echo "2. registered its photos:            top $(echo "$top" | number leave_one_out_mm) mm, bottom $(echo "$bottom" | number leave_one_out_mm) mm (leave-one-out)"

marks=$("$boardlore" marks "$job" | wc -l)
where=$("$boardlore" locate "$job" U1 --photo later_top.jpg)
echo "3. carried $marks marks over:            $where"

"$boardlore" mark add "$job" --kind keepout --side top --at 33.2,43.5 --radius 2.5 --reason heat \
  --text "small parts beside U5" --advice shield >/dev/null
echo "4. placed a keep-out beside U5"

for line in "BT1 3.21V" "F1 0.1" "C3 10.2k 10.9k 11.4k 12.0k" "U1.7 0.514 V diode" "C3 note read before power-up"; do
  "$boardlore" log "$job" "$line" >/dev/null
done
echo "5. logged readings and a note:       $("$boardlore" readings "$job" | wc -l) lines of readings"

"$boardlore" export "$job" -o "$results/layer.json" >/dev/null
"$boardlore" check "$results/layer.json" "$job" >/dev/null
echo "6. exported the layer:               $results/layer.json"

"$boardlore" draw "$job" --photo later_top.jpg -o "$results/later_top_overlay.png" >/dev/null
"$boardlore" draw "$job" --photo later_bottom.jpg -o "$results/later_bottom_overlay.png" >/dev/null
echo "7. drew the overlays:                $results/later_top_overlay.png, later_bottom_overlay.png"

# Before and after the rework find their own place; exit code 1 says that there is something to look at.
for photo in before after; do
  "$boardlore" photo add "$job" "$unit/later_$photo.jpg" --side top --stage "$photo" >/dev/null
  "$boardlore" register "$job" "later_$photo.jpg" --auto >/dev/null
done
changes=$("$boardlore" compare "$job" later_before.jpg later_after.jpg --keep | awk '$3 == "confidence" { printf "%s%s %s", sep, $1, $2; sep = ", " }')
echo "8. compared before with after:       $changes (an aid to the eye: look there)"
echo "9. measured work on boards is at your own risk: local codes and licensed practice come first."
if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ] && [ -z "${CI:-}" ]; then
  echo "10. opening the window on the job"
  exec "$boardlore" open "$job"
fi
echo "10. no display: open the window with  $boardlore open $job"
