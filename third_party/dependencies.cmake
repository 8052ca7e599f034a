# How each dependency arrives: a Debian package found on the machine, given one target name here.
# Versions are Debian 12's; licences are listed in third_party/README.md.
find_package(PkgConfig REQUIRED)
find_package(Threads REQUIRED)
find_package(OpenSSL REQUIRED)
find_package(SQLite3 REQUIRED)
find_package(SDL2 REQUIRED)
find_package(OpenGL REQUIRED)
find_package(Freetype REQUIRED)
find_package(CLI11 REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(Boost REQUIRED)

pkg_check_modules(turbojpeg_pc REQUIRED IMPORTED_TARGET libturbojpeg libjpeg)
pkg_check_modules(exiv2_pc REQUIRED IMPORTED_TARGET exiv2)
pkg_check_modules(cairo_pc REQUIRED IMPORTED_TARGET cairo cairo-pdf pangocairo)
pkg_check_modules(libzip_pc REQUIRED IMPORTED_TARGET libzip)
pkg_check_modules(gio_pc REQUIRED IMPORTED_TARGET gio-2.0)
pkg_check_modules(heif_pc IMPORTED_TARGET libheif)

add_library(turbojpeg INTERFACE)
target_link_libraries(turbojpeg INTERFACE PkgConfig::turbojpeg_pc)
add_library(exiv2lib INTERFACE)
target_link_libraries(exiv2lib INTERFACE PkgConfig::exiv2_pc)
add_library(cairo INTERFACE)
target_link_libraries(cairo INTERFACE PkgConfig::cairo_pc)
add_library(gio INTERFACE)
target_link_libraries(gio INTERFACE PkgConfig::gio_pc)
add_library(libzip INTERFACE)
target_link_libraries(libzip INTERFACE PkgConfig::libzip_pc)

# HEIC is optional: without libheif a HEIC photo is refused with a clear error.
add_library(heif INTERFACE)
if(heif_pc_FOUND)
  target_link_libraries(heif INTERFACE PkgConfig::heif_pc)
  target_compile_definitions(heif INTERFACE BOARDLORE_HAVE_HEIF=1)
endif()

# stb and Dear ImGui ship without CMake files. ImGui's archive must come before FreeType on the link line.
find_library(STB_LIB stb REQUIRED)
find_path(STB_INCLUDE stb/stb_image.h REQUIRED)
add_library(stb INTERFACE)
target_include_directories(stb SYSTEM INTERFACE ${STB_INCLUDE})
target_link_libraries(stb INTERFACE ${STB_LIB})

find_library(IMGUI_LIB NAMES libimgui.a REQUIRED)
find_path(IMGUI_INCLUDE imgui.h PATH_SUFFIXES imgui REQUIRED)
add_library(imgui STATIC IMPORTED)
set_target_properties(imgui PROPERTIES IMPORTED_LOCATION ${IMGUI_LIB}
  INTERFACE_INCLUDE_DIRECTORIES "${IMGUI_INCLUDE};${IMGUI_INCLUDE}/backends"
  INTERFACE_LINK_LIBRARIES "Freetype::Freetype;${STB_LIB}")

# Debian's OpenCV ships without a CMake config for these modules alone.
find_path(OPENCV_INCLUDE opencv2/core.hpp PATH_SUFFIXES opencv4 REQUIRED)
add_library(opencv INTERFACE)
target_include_directories(opencv SYSTEM INTERFACE ${OPENCV_INCLUDE})
foreach(module core imgproc features2d calib3d flann)
  find_library(OPENCV_${module} opencv_${module} REQUIRED)
  target_link_libraries(opencv INTERFACE ${OPENCV_${module}})
endforeach()

# Reading designators from a photo is optional: without Tesseract it is refused with a clear error.
pkg_check_modules(tesseract_pc IMPORTED_TARGET tesseract)
add_library(tesseract INTERFACE)
if(tesseract_pc_FOUND)
  target_link_libraries(tesseract INTERFACE PkgConfig::tesseract_pc)
  target_compile_definitions(tesseract INTERFACE BOARDLORE_HAVE_TESSERACT=1)
endif()

find_program(CCACHE ccache)
if(CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE})
endif()
