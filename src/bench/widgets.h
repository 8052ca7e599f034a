// The few widgets of our own that several panels share. They draw; they decide nothing.
#pragma once

#include <string>

#include "bench/scene.h"

namespace boardlore {

// A panel at a fixed place, its ground filled. Between begin and end, as ImGui::Begin.
void begin_panel(const Scene& scene, const char* name, ImVec2 at, ImVec2 size, ImU32 ground);
void end_panel();

void text(const Scene& scene, ImFont* font, ImU32 colour, const std::string& words);
void quiet(const Scene& scene, const std::string& words);      // small, secondary
void quiet_wrapped(const Scene& scene, const std::string& words);
void heading(const Scene& scene, const std::string& words);
// Cut at the end with an ellipsis so that it is at most `width` wide.
// One of several that hold, not a thing to do: the chosen one has an edge, where what is to be pressed next is filled.
bool choice(const Scene& scene, const char* name, const std::string& words, bool chosen, float width = 0);
// A box with an edge to be seen and a tick. True: it was clicked.
bool tick_box(const Scene& scene, const char* name, const std::string& words, bool& on);
// With a capital and a full stop: what a report says in passing, standing alone on a sheet. ASCII letters only.
std::string as_sentence(std::string words);
// From the left: of a path the end says which it is.
std::string shortened_left(ImFont* font, const std::string& words, float width);
std::string shortened(ImFont* font, const std::string& words, float width);

// All of these name themselves in the anchors; `name` is also the widget's id.
bool button(const Scene& scene, const char* name, const std::string& words, bool primary = false, float width = 0,
            bool enabled = true);
// A flat square with a symbol, a tooltip with its key.
bool symbol_button(const Scene& scene, const char* name, const char* symbol, const std::string& tip, bool on = false,
                   bool enabled = true);
// Returns true when the text was changed and is finished (Enter or leaving the field). What the view then refuses
// (scene.faults) is said under it, the field outlined and in focus, until it is changed or given up by Escape.
bool field(const Scene& scene, const char* name, const char* hint, std::string& words, float width = -1,
           bool large = false);
// A caption above, then a field.
bool captioned_field(const Scene& scene, const char* name, const char* caption, const char* hint, std::string& words,
                     float width = -1);
void tooltip(const Scene& scene, const std::string& words, const std::string& key = {});
// Whether Enter ended the typing in the field just drawn.
bool entered();
void separator(const Scene& scene);

}  // namespace boardlore
