#include "bench/theme.h"

namespace boardlore {
namespace {

ImVec4 vec(ImU32 colour) { return ImGui::ColorConvertU32ToFloat4(colour); }

constexpr ImU32 grey(int v) { return IM_COL32(v, v, v, 255); }

}  // namespace

Theme make_theme(ThemeName name, float scale) {
  Theme t;
  t.name = name;
  t.scale = scale;
  if (name == ThemeName::dark) {
    t.bench = grey(0x14), t.panel = grey(0x1d), t.raised = grey(0x29), t.hover = grey(0x34), t.line = grey(0x3a);
    t.text = grey(0xe6), t.quiet = grey(0xa3), t.strong = grey(0xe2), t.on_strong = grey(0x14);
    t.good = IM_COL32(0x2f, 0xc2, 0x96, 255);      // bluish green, lifted for text
    t.bad = IM_COL32(0xff, 0x8a, 0x3c, 255);       // vermillion, lifted for text
    t.doubtful = IM_COL32(0xf0, 0xe4, 0x42, 255);  // yellow
  } else if (name == ThemeName::high_contrast) {
    // Black and white, 7:1 and better, lines as strong as text.
    t.bench = grey(0x00), t.panel = grey(0x00), t.raised = grey(0x1c), t.hover = grey(0x3c), t.line = grey(0xa0);
    t.text = grey(0xff), t.quiet = grey(0xd8), t.strong = grey(0xff), t.on_strong = grey(0x00);
    t.good = IM_COL32(0x4d, 0xe8, 0xb8, 255);
    t.bad = IM_COL32(0xff, 0xa0, 0x5c, 255);
    t.doubtful = IM_COL32(0xff, 0xf2, 0x60, 255);
  } else {
    t.bench = grey(0xc9), t.panel = grey(0xf1), t.raised = grey(0xff), t.hover = grey(0xe0), t.line = grey(0xc2);
    t.text = grey(0x1a), t.quiet = grey(0x54), t.strong = grey(0x26), t.on_strong = grey(0xfa);
    t.good = IM_COL32(0x00, 0x6b, 0x4e, 255);
    t.bad = IM_COL32(0xa8, 0x40, 0x00, 255);
    t.doubtful = IM_COL32(0x6e, 0x5c, 0x00, 255);
  }
  return t;
}

ImU32 Theme::kind(MarkKind kind) const {
  const bool dark = name != ThemeName::light;
  switch (kind) {
    case MarkKind::part: return dark ? IM_COL32(86, 180, 233, 255) : IM_COL32(0, 114, 178, 255);
    case MarkKind::pin1: return dark ? IM_COL32(240, 228, 66, 255) : IM_COL32(133, 116, 0, 255);
    case MarkKind::keepout: return dark ? IM_COL32(230, 159, 0, 255) : IM_COL32(168, 98, 0, 255);
    case MarkKind::probe: return dark ? IM_COL32(0, 178, 130, 255) : IM_COL32(0, 128, 93, 255);
    case MarkKind::note: return dark ? IM_COL32(204, 121, 167, 255) : IM_COL32(168, 70, 124, 255);
  }
  return text;
}

void apply_theme(const Theme& t) {
  ImGuiStyle style;
  style.WindowPadding = ImVec2(12, 12);
  style.FramePadding = ImVec2(10, 6);
  style.ItemSpacing = ImVec2(8, 8);
  style.ItemInnerSpacing = ImVec2(6, 4);
  style.CellPadding = ImVec2(8, 4);
  style.ScrollbarSize = 10;
  style.GrabMinSize = 12;
  style.WindowBorderSize = 0;
  style.ChildBorderSize = 0;
  style.PopupBorderSize = 1;
  style.FrameBorderSize = t.name == ThemeName::high_contrast ? 1 : 0;
  style.WindowRounding = 0;
  style.ChildRounding = 0;
  style.FrameRounding = 4;
  style.PopupRounding = 6;
  style.ScrollbarRounding = 5;
  style.GrabRounding = 4;
  style.AntiAliasedLinesUseTex = true;
  style.ScaleAllSizes(t.scale);
  ImVec4* c = style.Colors;
  c[ImGuiCol_Text] = vec(t.text);
  c[ImGuiCol_TextDisabled] = vec(t.quiet);
  c[ImGuiCol_WindowBg] = vec(t.panel);
  c[ImGuiCol_ChildBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_PopupBg] = vec(t.raised);
  c[ImGuiCol_Border] = vec(t.line);
  c[ImGuiCol_FrameBg] = vec(t.raised);
  c[ImGuiCol_FrameBgHovered] = vec(t.hover);
  c[ImGuiCol_FrameBgActive] = vec(t.hover);
  c[ImGuiCol_Button] = vec(t.raised);
  c[ImGuiCol_ButtonHovered] = vec(t.hover);
  c[ImGuiCol_ButtonActive] = vec(t.line);
  c[ImGuiCol_Header] = vec(t.hover);
  c[ImGuiCol_HeaderHovered] = vec(t.hover);
  c[ImGuiCol_HeaderActive] = vec(t.line);
  c[ImGuiCol_Separator] = vec(t.line);
  c[ImGuiCol_CheckMark] = vec(t.text);
  c[ImGuiCol_SliderGrab] = c[ImGuiCol_SliderGrabActive] = vec(t.quiet);
  c[ImGuiCol_ScrollbarBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_ScrollbarGrab] = vec(t.line);
  c[ImGuiCol_ScrollbarGrabHovered] = c[ImGuiCol_ScrollbarGrabActive] = vec(t.quiet);
  c[ImGuiCol_TextSelectedBg] = vec((t.quiet & 0x00FFFFFFU) | 0x66000000U);
  c[ImGuiCol_NavHighlight] = vec(t.quiet);
  c[ImGuiCol_ModalWindowDimBg] = ImVec4(0, 0, 0, 0.5F);
  c[ImGuiCol_PlotHistogram] = vec(t.strong);
  c[ImGuiCol_DragDropTarget] = vec(t.text);
  ImGui::GetStyle() = style;
}

void draw_kind_shape(ImDrawList& list, const Theme& t, MarkKind kind, ImVec2 m, float size) {
  const ImU32 colour = t.kind(kind);
  const float r = size / 2, w = t.scale < 1.5F ? 2.F : 3.F;
  switch (kind) {
    case MarkKind::part:
      list.AddRect(ImVec2(m.x - r, m.y - r * 0.7F), ImVec2(m.x + r, m.y + r * 0.7F), colour, 0, 0, w);
      break;
    case MarkKind::pin1:
      list.AddTriangleFilled(ImVec2(m.x - r * 0.8F, m.y - r * 0.8F), ImVec2(m.x + r * 0.8F, m.y - r * 0.8F),
                             ImVec2(m.x - r * 0.8F, m.y + r * 0.8F), colour);
      break;
    case MarkKind::keepout:
      list.AddQuad(ImVec2(m.x, m.y - r), ImVec2(m.x + r, m.y), ImVec2(m.x, m.y + r), ImVec2(m.x - r, m.y), colour, w);
      list.AddLine(ImVec2(m.x - r * 0.4F, m.y + r * 0.4F), ImVec2(m.x + r * 0.4F, m.y - r * 0.4F), colour, w);
      break;
    case MarkKind::probe:
      list.AddCircle(m, r * 0.85F, colour, 0, w);
      list.AddCircleFilled(m, r * 0.3F, colour);
      break;
    case MarkKind::note:
      list.AddLine(ImVec2(m.x - r * 0.7F, m.y - r), ImVec2(m.x - r * 0.7F, m.y + r), colour, w);
      list.AddTriangleFilled(ImVec2(m.x - r * 0.7F, m.y - r), ImVec2(m.x + r, m.y - r * 0.35F),
                             ImVec2(m.x - r * 0.7F, m.y + r * 0.3F), colour);
      break;
  }
}

std::string kind_words(MarkKind kind) {
  switch (kind) {
    case MarkKind::part: return "part";
    case MarkKind::pin1: return "pin 1";
    case MarkKind::keepout: return "keep-out";
    case MarkKind::probe: return "probe point";
    case MarkKind::note: return "note";
  }
  return {};
}

}  // namespace boardlore
