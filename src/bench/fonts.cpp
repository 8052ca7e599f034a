#include "bench/fonts.h"

#include <imgui_freetype.h>

#include <cmath>
#include <cstddef>
#include <utility>

extern const unsigned char font_words[];
extern const std::size_t font_words_size;
extern const unsigned char font_words_strong[];
extern const std::size_t font_words_strong_size;
extern const unsigned char font_values[];
extern const std::size_t font_values_size;
extern const unsigned char font_signs[];
extern const std::size_t font_signs_size;
extern const unsigned char font_symbols[];
extern const std::size_t font_symbols_size;

namespace boardlore {
namespace {

// Latin with its European accents, Greek (Ω, µ), dashes and quotes, arrows and the signs a bench uses.
constexpr ImWchar text_ranges[] = {0x0020, 0x024F, 0x0370, 0x03FF, 0x2010, 0x2044, 0x20AC, 0x20AC, 0x2100, 0x214F,
                                   0x2190, 0x21FF, 0x2200, 0x22FF, 0x25A0, 0x25FF, 0x2713, 0x2717, 0};
constexpr ImWchar sign_ranges[] = {0x2190, 0x21FF, 0x2200, 0x22FF, 0x25A0, 0x25FF, 0x2713, 0x2717, 0};
constexpr ImWchar symbol_ranges[] = {0xF000, 0xF2E0, 0};

// Open Sans and Noto Sans Mono keep 1.362 em for a line (their hhea tables) and have capitals of 0.714 em (OS/2). A size of ours is a
// line of 1.21 em, enough for capitals with accents, with the capitals in its middle.
constexpr float font_line_em = 1.362F, our_line_em = 1.21F, capitals_em = 0.714F;

// Once the atlas is built: the line is ours, not the font's.
void set_line(ImFont& font, float pixels) {
  const float baseline = std::round(pixels / 2 + pixels / our_line_em * capitals_em / 2);
  const float down = baseline - std::round(font.Ascent);
  for (ImFontGlyph& glyph : font.Glyphs) glyph.Y0 += down, glyph.Y1 += down;
  font.FontSize = pixels;
}

ImFont* add(const unsigned char* bytes, std::size_t size, float pixels, float symbol_pixels) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;
  config.OversampleH = config.OversampleV = 1;
  config.PixelSnapH = true;
  const auto take = [&](const unsigned char* from, std::size_t length, float px, const ImWchar* ranges) {
    return atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>(from), static_cast<int>(length), px, &config, ranges);
  };
  ImFont* font = take(bytes, size, pixels * font_line_em / our_line_em, text_ranges);
  config.MergeMode = true;
  take(font_signs, font_signs_size, pixels, sign_ranges);  // arrows and the like, where the font itself has none
  if (symbol_pixels > 0) {
    config.GlyphMinAdvanceX = symbol_pixels * 1.1F;
    config.GlyphOffset = ImVec2(0, symbol_pixels * 0.02F);
    take(font_symbols, font_symbols_size, symbol_pixels, symbol_ranges);
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
  fonts.body = add(font_words, font_words_size, px(16), px(14));
  fonts.small = add(font_words, font_words_size, px(14), px(12));
  fonts.strong = add(font_words_strong, font_words_strong_size, px(16), px(14));
  fonts.heading = add(font_words_strong, font_words_strong_size, px(19), px(17));
  fonts.title = add(font_words_strong, font_words_strong_size, px(30), 0);
  fonts.value = add(font_values, font_values_size, px(16), 0);
  fonts.value_large = add(font_values, font_values_size, px(23), 0);
  ImGui::GetIO().FontDefault = fonts.body;
  atlas.Build();
  for (const auto& [font, size] : {std::pair{fonts.body, 16.0F}, {fonts.small, 14.0F}, {fonts.strong, 16.0F}, {fonts.heading, 19.0F},
                                   {fonts.title, 30.0F}, {fonts.value, 16.0F}, {fonts.value_large, 23.0F}})
    set_line(*font, px(size));
  return fonts;
}

}  // namespace boardlore
