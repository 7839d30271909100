# Run as a script: writes the .sql files of FOLDER, in order, as C++ into OUTPUT. Numbers start at
# 1 and leave no gap.
file(GLOB files ${FOLDER}/[0-9][0-9][0-9][0-9]_*.sql)
list(SORT files)
set(entries "")
set(expected 0)
foreach(file IN LISTS files)
    get_filename_component(name ${file} NAME_WE)
    string(SUBSTRING ${name} 0 4 digits)
    math(EXPR number "1${digits} - 10000")  # a leading 0 would read as octal
    math(EXPR expected "${expected} + 1")
    if(NOT number EQUAL expected)
        message(FATAL_ERROR "${file}: the next migration's number is ${expected}")
    endif()
    file(READ ${file} sql)
    string(APPEND entries "    {${number}, \"${name}\", R\"sql(${sql})sql\"},\n")
endforeach()
file(WRITE ${OUTPUT} "// Written by the build from db/schema; edit the .sql files there.
#include <array>

#include \"db/ledger/migrations.hpp\"

namespace padtrim::ledger {
namespace {
constexpr std::array<Migration, ${expected}> embedded{{
${entries}}};
}  // namespace

std::span<const Migration> embedded_migrations() { return embedded; }

}  // namespace padtrim::ledger
")
