# Fonts come from Debian packages at build time and are compiled in.
function(embed_font target name file)
  find_file(font_${name} NAMES ${file} PATHS /usr/share/fonts PATH_SUFFIXES truetype/open-sans truetype/noto
    truetype/font-awesome truetype/dejavu REQUIRED NO_DEFAULT_PATH)
  set(out ${CMAKE_CURRENT_BINARY_DIR}/fonts/${name}.cpp)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_CURRENT_BINARY_DIR}/fonts
    COMMAND ${CMAKE_COMMAND} -DIN=${font_${name}} -DOUT=${out} -DNAME=font_${name}
      -P ${PROJECT_SOURCE_DIR}/src/bench/embed_file.cmake
    DEPENDS ${font_${name}} ${PROJECT_SOURCE_DIR}/src/bench/embed_file.cmake VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()

embed_font(boardlore_bench words OpenSans-Regular.ttf)
embed_font(boardlore_bench words_strong OpenSans-Semibold.ttf)
embed_font(boardlore_bench values NotoSansMono-Regular.ttf)
embed_font(boardlore_bench signs DejaVuSans.ttf)
embed_font(boardlore_bench symbols fontawesome-webfont.ttf)
