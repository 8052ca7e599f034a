# What `cmake --install` lays down and what the Debian package holds. The program finds its demo board relative to
# itself (bench/library.cpp), so the prefix can be moved. Manual page and completion come from the commands' own help.
include(GNUInstallDirs)
find_program(GZIP_PROGRAM gzip REQUIRED)

set(desktop ${PROJECT_SOURCE_DIR}/assets/desktop)
set(manual ${PROJECT_BINARY_DIR}/manual)
file(MAKE_DIRECTORY ${manual})
add_custom_command(OUTPUT ${manual}/boardlore.1.gz ${manual}/boardlore.bash
  COMMAND boardlore manual --as man -o ${manual}/boardlore.1
  COMMAND ${GZIP_PROGRAM} -9nf ${manual}/boardlore.1
  COMMAND boardlore manual --as bash -o ${manual}/boardlore.bash
  DEPENDS boardlore VERBATIM COMMENT "Manual page and completion")
add_custom_target(manual ALL DEPENDS ${manual}/boardlore.1.gz ${manual}/boardlore.bash)

install(TARGETS boardlore RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/boards/ DESTINATION ${CMAKE_INSTALL_DATADIR}/boardlore/boards
  PATTERN ".*" EXCLUDE PATTERN ".history" EXCLUDE)
install(FILES ${PROJECT_SOURCE_DIR}/assets/layer.schema.json ${PROJECT_SOURCE_DIR}/assets/job.schema.json
  ${PROJECT_SOURCE_DIR}/assets/shop.schema.json
  DESTINATION ${CMAKE_INSTALL_DATADIR}/boardlore/schemas)
install(FILES ${desktop}/boardlore.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES ${desktop}/boardlore.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/mime/packages)
install(FILES ${desktop}/boardlore.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES ${manual}/boardlore.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${manual}/boardlore.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME boardlore)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
install(FILES ${PROJECT_SOURCE_DIR}/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME boardlore)
set(CPACK_PACKAGE_VENDOR Boardlore)
set(CPACK_PACKAGE_CONTACT "Boardlore <boardlore@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "Bench notebook for circuit board repair")
set(CPACK_PACKAGE_DESCRIPTION "Turns photos of circuit boards into maps in board millimetres: designators, pin 1,
keep-out zones, readings and rework notes that land on the next unit's photo.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGE_DIRECTORY ${PROJECT_BINARY_DIR}/packages)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION electronics)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libgl1-mesa-dri, fonts-open-sans, fonts-noto-mono, shared-mime-info, desktop-file-utils")
set(CPACK_DEBIAN_COMPRESSION_TYPE gzip)
include(CPack)
