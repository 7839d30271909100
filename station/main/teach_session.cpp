#include "station/main/teach_session.hpp"

#include <algorithm>
#include <cstdio>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <unistd.h>

#include "recipes/language/taught_places.hpp"
#include "station/answers/json.hpp"
#include "station/cli/station_wish.hpp"
#include "station/cli/teach_texts.hpp"
#include "station/engine/motion_permit.hpp"
#include "station/engine/route.hpp"
#include "station/engine/teach_run.hpp"
#include "station/main/interruptions.hpp"
#include "station/main/output.hpp"
#include "station/main/patiently.hpp"
#include "station/main/station_parts.hpp"
#include "station/main/typed_lines.hpp"

namespace padtrim {

namespace asio = boost::asio;
using cli::TaughtNest;
using cli::TeachAct;
using language::Key;
using metrology::FoundCentre;
using metrology::Spot;

namespace {

// Where the key should be by what was found so far.
Spot expected(const TaughtNest& taught, const Key& key) {
    Spot origin = taught.origin_before;
    if (!taught.keys.empty()) origin = metrology::origin_of(taught.keys).origin;
    return {origin.x + key.x, origin.y + key.y};
}

void keep(TaughtNest& taught, const Key& key, const FoundCentre& found) {
    for (std::size_t at = 0; at < taught.keys.size(); ++at) {
        if (taught.keys[at].key != key.name) continue;
        taught.keys[at].found = found.centre;
        taught.centres[at] = found;
        return;
    }
    taught.keys.push_back({key.name, {key.x, key.y}, found.centre});
    taught.centres.push_back(found);
}

}  // namespace

struct TeachSession::State {
    State(const cli::TeachCommand& wanted, std::string profile_text, language::PlanPtr of)
        : command(wanted),
          text(std::move(profile_text)),
          plan(std::move(of)),
          nest(*plan->fixture.nest(wanted.nest)),
          clock(context.get_executor()),
          ports(context.get_executor(), clock, wanted.ports),
          typed(
              context.get_executor(), [this](const std::string& line) { return heard(line); },
              [this] { stop_for_good("The terminal was closed."); }) {
        taught.nest = wanted.nest;
        taught.origin_before = {nest.origin_x, nest.origin_y};
    }

    std::string open();
    bool heard(const std::string& line);
    void stop_for_good(const std::string& why);
    void tell(const engine::TeachLook& look) const;
    void say(const std::string& line) const;
    void complain_of(const port::Fault& fault);
    void tell_place(const port::Outcome<port::Position>& at);
    std::string waits_for_clear() const;
    asio::awaitable<int> talk();
    asio::awaitable<int> obey_all();
    asio::awaitable<void> obey(cli::TeachLine words, std::string line);
    asio::awaitable<void> allow();
    asio::awaitable<void> find(std::string name, bool here);
    asio::awaitable<void> find_all();
    bool write();

    const cli::TeachCommand& command;
    std::string text;
    language::PlanPtr plan;
    const language::Nest& nest;
    asio::io_context context{1};
    serial::SteadyClock clock;
    serial::SerialPorts ports;
    TypedLines typed;
    engine::MotionPermit* permit = nullptr;  // the fixture's
    std::unique_ptr<drivers::Fixture> fixture;
    engine::Parts parts;
    std::unique_ptr<engine::TeachRun> run;
    TaughtNest taught;
    std::string written;
    bool begun = false;   // the unit is on and the finger homed
    bool busy = false;    // something is done that may move
    bool ending = false;  // quit was typed
};

TeachSession::TeachSession(const cli::TeachCommand& command, std::string profile_text,
                           language::PlanPtr plan)
    : state_(std::make_unique<State>(command, std::move(profile_text), std::move(plan))) {}

TeachSession::~TeachSession() = default;

int TeachSession::run() {
    State& own = *state_;
    if (const auto problem = own.open(); !problem.empty())
        return complain({cli::station_fault, problem});
    int code = cli::station_fault;
    std::exception_ptr bug;
    Interruptions interruptions(
        own.context.get_executor(), [&] { own.stop_for_good("Stopped by a signal, Ctrl-C say."); },
        [] {});
    asio::co_spawn(own.context, own.typed.read(STDIN_FILENO), asio::detached);
    asio::co_spawn(own.context, own.talk(), [&](std::exception_ptr error, int ended) {
        bug = error;
        code = ended;
        interruptions.cancel();
        own.typed.close();
    });
    own.context.run();
    if (bug) std::rethrow_exception(bug);
    return code;
}

std::string TeachSession::State::open() {
    const auto link = [this](const language::PortName& port) { return ports.open(port); };
    const auto beside = [this](std::unique_ptr<port::Interlock> interlock) {
        auto made = std::make_unique<engine::MotionPermit>(clock, std::move(interlock),
                                                           std::chrono::seconds(command.lease_s));
        permit = made.get();
        return std::unique_ptr<port::Interlock>(std::move(made));
    };
    auto opened = patiently(context, clock, [&] {
        return drivers::Fixture::open(*plan, clock, link, warn_of, beside);
    });
    if (!opened) return opened.error().what;
    fixture = std::move(*opened);
    parts.clock = &clock;
    parts.relays = &fixture->relays();
    parts.interlock = fixture->interlock();
    parts.finger = fixture->finger();
    parts.nests = {{nest.number, &fixture->unit(nest.number)}};
    parts.log = [](engine::LogLevel level, const std::string& line) {
        if (level >= engine::LogLevel::warning) std::fprintf(stderr, "padtrim: %s\n", line.c_str());
    };
    engine::TeachWish wish;
    wish.nest = nest.number;
    wish.height = Millimetre(command.height);
    run = std::make_unique<engine::TeachRun>(parts, *plan, wish,
                                             [this](const engine::TeachLook& look) { tell(look); });
    return "";
}

// As it is typed, while something moves too; true: that was all. What was typed before a stop must
// not move anything after it, nor a "clear" that was said while nothing was wrong. Whoever types
// what nobody understands while the finger moves may have meant stop.
bool TeachSession::State::heard(const std::string& line) {
    const TeachAct act = cli::read_teach_line(line).act;
    if (act == TeachAct::stop || (act == TeachAct::unknown && busy)) {
        permit->withdraw(act == TeachAct::stop ? "Stopped by hand."
                                               : "Stopped, since \"" + line + "\" is no word.");
        typed.forget();
        if (!busy && begun) std::fprintf(stderr, "%s\n", waits_for_clear().c_str());
        return true;
    }
    if (act == TeachAct::quit) {
        ending = true;
        run->give_up();
        typed.forget();
        typed.close();
        return true;
    }
    const bool waiting = !permit->granted();
    permit->renew();
    return line.empty() || (act == TeachAct::clear && !waiting);
}

std::string TeachSession::State::waits_for_clear() const {
    return cli::waits_text(!plan->fixture.finger->discard.empty());
}

void TeachSession::State::stop_for_good(const std::string& why) {
    permit->withdraw(why);
    typed.forget();
    typed.close();
}

void TeachSession::State::tell(const engine::TeachLook& look) const {
    const auto left = std::chrono::duration_cast<std::chrono::seconds>(permit->left());
    std::fprintf(stderr, "  %s: X %.2f, Y %.2f mm, change %.0f counts; Enter within %lld s\n",
                 look.key.c_str(), look.at.x.value(), look.at.y.value(), look.change,
                 static_cast<long long>(left.count()));
}

// Standard output belongs to the JSON where that is wanted.
void TeachSession::State::say(const std::string& line) const {
    if (command.json)
        std::fprintf(stderr, "%s\n", line.c_str());
    else
        print_line(line);
}

// A place that is lost is homed for at a "clear", which says what that drives. What was typed ahead
// counted on the act that failed.
void TeachSession::State::complain_of(const port::Fault& fault) {
    typed.forget();
    if (fault.kind == port::FaultKind::position_lost)
        permit->withdraw("The finger does not know its place.");
    complain({cli::station_fault, fault.what});
    if (begun && !permit->granted() && !ending)
        std::fprintf(stderr, "%s\n", waits_for_clear().c_str());
}

asio::awaitable<int> TeachSession::State::talk() {
    std::fprintf(stderr, "%s\n\n%s\n", cli::cautions, cli::teach_begins);
    auto first = co_await typed.next();
    if (!first || cli::read_teach_line(*first).act != TeachAct::clear)
        co_return complain({cli::some_did_not_pass, "nothing was moved and nothing written."});
    auto granted = co_await permit->grant();
    if (!granted) co_return complain({cli::station_fault, granted.error().what});
    busy = true;
    auto ready = co_await run->begin();
    busy = false;
    int code = cli::station_fault;
    if (ready) {
        begun = true;
        say("The finger is homed and lifted, the unit is on. padtrim teach --help lists the "
            "words.");
        code = co_await obey_all();
    } else {
        complain({cli::station_fault, ready.error().what});
    }
    auto safe = co_await run->end();
    if (!safe) code = cli::station_fault;  // it was told
    if (command.json) print_line(answers::text_of(cli::taught_json(taught, written)));
    co_return code;
}

asio::awaitable<int> TeachSession::State::obey_all() {
    while (true) {
        auto line = co_await typed.next();
        if (!line) co_return cli::some_did_not_pass;
        const cli::TeachLine words = cli::read_teach_line(*line);
        if (words.act == TeachAct::write) {
            if (write()) co_return cli::done;
            continue;
        }
        co_await obey(words, *line);
    }
}

asio::awaitable<void> TeachSession::State::obey(cli::TeachLine words, std::string line) {
    busy = true;
    if (words.act == TeachAct::clear) {
        co_await allow();
    } else if (words.act == TeachAct::step) {
        auto at = co_await run->jog(words.by);
        tell_place(at);
    } else if (words.act == TeachAct::where) {
        auto at = co_await run->where();
        tell_place(at);
    } else if (words.act == TeachAct::find) {
        co_await find(words.key, words.here);
    } else if (words.act == TeachAct::all) {
        co_await find_all();
    } else if (words.act == TeachAct::unknown) {
        complain({cli::bad_input, cli::no_word_text(line)});
    }
    busy = false;
}

// A guard that stands open is said now and not at the next step.
asio::awaitable<void> TeachSession::State::allow() {
    auto granted = co_await permit->grant();
    if (granted) granted = co_await run->home();
    if (!granted) {
        complain_of(granted.error());
        co_return;
    }
    auto at = co_await run->where();
    tell_place(at);
}

void TeachSession::State::tell_place(const port::Outcome<port::Position>& at) {
    if (!at) return complain_of(at.error());
    char line[96];
    std::snprintf(line, sizeof line, "The finger stands at X %.2f, Y %.2f, Z %.2f mm.",
                  at->x.value(), at->y.value(), at->z.value());
    say(line);
}

asio::awaitable<void> TeachSession::State::find(std::string name, bool here) {
    const auto& keys = plan->map.keys;
    const auto key =
        std::find_if(keys.begin(), keys.end(), [&](const Key& each) { return each.name == name; });
    std::optional<Spot> start;
    if (key != keys.end()) start = expected(taught, *key);
    if (here) {
        auto at = co_await run->where();
        if (!at) {
            complain_of(at.error());
            co_return;
        }
        start = Spot{at->x, at->y};
    }
    auto found = co_await run->find(name, start);
    if (!found) {
        if (!ending) complain_of(found.error());
        co_return;
    }
    keep(taught, *key, *found);
    say(cli::centre_text(name, *found, {nest.origin_x + key->x, nest.origin_y + key->y}));
}

asio::awaitable<void> TeachSession::State::find_all() {
    std::vector<language::PanelPlace> places;
    for (const auto& key : plan->map.keys) places.push_back({key.x, key.y});
    for (const std::size_t at : engine::short_route(places)) {
        const Key& key = plan->map.keys[at];
        if (ending) co_return;
        auto allowed = co_await permit->closed();
        if (!allowed) {
            complain_of(allowed.error());
            co_return;
        }
        if (key.kind == language::KeyKind::button)
            co_await find(key.name, false);
        else
            say(cli::left_out_text(key));
    }
}

// False when there is nothing to write, or no place for it.
bool TeachSession::State::write() {
    for (const auto& line : cli::taught_lines(taught)) say(line);
    if (taught.keys.empty()) return false;
    const Spot origin = metrology::origin_of(taught.keys).origin;
    const auto renewed =
        language::profile_with_origin(text, command.fixture, nest.number, origin.x, origin.y);
    std::string problem = renewed.problem;
    const std::string& place = command.write ? command.fixture : command.out;
    if (problem.empty()) problem = write_whole(place, renewed.text);
    if (!problem.empty()) {
        complain({cli::station_fault, problem});
        return false;
    }
    written = place;
    say("Written to " + place + ". A changed profile makes a new plan: release it.");
    return true;
}

}  // namespace padtrim
