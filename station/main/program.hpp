// The program: reads the command line, wires the real parts and runs one command.
//
// The only place that sees every room. Returns the exit code: 0 done, 1 some units did not pass,
// 2 bad input, 3 station or fixture fault. `point` is called at each named point of every
// write-back; crash tests kill the process in it.
#pragma once

#include "station/engine/lot_run.hpp"

namespace padtrim::station {

int run_program(int argc, char** argv, engine::WriteBackPoint point = {});

}  // namespace padtrim::station
