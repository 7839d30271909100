#include "station/main/program.hpp"

#include <csignal>
#include <cstdio>
#include <exception>

#include "station/cli/command_line.hpp"
#include "station/main/alarms.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/dispose.hpp"
#include "station/main/list_ports.hpp"
#include "station/main/measure_references.hpp"
#include "station/main/output.hpp"
#include "station/main/quality_questions.hpp"
#include "station/main/questions.hpp"
#include "station/main/run_bench.hpp"
#include "station/main/run_lot.hpp"
#include "station/main/sampling.hpp"
#include "station/main/serve.hpp"
#include "station/main/shift_check.hpp"
#include "station/main/store_acts.hpp"
#include "station/main/teach.hpp"
#include "station/main/wear.hpp"

namespace padtrim {
namespace {

struct Runner {
    engine::WriteBackPoint point;
    int operator()(const cli::RunCommand& command) { return run_lot(command, std::move(point)); }
    int operator()(const cli::ServeCommand& command) { return serve(command, std::move(point)); }
    int operator()(const cli::BenchCommand& command) { return run_bench(command); }
    int operator()(const cli::CheckCommand& command) { return answer(command); }
    int operator()(const cli::PlanCommand& command) { return answer(command); }
    int operator()(const cli::SchemaCommand& command) { return answer(command); }
    int operator()(const cli::UnitCommand& command) { return answer(command); }
    int operator()(const cli::DisposeCommand& command) { return dispose(command); }
    int operator()(const cli::YieldCommand& command) { return answer(command); }
    int operator()(const cli::HeaderCommand& command) { return answer(command); }
    int operator()(const cli::RejudgeCommand& command) { return answer(command); }
    int operator()(const cli::LimitsCommand& command) { return answer(command); }
    int operator()(const cli::ReleaseCommand& command) { return answer(command); }
    int operator()(const cli::PermitCommand& command) { return answer(command); }
    int operator()(const cli::ChangesCommand& command) { return answer(command); }
    int operator()(const cli::ReferenceCommand& command) { return measure_references(command); }
    int operator()(const cli::ShiftCheckCommand& command) { return shift_check(command); }
    int operator()(const cli::WearCommand& command) { return wear(command); }
    int operator()(const cli::PortsCommand& command) { return list_ports(command); }
    int operator()(const cli::TeachCommand& command) { return teach(command); }
    int operator()(const cli::CapabilityCommand& command) { return answer(command); }
    int operator()(const cli::ChartCommand& command) { return answer(command); }
    int operator()(const cli::AlarmsCommand& command) { return alarms(command); }
    int operator()(const cli::SamplingCommand& command) { return sampling(command); }
    int operator()(const cli::DriftCommand& command) { return answer(command); }
    int operator()(const cli::GaugeCommand& command) { return answer(command); }
    int operator()(const cli::TraceCommand& command) { return answer(command); }
    int operator()(const cli::InDoubtCommand& command) { return answer(command); }
    int operator()(const cli::LotCommand& command) { return answer(command); }
    int operator()(const cli::ExportCommand& command) { return answer(command); }
    int operator()(const cli::ReportCommand& command) { return answer(command); }
    int operator()(const cli::StoreCommand& command) { return store_act(command); }
    int operator()(const cli::Words& words) {
        std::fputs(words.text.c_str(), words.exit_code == cli::done ? stdout : stderr);
        return words.exit_code;
    }
};

}  // namespace

namespace station {

int run_program(int argc, char** argv, engine::WriteBackPoint point) {
    std::signal(SIGPIPE, SIG_IGN);  // a reader that went away is a failed write, not an end
    try {
        return with_output_kept(
            std::visit(Runner{std::move(point)}, cli::read_command_line(argc, argv)));
    } catch (const std::exception& bug) {
        return complain({cli::station_fault,
                         std::string("a bug ended this command: ") + bug.what() +
                             ". The records hold everything up to here; the next start settles "
                             "units that were at work."});
    }
}

}  // namespace station
}  // namespace padtrim
