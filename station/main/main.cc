#include "station/main/program.hpp"

int main(int argc, char** argv) {
    return padtrim::station::run_program(argc, argv);
}
