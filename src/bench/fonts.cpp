#include "bench/fonts.h"

#include <imgui_freetype.h>

#include <cstddef>

extern const unsigned char font_inter_regular[];
extern const std::size_t font_inter_regular_size;
extern const unsigned char font_inter_semibold[];
extern const std::size_t font_inter_semibold_size;
extern const unsigned char font_jetbrains_mono[];
extern const std::size_t font_jetbrains_mono_size;
extern const unsigned char font_symbols[];
extern const std::size_t font_symbols_size;

namespace boardlore {
namespace {

// Latin with its European accents, Greek (Ω, µ), dashes and quotes, arrows and the signs a bench uses.
constexpr ImWchar text_ranges[] = {0x0020, 0x024F, 0x0370, 0x03FF, 0x2010, 0x2044, 0x20AC, 0x20AC, 0x2100, 0x214F,
                                   0x2190, 0x21FF, 0x2200, 0x22FF, 0x25A0, 0x25FF, 0x2713, 0x2717, 0};
constexpr ImWchar symbol_ranges[] = {0xF000, 0xF2E0, 0};

ImFont* add(const unsigned char* bytes, std::size_t size, float pixels, float symbol_pixels) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;
  config.OversampleH = config.OversampleV = 1;
  config.PixelSnapH = true;
  ImFont* font =
      atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>(bytes), static_cast<int>(size), pixels, &config, text_ranges);
  if (symbol_pixels > 0) {
    config.MergeMode = true;
    config.GlyphMinAdvanceX = symbol_pixels * 1.1F;
    config.GlyphOffset = ImVec2(0, symbol_pixels * 0.02F);
    atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>(font_symbols), static_cast<int>(font_symbols_size),
                               symbol_pixels, &config, symbol_ranges);
  }
  return font;
}

}  // namespace

Fonts load_fonts(float scale) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
  atlas.FontBuilderFlags = ImGuiFreeTypeBuilderFlags_LightHinting;
  const auto px = [&](float size) { return static_cast<float>(static_cast<int>(size * scale + 0.5F)); };
  Fonts fonts;
  fonts.body = add(font_inter_regular, font_inter_regular_size, px(16), px(14));
  fonts.small = add(font_inter_regular, font_inter_regular_size, px(14), px(12));
  fonts.strong = add(font_inter_semibold, font_inter_semibold_size, px(16), px(14));
  fonts.heading = add(font_inter_semibold, font_inter_semibold_size, px(19), px(17));
  fonts.title = add(font_inter_semibold, font_inter_semibold_size, px(30), 0);
  fonts.value = add(font_jetbrains_mono, font_jetbrains_mono_size, px(16), 0);
  fonts.value_large = add(font_jetbrains_mono, font_jetbrains_mono_size, px(23), 0);
  ImGui::GetIO().FontDefault = fonts.body;
  atlas.Build();
  return fonts;
}

}  // namespace boardlore
