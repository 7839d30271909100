#include "station/main/serve.hpp"

#include <filesystem>

#include "station/main/audit_file.hpp"
#include "station/main/daemon.hpp"
#include "station/main/daemon_file.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/wishes.hpp"
#include "station/web/gate.hpp"
#include "station/web/http_server.hpp"
#include "station/web/router.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;

// While nobody has a login: how the first administrator gets one.
void tell_first_code(const web::Accounts& accounts, const std::string& address) {
    if (accounts.any()) return;
    complain({cli::done,
              "Nobody has a login: whoever may use this machine may use the station. To ask for "
              "logins, open " +
                  address + "/accounts and give the code " + accounts.first_code() + "."});
}

// From the opened parts to the last answer.
int serve_until_told(asio::io_context& context, const cli::ServeCommand& command, Daemon& daemon,
                     DaemonFile& file, const StationLog& log, web::Accounts& accounts) {
    const std::string key = web::random_token();
    const AuditFile audit(command.of.records + ".audit", log);
    const serial::SteadyClock clock(context.get_executor());
    web::Sessions sessions(accounts, [&clock] { return clock.now(); });
    web::Gate gate(accounts, sessions, key,
                   [&audit](const web::AuditLine& line) { audit.add(line); });
    auto server = web::HttpServer::open(
        context.get_executor(), command.listen,
        [&](const web::Request& request) { return gate.answer(request, daemon); }, {},
        [&] { return web::live_state(daemon); });
    if (!server) return complain({cli::bad_input, server.error().what});
    daemon.tell_changes_to([&] {
        if (server.value()) server.value()->changed();
    });
    std::error_code ignored;
    file.tell({command.of.station, server.value()->port(),
               std::filesystem::weakly_canonical(command.of.ports, ignored).string(), key});
    const std::string ready =
        "station " + command.of.station + " listens on " + server.value()->address();
    print_line(ready);
    log.info(ready);
    tell_first_code(accounts, server.value()->address());
    std::optional<Interruptions> interruptions;
    const auto gone = [&] {
        server.value().reset();
        interruptions->cancel();
    };
    interruptions.emplace(
        context.get_executor(), [&] { daemon.leave(gone); }, [&] { daemon.abort_all(); });
    context.run();
    daemon.tell_changes_to([] {});
    if (daemon.failure()) std::rethrow_exception(daemon.failure());
    log.info("station " + command.of.station + " ends");
    return cli::done;
}

}  // namespace

int serve(const cli::ServeCommand& command, engine::WriteBackPoint point) {
    auto plan = plan_of(command.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    if (const auto wrong = wrong_with_names(command.of, nullptr)) return complain(*wrong);
    if (const auto missing = missing_ports(command.of.ports)) return complain(*missing);
    auto file = DaemonFile::claim(command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&file)) return complain(*trouble);
    if (const auto missing = missing_log_folder(command.log)) return complain(*missing);
    asio::io_context context(1);
    const StationLog log(command.log, command.of.records, false);
    auto ledger = open_ledger(context, command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&ledger)) return complain(*trouble);
    Daemon daemon(context, command.of, std::get<0>(plan), log, *std::get<0>(ledger),
                  std::move(point));
    const auto readiness =
        fit_to_run(command.of, *std::get<0>(plan), true, serial::SystemWallClock().now());
    if (const auto* trouble = std::get_if<GivesUp>(&readiness)) return complain(*trouble);
    complain({cli::done, std::get<answers::ReadinessAnswer>(readiness).sentence});
    auto accounts = web::Accounts::open(command.of.records + ".accounts");
    if (!accounts) return complain({cli::bad_input, accounts.error().what});
    return serve_until_told(context, command, daemon, std::get<DaemonFile>(file), log,
                            *accounts.value());
}

}  // namespace padtrim
