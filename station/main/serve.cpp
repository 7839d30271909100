#include "station/main/serve.hpp"

#include <filesystem>

#include "station/answers/json.hpp"
#include "station/files/secret_file.hpp"
#include "station/files/whole_file.hpp"
#include "station/main/daemon.hpp"
#include "station/main/daemon_file.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/wishes.hpp"
#include "station/web/audit_state.hpp"
#include "station/web/gate.hpp"
#include "station/web/http_server.hpp"
#include "station/web/metrics.hpp"
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

// Writes the audit's entries by the ledger. One that cannot be written is told to the log, with
// what it would have said; its act was done already.
web::Keep keeper_of_audit(ledger::Ledger& ledger, const StationLog& log, std::string station) {
    return [&ledger, &log, station](record::AuditEntry entry) -> asio::awaitable<void> {
        if (!web::worth_keeping(entry)) co_return;
        entry.station = station;
        entry.at = serial::SystemWallClock().now();
        const std::string act = entry.act + " by " + answers::text_of(answers::text(entry.who)) +
                                ", answered " + std::to_string(entry.status);
        const auto kept = co_await ledger.keep_audit(std::move(entry));
        if (!kept) log.error("the audit lacks: " + act + ". " + kept.error().what);
    };
}

// What a monitoring system shows to read the metrics where logins are asked for: made once, kept
// for later starts, for its owner's eyes. "" when it cannot be kept: then only a login reads them.
Opened<std::string> key_for_metrics(const std::string& records) {
    const std::string path = records + ".metrics-key";
    const files::Secret secret = files::secret_in(path);
    if (secret.shown) return GivesUp{cli::bad_input, files::mend_of_shown(path)};
    const std::string kept = secret.text.substr(0, secret.text.find('\n'));
    if (!kept.empty()) return kept;
    const std::string key = web::random_token();
    constexpr auto owner_alone = std::filesystem::perms{0600};
    return files::replace_file(path, key + "\n", owner_alone) ? key : std::string();
}

std::string metrics_of(const web::HttpServer& server, const Daemon& daemon) {
    web::MetricsSource source;
    const auto status = daemon.status();
    source.station = status.station;
    source.state = status.state;
    source.tally = daemon.tally();
    source.traffic = server.traffic();
    source.process = web::process_figures();
    source.certificate_ends = server.certificate_ends();
    return web::metrics_text(source);
}

// Other machines are answered over TLS or not at all. "" or what is wrong, as a sentence.
std::string open_secure(web::HttpServer& server, const cli::ServeCommand& command) {
    if (command.address.empty() && command.certificate.empty() && command.key.empty()) return "";
    if (command.address.empty())
        return "A certificate is for an address that other machines use: give --address too.";
    if (command.certificate.empty() || command.key.empty())
        return "At " + command.address +
               " the station answers over TLS only: give --certificate FILE and --key FILE. "
               "Without "
               "--address it answers this machine alone.";
    auto identity =
        web::tls_identity(command.certificate, command.key, serial::SystemWallClock().now());
    if (!identity) return identity.error().what;
    const auto opened = server.open_secure(command.address, std::move(identity.value()));
    return opened ? "" : opened.error().what;
}

// From the opened parts to the last answer.
int serve_until_told(asio::io_context& context, const cli::ServeCommand& command, Daemon& daemon,
                     DaemonFile& file, const StationLog& log, web::Accounts& accounts,
                     ledger::Ledger& ledger) {
    const std::string key = web::random_token();
    const serial::SteadyClock clock(context.get_executor());
    web::Sessions sessions(accounts, [&clock] { return clock.now(); });
    const auto metrics_key = key_for_metrics(command.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&metrics_key)) return complain(*trouble);
    const web::HttpServer* asked = nullptr;
    web::Gate gate(accounts, sessions, {key, std::get<std::string>(metrics_key)},
                   [&] { return metrics_of(*asked, daemon); });
    // Goes before all that its answers use, however this function ends.
    std::unique_ptr<web::HttpServer> serving;
    auto server = web::HttpServer::open(
        context.get_executor(), command.listen,
        [&](const web::Request& request) { return gate.answer(request, daemon); }, {},
        [&] { return web::live_state(daemon); }, keeper_of_audit(ledger, log, command.of.station));
    if (!server) return complain({cli::bad_input, server.error().what});
    serving = std::move(server.value());
    asked = serving.get();
    if (const std::string wrong = open_secure(*serving, command); !wrong.empty())
        return complain({cli::bad_input, wrong});
    daemon.tell_changes_to([&] {
        if (serving) serving->changed();
    });
    std::error_code ignored;
    file.tell({command.of.station, serving->port(),
               std::filesystem::weakly_canonical(command.of.ports, ignored).string(), key});
    const std::string secure = serving->secure_address();
    const std::string ready = "station " + command.of.station + " listens on " +
                              serving->address() + (secure.empty() ? "" : " and " + secure);
    print_line(ready);
    log.info(ready);
    tell_first_code(accounts, serving->address());
    std::optional<Interruptions> interruptions;
    const auto gone = [&] {
        serving.reset();
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
                            *accounts.value(), *std::get<0>(ledger));
}

}  // namespace padtrim
