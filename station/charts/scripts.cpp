#include "station/charts/scripts.hpp"

// The assembler takes the files as they are; a literal of their length is beyond what compilers
// promise.
__asm__(
    ".pushsection .rodata\n"
    "padtrim_library_begin:\n"
    ".incbin \"" PADTRIM_CHARTS_FOLDER
    "/node_modules/echarts/dist/echarts.common.min.js\"\n"
    "padtrim_library_end:\n"
    "padtrim_marks_begin:\n"
    ".incbin \"" PADTRIM_CHARTS_FOLDER
    "/marks.js\"\n"
    "padtrim_marks_end:\n"
    ".incbin \"" PADTRIM_CHARTS_FOLDER
    "/ranks.js\"\n"
    ".incbin \"" PADTRIM_CHARTS_FOLDER
    "/drawing.js\"\n"
    "padtrim_drawing_end:\n"
    ".popsection\n");

extern "C" {
extern const char padtrim_library_begin[], padtrim_library_end[];
extern const char padtrim_marks_begin[], padtrim_marks_end[], padtrim_drawing_end[];
}

namespace padtrim::charts {

std::string_view library_script() {
    return {padtrim_library_begin,
            static_cast<std::size_t>(padtrim_library_end - padtrim_library_begin)};
}

std::string_view marks_script() {
    return {padtrim_marks_begin, static_cast<std::size_t>(padtrim_marks_end - padtrim_marks_begin)};
}

// From the marks on: the three stand one behind the other.
std::string_view drawing_script() {
    return {padtrim_marks_begin,
            static_cast<std::size_t>(padtrim_drawing_end - padtrim_marks_begin)};
}

}  // namespace padtrim::charts
