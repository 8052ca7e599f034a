# Turns one file into a C++ source that holds its bytes, so that the program needs no font files where it
# runs. Called at build time: cmake -DIN=... -DOUT=... -DNAME=... -P embed_file.cmake
file(READ "${IN}" hex HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
file(WRITE "${OUT}" "#include <cstddef>\nextern const unsigned char ${NAME}[];\nextern const std::size_t ${NAME}_size;\nconst unsigned char ${NAME}[] = {\n${bytes}\n};\nconst std::size_t ${NAME}_size = sizeof ${NAME};\n")
