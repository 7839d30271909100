#include "station/main/teach.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <unistd.h>

#include "recipes/language/load.hpp"
#include "recipes/language/taught_places.hpp"
#include "station/answers/documents_check.hpp"
#include "station/cli/teach_texts.hpp"
#include "station/engine/motion_permit.hpp"
#include "station/engine/route.hpp"
#include "station/engine/teach_run.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/output.hpp"
#include "station/main/station_parts.hpp"
#include "station/main/typed_lines.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;
namespace fs = std::filesystem;
using cli::TeachAct;
using metrology::Spot;

// A person at the keyboard, the permit that they hold, and what was taught so far.
class Session {
  public:
    Session(const cli::TeachCommand& command, std::string profile_text, language::PlanPtr plan)
        : command_(command),
          text_(std::move(profile_text)),
          plan_(std::move(plan)),
          nest_(*plan_->fixture.nest(command.nest)),
          clock_(context_.get_executor()),
          ports_(context_.get_executor(), clock_, command.ports),
          typed_(context_.get_executor(), [this](const std::string& line) { return heard(line); }) {
        taught_.nest = command.nest;
        taught_.origin_before = {nest_.origin_x, nest_.origin_y};
    }

    int run() {
        if (const auto problem = open(); !problem.empty())
            return complain({cli::station_fault, problem});
        int code = cli::station_fault;
        std::exception_ptr bug;
        Interruptions interruptions(
            context_.get_executor(), [this] { interrupt(); }, [] {});
        asio::co_spawn(context_, typed_.read(STDIN_FILENO), asio::detached);
        asio::co_spawn(context_, talk(), [&](std::exception_ptr error, int ended) {
            bug = error;
            code = ended;
            interruptions.cancel();
            typed_.close();
        });
        context_.run();
        if (bug) std::rethrow_exception(bug);
        return code;
    }

  private:
    std::string open() {
        const auto link = [this](const language::PortName& port) { return ports_.open(port); };
        const auto beside = [this](std::unique_ptr<port::Interlock> interlock) {
            auto permit = std::make_unique<engine::MotionPermit>(
                clock_, std::move(interlock), std::chrono::seconds(command_.lease_s));
            permit_ = permit.get();
            return std::unique_ptr<port::Interlock>(std::move(permit));
        };
        auto fixture = drivers::Fixture::open(*plan_, clock_, link, warn_of, beside);
        if (!fixture) return fixture.error().what;
        fixture_ = std::move(*fixture);
        parts_.clock = &clock_;
        parts_.relays = &fixture_->relays();
        parts_.interlock = fixture_->interlock();
        parts_.finger = fixture_->finger();
        parts_.nests = {{nest_.number, &fixture_->unit(nest_.number)}};
        parts_.log = [](engine::LogLevel level, const std::string& line) {
            if (level >= engine::LogLevel::warning)
                std::fprintf(stderr, "padtrim: %s\n", line.c_str());
        };
        engine::TeachWish wish;
        wish.nest = nest_.number;
        wish.height = Millimetre(command_.height);
        run_ = std::make_unique<engine::TeachRun>(
            parts_, *plan_, wish, [this](const engine::TeachLook& look) { tell(look); });
        return "";
    }

    // As it is typed, while something moves too. True: that was all. What was typed before a stop
    // must not move anything after it, nor a "clear" from before count.
    bool heard(const std::string& line) {
        if (line == "stop") {
            permit_->withdraw("Stopped by hand.");
            typed_.forget();
            return true;
        }
        if (line == "clear" && begun_ && !permit_->granted()) {
            typed_.forget();
            permit_->grant();
            say("The finger may move, as far as guard and emergency stop let it: first the rest of "
                "the way it was stopped on, then homing over its whole travel, then your step.");
            return true;
        }
        permit_->renew();
        return line.empty() || (line == "clear" && begun_);
    }

    void interrupt() {
        permit_->withdraw("Stopped by Ctrl-C or the end of the session.");
        typed_.forget();
        typed_.close();
    }

    void tell(const engine::TeachLook& look) const {
        const auto left = std::chrono::duration_cast<std::chrono::seconds>(permit_->left());
        std::fprintf(stderr, "  %s: X %.2f, Y %.2f mm, change %.0f counts; Enter within %lld s\n",
                     look.key.c_str(), look.at.x.value(), look.at.y.value(), look.change,
                     static_cast<long long>(left.count()));
    }
    void say(const std::string& line) const {
        if (!command_.json) print_line(line);
    }
    void complain_of(const port::Fault& fault) const {
        complain({cli::station_fault, fault.what});
        if (!permit_->granted())
            std::fprintf(stderr, "Nothing moves until somebody types clear.\n");
    }

    asio::awaitable<int> talk() {
        std::fprintf(stderr, "%s\n\n%s\n", cli::cautions, cli::teach_begins);
        auto first = co_await typed_.next();
        if (!first || *first != "clear")
            co_return complain({cli::some_did_not_pass, "nothing was moved and nothing written."});
        begun_ = true;
        permit_->grant();
        auto begun = co_await run_->begin();
        int code = cli::station_fault;
        if (begun) {
            say("The finger is homed and lifted, the unit is on. padtrim teach --help lists the "
                "words.");
            code = co_await obey_all();
        } else {
            complain_of(begun.error());
        }
        auto safe = co_await run_->end();
        if (!safe) code = complain({cli::station_fault, safe.error().what});
        if (command_.json) print_line(answers::text_of(cli::taught_json(taught_, written_)));
        co_return code;
    }

    asio::awaitable<int> obey_all() {
        while (true) {
            auto line = co_await typed_.next();
            if (!line) co_return cli::some_did_not_pass;
            const cli::TeachLine words = cli::read_teach_line(*line);
            if (words.act == TeachAct::quit) co_return cli::some_did_not_pass;
            if (words.act == TeachAct::write) {
                if (write()) co_return cli::done;
                continue;
            }
            co_await obey(words, *line);
        }
    }

    asio::awaitable<void> obey(const cli::TeachLine& words, const std::string& line) {
        if (words.act == TeachAct::step) {
            auto at = co_await run_->jog(words.by);
            tell_place(at);
        } else if (words.act == TeachAct::where) {
            auto at = co_await run_->where();
            tell_place(at);
        } else if (words.act == TeachAct::find) {
            co_await find(words.key, words.here);
        } else if (words.act == TeachAct::all) {
            co_await find_all();
        } else if (words.act == TeachAct::unknown) {
            complain({cli::bad_input, "\"" + line +
                                          "\" is no word of this session. There are: x MM, y MM, "
                                          "z MM, find KEY [here], all, where, clear, stop, write, "
                                          "quit."});
        }
    }

    void tell_place(const port::Outcome<port::Position>& at) const {
        if (!at) return complain_of(at.error());
        char text[96];
        std::snprintf(text, sizeof text, "The finger stands at X %.2f, Y %.2f, Z %.2f mm.",
                      at->x.value(), at->y.value(), at->z.value());
        say(text);
    }

    // Where the key should be by what was found so far.
    [[nodiscard]] Spot expected(const language::Key& key) const {
        Spot origin = taught_.origin_before;
        if (!taught_.keys.empty()) origin = metrology::origin_of(taught_.keys).origin;
        return {origin.x + key.x, origin.y + key.y};
    }

    [[nodiscard]] const language::Key* key_of(const std::string& name) const {
        const auto& keys = plan_->map.keys;
        const auto at = std::find_if(keys.begin(), keys.end(),
                                     [&](const auto& key) { return key.name == name; });
        return at == keys.end() ? nullptr : &*at;
    }

    asio::awaitable<void> find(std::string name, bool here) {
        std::optional<Spot> start;
        const language::Key* key = key_of(name);
        if (key != nullptr) start = expected(*key);
        if (here) {
            auto at = co_await run_->where();
            if (!at) {
                complain_of(at.error());
                co_return;
            }
            start = Spot{at->x, at->y};
        }
        auto found = co_await run_->find(name, start);
        if (!found) {
            complain_of(found.error());
            co_return;
        }
        keep(*key, *found);
        say(cli::centre_text(name, *found, {nest_.origin_x + key->x, nest_.origin_y + key->y}));
    }

    asio::awaitable<void> find_all() {
        std::vector<language::PanelPlace> places;
        for (const auto& key : plan_->map.keys) places.push_back({key.x, key.y});
        for (const std::size_t at : engine::short_route(places)) {
            if (!permit_->granted()) co_return;
            if (plan_->map.keys[at].kind != language::KeyKind::wheel)
                co_await find(plan_->map.keys[at].name, false);
        }
    }

    void keep(const language::Key& key, const metrology::FoundCentre& found) {
        for (std::size_t at = 0; at < taught_.keys.size(); ++at) {
            if (taught_.keys[at].key != key.name) continue;
            taught_.keys[at].found = found.centre;
            taught_.centres[at] = found;
            return;
        }
        taught_.keys.push_back({key.name, {key.x, key.y}, found.centre});
        taught_.centres.push_back(found);
    }

    // False when there is nothing to write, or no place for it.
    bool write() {
        for (const auto& line : cli::taught_lines(taught_)) say(line);
        if (taught_.keys.empty()) return false;
        const Spot origin = metrology::origin_of(taught_.keys).origin;
        const auto renewed = language::profile_with_origin(text_, command_.fixture, nest_.number,
                                                           origin.x, origin.y);
        std::string problem = renewed.problem;
        const std::string& place = command_.write ? command_.fixture : command_.out;
        if (problem.empty()) problem = write_whole(place, renewed.text);
        if (!problem.empty()) {
            complain({cli::station_fault, problem});
            return false;
        }
        written_ = place;
        say("Written to " + place + ". A changed profile makes a new plan: release it.");
        return true;
    }

    const cli::TeachCommand& command_;
    std::string text_;
    language::PlanPtr plan_;
    const language::Nest& nest_;
    asio::io_context context_{1};
    serial::SteadyClock clock_;
    serial::SerialPorts ports_;
    TypedLines typed_;
    engine::MotionPermit* permit_ = nullptr;  // the fixture's
    std::unique_ptr<drivers::Fixture> fixture_;
    engine::Parts parts_;
    std::unique_ptr<engine::TeachRun> run_;
    cli::TaughtNest taught_;
    std::string written_;
    bool begun_ = false;  // somebody has said that it may
};

// "" when the words make sense together.
std::string wrong_with(const cli::TeachCommand& command) {
    if (command.out.empty() && !command.write)
        return "Say where the new profile goes: --out FILE, or --write for its own place.";
    std::error_code error;
    if (!command.out.empty() && fs::exists(command.out, error))
        return command.out + " is there already; --out makes a new file.";
    return "";
}

}  // namespace

int teach(const cli::TeachCommand& command) {
    if (const auto problem = wrong_with(command); !problem.empty())
        return complain({cli::bad_input, problem});
    const auto check = answers::check_documents({command.unit, command.fixture});
    if (!check.good()) return complain({cli::bad_input, document::text_of(check.diagnostics)});
    const auto text = language::text_of_file(command.fixture).value_or("");
    auto fixture = language::read_fixture_profile(text, command.fixture);
    auto map = language::read_register_map(language::text_of_file(command.unit).value_or(""),
                                           command.unit);
    if (!map.value || !fixture.value)
        return complain({cli::bad_input,
                         "--unit wants a register map and --fixture a fixture profile. Were they "
                         "exchanged?"});
    if (fixture.value->nest(command.nest) == nullptr)
        return complain({cli::bad_input,
                         command.fixture + " has no nest " + std::to_string(command.nest) + "."});
    if (!fixture.value->finger)
        return complain({cli::bad_input, command.fixture + " has no [finger] to teach."});
    Session session(command, text,
                    language::make_plan({}, std::move(*map.value), std::move(*fixture.value)));
    return session.run();
}

}  // namespace padtrim
