# Run as a script: writes every file below FOLDER as C++ into OUTPUT: its path as a browser asks for
# it, its media type, its SHA-256 as entity tag, its bytes. All of them are text.
set(type_html "text/html; charset=utf-8")
set(type_css "text/css; charset=utf-8")
set(type_js "text/javascript; charset=utf-8")
set(type_svg "image/svg+xml")
set(type_json "application/json")

file(GLOB_RECURSE files RELATIVE ${FOLDER} ${FOLDER}/*)
list(SORT files)
set(entries "")
set(hashes "")
set(count 0)
foreach(file IN LISTS files)
    string(REGEX MATCH "[a-z]+$" ending ${file})
    if(NOT DEFINED type_${ending})
        message(FATAL_ERROR "${file}: name the media type of .${ending} in ${CMAKE_CURRENT_LIST_FILE}")
    endif()
    file(READ ${FOLDER}/${file} bytes)
    file(SHA256 ${FOLDER}/${file} hash)
    string(APPEND hashes ${hash})
    string(SUBSTRING ${hash} 0 32 tag)
    string(APPEND entries "    {\"/${file}\", \"${type_${ending}}\", \"\\\"${tag}\\\"\", R\"page(${bytes})page\"},\n")
    math(EXPR count "${count} + 1")
endforeach()
string(SHA256 all "${hashes}")
string(SUBSTRING ${all} 0 12 version)
file(WRITE ${OUTPUT} "// Written by the build from station/web/pages; edit the files there.
#include <array>

#include \"station/web/pages.hpp\"

namespace padtrim::web {
namespace {
constexpr std::array<Page, ${count}> embedded{{
${entries}}};
}  // namespace

std::span<const Page> embedded_pages() { return embedded; }
std::string_view pages_version() { return \"${version}\"; }

}  // namespace padtrim::web
")
