#!/usr/bin/env python3
"""Writes the demo board's layer from the parts list of the picture program (truth.json).

    make_layer.py boards/brackenwick-gc12

Limits, samples, notes and fault counts are invented for the demo. Ids follow from the designators, so that
a second run writes the same marks.
"""
import hashlib
import json
import pathlib
import sys

board_dir = pathlib.Path(sys.argv[1])
truth = json.loads((board_dir / "later-unit/truth.json").read_text())


def id_for(*words):
    """A version 7 id (RFC 9562) whose bits follow from the words; its time is 2026-01-05."""
    digest = hashlib.sha256("/".join(map(str, words)).encode()).hexdigest()
    return f"019b8bd7-6800-7{digest[0:3]}-8{digest[3:6]}-{digest[6:18]}"


TAKEN = "2026-01-05T00:00:00Z"
FAMILIES = {"dual row": "dual-row", "quad flat": "quad", "quad no-lead": "quad", "SOT-23": "sot", "module": "module",
            "connector, screw terminal": "connector", "connector, shrouded header": "connector",
            "connector, pin header": "connector"}
MARKS_ON_PART = {"dot": "dot", "dot and bevel": "dot", "cathode band": "cathode band", "positive bar": "bar",
                 "minus segment": "minus stripe", "plus sign": "plus sign", "arrow": "arrow", "arrow and notch": "notch"}


def package_of(part):
    family = FAMILIES.get(part["family"], "two-terminal")
    length, width = part["body_mm"]
    package = {"family": family, "name": part["package"], "pins": part["pins"], "pitch_mm": part["pitch_mm"],
               "span_mm": part["span_mm"], "body_length_mm": length, "body_width_mm": width,
               "source": "board's own parts list"}
    if family == "connector":  # pin 1 at the top at 0 degrees, where the drawing has it at the left
        package["body_length_mm"], package["body_width_mm"] = width, length
        if part["span_mm"]:
            package["row_count"] = "across"
    if family == "sot":  # the drawing gives the distance over the pair
        package["pitch_mm"] = part["pitch_mm"] / 2
    if family == "two-terminal":
        package["span_mm"], package["pitch_mm"] = part["pitch_mm"], 0
    return package


def mark_of(part):
    refdes = part["refdes"]
    at = part["at_mm"]
    if part["family"] == "test point":
        return {"id": id_for("probe", refdes), "kind": "probe", "side": part["side"], "at_mm": at, "refdes": refdes,
                "radius_mm": 0.75}
    mark = {"id": id_for("part", refdes), "kind": "part", "side": part["side"], "at_mm": at, "refdes": refdes,
            "rotation_deg": (part["rotation_deg"] + (90 if part["family"].startswith("connector") else 0)) % 360,
            "package": package_of(part), "place_error_mm": 0.1, "height_mm": part["height_mm"]}
    if part["marking"]:
        mark["value"] = part["marking"]
    on_part = MARKS_ON_PART.get(part["pin1"])
    if on_part:
        mark["orientation"] = {"on_part": on_part, "on_board": "triangle" if part["pins"] > 2 else "bar"}
    if part["pin1"] in ("cathode band",):
        mark["polarity"] = "cathode"
    elif part["pin1"] in ("positive bar", "minus segment", "plus sign"):
        mark["polarity"] = "positive"
    return mark


marks = {mark["refdes"]: mark for mark in map(mark_of, truth["parts"])}


def limit(refdes, quantity, unit, low=None, high=None, pin="", source="common practice, no source"):
    entry = {"id": id_for("limit", refdes, quantity, pin), "quantity": quantity, "pin": pin, "low": low, "high": high,
             "unit": unit, "source": source}
    marks[refdes].setdefault("limits", []).append({k: v for k, v in entry.items() if v not in (None, "")})


def samples(refdes, quantity, unit, values, pin=""):
    for n, value in enumerate(values):
        entry = {"id": id_for("sample", refdes, quantity, pin, n), "quantity": quantity, "pin": pin, "value": value,
                 "unit": unit, "taken_at": TAKEN}
        marks[refdes].setdefault("samples", []).append({k: v for k, v in entry.items() if v != ""})


def note(refdes, text, pin=""):
    entry = {"id": id_for("note", refdes, text), "text": text, "pin": pin, "at": TAKEN}
    marks[refdes].setdefault("notes", []).append({k: v for k, v in entry.items() if v != ""})


limit("BT1", "voltage", "V", 2.9, 3.4)
limit("F1", "resistance", "Ohm", high=1.0)
limit("C3", "resistance", "Ohm", low=500)
limit("U1", "diode", "V", 0.40, 0.65, pin="7")
samples("C3", "resistance", "Ohm", [10400, 11200, 9800, 10900, 10150, 11600])
samples("U1", "diode", "V", [0.512, 0.508, 0.519, 0.515, 0.511], pin="7")
samples("L1", "resistance", "Ohm", [0.12, 0.14, 0.13])
note("U1", "Pin 7 lifts easily: nudge it after soldering.", "7")
note("C3", "Shorted on most dead units; read it before the regulator is suspected.")
marks["U5"]["accept"] = ["HV485 E2", "HV485 E3"]
marks["U5"]["refuse"] = ["HV485 T"]
marks["U3"]["accept"] = ["LQ24A 6M3"]
marks["C3"]["accept"] = ["107 10V"]

keepouts = [
    {"id": id_for("keepout", "BT1"), "kind": "keepout", "side": "top", "at_mm": marks["BT1"]["at_mm"], "text": "coin cell",
     "radius_mm": 12, "reason": "heat", "max_temperature_cel": 60, "height_mm": 5.2, "advice": "remove first"},
    {"id": id_for("keepout", "J4"), "kind": "keepout", "side": "top", "at_mm": marks["J4"]["at_mm"], "text": "plastic header",
     "outline_mm": [[-10.6, -4.9], [10.6, -4.9], [10.6, 4.9], [-10.6, 4.9]], "reason": "heat",
     "max_temperature_cel": 150, "height_mm": 8.8, "advice": "shield"},
    {"id": id_for("keepout", "Y1"), "kind": "keepout", "side": "top", "at_mm": marks["Y1"]["at_mm"], "text": "crystal",
     "radius_mm": 3.5, "reason": "knock", "advice": "shield"},
]
others = [
    {"id": id_for("pin1", "U1"), "kind": "pin1", "side": "top", "at_mm": [67.2, 50.8], "text": "U1 pin 1"},
    {"id": id_for("note", "board"), "kind": "note", "side": "top", "at_mm": [12, 54],
     "text": "Supply comes in here; the fuse is first in line."},
]

photos = []
for name in ("top", "bottom"):
    photo = next(p for p in truth["photos"] if p["file"] == name + ".jpg")
    data = (board_dir / (name + ".jpg")).read_bytes()
    photos.append({"id": id_for("photo", name), "file": name + ".jpg", "sha256": hashlib.sha256(data).hexdigest(),
                   "side": name, "width_px": photo["width"], "height_px": photo["height"]})

shop = id_for("shop")
board = {k: truth["board"][k] for k in ("maker", "model", "revision", "width_mm", "height_mm", "outline_mm")}
layer = {"format": "boardlore-layer", "version": "1.0", "id": id_for("layer"), "board": board,
         "settings": {"symptoms": ["dead", "no display", "resets", "sensor reads wrong", "relay stuck"]},
         "photos": photos,
         "faults": [{"id": id_for("fault", 1), "counted_by": shop, "symptom": "dead", "refdes": "C3", "cure": "replaced", "cured": 7, "last_month": "2025-11"},
                    {"id": id_for("fault", 2), "counted_by": shop, "symptom": "dead", "refdes": "F1", "cure": "replaced", "cured": 3, "last_month": "2025-08"},
                    {"id": id_for("fault", 3), "counted_by": shop, "symptom": "sensor reads wrong", "refdes": "U5", "cure": "replaced", "cured": 2, "last_month": "2025-12"}],
         "symptoms": [{"id": id_for("symptom", n), "counted_by": shop, "symptom": words, "jobs": jobs}
                      for n, (words, jobs) in enumerate((("dead", 13), ("sensor reads wrong", 3)), 1)],
         "marks": sorted(list(marks.values()) + keepouts + others, key=lambda m: m["id"])}
(board_dir / "layer.json").write_text(json.dumps(layer, ensure_ascii=False) + "\n")
