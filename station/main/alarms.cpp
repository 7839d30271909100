#include "station/main/alarms.hpp"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <stdexcept>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "db/ledger/reader.hpp"
#include "fixtures/serial/clocks.hpp"
#include "station/answers/chart_freezing.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/names.hpp"
#include "station/answers/printable.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/ledger_act.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"

namespace padtrim {
namespace {

std::string alarms_sentence(std::size_t fresh) {
    if (fresh == 0) return "";
    return answers::counted(fresh, "new alarm") + " of control charts: padtrim alarms tells them.";
}

int tell_alarms(const cli::AlarmsCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    const auto told = answers::alarms_answer(**reader, !command.all);
    if (!told) return give_up(told.error());
    tell(answers::to_json(*told), answers::sheet_of(*told), face_of(command.json, command.csv));
    const bool open = std::any_of(told->alarms.begin(), told->alarms.end(),
                                  [](const auto& alarm) { return !alarm.reply; });
    return open ? int{cli::some_did_not_pass} : int{cli::done};
}

int reply(const cli::AlarmsCommand& command) {
    const std::string wrong = answers::wrong_with_signature(command.who, command.why);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const record::AlarmReply said{serial::SystemWallClock().now(), command.who,
                                  answers::printable(command.why, 2000)};
    const auto kept = done_in_ledger<void>(command.records, [&](ledger::Ledger& ledger) {
        return ledger.reply_to_alarm(*command.reply, said);
    });
    if (!kept) return give_up(kept.error());
    if (!command.json)
        print_line("The reply to alarm " + std::to_string(*command.reply) + " is kept.");
    const int told = tell_alarms(command);
    return told == cli::some_did_not_pass ? int{cli::done} : told;  // the reply was what was asked
}

}  // namespace

int freeze_charts(const cli::ChartCommand& command, const answers::ControlWish& wish,
                  const answers::ControlAnswer& charts) {
    const std::string wrong = answers::wrong_with_signature(command.who, command.why);
    if (!wrong.empty()) return complain({cli::bad_input, wrong});
    const auto freezing = answers::freezing_of(command.of, wish, charts, command.who,
                                               answers::printable(command.why, 2000),
                                               serial::SystemWallClock().now());
    if (!freezing.wrong.empty()) return complain({cli::bad_input, freezing.wrong});
    const auto kept = done_in_ledger<void>(command.of.records, [&](ledger::Ledger& ledger) {
        return ledger.freeze_charts(freezing.charts);
    });
    if (!kept) return give_up(kept.error());
    print_line(answers::frozen_sentence(freezing.charts));
    return cli::done;
}

int alarms(const cli::AlarmsCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return give_up(reader.error());
    if (command.reply) return reply(command);
    // What was found so far is told from records that cannot be written, too.
    const auto now = serial::SystemWallClock().now();
    const auto looked = done_in_ledger<std::size_t>(command.records, [&](ledger::Ledger& ledger) {
        return answers::look_and_keep(ledger, **reader, now);
    });
    // A station that holds the records looks by itself.
    if (!looked && looked.error().kind != journal::StoreFaultKind::locked)
        std::fprintf(stderr, "No new look was kept: %s\n", looked.error().what.c_str());
    return tell_alarms(command);
}

namespace {

using Looks = journal::Stored<std::vector<record::ChartLook>>;

// No exception leaves it: it runs on the thread that the coroutine waits for.
Looks looks_at(const std::string& records) {
    try {
        const auto reader = ledger::Reader::open(records);
        if (!reader) return reader.error();
        return answers::look_at_charts(**reader, serial::SystemWallClock().now());
    } catch (const std::exception& error) {
        return journal::StoreFault{journal::StoreFaultKind::broken, error.what()};
    }
}

boost::asio::awaitable<Looks> look_at(std::string records) {
    co_return looks_at(records);
}

// Reads beside the station, whose loop goes on meanwhile.
boost::asio::awaitable<std::size_t> look_beside(ledger::Ledger& ledger, std::string records) {
    boost::asio::thread_pool beside(1);
    Looks looks = co_await boost::asio::co_spawn(beside, look_at(std::move(records)),
                                                 boost::asio::use_awaitable);
    if (!looks) throw std::runtime_error(looks.error().what);
    if (looks->empty()) co_return std::size_t{0};
    const auto fresh = co_await ledger.keep_looks(std::move(*looks));
    if (!fresh) throw std::runtime_error(fresh.error().what);
    co_return *fresh;
}

}  // namespace

// The lot has ended well whatever becomes of the look: what goes wrong is the sentence.
boost::asio::awaitable<std::string> looked_after_lot(ledger::Ledger& ledger, std::string records) {
    std::string trouble;
    try {
        co_return alarms_sentence(co_await look_beside(ledger, std::move(records)));
    } catch (const std::exception& error) {
        trouble = error.what();
    }
    co_return "Frozen charts were not looked at: " + trouble;
}

void look_after_lot(boost::asio::io_context& context, ledger::Ledger& ledger,
                    const std::string& records) {
    context.restart();
    boost::asio::co_spawn(context, looked_after_lot(ledger, records),
                          [](std::exception_ptr bug, const std::string& sentence) {
                              if (bug) std::rethrow_exception(bug);
                              if (!sentence.empty()) std::fprintf(stderr, "%s\n", sentence.c_str());
                          });
    context.run();
}

}  // namespace padtrim
