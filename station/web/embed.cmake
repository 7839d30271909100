# The pages below this folder become one source file of station/web: a line's computer has no
# internet and gets one program.
file(GLOB_RECURSE page_files CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/pages/*)
set(pages_source ${CMAKE_BINARY_DIR}/generated/web_pages.cpp)
add_custom_command(
    OUTPUT ${pages_source}
    COMMAND ${CMAKE_COMMAND} -DFOLDER=${CMAKE_CURRENT_LIST_DIR}/pages -DOUTPUT=${pages_source}
            -P ${CMAKE_CURRENT_LIST_DIR}/write_pages.cmake
    DEPENDS ${page_files} ${CMAKE_CURRENT_LIST_DIR}/write_pages.cmake
    COMMENT "Embedding the station's pages" VERBATIM)
target_sources(room_station_web PRIVATE ${pages_source})
set_source_files_properties(${pages_source} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
