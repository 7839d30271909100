#include "station/main/commissioning.hpp"

#include <utility>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>
#include <boost/json/object.hpp>

#include "station/answers/printable.hpp"
#include "station/web/accounts.hpp"

namespace padtrim {

namespace asio = boost::asio;
using web::Decision;
using web::Outcome;

// One hold of the fixture; acts and the run keep it alive.
struct Commissioning::Held {
    explicit Held(Commissioning& of) : desk(of), clock(of.context_.get_executor()) {}
    Commissioning& desk;
    std::string who, lease;
    serial::SteadyClock clock;
    engine::MotionPermit* permit = nullptr;  // the ports'
    std::unique_ptr<FixturePorts> ports;
    std::unique_ptr<engine::HandRun> run;
};

namespace {

void throw_on(std::exception_ptr bug) {
    if (bug) std::rethrow_exception(bug);
}

std::string place_of(const answers::FixtureHold& hold) {
    const answers::Json all = answers::to_json(hold);
    return answers::text_of(boost::json::object{{"connected", all.at("connected")},
                                                {"finger", all.at("finger")},
                                                {"sentence", all.at("sentence")}});
}

std::string named(const std::string& person) {
    return person.empty() ? "somebody" : answers::printable(person, 64);
}

}  // namespace

Commissioning::Commissioning(asio::io_context& context, const cli::StationWish& wish,
                             language::PlanPtr plan, const StationLog& log, ledger::Ledger& ledger,
                             HandOver hand_over, std::function<void()> changed)
    : context_(context),
      wish_(wish),
      plan_(std::move(plan)),
      log_(log),
      ledger_(ledger),
      hand_over_(std::move(hand_over)),
      changed_(std::move(changed)) {
    before_.lease = hand_lease;
    before_.work.state = engine::HandState::over;
}

Commissioning::~Commissioning() = default;

answers::FixtureSheet Commissioning::sheet() const {
    return answers::fixture_sheet(*plan_, wall_clock_.now());
}

answers::FixtureHold Commissioning::hold() const {
    if (!held_) return before_;
    answers::FixtureHold hold;
    hold.held = true;
    hold.who = held_->who;
    hold.lease = hand_lease;
    hold.left = std::chrono::duration_cast<std::chrono::milliseconds>(held_->permit->left());
    hold.work = held_->run->standing();
    return hold;
}

Decision Commissioning::refusal() const {
    return {Outcome::refused, named(held_->who) + " works on the fixture by hand.",
            "Wait until it is given back."};
}

web::Taken Commissioning::take(std::string person) {
    if (held_) return {refusal(), ""};
    if (auto no = hand_over_.asked(); no.outcome != Outcome::accepted) return {std::move(no), ""};
    auto held = std::make_shared<Held>(*this);
    const auto beside = [&](std::unique_ptr<port::Interlock> interlock) {
        auto permit =
            std::make_unique<engine::MotionPermit>(held->clock, std::move(interlock), hand_lease);
        held->permit = permit.get();
        return std::unique_ptr<port::Interlock>(std::move(permit));
    };
    auto ports = FixturePorts::open(context_, plan_, wish_.ports, log_, beside);
    if (const auto* trouble = std::get_if<GivesUp>(&ports))
        return {{Outcome::refused, trouble->sentence, "Nothing was begun."}, ""};
    held->ports = std::move(std::get<0>(ports));
    held->who = std::move(person);
    held->lease = web::random_token();
    held->run = std::make_unique<engine::HandRun>(held->ports->parts(ledger_), *plan_,
                                                  *held->permit, changed_);
    held_ = std::move(held);
    log_.info("the fixture was taken in hand by " + named(held_->who));
    asio::co_spawn(context_, last(held_), throw_on);
    changed_();
    return {{Outcome::accepted, "The fixture is in your hand: every relay is opened first.", ""},
            held_->lease};
}

// The run's own frames have not ended yet when it is over: its parts go one turn later.
asio::awaitable<void> Commissioning::last(std::shared_ptr<Held> held) {
    Commissioning& desk = held->desk;
    co_await desk.hand_over_.settled();
    co_await held->run->run();
    record::ContactCounts counts;
    counts.coils = held->run->take_operations();
    counts.station = desk.wish_.station;
    counts.fixture = desk.plan_->fixture.fixture;
    counts.at = desk.wall_clock_.now();
    if (!counts.coils.empty()) {
        const auto kept = co_await desk.ledger_.count_contacts(std::move(counts));
        if (!kept) desk.log_.error("what the contacts worked is not kept: " + kept.error().what);
    }
    asio::post(desk.context_, [held] { held->desk.ended(); });
}

void Commissioning::ended() {
    before_ = hold();
    before_.held = false;
    before_.left = {};
    log_.info("the fixture is free again: " + before_.work.sentence);
    held_.reset();
    changed_();
    if (gone_) std::exchange(gone_, nullptr)();
}

Decision Commissioning::wrong_lease(const std::string& lease) const {
    if (held_ && held_->lease == lease) return {};
    return {Outcome::refused,
            held_ ? named(held_->who) + " holds the fixture now."
                  : "The fixture is in nobody's hand. " + before_.work.sentence,
            "Take it in hand anew."};
}

Decision Commissioning::renew(const std::string& lease) {
    if (auto no = wrong_lease(lease); no.outcome != Outcome::accepted) return no;
    held_->permit->renew();
    return {Outcome::accepted, "It goes on.", ""};
}

Decision Commissioning::give_back(const std::string& lease) {
    if (auto no = wrong_lease(lease); no.outcome != Outcome::accepted) return no;
    held_->run->give_back("Given back by " + named(held_->who) + ".");
    return {Outcome::accepted, "Every relay is opened; nothing moves any more.", ""};
}

Decision Commissioning::stop(std::string person) {
    if (!held_) return {Outcome::refused, "The fixture is in nobody's hand.", "Nothing moves."};
    held_->run->give_back("Stopped by " + named(person) + ".");
    return {Outcome::accepted, "The finger is told to stop, and every relay is opened.", ""};
}

Decision Commissioning::connect(const std::string& lease, web::ConnectWish wish) {
    if (auto no = wrong_lease(lease); no.outcome != Outcome::accepted) return no;
    const std::string doing = wish.reference.empty()
                                  ? "open every reference"
                                  : "connect " + answers::printable(wish.reference, 40);
    auto act = held_->run->connect(wish.nest, wish.channel, std::move(wish.reference));
    return begin(doing, std::move(act));
}

Decision Commissioning::move(const std::string& lease, web::FingerWish wish) {
    if (auto no = wrong_lease(lease); no.outcome != Outcome::accepted) return no;
    engine::HandRun& run = *held_->run;
    switch (wish.act) {
        case web::FingerAct::home:
            return begin("home the finger", run.home());
        case web::FingerAct::lift:
            return begin("lift the finger", run.lift());
        case web::FingerAct::step:
            return begin("step the finger", run.step(wish.by));
        case web::FingerAct::over:
            return begin("finger over " + answers::printable(wish.key, 40),
                         run.over(wish.nest, std::move(wish.key)));
    }
    return {Outcome::bad, "There is no such act.", ""};
}

// Whoever acts is there, too early or not.
Decision Commissioning::begin(const std::string& doing, engine::Act<void> act) {
    held_->permit->renew();
    const auto& work = held_->run->standing();
    if (work.state != engine::HandState::held)
        return {Outcome::refused,
                work.doing.empty() ? "The fixture is not ready." : work.doing + " (under way).",
                "Wait for its end."};
    asio::co_spawn(context_, carry_out(held_, doing, std::move(act)), throw_on);
    return {Outcome::accepted, "Begun: " + doing + ".", ""};
}

// What came of it stands in the audit, beside the call that asked for it.
asio::awaitable<void> Commissioning::carry_out(std::shared_ptr<Held> held, std::string doing,
                                               engine::Act<void> act) {
    Commissioning& desk = held->desk;
    record::AuditEntry entry;
    entry.before = place_of(desk.hold());
    const auto done = co_await std::move(act);
    entry.station = desk.wish_.station;
    entry.at = desk.wall_clock_.now();
    entry.who = held->who;
    entry.role = "by hand";
    entry.act = std::move(doing);
    entry.status = done ? 200 : 409;
    answers::FixtureHold now;
    now.work = held->run->standing();
    if (!done) now.work.sentence = done.error().what;
    entry.after = place_of(now);
    held.reset();  // the ports are for whoever comes next, whatever the disk does
    const auto kept = co_await desk.ledger_.keep_audit(std::move(entry));
    if (!kept) desk.log_.error("the audit lacks an act by hand. " + kept.error().what);
}

void Commissioning::leave(std::function<void()> gone) {
    if (!held_) return gone();
    gone_ = std::move(gone);
    held_->run->give_back("The daemon is leaving.");
}

}  // namespace padtrim
