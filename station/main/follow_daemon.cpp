#include "station/main/follow_daemon.hpp"

#include <cstdio>
#include <exception>
#include <filesystem>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <unistd.h>

#include "fixtures/serial/clocks.hpp"
#include "recipes/language/load.hpp"
#include "station/main/hands.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/lot_faces.hpp"
#include "station/web/http_client.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using answers::Json;

constexpr auto poll_time = 200ms;  // four nests make some ten events a second
constexpr auto call_time = 5s;

Json start_body(const cli::RunCommand& command, const language::Plan& plan) {
    boost::json::object body{{"lot", command.lot},     {"operator", command.operator_name},
                             {"units", command.units}, {"measure_only", command.measure_only},
                             {"draft", command.draft}, {"plan", language::plan_text(plan)},
                             {"again", command.again}};
    if (command.nest) body["nest"] = *command.nest;
    return body;
}

std::string error_of(const Json& body) {
    std::string text;
    for (const char* name : {"error", "mend"}) {
        const auto* object = body.if_object();
        const auto* part = object ? object->if_contains(name) : nullptr;
        if (part && part->is_string()) {
            text += (text.empty() ? "" : " ") + std::string(part->get_string());
        }
    }
    return text.empty() ? "The daemon's answer makes no sense." : text;
}

class Follower {
  public:
    Follower(const cli::RunCommand& command, const language::PlanPtr& plan,
             const DaemonPlace& daemon)
        : command_(command), plan_(plan), daemon_(daemon), clock_(context_.get_executor()) {}

    int run() {
        asio::co_spawn(context_, follow(), [this](std::exception_ptr error) {
            failure_ = error;
            if (interruptions_) interruptions_->cancel();
            typing_.emit(asio::cancellation_type::terminal);
            person_.close();
            if (progress_) progress_->close();
        });
        context_.run();
        if (failure_) std::rethrow_exception(failure_);
        if (started_) summarise(command_, "");
        if (trouble_) return complain(*trouble_);
        return exit_of(count_);
    }

  private:
    // The body of an answer; a refusal or silence gives up.
    asio::awaitable<std::optional<Json>> ask(std::string method, std::string target,
                                             std::string body) {
        const auto answer = co_await web::call(daemon_.port, std::move(method), std::move(target),
                                               std::move(body), call_time, daemon_.key);
        if (!answer) {
            trouble_ = GivesUp{cli::station_fault, answer.error().what};
            if (started_)
                trouble_->sentence +=
                    " The lot was being followed: if the daemon runs, start the lot again to "
                    "follow it on. If it ended, leave the units where they are and start it "
                    "again; it then says which unit is in which state.";
            co_return std::nullopt;
        }
        auto json = answers::parse_json(answer.value().body);
        if (answer.value().status < 300 && json) co_return json;
        trouble_ = GivesUp{cli::station_fault, error_of(json.value_or(Json(nullptr)))};
        co_return std::nullopt;
    }

    asio::awaitable<void> follow() {
        std::string body = answers::text_of(start_body(command_, *plan_));
        const auto accepted = co_await ask("POST", "/api/lot/start", std::move(body));
        if (!accepted) co_return;
        started_ = true;
        begin();
        std::uint64_t after = accepted->at("after").to_number<std::uint64_t>();
        while (!ended_ && !trouble_) {
            const auto news = co_await ask("GET", "/api/events?after=" + std::to_string(after), "");
            if (!news) break;
            after = take(*news);
            if (!ended_) co_await clock_.sleep_for(poll_time);
        }
    }

    void begin() {
        if (!wants_live_view(command_)) std::fprintf(stderr, "%s\n", cli::cautions);
        progress_ = progress_of(command_, plan_);
        progress_->remark("Handed to the daemon of station " + daemon_.station + " on port " +
                          std::to_string(daemon_.port) + ".");
        asio::co_spawn(context_, keep_drawing(progress_, clock_), asio::detached);
        if (::isatty(STDIN_FILENO) == 1) {
            asio::co_spawn(context_, read_lines(STDIN_FILENO, hands_, person_),
                           asio::bind_cancellation_slot(typing_.slot(), asio::detached));
        }
        interruptions_.emplace(
            context_.get_executor(),
            [this] {
                progress_->stopping();
                post("/api/lot/stop");
            },
            [this] {
                progress_->remark("Running units are aborted.");
                for (const auto& nest : plan_->fixture.nests) {
                    post("/api/nest/" + std::to_string(nest.number) + "/abort");
                }
            });
    }

    // Said to the daemon beside the polling; its effect is seen in the events.
    void post(std::string target) {
        asio::co_spawn(context_, tell(daemon_.port, std::move(target), daemon_.key),
                       asio::detached);
    }
    static asio::awaitable<void> tell(std::uint16_t port, std::string target, std::string key) {
        co_await web::call(port, "POST", std::move(target), std::string(), call_time,
                           std::move(key));
    }

    std::uint64_t take(const Json& news) {
        const auto missed = news.at("missed").to_number<std::uint64_t>();
        if (missed > 0) progress_->remark(std::to_string(missed) + " events were missed.");
        for (const auto& json : news.at("events").as_array()) {
            const auto event = answers::event_from_json(json);
            if (event) show(*event);
        }
        return news.at("last").to_number<std::uint64_t>();
    }

    // The person at this terminal answers, unless somebody else does.
    asio::awaitable<void> hand_on_answer(std::uint16_t nest) {
        const engine::Question question{nest, "", "", ""};
        const auto yes = co_await person_.ask(question);
        if (!yes) co_return;
        std::string body = *yes ? "{\"answer\":\"yes\"}" : "{\"answer\":\"no\"}";
        std::string target = "/api/nest/" + std::to_string(nest) + "/answer";
        co_await web::call(daemon_.port, "POST", std::move(target), std::move(body), call_time,
                           daemon_.key);
    }

    void show(const engine::Event& event) {
        progress_->show(event);
        if (const auto* asked = std::get_if<engine::PersonAsked>(&event))
            asio::co_spawn(context_, hand_on_answer(asked->nest), asio::detached);
        if (const auto* step = std::get_if<engine::StepProgress>(&event))
            person_.withdraw(step->nest);
        if (const auto* fault = std::get_if<engine::FaultSeen>(&event)) {
            if (fault->fault.blame == record::Blame::fixture) {
                station_fault_ = fault->fault.what;
            }
        }
        const auto* closed = std::get_if<engine::LotClosed>(&event);
        if (!closed) return;
        ended_ = true;
        count_ = closed->count;
        if (!station_fault_.empty()) trouble_ = GivesUp{cli::station_fault, station_fault_};
    }

    const cli::RunCommand& command_;
    const language::PlanPtr& plan_;
    const DaemonPlace& daemon_;
    asio::io_context context_{1};
    serial::SteadyClock clock_;
    std::shared_ptr<cli::Progress> progress_;
    std::optional<Interruptions> interruptions_;
    Hands hands_{context_.get_executor()};  // units are loaded at the daemon's own screen
    PersonAtHand person_{context_.get_executor()};
    asio::cancellation_signal typing_;
    std::exception_ptr failure_;
    std::optional<GivesUp> trouble_;
    std::string station_fault_;
    record::LotCount count_;
    bool started_ = false, ended_ = false;
};

}  // namespace

int follow_daemon(const cli::RunCommand& command, const language::PlanPtr& plan,
                  const DaemonPlace& daemon) {
    if (daemon.station != command.of.station) {
        return complain(
            {cli::bad_input, command.of.records + " is written by the daemon of station " +
                                 daemon.station + ", not " + command.of.station +
                                 ". Give --station " + daemon.station + ", or use other records."});
    }
    std::error_code ignored;
    const std::string ports = std::filesystem::weakly_canonical(command.of.ports, ignored).string();
    if (ports != daemon.ports) {
        return complain({cli::bad_input, "The daemon of station " + daemon.station +
                                             " works the ports in " + daemon.ports + ", not in " +
                                             ports + ". Give --ports " + daemon.ports +
                                             ", or use other records."});
    }
    return Follower(command, plan, daemon).run();
}

}  // namespace padtrim
