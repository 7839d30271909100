// padtrim as it is shipped, but it kills itself (SIGKILL: no handler, no flush) the first time that
// the point named in PADTRIM_DIE_AT is reached. With PADTRIM_LIST_POINTS it prints the points.
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "station/engine/write_back.hpp"
#include "station/main/program.hpp"

int main(int argc, char** argv) {
    if (std::getenv("PADTRIM_LIST_POINTS") != nullptr) {
        for (const char* point : padtrim::engine::write_back_points) std::puts(point);
        return 0;
    }
    const char* wanted = std::getenv("PADTRIM_DIE_AT");
    return padtrim::station::run_program(argc, argv, [wanted](const char* point) {
        if (wanted != nullptr && std::strcmp(point, wanted) == 0) std::raise(SIGKILL);
    });
}
